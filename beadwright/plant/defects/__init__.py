"""Defects of a plant by kind, and by what the blocks were made of and where: which stands out.

Lives here: what was moulded and looked over, lot by lot (``counted``), what stands out of it
(``answer``), and its words (``told``).
Read first: beadwright.plant.defects.answer.
May import: what ``plant`` may.
"""

from beadwright.plant.defects.answer import BY, Defects, defects_asked
from beadwright.plant.defects.told import (
    DEFECTS_SAY,
    defects_json,
    group_counts,
    left_told,
    none_told,
    told,
)

__all__ = [
    "BY",
    "DEFECTS_SAY",
    "Defects",
    "defects_asked",
    "defects_json",
    "group_counts",
    "left_told",
    "none_told",
    "told",
]
