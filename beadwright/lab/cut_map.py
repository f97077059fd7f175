"""Where in a form block's panel a specimen lay: its box, its load's direction, ties and skins.

Read first: :class:`Panel` and :class:`Cut`; then :func:`place_departures`, which says what is
wrong with a place, and :mod:`beadwright.lab.cut_plan`, which finds places.

Along the panel's length is x, up its height y, from its outer face inwards z; all from one corner.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from beadwright.errors import require_at_least
from beadwright.lab.departure import Departure, outside

__all__ = [
    "LOADED",
    "Box",
    "Cut",
    "Direction",
    "Panel",
    "Skin",
    "Tie",
    "gap_between",
    "nearest_tie",
    "place_departures",
]

_PRACTICE = "common practice, no source"
_ROUNDING = 1e-7


class Direction(StrEnum):
    """A direction in a panel."""

    ALONG = "along"
    """Along its length."""
    UP = "up"
    """Up its height."""
    THROUGH = "through"
    """Across its faces: as concrete presses."""


class Skin(StrEnum):
    """Which of the moulded skins a specimen kept."""

    CORE = "core"
    ONE = "one skin"
    BOTH = "both skins"


@dataclass(frozen=True, slots=True)
class Box:
    """A cuboid in the panel: its corner nearest the panel's own, and its size, in m."""

    x_m: float
    y_m: float
    z_m: float
    length_m: float
    height_m: float
    depth_m: float

    @property
    def low(self) -> tuple[float, float, float]:
        """Corner nearest the panel's own."""
        return self.x_m, self.y_m, self.z_m

    @property
    def high(self) -> tuple[float, float, float]:
        """Opposite corner."""
        return self.x_m + self.length_m, self.y_m + self.height_m, self.z_m + self.depth_m


@dataclass(frozen=True, slots=True)
class Tie:
    """What of a tie is in the panel, flange and web together, as the box that holds it."""

    name: str
    box: Box


@dataclass(frozen=True, slots=True)
class Panel:
    """One foam panel of a block."""

    name: str
    """Such as ``outer`` and ``inner``."""
    length_m: float
    height_m: float
    thickness_m: float
    ties: tuple[Tie, ...] = ()
    skin_m: float = 0.003
    """Depth of the moulded skin, as the plant takes it: common practice, no source."""
    edge_m: float = 0.0
    """What is left at each edge for interlock and rounding."""
    filled: Direction = Direction.ALONG
    """Way the beads were blown in."""

    def __post_init__(self) -> None:
        """Refuse a panel without size, or of which nothing is left."""
        require_at_least(
            0, strict=True, length_m=self.length_m, height_m=self.height_m,
            thickness_m=self.thickness_m,
        )  # fmt: skip
        require_at_least(0, skin_m=self.skin_m, edge_m=self.edge_m)

    @property
    def box(self) -> Box:
        """The panel itself."""
        return Box(0.0, 0.0, 0.0, self.length_m, self.height_m, self.thickness_m)


@dataclass(frozen=True, slots=True)
class Cut:
    """A specimen where it lay."""

    specimen: str
    box: Box
    loaded: Direction
    """Direction of the load, of the heat, or of the vapour, in its test."""
    skin: Skin = Skin.CORE
    """What it is to keep."""


LOADED: Mapping[str, Direction] = MappingProxyType(
    dict.fromkeys(
        (
            "compressive_resistance", "compressive_stress_10", "flexural_strength",
            "bending_strength", "tension_across_faces", "thermal_resistance",
            "thermal_resistance_40f", "thermal_conductivity", "thermal_conductivity_10c",
            "water_vapour_permeance", "water_vapour_resistance_factor",
        ),
        Direction.THROUGH,
    )
)  # fmt: skip
"""Direction in which a characteristic is tested of a form's panel: across its faces, as it is
used. Common practice, no source; another direction is another property and is said."""


def gap_between(one: Box, other: Box) -> float:
    """Distance between two boxes, 0 where they touch, below 0 by how far they overlap.

    Parameters
    ----------
    one : Box
        A box.
    other : Box
        Another.

    Returns
    -------
    gap : float
        Shortest distance; of boxes that overlap, less the smallest move that parts them. [m]

    Examples
    --------
    >>> gap_between(Box(0, 0, 0, 1, 1, 1), Box(4, 5, 0, 1, 1, 1))
    5.0
    """
    apart = [
        max(low2 - high1, low1 - high2)
        for low1, high1, low2, high2 in zip(one.low, one.high, other.low, other.high, strict=True)
    ]
    if max(apart) < 0:
        return max(apart)
    return math.hypot(*(max(each, 0.0) for each in apart))


def nearest_tie(panel: Panel, box: Box) -> tuple[str, float] | None:
    """Name the tie nearest to a specimen and its distance; None of a panel without ties.

    Parameters
    ----------
    panel : Panel
        The panel.
    box : Box
        The specimen.

    Returns
    -------
    nearest : tuple of str and float, or None
        Distance, below 0 where the two overlap. [m]

    Examples
    --------
    >>> tie = Tie("T1", Box(0.18, 0, 0, 0.04, 0.4, 0.05))
    >>> panel = Panel("outer", 1.2192, 0.4064, 0.0667, (tie,))
    >>> nearest_tie(panel, Box(0.05, 0.05, 0.0, 0.1, 0.1, 0.0667))
    ('T1', 0.03)
    """
    found = [(gap_between(one.box, box), one.name) for one in panel.ties]
    if not found:
        return None
    gap, name = min(found)
    return name, gap


