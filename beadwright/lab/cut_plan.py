"""A plan of specimens to cut from a panel: clear of ties and of each other, with the saw's kerf.

Read first: :func:`cut_plan`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from beadwright.errors import require_at_least
from beadwright.lab.cut_map import Box, Cut, Direction, Panel, Skin

__all__ = ["CutPlan", "Wanted", "cut_plan"]

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Wanted:
    """Specimens of one kind: how many, how large, loaded which way, with which skins."""

    name: str
    """Their names are this with a number."""
    number: int
    length_m: float
    height_m: float
    depth_m: float
    loaded: Direction = Direction.THROUGH
    skin: Skin = Skin.CORE
    may_turn: bool = True
    """Whether length and height may change places."""


@dataclass(frozen=True, slots=True)
class CutPlan:
    """Where each specimen is cut, and how many found no place, by the name of what was wanted."""

    cuts: tuple[Cut, ...]
    without_place: dict[str, int]
    used: float
    """Share of the panel's face that the specimens take, kerf left out."""


@dataclass(frozen=True, slots=True)
class _Rect:
    x: float
    y: float
    w: float
    h: float

    def holds(self, other: _Rect) -> bool:
        room = _ROUNDING
        return (
            self.x <= other.x + room
            and self.y <= other.y + room
            and self.x + self.w >= other.x + other.w - room
            and self.y + self.h >= other.y + other.h - room
        )

    def without(self, other: _Rect) -> Iterator[_Rect]:
        """Give the largest rectangles of this that the other leaves free."""
        right, top = self.x + self.w, self.y + self.h
        apart = (
            other.x >= right - _ROUNDING
            or other.x + other.w <= self.x + _ROUNDING
            or other.y >= top - _ROUNDING
            or other.y + other.h <= self.y + _ROUNDING
        )
        if apart:
            yield self
            return
        if other.x > self.x:
            yield replace(self, w=other.x - self.x)
        if other.x + other.w < right:
            yield _Rect(other.x + other.w, self.y, right - other.x - other.w, self.h)
        if other.y > self.y:
            yield replace(self, h=other.y - self.y)
        if other.y + other.h < top:
            yield _Rect(self.x, other.y + other.h, self.w, top - other.y - other.h)


@dataclass(slots=True)
class _Face:
    """What is still free of a panel's face: largest free rectangles, which overlap."""

    free: list[_Rect] = field(default_factory=list)

    def take(self, taken: _Rect) -> None:
        parts = [part for one in self.free for part in one.without(taken)]
        parts = [one for one in parts if one.w > _ROUNDING and one.h > _ROUNDING]
        unique = sorted(set(parts), key=lambda one: (-one.w * one.h, one.x, one.y))
        kept: list[_Rect] = []
        for one in unique:
            if not any(other.holds(one) for other in kept):
                kept.append(one)
        self.free = kept

    def find(self, sizes: Iterable[tuple[float, float]]) -> _Rect | None:
        """Give the leftmost, then lowest place that one of the sizes fits."""
        found = [
            _Rect(one.x, one.y, w, h)
            for w, h in sizes
            for one in self.free
            if w <= one.w + _ROUNDING and h <= one.h + _ROUNDING
        ]
        return min(found, key=lambda one: (one.x + one.w, one.y, one.w), default=None)


