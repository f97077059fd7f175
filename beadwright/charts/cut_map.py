"""A panel with its ties and the specimens cut from it, drawn to scale from its outer face.

Read :class:`CutMap`, then :func:`draw`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from beadwright.charts.svg import (
    HALO,
    Drawing,
    figure,
    frame,
    line,
    path,
    rect,
    text,
    tone,
    width_of,
)

__all__ = ["Apart", "CutMap", "Piece", "draw"]

_WIDTH = 760.0
_MARGIN = 44.0
_GAP = 46.0
_SMALL = 12.0


@dataclass(frozen=True, slots=True)
class Apart:
    """A tie on the face: where it begins and how large it is, in the unit that the map says."""

    name: str
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Piece:
    """A specimen: its place on the face and in the depth, and whether its place is in doubt."""

    name: str
    x: float
    y: float
    z: float
    width: float
    height: float
    depth: float
    wrong: bool = False
    """Something is to be said about its place."""


@dataclass(frozen=True, slots=True)
class CutMap:
    """What is drawn: one panel from its face, and beneath it from above, to one scale."""

    name: str
    """Of a-z, digits and hyphen; no two pictures of a page share one."""
    panel: str
    unit: str
    length: float
    height: float
    thickness: float
    skin: float
    ties: tuple[Apart, ...]
    pieces: tuple[Piece, ...]

    @property
    def words(self) -> str:
        """Say the same without a picture."""
        first = (
            f"Panel {self.panel}, {self.length:g} by {self.height:g} by {self.thickness:g}"
            f" {self.unit}, with {len(self.ties)} ties and {len(self.pieces)} specimens."
        )
        each = [
            f"{one.name}: {one.x:.4g} along, {one.y:.4g} up, {one.z:.4g} deep, {one.width:.4g} by"
            f" {one.height:.4g} by {one.depth:.4g}{', its place in doubt' if one.wrong else ''}."
            for one in self.pieces
        ]
        return " ".join((first, *each))


def draw(of: CutMap) -> Drawing:
    """Draw a panel's face with its ties and specimens, and the same from above."""
    scale = (_WIDTH - 2 * _MARGIN) / of.length
    top = 30.0
    face = top + of.height * scale
    above = face + _GAP
    size = (_WIDTH, above + of.thickness * scale + 34)
    content = [
        text(_MARGIN, 18, f"Outer face, {of.length:g} by {of.height:g} {of.unit}", font_size=13),
        *_ground(_MARGIN, top, of.length * scale, of.height * scale),
        *_face(of, (_MARGIN, face), scale),
        text(_MARGIN, above - 10, f"From above, {of.thickness:g} {of.unit} thick", font_size=13),
        *_ground(_MARGIN, above, of.length * scale, of.thickness * scale),
        *_skins(of, above, scale),
        *_above(of, above, scale),
        *_ruler(of, size[1] - 8, scale),
    ]
    title = f"Where specimens lie in panel {of.panel}"
    return frame(of.name, size, (title, of.words), content)


def _ground(x: float, y: float, width: float, height: float) -> Iterator[str]:
    yield rect(x, y, width, height, fill=tone("ground"), stroke=tone("ink"), stroke_width=1.4)


def _face(of: CutMap, corner: tuple[float, float], scale: float) -> Iterator[str]:
    left, bottom = corner
    for tie in of.ties:
        x, y = left + tie.x * scale, bottom - (tie.y + tie.height) * scale
        x, width = _held(x, tie.width * scale)
        yield rect(x, y, width, tie.height * scale, fill=tone("tie"), fill_opacity=0.55)
        yield text(x + width / 2, bottom + 15, tie.name, font_size=_SMALL, text_anchor="middle")
    stacked: dict[tuple[float, float], list[Piece]] = {}
    for piece in of.pieces:
        stacked.setdefault((round(piece.x, 9), round(piece.y, 9)), []).append(piece)
    for pieces in stacked.values():
        one = pieces[0]
        x, y = left + one.x * scale, bottom - (one.y + one.height) * scale
        width, height = one.width * scale, one.height * scale
        yield _piece(x, y, width, height, wrong=any(each.wrong for each in pieces))
        yield from _names([each.name for each in pieces], (x + width / 2, y + height / 2), width)


def _names(names: list[str], middle: tuple[float, float], room: float) -> Iterator[str]:
    """Give names in one line, or where they are too wide for it, one above the other."""
    together = " ".join(names)
    lines = [together] if width_of(together, _SMALL) <= room else names
    first = middle[1] + 4 - (len(lines) - 1) * _SMALL * 0.55
    for n, words in enumerate(lines):
        yield text(
            middle[0], first + n * _SMALL * 1.1, words, font_size=_SMALL, text_anchor="middle",
            **HALO,
        )  # fmt: skip


def _held(x: float, width: float) -> tuple[float, float]:
    """Keep what reaches beyond the panel's ends within them."""
    low, high = max(x, _MARGIN), min(x + width, _WIDTH - _MARGIN)
    return low, max(0.0, high - low)


def _piece(x: float, y: float, width: float, height: float, *, wrong: bool) -> str:
    edge = {"stroke": tone("bad" if wrong else "block"), "stroke_width": 3 if wrong else 1.4}
    dashes = "6 4" if wrong else None
    fill = tone("block")
    return rect(x, y, width, height, fill=fill, fill_opacity=0.28, stroke_dasharray=dashes, **edge)


def _skins(of: CutMap, above: float, scale: float) -> Iterator[str]:
    ends = (_MARGIN, _MARGIN + of.length * scale)
    for depth in (of.skin, of.thickness - of.skin):
        y = above + depth * scale
        yield line((ends[0], y), (ends[1], y), stroke=tone("quiet"), stroke_dasharray="3 3")


def _above(of: CutMap, above: float, scale: float) -> Iterator[str]:
    for piece in of.pieces:
        x, y = _MARGIN + piece.x * scale, above + piece.z * scale
        width, height = piece.width * scale, piece.depth * scale
        yield _piece(x, y, width, height, wrong=piece.wrong)


def _ruler(of: CutMap, y: float, scale: float) -> Iterator[str]:
    """Give a bar of a round length, so that the picture can be measured."""
    length = _round(of.length / 5)
    x, wide = _MARGIN, length * scale
    yield path([f"M{figure(x)} {figure(y - 6)}v6h{figure(wide)}v-6"], fill="none",
               stroke=tone("quiet"), stroke_width=1.4)  # fmt: skip
    yield text(x + wide + 8, y, f"{length:g} {of.unit}", font_size=_SMALL, fill=tone("quiet"))


def _round(length: float) -> float:
    power = 10.0 ** len(str(int(length))) / 10 if length >= 1 else 0.1
    return max(step * power for step in (1, 2, 5) if step * power <= max(length, power))
