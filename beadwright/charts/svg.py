"""What every picture is made of: escaped text, the width of words, tones, and the frame.

Read :class:`Drawing`, then :func:`frame`. A tone is a custom property of the page with a value to
fall back on, so that one SVG follows light and dark; where there is no page, :func:`plain` puts
the values in. No style sheet and no script stand in a picture, for pages forbid both inline.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

__all__ = [
    "HALO",
    "LINE",
    "TEXT",
    "TONES",
    "Drawing",
    "element",
    "escaped",
    "figure",
    "frame",
    "line",
    "path",
    "plain",
    "rect",
    "text",
    "tone",
    "width_of",
]

TEXT = 14.0
"""Size of ordinary text, in units of the view box."""

LINE = 1.35
"""Distance of two lines of text, as a multiple of their size."""

TONES: Mapping[str, str] = {
    "ink": "#1c2126",
    "quiet": "#59626b",
    "rule": "#c3cad1",
    "ground": "#ffffff",
    "bead": "#6d8fb3",
    "prefoam": "#5f9ea0",
    "tie": "#a08a5b",
    "block": "#7d84b8",
    "packaging": "#9a8fa8",
    "scrap": "#9b7b6b",
    "good": "#1f6f43",
    "warn": "#8a5a00",
    "bad": "#a3262a",
}
"""Tones by name, as they are on a light ground without a page."""

_EM: Mapping[str, float] = {
    **dict.fromkeys("ijl!'.,:;", 0.33),
    **dict.fromkeys("ft()[]/\\ -Ir|", 0.46),
    **dict.fromkeys("mwMW%@—→…", 0.97),
    **dict.fromkeys("ABCDEFGHJKLNOPQRSTUVXYZ&≥≤±=+<>#", 0.72),
}
_WIDE = 0.62
"""Width of any other sign: as wide as a digit of a wide face, so that measured text fits."""

_FOREIGN = 0.72
"""Width of a sign beyond ASCII: as wide as a capital."""

_VAR = re.compile(r"var\(--[a-z-]+, (#[0-9a-f]{3,6})\)")


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture and the words that say the same."""

    svg: str
    title: str
    words: str
    """One paragraph: what a reader who sees no picture is told."""
    width: float
    height: float


def escaped(words: str) -> str:
    """Give words as they may stand in markup; signs that XML cannot hold are left out."""
    return escape(_clean(words))


def _clean(words: str) -> str:
    return "".join(sign for sign in words if sign >= " " or sign in "\t\n")


def figure(number: float) -> str:
    """Give a coordinate, short.

    >>> figure(12.0), figure(3.14159), figure(-0.001)
    ('12', '3.14', '0')
    """
    short = f"{number:.2f}".rstrip("0").rstrip(".")
    return "0" if short == "-0" else short


def tone(name: str) -> str:
    """Give a tone as a colour value that follows the page.

    >>> tone("ink")
    'var(--chart-ink, #1c2126)'
    """
    return f"var(--chart-{name}, {TONES[name]})"


def plain(svg: str) -> str:
    """Give an SVG with its tones put in, for where there is no page."""
    return _VAR.sub(r"\1", svg)


def width_of(words: str, size: float = TEXT) -> float:
    """Give about how wide words are, in units of the view box: rather too wide than too narrow."""
    return size * sum(_EM.get(sign, _WIDE if sign.isascii() else _FOREIGN) for sign in words)


def element(name: str, attributes: Mapping[str, object], content: str = "") -> str:
    """Give an element; an attribute that is None is left out.

    >>> element("rect", {"x": 1.5, "fill": "none", "rx": None})
    '<rect x="1.5" fill="none"/>'
    """
    said = "".join(
        f" {key}={quoteattr(_value(value))}"
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{said}>{content}</{name}>" if content else f"<{name}{said}/>"


def _value(value: object) -> str:
    return figure(float(value)) if isinstance(value, int | float) else _clean(str(value))


def _named(attributes: Mapping[str, object]) -> dict[str, object]:
    return {key.replace("_", "-"): value for key, value in attributes.items()}


def text(x: float, y: float, words: str, **attributes: object) -> str:
    """Give text on its base line, in ink and of ordinary size unless said otherwise."""
    given = {"x": x, "y": y, "fill": tone("ink"), "font-size": TEXT, **_named(attributes)}
    return element("text", given, escaped(words))


def line(start: tuple[float, float], end: tuple[float, float], **attributes: object) -> str:
    """Give a straight line, a thin one in the tone of rules unless said otherwise."""
    ends = {"x1": start[0], "y1": start[1], "x2": end[0], "y2": end[1]}
    return element(
        "line", {**ends, "stroke": tone("rule"), "stroke-width": 1, **_named(attributes)}
    )


def rect(x: float, y: float, width: float, height: float, **attributes: object) -> str:
    """Give a rectangle."""
    box = {"x": x, "y": y, "width": width, "height": height}
    return element("rect", {**box, **_named(attributes)})


HALO: Mapping[str, object] = {
    "stroke": tone("ground"), "stroke_width": 3, "paint_order": "stroke",
    "stroke_linejoin": "round",
}  # fmt: skip
"""Keeps words readable over lines and bands: an edge of the ground, drawn beneath them."""


def path(steps: Iterable[str], **attributes: object) -> str:
    """Give a path."""
    return element("path", {"d": " ".join(steps), **_named(attributes)})


def frame(
    name: str,
    size: tuple[float, float],
    told: tuple[str, str],
    content: Iterable[str],
    *,
    role: str = "img",
) -> Drawing:
    """Put parts into a picture of a size, with a title and the words that say the same.

    ``name`` is of a-z, digits and hyphen, and no two pictures of a page share one. A picture with
    links in it is a ``group``: what stands in an ``img`` is nothing that a keyboard reaches.
    """
    width, height = size
    title, words = told
    head = (
        element("title", {"id": f"{name}-title"}, escaped(title)),
        element("desc", {"id": f"{name}-words"}, escaped(words)),
    )
    attributes = {
        "xmlns": "http://www.w3.org/2000/svg",
        "viewBox": f"0 0 {figure(width)} {figure(height)}",
        "role": role,
        "aria-labelledby": f"{name}-title",
        "aria-describedby": f"{name}-words",
    }
    return Drawing(element("svg", attributes, "".join((*head, *content))), title, words, *size)
