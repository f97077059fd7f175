"""One lot by one variables plan: its measured values against the limits of each piece.

Read :func:`measured_lots`. It is worked out from the readings that the lot is assessed by, and
nothing of it is kept.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from beadwright.plant.block_age import AFTER_A_DAY
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.inspection_plans.variables_set import OF_BLOCKS, Plans, VariablesSet, Versions
from beadwright.plant.limits import Rulebook
from beadwright.plant.lot_tests import Lot, fit
from beadwright.plant.pieces import Value
from beadwright.plant.plan import Planbook, PlanRow
from beadwright.plant.restatements import Restatement
from beadwright.plant.weighings import Evidence
from beadwright.statistics.sampling import (
    Selection,
    VariablesJudged,
    VariablesPlan,
    accepts,
    select,
)

__all__ = ["JudgedBy", "LotMeasured", "measured_lots"]

_CUT = "specimen"


@dataclass(frozen=True, slots=True)
class JudgedBy:
    """By what lots are judged: as they are assessed, and by the plans."""

    plans: Plans
    rules: Rulebook
    test_plan: Planbook
    """It says how long a specimen is conditioned."""
    restated: Mapping[str, Sequence[Restatement]]
    """Corrections of readings, by lot: what is restated keeps its place in the order."""


@dataclass(frozen=True, slots=True)
class _ToJudge:
    """A lot that is judged, with what it is judged by."""

    lot: Lot
    at_ms: int
    """When the first of it was made: by the plan of that time it is judged."""
    limits: Sequence[LimitInForce]
    rows: Sequence[PlanRow]
    first: Mapping[int, int]


@dataclass(frozen=True, slots=True)
class LotMeasured:
    """One lot by one plan."""

    lot: str
    at_ms: int
    pieces: int
    its: VariablesSet
    """As it was set when the lot was made."""
    lower: LimitInForce | None
    """The strictest limit of each piece, where there is one."""
    upper: LimitInForce | None
    measured: int
    """Pieces of which there is a value."""
    judged: VariablesJudged | None
    """By the first values that the plan asks: those of pieces drawn, then others, as entered."""
    whole: bool | None
    """Of a lot of fewer pieces than asked, each of them measured: whether none lies beyond."""
    taken: tuple[str, ...]
    """Names of the pieces whose values are judged, or will be; empty where a reading has none."""
    why_not: str
    """Why it is not judged; empty where it is."""

    @property
    def plan(self) -> VariablesPlan:
        """The plan."""
        return self.its.plan

    @property
    def asked(self) -> int:
        """Pieces to measure: as many as the plan asks, of a smaller lot every one."""
        return min(self.pieces, self.plan.size)

    @property
    def accepted(self) -> bool | None:
        """Whether it is accepted; None while it is not judged."""
        return self.whole if self.judged is None else self.judged.accepted

    @property
    def which(self) -> Selection:
        """Pieces to measure by number in the order they were moulded, drawn by the lot's code."""
        return _drawn(self.lot, self.pieces, self.plan.size)

    @property
    def drawn(self) -> tuple[str, ...]:
        """What the pieces to measure are called: P7 is the seventh that was moulded."""
        return tuple(f"P{number}" for number in self.which.pieces)

    @property
    def left(self) -> tuple[str, ...]:
        """Of those, the ones of which no value is judged."""
        return tuple(name for name in self.drawn if name not in map(_number_of, self.taken))

    @property
    def others(self) -> int:
        """Pieces judged whose names are not those of pieces drawn; of a lot measured whole none."""
        if self.pieces < self.plan.size:
            return 0
        drawn = {*self.drawn}
        return sum(_number_of(name) not in drawn for name in self.taken)


def measured_lots(
    some: Iterable[tuple[Lot, int]], by: JudgedBy
) -> dict[str, tuple[LotMeasured, ...]]:
    """Judge lots, each with when the first of it was made, by the plans of their products.

    A lot goes by each plan that was in force when its first piece was made, and by the limits that
    it is assessed by: those of its last mould run.
    """
    found: dict[str, tuple[LotMeasured, ...]] = {}
    for lot, at_ms in some:
        if not by.plans:
            found[lot.basis.lot] = ()
            continue
        limits = by.rules.limits(lot.product, lot.made_ms)
        rows = by.test_plan.rows(lot.product, lot.made_ms)
        first = _first_entries(by.restated.get(lot.basis.lot, ()))
        one = _ToJudge(lot, at_ms, limits, rows, first)
        each = (_judged(one, versions) for versions in by.plans.values())
        found[lot.basis.lot] = tuple(judged for judged in each if judged is not None)
    return found


def _judged(one: _ToJudge, versions: Versions) -> LotMeasured | None:
    then = [its for since, its in versions if since <= one.at_ms]
    if not then or then[-1].product != one.lot.product or not one.lot.pieces:
        return None
    its, lot = then[-1], one.lot
    lower, upper = _limits(one.limits, its.characteristic)
    found = _drawn_first(lot, its, _values(_evidence(one, its), its, one.first))
    values = [each.si for each in found]
    asked, judged, whole = its.plan.size, None, None
    ends = [None if each is None else float(each.value_si) for each in (lower, upper)]
    why = _why_not(lot, its, values, limited=lower is not None or upper is not None)
    if not why and lot.pieces < asked:
        whole = all(_inside(value, *ends) for value in values)
    elif not why:
        judged = accepts(its.plan, values[:asked], *ends)
    return LotMeasured(
        lot.basis.lot, one.at_ms, lot.pieces, its, lower, upper, len(values), judged, whole,
        tuple(each.piece for each in found[:asked]), why,
    )  # fmt: skip


