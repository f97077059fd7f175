"""The section under load and the height along it, of the sizes that a file states.

Read first: :func:`shape_of`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["Shape", "shape_of"]


@dataclass(frozen=True, slots=True)
class Shape:
    """A specimen's sizes as a test needs them, in m; None where they are not stated."""

    length_m: float | None
    """One edge of the loaded face; of a round one, None."""
    width_m: float | None
    height_m: float | None
    """Along the load."""
    area_m2: float | None


def shape_of(sizes: Mapping[str, float]) -> Shape:
    """Return the loaded area and the height.

    The height along the load is what is called so, else the thickness, else the length of a
    cylinder; the other two edges are the section.

    >>> shape_of({"length": 0.1, "width": 0.1, "thickness": 0.05}).height_m
    0.05
    """
    edges = {name: sizes[name] for name in ("length", "width", "thickness") if name in sizes}
    height = sizes.get("height")
    diameter = sizes.get("diameter")
    if height is None and "thickness" in edges:
        height = edges.pop("thickness")
    if height is None and diameter is not None:
        height = edges.pop("length", None)
    two = list(edges.values())[:2] if len(edges) >= 2 else []  # noqa: PLR2004 - edges of a face
    area = sizes.get("area")
    if area is None and diameter is not None and not two:
        area = math.pi / 4 * diameter**2
    if area is None and two:
        area = two[0] * two[1]
    first, second = two or (None, None)
    return Shape(first, second, height, area)
