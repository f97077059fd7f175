"""What the inspection's pages show: in words, in the units and the time of the reader.

Read :func:`lot_page` and :func:`waiting`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from beadwright.plant.assessment import Reason
from beadwright.plant.inspecting import Age, Foam, Inspecting, Need
from beadwright.plant.inspection_plans.folded import LotSeen
from beadwright.plant.limit_rows import LimitRow, rows
from beadwright.plant.reasons_in_units import in_units
from beadwright.plant.release_words import headline
from beadwright.plant.to_inspect import ToInspect
from beadwright.plant.words import number
from beadwright.units import System, show
from beadwright.web.stations.clock import Clock
from beadwright.web.stations.inspection.acts import ACTS, COUNTS, Act
from beadwright.web.stations.inspection.words import PARTS, STATE_SAID, TO_DO
from beadwright.web.stations.sheet import Doing

__all__ = ["LotPage", "NeedRow", "Waiting", "foam_said", "lot_page", "still", "waiting"]

_SORTS = {"may_ship": "good", "not_enough_evidence": "ask", "may_not_ship": "stop"}
_BY_PLAN = {
    None: ("ask", "asked by the plan"),
    True: ("good", "accepted by the plan"),
    False: ("stop", "not accepted"),
}
_REMEDIES = {
    "tie_missing": "Where one is missing, reject the block, and correct its entry: leave its weight"
    " out, and say why.",
}
_SHOWN = 6
_DIGITS = {"si": 1, "us": 2}


@dataclass(frozen=True, slots=True)
class NeedRow:
    """What is asked for one doing, and how that stands."""

    title: str
    sort: str
    state: str
    missing: tuple[str, ...]
    found: tuple[str, ...]
    """What was found of each characteristic beside its limit."""


@dataclass(frozen=True, slots=True)
class LotPage:
    """A lot as its inspection stands."""

    lot: str
    product: str
    title: str
    pieces: str
    moulded: str
    age: str
    sort: str
    state: str
    """Its answer, in words."""
    stops: tuple[Reason, ...]
    """Why it may not ship whatever is measured now."""
    besides: tuple[tuple[Reason, str], ...]
    """What else stands in the way, each with what to do about it here."""
    needs: tuple[NeedRow, ...]
    doing: tuple[Doing, ...]
    foam: tuple[tuple[str, ...], ...]
    foam_columns: tuple[str, ...] = ("block", "state", "dry foam")


@dataclass(frozen=True, slots=True)
class Waiting:
    """A lot that waits, as its line."""

    lot: str
    says: str
    sort: str
    state: str
    """Now, or from when."""
    needs: str


def waiting(some: Iterable[ToInspect], clock: Clock) -> tuple[Waiting, ...]:
    """Give the lines of lots that wait."""
    return tuple(_waiting(one, clock) for one in some)


def _waiting(one: ToInspect, clock: Clock) -> Waiting:
    old = "" if one.age is None else f", {_old(one.age)}"
    says = f"{one.product}, {number(one.pieces, 'piece')}{old}"
    ties = f"count the ties of {', '.join(one.short)}; " if one.short else ""
    return Waiting(one.lot, says, *_when(one, ties, clock))


def _when(one: ToInspect, ties: str, clock: Clock) -> tuple[str, str, str]:
    """Say what can be done now, or from when; and what is to be done, the rest with its time."""
    until = one.waits_until_ms
    if until is None:
        return "good", "now", f"{ties}{_to_do(one.needs)}"
    first = one.age is not None and not one.age.state
    later = f"its first now, all from {clock(until)}" if first else f"from {clock(until)}"
    if not one.now and not ties:
        return "ask" if first else "note", later, _to_do(one.needs)
    now = ", ".join([*(["ties"] if ties else []), *(TO_DO[each.part] for each in one.now)])
    done = f"{_to_do(one.now)}; " if one.now else ""
    later = f"({later})" if first else later
    return "ask", f"{now} now", f"{ties}{done}{_to_do(one.later)} {later}"


def _old(age: Age) -> str:
    """Say an age: in hours, after three days in days."""
    low, high = age.youngest_h, age.oldest_h
    if low >= _DAYS_FROM_H:
        return f"{low / 24:.0f} days old"
    return f"{low:.0f} to {high:.0f} h old" if round(low) != round(high) else f"{high:.0f} h old"


_DAYS_FROM_H = 72


def _to_do(needs: Sequence[Need]) -> str:
    """Say what is to be done, with how many pieces: ``weigh 3, gauge 3``."""
    found = []
    for one in needs:
        more = max(0, one.asked - one.counted)
        found.append(f"{TO_DO[one.part]}{f' {more}' if more else ''}")
    return ", ".join(found)


def still(found: Inspecting) -> str:
    """Say in one sentence what a lot still needs of its inspection."""
    more = f"Still: {_to_do(found.open)}." if found.open else ""
    bad = [PARTS[one.part].lower() for one in found.needs if one.finding == "not_met"]
    unmet = f"A limit is not met: {', '.join(bad)}." if bad else ""
    return f"{unmet} {more}".strip() or "Inspection owes it nothing more."


def lot_page(
    found: Inspecting, planned: LotSeen | None, act: Act | None, system: System, clock: Clock
) -> LotPage:
    """Give what is shown of a lot; ``planned`` is what its product's inspection plan asks."""
    lot, age = found.lot, found.age
    besides = in_units(found.besides, lot.limits, system)
    return LotPage(
        lot=lot.lot,
        product=lot.product,
        title=lot.title,
        pieces=number(found.pieces, "piece"),
        moulded="" if age is None else clock.span(age.first_ms, age.last_ms),
        age="" if age is None else _old(age),
        sort="ask" if lot.answer == "may_ship" and not lot.may_leave else _SORTS[lot.answer],
        state=headline(lot),
        stops=tuple(one for one in besides if one.weight == "stops"),
        besides=tuple(
            (one, _REMEDIES.get(one.code, "")) for one in besides if one.weight != "stops"
        ),
        needs=tuple(
            _need(one, found, planned if one.part == "look" else None, system, clock)
            for one in found.needs
        ),
        doing=tuple(_doing(one, found) for one in ACTS.values() if one != act),
        foam=tuple(_foam_row(one, system) for one in reversed(found.foam[-_SHOWN:])),
    )


