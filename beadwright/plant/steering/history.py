"""What the cups of a pre-expander were, what was set between them, and what else changed.

Read :func:`history`. Cups of one place only: hot and dried ones are never pooled.
"""

from __future__ import annotations

import bisect
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from beadwright.ledger import matching
from beadwright.ledger.runs import AtMachine, at_machine
from beadwright.ledger.settings import Settings
from beadwright.plant.dead_band import Aim
from beadwright.plant.expanding import aims_of_run
from beadwright.plant.products import quantity
from beadwright.quality.characteristics import AT_EXPANDER, SET_AT_EXPANDER
from beadwright.quality.readings import Cup, cups_of, set_at

__all__ = ["DAYS_BACK", "Aimed", "Cups", "History", "bags_in", "cups_aimed", "history"]

DAYS_BACK = 28
"""Days of cups that the machine is learnt from."""

_T = TypeVar("_T")
_DAY_MS = 86_400_000
_MOST = 2000


@dataclass(frozen=True, slots=True)
class Cups:
    """Cups in a row at one target: logarithms of density over it, and what changed between."""

    deviations: tuple[float, ...]
    at_ms: tuple[int, ...]
    set_to: tuple[float | None, ...]
    """What the knob stood at when each cup was taken, in SI; None where nobody said."""
    changes: tuple[tuple[int, str], ...]
    """Number of a cup before which something other than the knob changed, and what."""


@dataclass(frozen=True, slots=True)
class History:
    """Everything that is known of a machine's cups of one place."""

    where: str
    target_kg_m3: float
    """Of the newest cups."""
    band_kg_m3: float
    rows: tuple[Cups, ...]
    """Oldest first; the last is that of now. A new target begins a new row."""
    knob_si: float | None
    """What the knob stands at now."""
    knob_said_ms: int | None


@dataclass(frozen=True, slots=True)
class Aimed:
    """The cups of a machine with what each was aimed at, and the steps that they belong to."""

    steps: tuple[AtMachine, ...]
    cups: tuple[tuple[str, Cup, Aim | None], ...]
    """Place, cup, and its target; None where none was set."""


@dataclass(slots=True)
class _Row:
    target: float
    band: float
    dev: list[float] = field(default_factory=list)
    at: list[int] = field(default_factory=list)


def history(plant_no: int, in_force: Settings, place: str, knob: str, at_ms: int) -> History | None:
    """Give the cups of a pre-expander; None where none has a target.

    ``knob`` is what a person changes there, as sheets call it: ``charge`` or ``steaming``.
    """
    since = at_ms - DAYS_BACK * _DAY_MS
    found = cups_aimed(plant_no, in_force, place, at_ms)
    steps, taken = found.steps, found.cups
    where = next(
        (one for one in AT_EXPANDER if any(lane == one and aim for lane, _, aim in taken)), ""
    )
    rows = _rows((cup, aim) for lane, cup, aim in taken if lane == where)
    if not rows:
        return None
    bags = _bags(plant_no, steps)
    told = set_at(plant_no, place, SET_AT_EXPANDER.values(), since)
    marks = {name: [(one.at_ms, one.si or 0.0) for one in told[of] if one.at_ms <= at_ms]
             for name, of in SET_AT_EXPANDER.items()}  # fmt: skip
    marks["charge"] = _with_told(marks["charge"], steps)
    now = marks[knob][-1] if marks[knob] else None
    cups = tuple(_cups(one, bags, marks, knob, first=one is rows[0]) for one in rows)
    return History(
        where, rows[-1].target, rows[-1].band, cups,
        now[1] if now else None, now[0] if now else None,
    )  # fmt: skip


def cups_aimed(plant_no: int, in_force: Settings, place: str, at_ms: int) -> Aimed:
    """Give the cups of a pre-expander's runs of :data:`DAYS_BACK`, in the order taken."""
    since = at_ms - DAYS_BACK * _DAY_MS
    steps = [one for one in at_machine(plant_no, place, since, _MOST) if one.at_ms <= at_ms]
    runs = {step.run for step in steps if step.run}
    silos = {step.facts["silo"] for step in steps if step.facts.get("silo")}
    aim_of = _aim_of(plant_no, in_force, steps)
    return Aimed(tuple(steps), tuple(
        (where, cup, aim_of(where, cup))
        for where, cup in cups_of(plant_no, silos, since)
        if cup.reading.facts.get("run") in runs and cup.reading.at_ms <= at_ms
    ))  # fmt: skip


