"""What a block lot still needs of its inspection: what counts already, what is missing, how old.

Read :func:`inspecting`. Each finding is the release question's own, as the release page asks it:
here it is only put together by what somebody does for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

from beadwright.errors import Misuse
from beadwright.ledger import lots, settings
from beadwright.plant.assessment import LotAssessment, Reason
from beadwright.plant.block_age import AFTER_A_DAY, Run, least_h, runs_of
from beadwright.plant.inspection_plans.bearing import WAITS, WAITS_MEASURED, waited_for
from beadwright.plant.inspection_plans.folded import LotSeen
from beadwright.plant.inspection_plans.lot_measured import LotMeasured
from beadwright.plant.inspection_plans.measured_told import brief
from beadwright.plant.measured import measured
from beadwright.plant.moulds import most_cavities
from beadwright.plant.pieces import state_of
from beadwright.plant.plan import LOT
from beadwright.plant.proofs import PlannedTest
from beadwright.plant.release import assess
from beadwright.plant.verdicts import Finding, LimitResult, asked_of
from beadwright.quality import readings
from beadwright.quality.characteristics import DIMENSIONS, STATES
from beadwright.quality.readings import ReadingView

__all__ = [
    "OF_LOT",
    "Age",
    "Foam",
    "Inspecting",
    "Need",
    "Part",
    "age_of",
    "inspecting",
    "needs_of",
    "pieces_of",
]

Part = Literal["weigh", "gauge", "look", "fusion", "bench"]

_PARTS: tuple[Part, ...] = ("weigh", "gauge", "look", "fusion", "bench")
_WEIGHED = frozenset({"density", "foam_mass", "block_mass", *STATES.values()})
_COUNTED = ("checked", "defective", "share_defective")
OF_LOT = frozenset({"weigh", "gauge", "look", "fusion"})
_PLANS_WAIT = (WAITS, WAITS_MEASURED)
_HOUR_MS = 3_600_000
_WET = "press"
_COVERAGE = 2.0
"""Standard uncertainties on either side of a density that is shown."""


@dataclass(frozen=True, slots=True)
class Need:
    """What limits and the plan ask of a lot that one and the same doing answers."""

    part: Part
    """``weigh``, ``gauge`` and ``look`` over blocks, break one for ``fusion``, or ``bench``."""
    finding: Finding | None = None
    """The worst; None where nothing asks for it."""
    counted: int = 0
    """Pieces that count; of what is open, where something is."""
    asked: int = 0
    missing: tuple[str, ...] = ()
    """What is missing, in words."""
    limits: tuple[LimitResult, ...] = ()
    tests: tuple[str, ...] = ()
    """How tests stand that no limit judges, in words."""

    @property
    def open(self) -> bool:
        """Whether it is asked for and not decided."""
        return self.finding == "not_enough_evidence"


@dataclass(frozen=True, slots=True)
class Age:
    """How old a lot's blocks are at a time, by its mould runs."""

    at_ms: int
    first_ms: int
    """When its first mould run began."""
    last_ms: int
    """When its last mould run ended."""
    day_old_h: float
    """Hours from which a block is a day old."""

    @property
    def oldest_h(self) -> float:
        """Of the block moulded first."""
        return max(0.0, (self.at_ms - self.first_ms) / _HOUR_MS)

    @property
    def youngest_h(self) -> float:
        """Of the block moulded last."""
        return max(0.0, (self.at_ms - self.last_ms) / _HOUR_MS)

    @property
    def some_from_ms(self) -> int:
        """From when its first block is a day old."""
        return self.first_ms + round(self.day_old_h * _HOUR_MS)

    @property
    def all_from_ms(self) -> int:
        """From when all of it is a day old."""
        return self.last_ms + round(self.day_old_h * _HOUR_MS)

    @property
    def state(self) -> str:
        """State of its blocks, ``24h`` or ``press``; empty while some are a day old, some not."""
        if self.at_ms >= self.all_from_ms:
            return "24h"
        return _WET if self.at_ms < self.some_from_ms else ""


@dataclass(frozen=True, slots=True)
class Foam:
    """Dry density of one block's foam, net of ties and water; in kg/m³."""

    seq: int
    """The entry of its weighing."""
    piece: str
    state: str
    density: float
    off: float
    """Half width of the band that is shown."""


