"""The wall sheet of a product: where its courses end, and what heat the finished wall lets through.

Lives here: what is asked (``asked``), the heights that the record holds (``heights``), where
courses end (``storey``), the wall's thermal resistance (``resistance``), the sheet.
Read first: :func:`beadwright.plant.wall.sheet.wall_sheet`. It is an aid to planning; nothing on it
holds, refuses or releases anything.
"""

from beadwright.plant.wall.asked import WallAsked
from beadwright.plant.wall.sheet import WallSheet, wall_json, wall_sheet

__all__ = ["WallAsked", "WallSheet", "wall_json", "wall_sheet"]
