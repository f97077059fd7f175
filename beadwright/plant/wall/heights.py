"""Heights of a product's blocks as the record holds them: of blocks a day old, lot by lot.

Read :func:`measured`. Hot blocks at the press are swollen, so what was gauged there is left out.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from beadwright.ledger.settings import Settings
from beadwright.plant.lots_read import Stand, block_lots, evidence_of, newest_with, stands_of
from beadwright.plant.pieces import Value
from beadwright.plant.wall.asked import WallAsked
from beadwright.science.wall import BlockHeights, block_heights, lot_heights

__all__ = ["LotHeights", "Measured", "measured"]

_STATES = frozenset({"24h", "dry"})
_LOTS = 20
_LOOKED_AT = 60
"""Newest lots with heights that are looked at for released ones."""

_FEWEST = 2
_NEEDS = (
    "heights of blocks a day old, of two released lots or more and of two blocks of one of them"
)


@dataclass(frozen=True, slots=True)
class LotHeights:
    """One lot's measured blocks; ``why_not`` says why it is not released, empty where it is."""

    lot: str
    count: int
    mean_m: float
    why_not: str


@dataclass(frozen=True, slots=True)
class Measured:
    """Heights to plan with, and what they are from."""

    lots: tuple[LotHeights, ...]
    heights: BlockHeights | None
    of_one_lot: bool
    """Whether the mean is that of one lot that was measured itself."""
    spread_from: int
    """Lots that the spread within a lot is learnt from."""
    why_not: str
    """What is lacking where there are no heights."""
    u_rule_m: float
    """What the readings state of their rule, common to all; 0 where nobody states anything."""
    left_out: int
    """Of the product's newest lots with heights, those that are not released."""


def measured(plant_no: int, asked: WallAsked, in_force: Settings, at_ms: int) -> Measured:
    """Give the heights of the lots that were named, else of the newest released ones.

    Raises
    ------
    Misuse
        If a lot that was named is not in the record, or of another product.
    """
    named = tuple(one.code for one in block_lots(plant_no, asked.lots, asked.product))
    newest = newest_with(plant_no, asked.product, "height", at_ms, _LOOKED_AT)
    codes = tuple(dict.fromkeys((*named, *newest)))
    stands = stands_of(plant_no, codes, at_ms)
    found = {
        code: values
        for code, here in evidence_of(plant_no, codes, in_force, at_ms).items()
        if (values := [one for one in here.values.get("height", ()) if one.state in _STATES])
    }
    released = [one for one in newest if one in found and stands[one].released]
    left_out = sum(one in found and not stands[one].released for one in newest)
    chosen = [one for one in named if one in found] if named else released[:_LOTS]
    around = [one for one in released[:_LOTS] if one not in chosen]
    told = _told(chosen, around, (found, stands), 0 if named else left_out)
    without = [one for one in named if one not in found]
    # A wall is of all the lots that were named: the others say nothing of one never gauged.
    lacking = f"heights of blocks a day old, of {', '.join(without)}"
    return replace(told, heights=None, why_not=lacking) if without else told


def _told(
    chosen: Sequence[str],
    around: Sequence[str],
    known: tuple[Mapping[str, Sequence[Value]], Mapping[str, Stand]],
    left_out: int,
) -> Measured:
    found, stands = known
    lots = tuple(
        LotHeights(
            code,
            len(found[code]),
            statistics.fmean(one.si for one in found[code]),
            stands[code].why_not,
        )
        for code in chosen
    )
    u_rule = max((one.u_si or 0.0 for code in chosen for one in found[code]), default=0.0)
    heights, spread_from = _heights(chosen, around, found)
    if heights is not None and u_rule:
        heights = replace(heights, u_mean_m=math.hypot(heights.u_mean_m, u_rule))
    why_not = "" if heights is not None else _NEEDS
    return Measured(lots, heights, len(chosen) == 1, spread_from, why_not, u_rule, left_out)


def _heights(
    chosen: Sequence[str], around: Sequence[str], found: Mapping[str, Sequence[Value]]
) -> tuple[BlockHeights | None, int]:
    """Give the heights, and the lots that the spread within one is learnt from."""
    if len(chosen) >= _FEWEST:
        known = _pooled(chosen, found)
        return known, 0 if known is None else len(chosen)
    if not chosen:
        return None, 0
    own = [one.si for one in found[chosen[0]]]
    known = _pooled([*chosen, *around], found)
    if known is None:
        return (lot_heights(own), 1) if len(own) >= _FEWEST else (None, 0)
    return lot_heights(own, known), 1 + len(around)


def _pooled(codes: Sequence[str], found: Mapping[str, Sequence[Value]]) -> BlockHeights | None:
    rows = [(one.si, number) for number, code in enumerate(codes) for one in found[code]]
    if len(codes) < _FEWEST or len(rows) == len(codes):
        return None
    return block_heights([si for si, _ in rows], [number for _, number in rows])
