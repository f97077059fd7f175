"""The wall sheet of a product: where its courses end, and what heat the finished wall lets through.

Lives here: what is asked (``asked``, ``keyed``), the heights that the record holds
(``heights``), where courses end (``storey``), the wall's thermal resistance (``resistance``),
the sheet.
Read first: :func:`beadwright.plant.wall.sheet.wall_sheet`. It is an aid to planning; nothing on it
holds, refuses or releases anything.
"""

from beadwright.plant.wall.asked import WallAsked
from beadwright.plant.wall.keyed import read_wall
from beadwright.plant.wall.sheet import CLAIM, NOT_COUNTED, WallSheet, wall_json, wall_sheet
from beadwright.plant.wall.storey import MIX_WORDS
from beadwright.plant.wall.words import (
    length_in,
    short_chance,
    short_length,
    wall_told,
    wall_words,
)

__all__ = [
    "CLAIM",
    "MIX_WORDS",
    "NOT_COUNTED",
    "WallAsked",
    "WallSheet",
    "length_in",
    "read_wall",
    "short_chance",
    "short_length",
    "wall_json",
    "wall_sheet",
    "wall_told",
    "wall_words",
]
