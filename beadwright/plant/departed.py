"""In what the tests of a lot were otherwise than their methods ask: recorded, and shown with them.

Read :func:`departed`. It changes no figure and judges nothing: a limit, the plan and a person do.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from beadwright.lab.asked import Method, departures
from beadwright.lab.departure import Departure
from beadwright.lab.methods import METHODS
from beadwright.ledger.draft import ReadingsDraft
from beadwright.plant.assessment import REASONS, Reason
from beadwright.plant.reports import same_method
from beadwright.plant.words import in_runs, number
from beadwright.quality.conditions import APART, DEPARTED, stated
from beadwright.quality.keyed import measure
from beadwright.quality.readings import ReadingView

__all__ = ["CODE", "Departed", "departed", "foreseen", "reasons_of_departures", "unrecorded"]

CODE = "method_departed"

_MISSING = " was not recorded."
_SPECIMENS = "specimens"
"""How many there must be, the plan and the limits say."""
_RESISTANCES = frozenset({"thermal_resistance", "thermal_resistance_40f"})
_CONDUCTIVITIES = frozenset({"thermal_conductivity", "thermal_conductivity_10c"})


@dataclass(frozen=True, slots=True)
class Departed:
    """One departure of some specimens of one test."""

    characteristic: str
    method: str
    departure: Departure
    specimens: tuple[str, ...]
    """As they are called; empty where no reading names one."""
    readings: int
    entries: tuple[int, ...]

    @property
    def was_recorded(self) -> bool:
        """Whether it is known to have been otherwise, and not merely unknown."""
        return bool(self.departure.value) or not self.departure.code.endswith("_not_recorded")

    @property
    def sentence(self) -> str:
        """Say it in one sentence, with the specimens it is of."""
        of = in_runs(self.specimens) if self.specimens else number(self.readings, "reading")
        name = self.characteristic.replace("_", " ")
        return f"{name} ({of}): {self.departure}"


def departed(readings: Iterable[ReadingView]) -> tuple[Departed, ...]:
    """Compare what readings state of their conditions with what their methods ask.

    Readings by a method that is not known here say nothing; what a reduction wrote beside its
    result is told as it stands. Those that are otherwise come first, then those not recorded.
    """
    found: dict[tuple[str, str], Departed] = {}
    for one in readings:
        for each in _of(one):
            key = (one.characteristic, str(each.departure))
            before = found.get(key)
            found[key] = each if before is None else _with(before, each)
    return tuple(sorted(found.values(), key=lambda each: not each.was_recorded))


def foreseen(draft: ReadingsDraft) -> tuple[Departed, ...]:
    """Say in what readings that are not yet recorded would be told to be otherwise."""
    return departed(
        ReadingView(
            0, line, one.lot, one.step, one.characteristic, one.value, one.unit,
            measure(one, line, draft.key)[0].si, None, one.instrument, one.method, one.specimen,
            one.replicate, one.facts, one.parents, draft.happened_at, draft.by, None,
        )
        for line, one in enumerate(draft.readings)
    )  # fmt: skip


def _with(one: Departed, other: Departed) -> Departed:
    specimens = tuple(dict.fromkeys((*one.specimens, *other.specimens)))
    entries = tuple(dict.fromkeys((*one.entries, *other.entries)))
    return replace(one, specimens=specimens, readings=one.readings + 1, entries=entries)


def _of(reading: ReadingView) -> Iterator[Departed]:
    def of(method: str, departure: Departure) -> Departed:
        specimens = (reading.specimen,) if reading.specimen else ()
        return Departed(reading.characteristic, method, departure, specimens, 1, (reading.seq,))

    said = reading.facts.get(DEPARTED, "").replace("\n", APART)  # as it was written before
    method = METHODS.get(reading.characteristic)
    known = method if method is not None and _is_by(reading, method) else None
    for line in filter(None, said.split(APART)):
        yield of(reading.method if known is None else known.title, _written(line))
    if known is None:
        return
    si = reading.si if reading.characteristic in _RESISTANCES | _CONDUCTIVITIES else None
    for one in _compared(reading.characteristic, tuple(sorted(reading.facts.items())), si):
        yield of(known.title, one)


def _written(line: str) -> Departure:
    """Give a departure that a reduction wrote beside its result."""
    what, missing, _ = line.partition(_MISSING)
    if missing:
        return Departure(f"{DEPARTED}_not_recorded", f"{what}{missing}", "", "", "")
    return Departure(DEPARTED, line, "", "", "")


def _is_by(reading: ReadingView, method: Method) -> bool:
    return not reading.method or not method.name or same_method(method.name, reading.method)


@lru_cache(maxsize=4096)
def _compared(
    characteristic: str, facts: tuple[tuple[str, str], ...], si: float | None
) -> tuple[Departure, ...]:
    """Compare what a reading states with its method; specimens of one test state the same.

    Left out is how many specimens there must be, and what such a reading cannot state.
    """
    known = _was(characteristic, dict(facts), si)
    method = METHODS[characteristic]
    asked = tuple(
        one
        for one in method.conditions
        if one.name != _SPECIMENS and (one.name != "specimen_resistance" or one.name in known)
    )
    return departures(replace(method, conditions=asked), known)


def _was(
    characteristic: str, facts: Mapping[str, str], si: float | None
) -> dict[str, float | None]:
    known: dict[str, float | None] = {**stated(facts)}
    thickness = known.get("thickness")
    if si and characteristic in _RESISTANCES:
        known["specimen_resistance"] = si
    elif si and thickness and characteristic in _CONDUCTIVITIES:
        known["specimen_resistance"] = thickness / si
    return known


def reasons_of_departures(found: Iterable[Departed]) -> tuple[Reason, ...]:
    """Give what is to be known of a lot's tests: each departure that was recorded as one."""
    weight = REASONS[CODE][0]
    return tuple(
        Reason(CODE, one.sentence.rstrip("."), _source(one), weight)
        for one in found
        if one.was_recorded
    )


def unrecorded(found: Iterable[Departed]) -> tuple[str, ...]:
    """Give one sentence of each test: what its method asks about and nobody recorded."""
    missing: dict[tuple[str, str], list[str]] = {}
    for one in found:
        if not one.was_recorded:
            what = one.departure.what.removesuffix(_MISSING)
            names = missing.setdefault((one.characteristic, one.method), [])
            names.append(f"{what[0].lower()}{what[1:]}")
    return tuple(
        f"{name.replace('_', ' ')} ({method}): {', '.join(dict.fromkeys(parts))}"
        for (name, method), parts in missing.items()
    )


def _source(one: Departed) -> str:
    entries = ", ".join(map(str, one.entries))
    return f"{'entries' if len(one.entries) > 1 else 'entry'} {entries}"