def cut_plan(
    panel: Panel, wanted: Sequence[Wanted], *, kerf_m: float, clear_m: float = 0.0
) -> CutPlan:
    """Plan where to cut specimens from one panel.

    Parameters
    ----------
    panel : Panel
        With its ties, its skins and what is left at its edges.
    wanted : sequence of Wanted
        What is to be cut. The largest come first, whatever the order.
    kerf_m : float
        Width of the cut, >= 0. [m]
    clear_m : float, optional
        Distance to keep from a tie, >= 0. [m]

    Returns
    -------
    plan : CutPlan
        Every specimen lies within the panel, at least ``clear_m`` from every tie and a kerf from
        every other; what found no place is counted, so another panel can be taken for it.

    Raises
    ------
    OutOfRange
        If a size is not above 0 or a distance below 0.

    Notes
    -----
    Places are found one after another in the largest free rectangles of the face, each as far
    left and as low as it goes. It is a good layout, not proved the fullest. Thin specimens
    without skins are cut one behind the other from one piece of the face. Whoever cuts parts the
    panel at its ties first: not every layout can be cut edge to edge.

    References
    ----------
    .. [1] Largest free rectangles: J. Jylänki, "A Thousand Ways to Pack the Bin" (2010).
       [from memory]

    Examples
    --------
    Four cubes of 2 in between two ties 8 in apart, in a panel of 16 in by 2 5/8 in:

    >>> inch = 0.0254
    >>> from beadwright.lab.cut_map import Tie
    >>> ties = tuple(Tie(f"T{n}", Box((8 * n - 1) * inch, 0, 0, 2 * inch, 16 * inch, 2 * inch))
    ...              for n in (0, 1))
    >>> panel = Panel("outer", 8 * inch, 16 * inch, 2.625 * inch, ties)
    >>> plan = cut_plan(panel, [Wanted("C", 4, 2 * inch, 2 * inch, 2 * inch)], kerf_m=0.003)
    >>> [(one.specimen, round(one.box.x_m / inch, 2)) for one in plan.cuts]
    [('C1', 1.0), ('C2', 1.0), ('C3', 1.0), ('C4', 1.0)]
    """
    require_at_least(0, kerf_m=kerf_m, clear_m=clear_m)
    for one in wanted:
        require_at_least(
            0, strict=True, length_m=one.length_m, height_m=one.height_m, depth_m=one.depth_m
        )
    face, cuts, without = _face(panel, clear_m), list[Cut](), dict[str, int]()
    area = 0.0
    for one in sorted(wanted, key=lambda each: -each.length_m * each.height_m):
        behind = _depths(panel, one, kerf_m)
        left = one.number
        while left and behind:
            place = face.find(_sizes(one))
            if place is None:
                break
            face.take(_grown(place, kerf_m))
            area += place.w * place.h
            for z in behind[:left]:
                name = f"{one.name}{one.number - left + 1}"
                box = Box(place.x, place.y, z, place.w, place.h, one.depth_m)
                cuts.append(Cut(name, box, one.loaded, one.skin))
                left -= 1
        if left:
            without[one.name] = left
    return CutPlan(tuple(cuts), without, area / (panel.length_m * panel.height_m))


def _face(panel: Panel, clear_m: float) -> _Face:
    edge = panel.edge_m
    inner = _Rect(edge, edge, panel.length_m - 2 * edge, panel.height_m - 2 * edge)
    face = _Face([inner] if inner.w > 0 and inner.h > 0 else [])
    for tie in panel.ties:
        box = tie.box
        face.take(_grown(_Rect(box.x_m, box.y_m, box.length_m, box.height_m), clear_m))
    return face


def _grown(one: _Rect, by: float) -> _Rect:
    return _Rect(one.x - by, one.y - by, one.w + 2 * by, one.h + 2 * by)


def _sizes(one: Wanted) -> tuple[tuple[float, float], ...]:
    plain = (one.length_m, one.height_m)
    return (plain, plain[::-1]) if one.may_turn and plain[0] != plain[1] else (plain,)


def _depths(panel: Panel, one: Wanted, kerf_m: float) -> tuple[float, ...]:
    """Give how deep in the panel specimens lie that are cut from one piece of its face."""
    thick, deep = panel.thickness_m, one.depth_m
    if one.skin is Skin.BOTH:
        return (0.0,) if math.isclose(deep, thick, rel_tol=1e-6) else ()
    if one.skin is Skin.ONE:
        fits = deep <= thick - panel.skin_m + _ROUNDING
        both = 2 * deep + kerf_m <= thick + _ROUNDING
        return (0.0, thick - deep) if both else (0.0,) if fits else ()
    room = thick - 2 * panel.skin_m
    number = math.floor((room + kerf_m) / (deep + kerf_m) + _ROUNDING)
    start = panel.skin_m + (room - number * deep - (number - 1) * kerf_m) / 2
    return tuple(start + n * (deep + kerf_m) for n in range(number))
