"""One limit against what a lot's readings say: met, not met, or not enough evidence.

Read :func:`judged` first. The value is compared with the bound by the plant's decision rule: as it
is by simple acceptance, with a guard band by guarded acceptance (:mod:`guard`). Of a block's
density the driest weighings decide, wet ones from the press only screen; where cut specimens were
measured too, both methods must be met.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from beadwright.plant.decision_rule import DEFAULT
from beadwright.plant.guard import FIGURES, held_against, settled
from beadwright.plant.kept_out import KeptOut, kept_out
from beadwright.plant.limits import LimitInForce
from beadwright.plant.pieces import Ids, Value, by_piece
from beadwright.plant.weighings import Evidence
from beadwright.quality.characteristics import CHARACTERISTICS, DIMENSIONS, STATES, Scale
from beadwright.standards import judge_columns
from beadwright.units import from_si

__all__ = [
    "STATE_WORDS",
    "Finding",
    "LimitResult",
    "asked_of",
    "judged",
    "named",
    "shown",
    "with_kept_out",
]

Finding = Literal["met", "not_met", "not_enough_evidence"]

STATE_WORDS = {
    "dry": "dry",
    "24h": "a day old",
    "press": "wet, at the press",
    "specimen": "cut specimens",
    "": "",
}
_NET = ("density", "foam_mass", "block_mass")
"""Characteristics that blocks are weighed for, net of water."""

_OF_BLOCKS = frozenset({*_NET, *STATES.values(), *DIMENSIONS})
"""What is read of whole blocks, of each once; of what is cut from one there may be many."""

_DRIEST_FIRST = ("dry", "24h")
_AFTER_A_DAY = frozenset(_DRIEST_FIRST)
_WORST: tuple[Finding, ...] = ("not_met", "not_enough_evidence", "met")


@dataclass(frozen=True, slots=True)
class LimitResult:
    """One limit and what a lot's readings say of it; figures in SI, texts in the limit's unit."""

    limit: LimitInForce
    finding: Finding
    value_si: float | None = None
    u_si: float | None = None
    """Standard uncertainty, of what was stated, the ties' spread and the water."""
    value: str = ""
    margin_si: float | None = None
    """Positive inside the limit."""
    margin: str = ""
    n: int = 0
    """Pieces the value rests on."""
    state: str = ""
    """State of those pieces: ``dry``, ``24h``, ``specimen`` …"""
    missing: str = ""
    """What is missing, in words; empty where the limit was decided."""
    warning: str = ""
    """What else a person should know: the other printed column, other readings that disagree."""
    readings: Ids = ()
    kept_out: KeptOut | None = None
    """Readings that would have decided it, had they counted; None where it has other gaps."""
    guard_si: float | None = None
    """Width of the guard band; None by simple acceptance, or where the uncertainty is not known."""
    guard: str = ""
    unsure: bool = False
    """Whether it waits for nothing but the uncertainty, by which the guarded rule decides."""
    u_known: bool = False
    """Whether its uncertainty is known, of every part."""
    keyed: tuple[tuple[str, str], ...] = ()
    """Number and unit of each piece as they were read; empty where it was worked out."""

    @property
    def bound(self) -> str:
        """The bound with its unit, as written."""
        return f"{self.limit.value} {self.limit.unit}"

    @property
    def in_band(self) -> bool:
        """Whether it meets the limit, and misses its guard band."""
        return self.finding == "not_met" and self.guard_si is not None and self.inside

    @property
    def inside(self) -> bool:
        """Whether the value, without a guard band, meets the limit."""
        return self.margin_si is not None and self.margin_si >= 0

    @property
    def short(self) -> str:
        """Say by how much it misses what is asked of it."""
        if self.in_band:
            rule = f"the guard band of {self.guard} ({self.limit.rule.k} u)"
            return f"inside {self.bound} by {self.margin}, less than {rule}"
        way = {"min": "below", "max": "above"}.get(self.limit.bound, "beyond")
        return f"{way} {self.bound} by {self.margin.lstrip('-')}"


def judged(limit: LimitInForce, here: Evidence) -> LimitResult:
    """Judge a lot's evidence by one limit."""
    if limit.unusable:
        return LimitResult(limit, "not_enough_evidence", missing=limit.unusable)
    result = _judged(limit, here)
    if result.finding != "not_enough_evidence" or result.missing == here.uncomputable:
        return result
    out = kept_out(limit.characteristic, here)
    return result if out is None else with_kept_out(result, out)


def with_kept_out(result: LimitResult, out: KeptOut) -> LimitResult:
    """Say of what is not decided which readings would have decided it, had they counted."""
    if not result.n:
        return replace(result, missing=out.words, kept_out=out)
    if result.state == "press" and result.limit.characteristic in _NET:
        screened = result.missing.partition("; ")[2]
        return replace(result, missing=f"{out.words}; {screened}", kept_out=out)
    count = result.missing.replace(" were measured; ", " count; ")
    return replace(result, missing=f"{count} ({out.words})")