def _need(
    one: Need, found: Inspecting, planned: LotSeen | None, system: System, clock: Clock
) -> NeedRow:
    sort, state = "note", "no limit asks for it"
    if planned is not None:
        sort, state = _BY_PLAN[planned.accepted]
    if one.finding == "met":
        sort, state = "good", "met"
    elif one.finding == "not_met":
        sort, state = "stop", "not met"
    elif one.finding is not None:
        sort, state = "ask", f"{one.counted} of {one.asked}" if one.asked else "missing"
    missing = [*one.missing, *_young(one, found.age, clock), *_seen(one, found)]
    limits = [*(_limit(row) for row in rows(one.limits, system) if row.found), *one.tests]
    return NeedRow(PARTS[one.part], sort, state, tuple(missing), tuple(dict.fromkeys(limits)))


def _young(one: Need, age: Age | None, clock: Clock) -> Iterator[str]:
    if one.open and one.part in {"weigh", "gauge"} and age is not None and age.state != "24h":
        yield (
            f"Counts from {age.day_old_h:g} h on: its first block from {clock(age.some_from_ms)},"
            f" all from {clock(age.all_from_ms)}."
        )


def _seen(one: Need, found: Inspecting) -> Iterator[str]:
    """Say what was looked over, and what of it was bad."""
    defects = found.lot.defects
    if one.part == "look" and defects.checked:
        words = {name.removeprefix("bad_"): words.lower() for name, words in COUNTS.items()}
        bad = ", ".join(f"{words.get(name, name)} {n}" for name, n in defects.defective if n)
        found_bad = f"bad: {bad}" if bad else "none bad"
        yield f"{number(defects.checked, 'piece')} looked at; {found_bad}."
    if one.part == "fusion" and found.broken:
        yield f"{number(found.broken, 'block')} broken."


def _limit(row: LimitRow) -> str:
    which = {"mean": "mean "}.get(row.statistic, "")
    state = STATE_SAID.get(row.state, "")
    of = f"{row.n} {state}".strip()
    return f"{row.characteristic}: {which}{row.found} of {of}, limit {row.limit}"


def _doing(one: Act, found: Inspecting) -> Doing:
    owed = [found.need(part) for part in one.answers if found.need(part).open]
    says = f"still: {_to_do(owed)}" if owed else one.says
    aged = one.name != "block" or found.age is None or found.age.state != "press"
    to = f"?lot={found.lot.lot}&do={one.name}"
    return Doing(to, one.title, says, f"do-{one.name}", bool(owed) and aged)


def _foam_row(one: Foam, system: System) -> tuple[str, ...]:
    return one.piece, STATE_SAID[one.state], _density(one, system)


def _density(one: Foam, system: System) -> str:
    text, unit = show(one.density, "density", system=system, digits=_DIGITS[system]).split(" ", 1)
    off = show(one.off, "density", system=system, digits=_DIGITS[system]).split(" ", 1)[0]
    return f"{text} ± {off} {unit}" if one.off else f"{text} {unit}"


def foam_said(some: Iterable[Foam], entries: Iterable[int], system: System) -> str:
    """Say the dry density of a block that was just weighed; empty where none can be said."""
    seqs = set(entries)
    for one in some:
        if one.seq in seqs:
            return f"Dry foam of {one.piece or 'the block'}: {_density(one, system)}."
    return ""