def _aim_of(
    plant_no: int, in_force: Settings, steps: Sequence[AtMachine]
) -> Callable[[str, Cup], Aim | None]:
    """Give what tells the target of a place that a cup was taken for, as it was set then."""
    dates = sorted({
        since for name in in_force.names("cup") for since, _ in in_force.versions("cup", name)
    })  # fmt: skip
    known: dict[tuple[str, int], Mapping[str, Aim]] = {}

    def aim_of(where: str, cup: Cup) -> Aim | None:
        run, at_ms = cup.reading.facts["run"], cup.reading.at_ms
        key = run, bisect.bisect_right(dates, at_ms)
        if key not in known:
            known[key] = aims_of_run(plant_no, in_force, steps, run, at_ms).by_place
        return known[key].get(where)

    return aim_of


def _rows(taken: Iterable[tuple[Cup, Aim | None]]) -> list[_Row]:
    """Put cups in rows of one target."""
    rows: list[_Row] = []
    for cup, aim in taken:
        if aim is None:
            continue
        if not rows or rows[-1].target != aim.density_kg_m3:
            rows.append(_Row(aim.density_kg_m3, aim.band_kg_m3))
        rows[-1].band = aim.band_kg_m3
        rows[-1].dev.append(aim.off(cup.density_kg_m3))
        rows[-1].at.append(cup.reading.at_ms)
    return rows


def bags_in(steps: Iterable[AtMachine]) -> list[tuple[int, str]]:
    """Give when which bag of beads went in, in order of time."""
    found = []
    for step in steps:
        bag = step.facts.get("bag", "")
        if not bag or step.kind not in {"draw", "expand"}:
            continue
        began = step.facts.get("started", "")
        found.append((int(began) if began.isdecimal() else step.at_ms, bag))
    return sorted(found)


def _bags(plant_no: int, steps: Iterable[AtMachine]) -> list[tuple[int, str]]:
    """Give when beads of which supplier's lot went in, in order of time."""
    names: dict[str, str] = {}
    found = []
    for at_ms, bag in bags_in(steps):
        if bag not in names:
            labels = matching.labels_of(plant_no, bag)
            names[bag] = " ".join(labels[0]) if labels else f"bag {bag}"
        found.append((at_ms, names[bag]))
    return sorted(found)


def _with_told(
    marks: list[tuple[int, float]], steps: Sequence[AtMachine]
) -> list[tuple[int, float]]:
    """Put the charge that steps say before the first adjustment, where one comes before it."""
    first = marks[0][0] if marks else None
    said = [
        (one.at_ms, quantity(one.facts["charge"], "mass"))
        for one in steps
        if one.facts.get("charge") and (first is None or one.at_ms < first)
    ]
    return [*said[-1:], *marks]


def _at(marks: Sequence[tuple[int, _T]], at_ms: int) -> _T | None:
    """Give what the last mark until a time says; the first one's before any."""
    number = bisect.bisect_right([one[0] for one in marks], at_ms)
    return marks[max(number - 1, 0)][1] if marks else None


def _cups(
    row: _Row,
    bags: Sequence[tuple[int, str]],
    marks: Mapping[str, Sequence[tuple[int, float]]],
    knob: str,
    *,
    first: bool,
) -> Cups:
    changes = [] if first else [(0, "target")]
    lots = [_at(bags, at) for at in row.at]
    steam = [_at(marks["steam"], at) for at in row.at]
    for number in range(1, len(row.at)):
        if lots[number] != lots[number - 1]:
            changes.append((number, f"bead lot (now {lots[number]})"))
        if steam[number] != steam[number - 1]:
            changes.append((number, "steam pressure"))
    settings = tuple(_at(marks[knob], at) for at in row.at)
    return Cups(tuple(row.dev), tuple(row.at), settings, tuple(changes))