def _judged(limit: LimitInForce, here: Evidence) -> LimitResult:
    values = here.values.get(limit.characteristic, [])
    if limit.characteristic in (*_NET, *STATES.values()):
        values = [value for value in values if not here.set_aside & set(value.ids)]
    if limit.characteristic in _NET:
        return _net(limit, values, here)
    if limit.characteristic in DIMENSIONS:
        late = [value for value in values if value.state in _AFTER_A_DAY]
        if values and not late:
            missing = "it was gauged only before 24 h; blocks are judged after"
            return LimitResult(limit, "not_enough_evidence", missing=missing)
        values = late
    decided = _decide(_asked(limit, here), values, looked_at=_looked_at(limit, here))
    return decided if decided.limit is limit else replace(decided, limit=limit)


def asked_of(limit: LimitInForce, pieces: int) -> int:
    """Give the pieces that a limit asks of a lot of so many; 0: nobody knows how many there are.

    No more blocks are asked than were made: where each was measured, none is missing.
    """
    few = limit.characteristic in _OF_BLOCKS and 0 < pieces < limit.specimens
    return pieces if few else limit.specimens


def _asked(limit: LimitInForce, here: Evidence) -> LimitInForce:
    asked = asked_of(limit, here.pieces)
    return limit if asked == limit.specimens else replace(limit, specimens=asked)


def _looked_at(limit: LimitInForce, here: Evidence) -> int:
    """Pieces that a count, or a share of them, rests on: one figure, of however many pieces."""
    known = CHARACTERISTICS.get(limit.characteristic.removeprefix("share_"))
    counted = known is not None and known.scale is Scale.COUNT
    share = limit.characteristic == "share_defective"
    return here.defects.checked if counted or share else 0


def _net(limit: LimitInForce, values: Sequence[Value], here: Evidence) -> LimitResult:
    """Judge what blocks are weighed for, and what cut specimens say beside them."""
    by_state: dict[str, list[Value]] = {}
    for value in values:
        by_state.setdefault(value.state, []).append(value)
    cut = by_state.get("specimen")
    blocks = _blocks(_asked(limit, here), by_state, here)
    if blocks.limit is not limit:
        blocks = replace(blocks, limit=limit)
    if not cut:
        return blocks
    specimens = _decide(limit, cut)
    if not blocks.n:
        return specimens
    one, other = sorted((blocks, specimens), key=_badness)
    if specimens.finding != blocks.finding and "not_enough_evidence" not in {
        specimens.finding,
        blocks.finding,
    }:
        words = f"{STATE_WORDS[other.state]}: {other.value} would be {named(other.finding)}"
        return replace(one, warning=_joined(one.warning, words))
    return one


def _badness(result: LimitResult) -> tuple[int, float]:
    """Sort the worse first; of two alike the one with less margin."""
    return _WORST.index(result.finding), math.inf if result.margin_si is None else result.margin_si


def _blocks(limit: LimitInForce, by_state: dict[str, list[Value]], here: Evidence) -> LimitResult:
    """Decide by the driest state with enough pieces, else the driest with any."""
    there = [state for state in _DRIEST_FIRST if by_state.get(state)]
    enough = [state for state in there if len(by_piece(by_state[state])) >= limit.specimens]
    if not there:
        return _only_wet(limit, by_state.get("press", []), here)
    state = (enough or there)[0]
    result = _decide(limit, by_state[state])
    for other in there:
        if other == state:
            continue
        beside = _decide(limit, by_state[other])
        if beside.finding in {result.finding, "not_enough_evidence"}:
            continue
        if there.index(other) < there.index(state):
            return beside  # a drier piece fails each by itself
        words = f"{STATE_WORDS[other]}: {beside.value} would be {named(beside.finding)}"
        result = replace(result, warning=_joined(result.warning, words))
    return result


def _only_wet(limit: LimitInForce, wet: Sequence[Value], here: Evidence) -> LimitResult:
    missing = here.uncomputable or "no block was weighed at 24 h or dry"
    if not wet:
        return LimitResult(limit, "not_enough_evidence", missing=missing)
    # What only screens is not accepted by anybody: no guard band.
    screened = _decide(replace(limit, specimens=1, rule=DEFAULT), wet)
    missing = (
        f"no block was weighed at 24 h or dry; wet from the press they screen at {screened.value},"
        f" which would be {named(screened.finding)}"
    )
    return replace(screened, finding="not_enough_evidence", missing=missing, warning="")