@dataclass(frozen=True, slots=True)
class Inspecting:
    """A block lot as its inspection stands."""

    lot: LotAssessment
    pieces: int
    """In the plant, at most."""
    needs: tuple[Need, ...]
    besides: tuple[Reason, ...]
    """What else stands in the way of a release, and no inspection answers."""
    age: Age | None
    """None where nothing was made."""
    foam: tuple[Foam, ...]
    """Newest last."""
    taken: Mapping[str, tuple[str, ...]]
    """Pieces that were weighed or gauged, by state."""
    broken: int
    """Pieces broken for their fusion."""
    entries: tuple[int, ...]
    """Entries of its readings that stand, newest first."""
    cavities: int = 1  # of its mould; of several, the most

    def need(self, part: Part) -> Need:
        """Give what is asked for a doing."""
        return next(one for one in self.needs if one.part == part)

    @property
    def open(self) -> tuple[Need, ...]:
        """What inspection still owes."""
        return tuple(one for one in self.needs if one.open and one.part in OF_LOT)


def inspecting(plant_no: int, code: str, at_ms: int) -> Inspecting:
    """Give a block lot as its inspection stands; of a bundle, the one lot that is in it.

    Its blocks are as old as they are at ``at_ms``. Whether it may ship is asked as of now, as the
    release page does: an invented plant stands still before a rule of release that is in force now.

    Raises
    ------
    Misuse
        If the code is no block lot of a mould run, and holds none or several.
    """
    found = {one.lot: one for one in assess(plant_no, [code]).lots}
    if code not in found and len(found) == 1:
        (code,) = found
    if code not in found:
        message = f"{code} is no block lot of a mould run: scan what its blocks are stamped with"
        raise Misuse(message)
    lot = found[code]
    planned = waited_for(plant_no, [lot], at_ms)
    makings = lots.makings(plant_no, [code]).get(code, [])
    said = readings.of_lots(plant_no, [code]).get(code, ())
    needs = needs_of(lot, planned.get(code))
    return Inspecting(
        lot=lot,
        pieces=pieces_of(lot),
        needs=needs,
        besides=tuple(_besides(lot, needs)),
        age=age_of(plant_no, runs_of(makings), at_ms),
        foam=tuple(_foam(plant_no, lot)),
        taken=_taken(said),
        broken=len({one.specimen for one in said if one.characteristic == "fusion"}),
        entries=tuple(dict.fromkeys(one.seq for one in reversed(said))),
        cavities=most_cavities(settings.load(plant_no), makings),
    )


def needs_of(lot: LotAssessment, planned: LotSeen | None = None) -> tuple[Need, ...]:
    """Put together what limits and the plan ask of a lot's own readings, by what is done for it.

    ``planned`` is what its inspection plan asks, where the lot's release waits for that.
    """
    limits: dict[Part, list[LimitResult]] = {part: [] for part in _PARTS}
    tests: dict[Part, list[PlannedTest]] = {part: [] for part in _PARTS}
    for result in lot.limits:
        limits[_part(result.limit.characteristic)].append(result)
    for test in lot.tests:
        if test.evidence == LOT:
            tests[_part(test.characteristic)].append(test)
    found = (_need(part, limits[part], tests[part], lot.whereabouts.made) for part in _PARTS)
    plans = [] if planned is None else [_looking(planned)]
    plans += [_measuring(one) for one in lot.measured if one.its.for_release]
    with_plans = (_with_plans(one, plans) for one in found)
    return tuple(one for one in with_plans if one.part in OF_LOT or one.finding is not None)


class _Planned(NamedTuple):
    """What a plan that release waits for asks of a lot, and what that came to."""

    part: Part
    accepted: bool | None
    counted: int
    asked: int
    said: str


def _looking(one: LotSeen) -> _Planned:
    said = f"the inspection plan {one.outcome}"
    return _Planned("look", one.accepted, one.looked, one.plan.size, said)


def _measuring(one: LotMeasured) -> _Planned:
    part, said = _part(one.its.characteristic), f"the variables plan {brief(one)}"
    return _Planned(part, one.accepted, min(one.measured, one.asked), one.asked, said)


def _with_plans(need: Need, plans: Iterable[_Planned]) -> Need:
    """Give what is asked with the pieces that plans ask for."""
    for one in plans:
        if one.part == need.part:
            need = _with_plan(need, one)
    return need


def _with_plan(need: Need, planned: _Planned) -> Need:
    said = planned.said
    if planned.accepted is not None:
        finding: Finding = "met" if planned.accepted else "not_met"
        worst = next(one for one in _WORST if one in {finding, need.finding})
        missing = need.missing if planned.accepted else (*need.missing, said)
        return replace(need, finding=worst, missing=missing)
    counted, asked = need.counted, need.asked
    if not need.open or planned.asked - planned.counted > asked - counted:
        counted, asked = planned.counted, planned.asked
    worst = "not_met" if need.finding == "not_met" else "not_enough_evidence"
    return replace(need, finding=worst, counted=counted, asked=asked, missing=(*need.missing, said))


