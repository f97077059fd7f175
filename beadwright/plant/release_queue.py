"""What waits for a release: who may sign it now, and of the rest the one thing that is missing.

Read :func:`queue`. Lots that wait for the same stand together, so that one thing done clears many.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.plant.assessment import Answer, LotAssessment, Reason
from beadwright.plant.floor_lots import WHO_WORDS, open_lots, who_of

__all__ = ["Queue", "Ready", "Waiting", "queue"]


@dataclass(frozen=True, slots=True)
class Ready:
    """A lot whose evidence is complete and that waits for signatures."""

    lot: str
    product: str
    made_at_ms: int | None
    pieces: int
    """In the plant, at most."""
    signed: tuple[str, ...]
    """Ids of those who approved the evidence there is now."""
    to_sign: int


@dataclass(frozen=True, slots=True)
class Waiting:
    """Lots that wait for the same one thing."""

    answer: Answer
    reason: Reason
    """The first that stands in the way."""
    who: str
    """Who can do something about it, in words."""
    lots: tuple[str, ...]
    """Oldest first."""
    pieces: int


@dataclass(frozen=True, slots=True)
class Queue:
    """Block lots with pieces in the plant, by what they wait for."""

    ready: tuple[Ready, ...]
    """Oldest first."""
    asked: tuple[Waiting, ...]
    """Evidence is missing; what clears most pieces first."""
    stopped: tuple[Waiting, ...]
    """May not ship as they are."""
    leaving: tuple[str, ...]
    """May leave: released, or the plant has no rule of release."""


def queue(plant_no: int, at_ms: int) -> Queue:
    """Give what waits for a release."""
    found = sorted(open_lots(plant_no, at_ms), key=lambda one: (one.made_at_ms or 0, one.lot))
    return Queue(
        tuple(_ready(one) for one in found if one.answer == "may_ship" and not one.may_leave),
        _waiting(one for one in found if one.answer == "not_enough_evidence"),
        _waiting(one for one in found if one.answer == "may_not_ship"),
        tuple(one.lot for one in found if one.may_leave),
    )


def _ready(one: LotAssessment) -> Ready:
    signed = tuple(dict.fromkeys(x.by for x in one.given if x.evidence == one.evidence))
    return Ready(one.lot, one.product, one.made_at_ms, _pieces(one), signed, one.to_sign)


def _waiting(some: Iterable[LotAssessment]) -> tuple[Waiting, ...]:
    """Put together what waits for the same, as its first reason says it."""
    together: dict[tuple[str, str], list[LotAssessment]] = {}
    for one in some:
        first = one.reasons[0]
        together.setdefault((first.code, first.sentence), []).append(one)
    groups = [
        Waiting(
            lots[0].answer,
            lots[0].reasons[0],
            WHO_WORDS[who_of(lots[0])],
            tuple(one.lot for one in lots),
            sum(map(_pieces, lots)),
        )
        for lots in together.values()
    ]
    return tuple(sorted(groups, key=lambda group: -group.pieces))


def _pieces(one: LotAssessment) -> int:
    return sum(stand.at_most for stand in one.whereabouts.in_stock)
