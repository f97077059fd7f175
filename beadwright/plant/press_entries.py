"""The newest entries told at a press, of all its forms together, by what the record says now.

Read :func:`entries_at`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from beadwright.ledger import people, runs
from beadwright.ledger.entered import seqs_of
from beadwright.ledger.runs import RunMark
from beadwright.plant.access import Role, may_restate
from beadwright.plant.first_pieces import SIGNED, steps_back
from beadwright.plant.opening import Plant
from beadwright.plant.press_counts import Count
from beadwright.plant.pressing import Pressing
from beadwright.plant.words import number

__all__ = ["PressEntry", "entries_at"]

_SHOWN = 10


@dataclass(frozen=True, slots=True)
class PressEntry:
    """One entry, in a few words."""

    seq: int
    at_ms: int
    says: str
    by: str
    """Initials, where the plant keeps them."""
    may_be_corrected: bool = False
    """By whom it is shown to."""


@dataclass(frozen=True, slots=True)
class _Step:
    key: str
    at_ms: int
    says: str
    by: str


def entries_at(plant: Plant, press: Pressing, role: Role) -> tuple[PressEntry, ...]:
    """Give the last ten entries of the run that is looked at, newest first.

    ``role`` is of whom they are shown to.
    """
    steps = sorted(_steps(plant.no, press), key=lambda one: -one.at_ms)[:_SHOWN]
    seqs = seqs_of(plant.no, [one.key for one in steps])
    may = may_restate(role, step=True, readings=False)
    told = [PressEntry(seqs[one.key], one.at_ms, one.says, one.by, may) for one in steps]
    may = may_restate(role, step=False, readings=True)
    read = [replace(one, may_be_corrected=may) for one in _readings(press)]
    found = {one.seq: one for one in (*read, *told)}
    newest = sorted(found.values(), key=lambda one: (-one.at_ms, -one.seq))[:_SHOWN]
    initials = {one.person: name for name, one in people.names(plant.code).items()}
    return tuple(replace(one, by=initials.get(one.by, one.by)) for one in newest)


def _steps(plant_no: int, press: Pressing) -> Iterator[_Step]:
    for count in press.tally.counts:
        yield _Step(count.step, count.ended_ms, _counted(count), count.by)
    begun = min((one.started_ms for one in press.tally.counts), default=press.tally.since_ms)
    for one in steps_back(plant_no, press.press, press.at_ms):
        its = one.place == press.press and begun <= one.at_ms <= press.at_ms
        if one.kind == "first_piece" and its:
            bad = [name for name in SIGNED if one.facts.get(name) != "ok"]
            says = f"first piece not ok: {', '.join(bad)}" if bad else "first piece signed"
            yield _Step(one.step, one.at_ms, says, one.by)
    for mark in runs.marks_of(plant_no, press.made) if press.made else ():
        yield _Step(mark.step, mark.at_ms, _marked(mark, press), mark.by)


def _counted(one: Count) -> str:
    because = f": {one.why}" if one.why else ""
    if not one.shots:
        return f"{number(one.scrap, 'block')} scrapped{because}"
    return f"{one.good} good, {one.scrap} scrapped of {number(one.shots, 'shot')}{because}"


def _marked(mark: RunMark, press: Pressing) -> str:
    if mark.kind == "run_close":
        return f"run {mark.run} ended"
    stop = next((one for one in press.tally.stops if one.step == mark.step), None)
    if stop is not None:
        return f"stood {stop.minutes} min: {stop.cause}"
    if mark.product:
        return f"run {mark.run} opened: {mark.product} of {mark.facts.get('from', '')}"
    said = [mark.facts[name] for name in ("from", "ties", "scrap_bin") if mark.facts.get(name)]
    return f"goes on with {' and '.join(said)}"


def _readings(press: Pressing) -> Iterator[PressEntry]:
    found = press.figures
    for one in found.weighed:
        yield PressEntry(one.seq, one.at_ms, f"{one.piece} weighed wet: {one.wet}", one.by)
    by_entry: dict[int, list[str]] = {}
    for size in found.gauged:
        by_entry.setdefault(size.seq, []).append(f"{size.dimension} {size.keyed}")
    for size in found.gauged:
        says = f"{size.piece} gauged hot: {', '.join(reversed(by_entry[size.seq]))}"
        yield PressEntry(size.seq, size.at_ms, says, size.by)
    for torn in found.broken:
        says = f"{torn.piece} broken: {100 * torn.share:.0f} % torn through"
        yield PressEntry(torn.seq, torn.at_ms, says, torn.by)