def _part(characteristic: str) -> Part:
    if characteristic in _WEIGHED:
        return "weigh"
    if characteristic in DIMENSIONS:
        return "gauge"
    if characteristic == "fusion":
        return "fusion"
    return "look" if characteristic.startswith(_COUNTED) else "bench"


def _need(part: Part, own: Sequence[LimitResult], tests: Sequence[PlannedTest], made: int) -> Need:
    limits = [*own, *(one for test in tests if test.proof for one in test.proof.results)]
    bare = [test for test in tests if test.proof is None or not test.proof.results]
    findings = {*(one.finding for one in limits), *(_stands(test) for test in tests)}
    worst = next((one for one in _WORST if one in findings), None)
    undecided = [one for one in limits if one.finding == "not_enough_evidence"]
    told = undecided or limits
    counts = [(_counts(one), asked_of(one.limit, made)) for one in told]
    missing = (*_missing(undecided), *(one.sentence for one in bare if one.state != "covers"))
    return Need(
        part, worst, min((n for n, _ in counts), default=0), max((n for _, n in counts), default=0),
        tuple(dict.fromkeys(missing)), tuple(limits), tuple(one.sentence for one in bare),
    )  # fmt: skip


_WORST: tuple[Finding, ...] = ("not_met", "not_enough_evidence", "met")
_BY_STATE: Mapping[str, Finding] = {"covers": "met", "failed": "not_met"}


def _stands(test: PlannedTest) -> Finding:
    return _BY_STATE.get(test.state, "not_enough_evidence")


def _counts(result: LimitResult) -> int:
    """Pieces that count: one weighed wet only screens."""
    screens = result.state == _WET and result.finding == "not_enough_evidence"
    return 0 if screens or result.kept_out is not None else result.n


def _missing(undecided: Iterable[LimitResult]) -> Iterator[str]:
    """Say what is missing, once for all characteristics that miss the same."""
    names: dict[str, list[str]] = {}
    for one in undecided:
        name = one.limit.characteristic.replace("_", " ")
        said = one.missing.replace(f"no reading of {name}", "not measured")
        if one.state == _WET:  # what they screen at stands beside each weighing
            said = said.partition("; ")[0]
        names.setdefault(said, []).append(name)
    for said, some in names.items():
        yield f"{', '.join(dict.fromkeys(some))}: {said}"


def _besides(lot: LotAssessment, needs: Iterable[Need]) -> Iterator[Reason]:
    """Give reasons that stand in the way and are none of what inspection can still bring."""
    own = {one.part for one in needs if one.open and one.part in OF_LOT}
    mine = frozenset(
        {"not_measured", "only_wet", "too_few_readings", "uncertainty_unknown", *_PLANS_WAIT}
    )
    for one in lot.reasons:
        if one.weight == "stops" or (one.weight == "asks" and not (own and one.code in mine)):
            yield one


def age_of(plant_no: int, runs: Sequence[Run], at_ms: int) -> Age | None:
    """Give how old blocks are at a time, by their mould runs; None where nothing was made."""
    if not runs:
        return None
    first, last = min(start for start, _ in runs), max(end for _, end in runs)
    return Age(at_ms, first, last, least_h(settings.load(plant_no), first))


def _foam(plant_no: int, lot: LotAssessment) -> Iterator[Foam]:
    for one in measured(plant_no, lot):
        if one.characteristic == "density":
            some = [value for each in one.pieces for value in each.values]
            for value in sorted(some, key=lambda value: value.ids):
                seq = value.ids[-1][0]
                off = _COVERAGE * (value.u_si or 0.0)
                yield Foam(seq, value.piece, value.state, value.si, off)


def _taken(said: Iterable[ReadingView]) -> dict[str, tuple[str, ...]]:
    """Name the blocks that were weighed or gauged; a dried block was a day old before."""
    found: dict[str, dict[str, None]] = {}
    for one in said:
        state = state_of(one)
        if one.specimen and (state == _WET or state in AFTER_A_DAY):
            found.setdefault(state, {})[one.specimen] = None
    return {state: tuple(names) for state, names in found.items()}


def pieces_of(lot: LotAssessment) -> int:
    """Give how many pieces of a lot are in the plant, at most."""
    return sum(stand.at_most for stand in lot.whereabouts.in_stock)
