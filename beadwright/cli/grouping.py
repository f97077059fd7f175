"""Lots of an assessment put together where one thing stands behind their answers.

Read :func:`groups`. A lot stands with the worst of its reasons: with others that the same
nonconformity or hold reaches, or that were moulded from the same places and fail alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from beadwright.ledger import lots
from beadwright.ledger.trace import trace
from beadwright.plant.assessment import REASONS, Assessment, LotAssessment, Reason
from beadwright.plant.codes import CODES
from beadwright.plant.figures import percent
from beadwright.plant.upstream import Upstream

__all__ = [
    "ABOUT_A_LIMIT",
    "Cause",
    "Group",
    "Source",
    "by_limit",
    "groups",
    "missing_of",
    "said_of",
    "sources_of",
]

ABOUT_A_LIMIT = frozenset(
    {"not_measured", "only_wet", "too_few_readings", "limit_unusable", "uncertainty_unknown"}
)
"""Codes of reasons that :func:`missing_of` tells limit by limit."""

_WORTH_NAMING = 0.05
"""Share of a lot's foam below which a source is left to the trace."""


_WORTH_COUNTING = 0.0005
"""Share below which those that are left to the trace are not told as a sum either."""

_OTHERS = "others"


@dataclass(slots=True)
class Cause:
    """One nonconformity or hold behind a group: where first, how often, on how many lots."""

    first: Upstream
    steps: set[tuple[str, int]] = field(default_factory=set)
    lots: set[str] = field(default_factory=set)


@dataclass(slots=True)
class Group:
    """Lots with one answer that one thing stands behind."""

    answer: str
    code: str
    """Code of the reason they share."""
    lots: list[LotAssessment] = field(default_factory=list)
    sources: tuple[str, ...] = ()
    """Places and bags they were moulded from."""

    @property
    def causes(self) -> list[Cause]:
        """Everything open that reaches a lot of the group, worst first."""
        found: dict[str, Cause] = {}
        for lot in self.lots:
            for one in lot.upstream:
                if not one.closed:
                    cause = found.setdefault(one.cause.split("#")[0], Cause(one))
                    cause.steps.add((one.step, one.at_ms))
                    cause.lots.add(lot.lot)
        rank: dict[str, int] = {}
        for lot in self.lots:
            for place, reason in enumerate(lot.reasons):
                rank[reason.code] = min(place, rank.get(reason.code, place))
        return sorted(found.values(), key=lambda one: rank.get(one.first.code, len(rank)))


@dataclass(frozen=True, slots=True)
class Source:
    """A place or bag that a lot's foam came from, with its share of that foam."""

    code: str
    what: str
    share: float


def groups(plant_no: int, assessment: Assessment) -> list[Group]:
    """Group every lot that may not ship or has not enough evidence; the worst first."""
    odd = [lot for lot in assessment.lots if lot.answer != "may_ship"]
    made = lots.makings(plant_no, [lot.lot for lot in odd])
    found: dict[tuple[object, ...], Group] = {}
    for lot in odd:
        sources = _sources(made.get(lot.lot, ()))
        key = _key(lot, sources)
        group = found.setdefault(
            key, Group(lot.answer, lot.reasons[0].code, sources=sources if "own" in key else ())
        )
        group.lots.append(lot)
    return sorted(found.values(), key=_rank)


def _rank(group: Group) -> tuple[bool, int, int]:
    """Order groups: those that may not ship first, the worst reason first, then the largest."""
    order = [*CODES, *REASONS]
    bad = order.index(group.code) if group.code in order else len(order)
    return (group.answer != "may_not_ship", bad, -len(group.lots))


def _key(lot: LotAssessment, sources: tuple[str, ...]) -> tuple[object, ...]:
    worst = lot.reasons[0]
    if worst.weight != "stops":
        return (lot.answer, *sorted({one.code for one in lot.reasons if one.weight == "asks"}))
    for one in lot.upstream:
        if not one.closed and one.code == worst.code:
            return (lot.answer, one.cause.split("#")[0])
    return (lot.answer, "own", worst.code, sources)


def _sources(makings: Iterable[lots.Making]) -> tuple[str, ...]:
    return tuple(sorted({i.lot for m in makings for i in m.inputs if i.kind != "tie"}))


def sources_of(plant_no: int, lot: str) -> list[Source]:
    """Places and bags that a lot's foam came from, the nearest first, the largest of them first."""
    made = lots.makings(plant_no, [lot]).get(lot, ())
    near = {i.lot for m in made for i in m.inputs if i.kind != "tie"}
    traced = {one.lot.code: one for one in trace(plant_no, lot, "back").lots}
    foam = sum(traced[code].mg for code in near if code in traced)
    if not foam:
        return []
    found = {code: one.mg / foam for code, one in traced.items() if one.lot.kind != "tie"}
    what = {code: traced[code].lot.what for code in found}
    places = [code for code in found if what[code] == "content"]
    order = [
        *sorted(places, key=lambda code: (code not in near, -found[code])),
        *sorted((c for c in found if c not in places), key=lambda code: -found[code]),
    ]
    named = [
        Source(code, what[code], min(1.0, found[code]))
        for code in order
        if found[code] >= _WORTH_NAMING
    ]
    small = {code: share for code, share in found.items() if share < _WORTH_NAMING}
    of_places = sum(share for code, share in small.items() if code in places)
    of_others = sum(share for code, share in small.items() if code not in places)
    rests = (Source(_OTHERS, "content", of_places), Source(_OTHERS, "", of_others))
    return [*named, *(one for one in rests if one.share >= _WORTH_COUNTING)]


def missing_of(found: Iterable[LotAssessment]) -> dict[str, list[str]]:
    """Give what is missing to judge limits, without the figures of one lot, and of what."""
    missing: dict[str, list[str]] = {}
    for lot in found:
        for result in lot.limits:
            if result.finding == "not_enough_evidence":
                words = result.limit.characteristic.replace("_", " ")
                out = result.kept_out
                what = _general(result.missing, words) if out is None else out.of_many
                named = missing.setdefault(what, [])
                if words not in named:
                    named.append(words)
        for test in lot.tests:
            if test.state == "missing" and test.evidence == "lot_test":
                words, _, what = test.sentence.partition(": ")
                named = missing.setdefault(what, [])
                if words not in named:
                    named.append(words)
    return missing


def by_limit(lot: LotAssessment, reason: Reason) -> bool:
    """Whether :func:`missing_of` tells a reason limit by limit."""
    left_open = any(r.kept_out and reason.sentence.endswith(r.missing) for r in lot.limits)
    return reason.code in ABOUT_A_LIMIT or left_open


def _general(missing: str, words: str) -> str:
    if missing == f"no reading of {words}":
        return "not measured"
    return missing.split(";", maxsplit=1)[0]


def said_of(sources: Sequence[Source]) -> str:
    """Give sources in words: places first, then the bags and other lots behind them."""
    places = [f"{one.code} {percent(one.share)}%" for one in sources if one.what == "content"]
    others = [f"{one.code} {percent(one.share)}%" for one in sources if one.what != "content"]
    return "; before that ".join(", ".join(part) for part in (places, others) if part)
