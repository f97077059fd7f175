"""The block lots of the plant by how they stand: may ship, held, or waiting, and for whom.

Read :func:`lot_groups`. Answers are those of :func:`beadwright.plant.release.assess`, as
:mod:`beadwright.plant.open_lots` keeps them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from beadwright.plant.assessment import LotAssessment
from beadwright.plant.open_lots import answered

__all__ = [
    "STAND_WORDS",
    "WHO_WORDS",
    "LotGroup",
    "LotStand",
    "Who",
    "lot_groups",
    "open_lots",
    "who_of",
]

LotStand = Literal["held", "may_not_ship", "pending", "to_release", "released", "may_ship"]
"""Worst first. ``may_ship`` where the plant has no rule of release."""

Who = Literal["engineer", "laboratory", "first_piece", "inspection", "releaser", ""]

STAND_WORDS: Mapping[LotStand, str] = {
    "held": "held",
    "may_not_ship": "may not ship",
    "pending": "pending",
    "to_release": "may ship, once released",
    "released": "released",
    "may_ship": "may ship",
}

WHO_WORDS: Mapping[Who, str] = {
    "engineer": "engineer",
    "laboratory": "laboratory",
    "first_piece": "first-piece approval",
    "inspection": "inspection",
    "releaser": "release",
    "": "",
}

_LABORATORY = frozenset(
    {
        "not_measured", "only_wet", "weighed_too_soon", "too_few_readings", "no_periodic_test",
        "no_type_test", "test_lapsed", "out_of_calibration", "no_instrument",
        "uncertainty_unknown", "plan_not_measured",
    }
)  # fmt: skip
_FIRST_PIECE = frozenset({"no_first_piece", "before_first_piece"})
_INSPECTION = frozenset({"tie_missing", "plan_not_inspected"})
_WORST = tuple(STAND_WORDS)
_WHOM = tuple(WHO_WORDS)
_HOLD = "hold:"


@dataclass(frozen=True, slots=True)
class LotGroup:
    """Block lots with pieces in the plant that stand alike and wait for the same."""

    stand: LotStand
    who: Who
    """Whom they wait for; empty where they wait for nobody."""
    lots: tuple[str, ...]
    """Oldest first."""
    pieces: int
    """Pieces in the plant, at most."""
    loose: int
    """Of these, not yet bundled."""
    why: str
    """The first reason of the oldest of them."""
    cause: str = ""
    """Of held lots the cause that holds them: a person's hold, or a nonconformity."""


def lot_groups(plant_no: int, at_ms: int) -> tuple[LotGroup, ...]:
    """Group the block lots that have pieces in the plant, worst first; held ones by their cause."""
    found: dict[tuple[LotStand, Who, str], list[LotAssessment]] = {}
    for lot in open_lots(plant_no, at_ms):
        found.setdefault((_stand(lot), who_of(lot), _cause(lot)), []).append(lot)
    order = sorted(found, key=lambda key: (_WORST.index(key[0]), _WHOM.index(key[1]), key[2]))
    return tuple(_group(*key, found[key]) for key in order)


def open_lots(plant_no: int, at_ms: int) -> tuple[LotAssessment, ...]:
    """Give the answers of the block lots that have pieces in the plant."""
    found = answered(plant_no, at_ms)
    return tuple(one for one in found if any(x.at_most for x in one.whereabouts.in_stock))


def _cause(lot: LotAssessment) -> str:
    """Give the first cause that is open: a hold without the time when it was placed."""
    if _stand(lot) != "held":
        return ""
    first = next(one.cause for one in lot.upstream if not one.closed)
    return first.rpartition("@")[0] if first.startswith(_HOLD) else first


def _stand(lot: LotAssessment) -> LotStand:
    if lot.answer == "may_not_ship":
        held = any(not one.closed for one in lot.upstream)
        return "held" if held else "may_not_ship"
    if lot.answer == "not_enough_evidence":
        return "pending"
    if lot.released:
        return "released"
    return "to_release" if lot.ruled else "may_ship"


def who_of(lot: LotAssessment) -> Who:
    """Say whom a lot waits for: by the first reason that stands in its way."""
    if lot.answer == "may_ship":
        return "releaser" if lot.ruled and not lot.released else ""
    for reason in lot.reasons:
        if reason.weight == "stops":
            return "engineer"
        if reason.weight == "asks":
            return _asked_of(reason.code)
    return "engineer"


def _asked_of(code: str) -> Who:
    if code in _LABORATORY:
        return "laboratory"
    if code in _FIRST_PIECE:
        return "first_piece"
    return "inspection" if code in _INSPECTION else "engineer"


def _group(stand: LotStand, who: Who, cause: str, lots: Iterable[LotAssessment]) -> LotGroup:
    some = sorted(lots, key=lambda lot: (lot.made_at_ms or 0, lot.lot))
    stands = [(lot.lot, one) for lot in some for one in lot.whereabouts.in_stock]
    return LotGroup(
        stand,
        who,
        tuple(lot.lot for lot in some),
        sum(one.at_most for _, one in stands),
        sum(one.at_most for lot, one in stands if one.lot == lot),
        some[0].reasons[0].sentence,
        cause,
    )