def place_departures(
    panel: Panel,
    cut: Cut,
    *,
    clear_m: float = 0.0,
    asked: Direction | None = None,
    others: Sequence[Cut] = (),
) -> tuple[Departure, ...]:
    """Say what is wrong with where a specimen was cut.

    Parameters
    ----------
    panel : Panel
        The panel it was cut from.
    cut : Cut
        The specimen.
    clear_m : float, optional
        Distance from a tie that foam undisturbed by it begins at, >= 0. [m]
    asked : Direction, optional
        Direction that the test asks for: :data:`LOADED`.
    others : sequence of Cut, optional
        Specimens of the same panel: two cannot have been in one place.

    Returns
    -------
    departures : tuple of Departure
        ``outside_panel``, ``in_tie``, ``near_tie``, ``on_skin``, ``skin_gone``, ``direction``,
        ``shared_place``; none where all is well.

    Raises
    ------
    OutOfRange
        If the specimen has no size or the distance is below 0.

    Examples
    --------
    >>> panel = Panel("outer", 1.2192, 0.4064, 0.0667)
    >>> cut = Cut("C1", Box(0.1, 0.1, 0.0, 0.1, 0.1, 0.0254), Direction.UP)
    >>> [one.code for one in place_departures(panel, cut, asked=Direction.THROUGH)]
    ['on_skin', 'direction']
    """
    box = cut.box
    require_at_least(
        0, strict=True, length_m=box.length_m, height_m=box.height_m, depth_m=box.depth_m
    )
    require_at_least(0, clear_m=clear_m)
    return (
        *_within(panel, cut),
        *_ties(panel, cut, clear_m),
        *_skins(panel, cut),
        *_direction(cut, asked),
        *_others(cut, others),
    )


def _within(panel: Panel, cut: Cut) -> Iterator[Departure]:
    whole = panel.box
    if any(
        low < least - _ROUNDING or high > most + _ROUNDING
        for low, high, least, most in zip(
            cut.box.low, cut.box.high, whole.low, whole.high, strict=True
        )
    ):
        size = f"{_mm(panel.length_m)} by {_mm(panel.height_m)} by {_mm(panel.thickness_m)} mm"
        reach = " by ".join(_mm(one) for one in cut.box.high)
        what = "The specimen reaches beyond its panel."
        yield outside("outside_panel", what, f"up to {reach} mm", size, "the panel's size")


def _ties(panel: Panel, cut: Cut, clear_m: float) -> Iterator[Departure]:
    for tie in panel.ties:
        gap = gap_between(tie.box, cut.box)
        if gap < -_ROUNDING:
            what = f"Tie {tie.name} is in the specimen."
            yield outside("in_tie", what, f"{_mm(-gap)} mm deep", "foam alone", _PRACTICE)
        elif gap < clear_m - _ROUNDING:
            what = f"The specimen lies close to tie {tie.name}."
            yield outside(
                "near_tie", what, f"{_mm(gap)} mm", f"{_mm(clear_m)} mm or more", _PRACTICE
            )


def _skins(panel: Panel, cut: Cut) -> Iterator[Departure]:
    low, high = cut.box.z_m, cut.box.high[2]
    kept = (low < panel.skin_m - _ROUNDING) + (high > panel.thickness_m - panel.skin_m + _ROUNDING)
    wanted = {Skin.CORE: 0, Skin.ONE: 1, Skin.BOTH: 2}[cut.skin]
    if kept > wanted:
        what = f"Moulded skin is on a specimen that is to be {cut.skin.value}."
        deep = f"{_mm(panel.skin_m)} mm of each face cut off" if not wanted else cut.skin.value
        yield outside("on_skin", what, f"{kept} of 2 skins", deep, _PRACTICE)
    elif kept < wanted:
        what = f"Moulded skin is gone from a specimen that is to keep {cut.skin.value}."
        yield outside("skin_gone", what, f"{kept} of 2 skins", cut.skin.value, _PRACTICE)


def _direction(cut: Cut, asked: Direction | None) -> Iterator[Departure]:
    if asked is not None and cut.loaded is not asked:
        what = "The specimen was loaded in another direction than the panel is used in."
        yield outside("direction", what, cut.loaded.value, asked.value, _PRACTICE)


def _others(cut: Cut, others: Sequence[Cut]) -> Iterator[Departure]:
    for other in others:
        gap = gap_between(cut.box, other.box)
        if other.specimen != cut.specimen and gap < -_ROUNDING:
            what = f"Specimen {other.specimen} lay in the same place."
            yield outside("shared_place", what, f"{_mm(-gap)} mm deep", "apart", "geometry")


def _mm(metres: float) -> str:
    return f"{metres * 1e3:.1f}".removesuffix(".0")