def _drawn(lot: str, pieces: int, asked: int) -> Selection:
    return select(range(1, pieces + 1), min(pieces, asked), lot)


def _drawn_first(lot: Lot, its: VariablesSet, values: Iterable[Value]) -> list[Value]:
    """Give a value a piece, those of pieces drawn first, each in the order of entry.

    What is called by a number that the lot does not have is no piece of it.
    """
    names = {f"P{number}" for number in _drawn(lot.basis.lot, lot.pieces, its.plan.size).pieces}
    found = [one for one in values if not _beyond(one.piece, lot.pieces)]
    return sorted(found, key=lambda one: _number_of(one.piece) not in names)


def _number_of(name: str) -> str:
    """Give the name of a piece without what a part of it adds: P7 of ``P7-2`` and of ``p 7``."""
    return name.partition("-")[0].replace(" ", "").upper()


def _numbered(name: str) -> bool:
    """Whether a piece is called by its number, as one that is drawn."""
    said = _number_of(name)
    return said[:1] == "P" and said[1:].isdecimal()


def _beyond(name: str, pieces: int) -> bool:
    """Whether a piece is called by a number that a lot of so many does not have."""
    return _numbered(name) and not 1 <= int(_number_of(name)[1:]) <= pieces


def _inside(value: float, lower: float | None, upper: float | None) -> bool:
    least, most = -math.inf if lower is None else lower, math.inf if upper is None else upper
    return least <= value <= most


def _why_not(lot: Lot, its: VariablesSet, values: Sequence[float], *, limited: bool) -> str:
    """Say why a lot is not judged; empty where it is."""
    asked = its.plan.size
    few = min(asked, lot.pieces)
    if not limited:
        return f"no limit of each piece is set on {its.characteristic.replace('_', ' ')}"
    if len(values) < few:
        uncut = its.state and its.characteristic in OF_BLOCKS
        why = f" ({lot.here.uncomputable})" if uncut and lot.here.uncomputable else ""
        if lot.pieces < asked:
            every = f"{asked} pieces are asked and {lot.pieces} were made: measure every one"
            return f"{every}, {len(values)} are{why}"
        return f"{len(values)} of {asked} pieces measured{why}"
    if lot.pieces >= asked and its.sigma is None and len(set(values[:asked])) == 1:
        return (
            "the values do not differ, so their spread is not known: read them finer, or state"
            " the known deviation"
        )
    return ""


def _evidence(one: _ToJudge, its: VariablesSet) -> Evidence:
    """Give the lot's evidence without specimens that were not conditioned as the plan asks."""
    row = next((row for row in one.rows if row.characteristic == its.characteristic), None)
    return one.lot.here if row is None else fit(one.lot, row)


def _values(evidence: Evidence, its: VariablesSet, first: Mapping[int, int]) -> Iterator[Value]:
    """Give a value a piece, in the order of entry; pieces that may lack ties are none."""

    def entered(value: Value) -> tuple[tuple[int, int], ...]:
        return tuple(sorted((first.get(seq, seq), line) for seq, line in value.ids))

    seen: set[str] = set()
    for one in sorted(evidence.values.get(its.characteristic, ()), key=entered):
        if not _counts(one, its) or evidence.set_aside.intersection(one.ids):
            continue
        piece = _number_of(one.piece) if _numbered(one.piece) else one.piece
        if piece and piece in seen:
            continue
        seen.add(piece)
        yield one


def _counts(one: Value, its: VariablesSet) -> bool:
    """Whether a value is of a piece in the state that the plan asks.

    Without a state a density is a cut specimen's, as a laboratory reports it; what else is judged
    of blocks counts from a day on. A wet block counts only where the plan asks for wet ones.
    """
    if its.state:
        return one.state == its.state
    if its.characteristic == "density":
        return one.state == _CUT
    return its.characteristic not in OF_BLOCKS or one.state in AFTER_A_DAY


def _first_entries(restated: Iterable[Restatement]) -> dict[int, int]:
    """Give the entry that readings were first entered by, of those restated since.

    Else whoever restates a reading would move it behind the others, and another would be judged.
    """
    before = {one.entry: one.replaces for one in restated if one.entry and one.replaces}
    found = {}
    for entry in before:
        first = entry
        while first in before:
            first = before[first]
        found[entry] = first
    return found


def _limits(
    every: Iterable[LimitInForce], characteristic: str
) -> tuple[LimitInForce | None, LimitInForce | None]:
    """Give the strictest lower and upper limit of each piece."""
    some = [
        one
        for one in every
        if one.characteristic == characteristic and one.statistic == "each" and not one.unusable
    ]
    lower = max((one for one in some if one.bound == "min"), key=_si, default=None)
    upper = min((one for one in some if one.bound == "max"), key=_si, default=None)
    return lower, upper


def _si(one: LimitInForce) -> float:
    return float(one.value_si)