def _decide(limit: LimitInForce, values: Sequence[Value], *, looked_at: int = 0) -> LimitResult:
    """Compare the limit's statistic of some values with its bound."""
    if not values:
        missing = f"no reading of {limit.characteristic.replace('_', ' ')}"
        return LimitResult(limit, "not_enough_evidence", missing=missing)
    stand = held_against(limit, values, _statistic(limit, values), _compare)
    finding: Finding = "met" if stand.met else "not_met"
    missing = ""
    if stand.unsure:
        finding, missing = "not_enough_evidence", _unknown(limit)
    n = max(looked_at, len(by_piece(values)))
    few = limit.specimens - n
    if few > 0 and (stand.met or limit.statistic == "mean"):
        # One piece beyond the limit settles an "each"; a mean needs all its pieces.
        finding = "not_enough_evidence"
        more = "1 more is" if few == 1 else f"{few} more are"
        missing = f"{n} of {limit.specimens} pieces were measured; {more} needed"
    states = {one.state for one in values}
    return LimitResult(
        limit,
        finding,
        stand.value,
        stand.u,
        shown(stand.value, limit),
        stand.margin,
        shown(stand.margin, limit),
        n,
        states.pop() if len(states) == 1 else "24h" if states <= _AFTER_A_DAY else "",
        missing,
        stand.warning,
        tuple(i for one in values for i in one.ids),
        guard_si=stand.guard,
        guard="" if stand.guard is None else shown(stand.guard, limit),
        unsure=stand.unsure and few <= 0,
        u_known=all(one.u_si is not None and not one.partly for one in values),
        keyed=tuple(one.keyed for one in values if one.keyed[0]),
    )


def _unknown(limit: LimitInForce) -> str:
    name = limit.characteristic.replace("_", " ")
    return (
        f"the uncertainty of {name} is not known, and the decision rule asks for {limit.rule.k} u"
        " inside the limit: state it with the reading, or of what took it"
    )


def _statistic(limit: LimitInForce, values: Sequence[Value]) -> tuple[float, float | None]:
    """Give the worst value or the mean, with its standard uncertainty.

    Of what is limited to either side the sizes are averaged, so that growth of one specimen
    never hides shrinkage of another: no less strict than the mean with its signs. Of a piece that
    was read twice both readings stand; their spread averages out over pieces, not over readings.
    """
    either_side = limit.bound == "within"
    if limit.statistic == "each":
        choose = min if limit.bound == "min" else max
        worst = choose(values, key=lambda one: abs(one.si) if either_side else one.si)
        return settled(worst.si), worst.u_si
    figures = [abs(one.si) if either_side else one.si for one in values]
    mean = settled(math.fsum(figures) / len(figures))
    if either_side and mean and all(one.si <= 0 for one in values):
        mean = -mean
    stated = [one.u_si for one in values if one.u_si is not None]
    if not stated:
        return mean, None
    # Scale, ties and water are the same for all pieces: only the spread averages out.
    return mean, math.hypot(_mean_spread(figures, len(by_piece(values))), max(stated))


def _mean_spread(figures: Sequence[float], pieces: int) -> float:
    """Give the standard deviation of their mean over pieces; 0 of one, of which nobody can say.

    Sums are exact; the library's own deviation works in fractions, at twenty times the time.
    """
    n = len(figures)
    if n == 1:
        return 0.0
    middle = math.fsum(figures) / n
    return math.sqrt(math.fsum((one - middle) ** 2 for one in figures) / (n - 1) / pieces)


def _compare(limit: LimitInForce, value: float) -> tuple[bool, float, str]:
    if limit.printed is not None:
        verdict = judge_columns(limit.printed, value)
        return verdict.met, float(verdict.margin_si), verdict.warning
    bound = settled(float(limit.value_si))
    size = abs(value) if limit.bound == "within" else value
    margin = value - bound if limit.bound == "min" else bound - size
    return margin >= 0, margin, ""


def shown(value_si: float, limit: LimitInForce) -> str:
    """Give an SI value in the limit's unit: one digit more than the limit, or as many as tell.

    A value that is not the bound never reads as if it were.
    """
    number = from_si(Decimal(repr(float(value_si))), limit.unit, limit.kind)
    exponent = limit.value.as_tuple().exponent
    digits = 1 - exponent if isinstance(exponent, int) else 1
    if limit.kind == "pieces":
        digits = 0
    for more in range(FIGURES):
        text = round(number, max(0, digits) + more)
        if text not in {limit.value, 0} or number in {limit.value, 0}:
            break
    return f"{text:f} {limit.unit}"


def named(finding: Finding) -> str:
    """Give a finding in words."""
    return finding.replace("_", " ")


def _joined(*texts: str) -> str:
    return "; ".join(text for text in texts if text)
