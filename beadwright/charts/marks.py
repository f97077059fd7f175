"""Marks of a state: a shape beside a word, so that colour alone says nothing.

Read :class:`Mark`, then :func:`shape`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from beadwright.charts.svg import element, figure, path, text, tone, width_of

__all__ = ["BOLD", "LEAST", "Mark", "MarkKind", "fitted", "shape", "wrapped"]

MarkKind = Literal["good", "warn", "bad", "busy", "quiet"]
"""A disc with a tick; a triangle; an octagon with a cross; a ring with a dot; a dashed ring."""

BOLD = 1.08
"""How much wider bold words are."""

_HAIR = 0.01
LEAST = 0.8
"""Words that do not fit are made smaller down to this share of their size, then shortened."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A state, by shape and word."""

    kind: MarkKind
    word: str


def shape(kind: MarkKind, middle: tuple[float, float], size: float) -> Iterator[str]:
    """Draw the shape of a state about a point; ``size`` is its height."""
    x, y = middle
    r = size / 2
    ground, own = tone("ground"), tone("ink" if kind == "busy" else kind)
    if kind == "bad":
        turns = [math.radians(22.5 + 45 * n) for n in range(8)]
        corners = [(x + r * 1.05 * math.cos(t), y + r * 1.05 * math.sin(t)) for t in turns]
        yield path([_through(corners)], fill=own)
        a = r * 0.42
        cross = f"M{_at(x - a, y - a)}L{_at(x + a, y + a)}M{_at(x + a, y - a)}L{_at(x - a, y + a)}"
        yield path([cross], stroke=ground, stroke_width=size / 8, fill="none")
    elif kind == "warn":
        corners = [(x, y - r), (x + r * 1.08, y + r * 0.9), (x - r * 1.08, y + r * 0.9)]
        yield path([_through(corners)], fill=own)
        yield path([f"M{_at(x, y - r * 0.4)}L{_at(x, y + r * 0.25)}"], stroke=ground,
                   stroke_width=size / 8, fill="none")  # fmt: skip
        yield _disc(x, y + r * 0.6, size / 14, fill=ground)
    elif kind == "good":
        yield _disc(x, y, r, fill=own)
        tick = f"M{_at(x - r * 0.45, y)}L{_at(x - r * 0.1, y + r * 0.4)}"
        yield path([f"{tick}L{_at(x + r * 0.5, y - r * 0.38)}"], stroke=ground,
                   stroke_width=size / 8, fill="none")  # fmt: skip
    else:
        dashes = "3 3" if kind == "quiet" else None
        ring = {"fill": "none", "stroke": own, "stroke-width": 2.5, "stroke-dasharray": dashes}
        yield element("circle", {"cx": x, "cy": y, "r": r - 1.5, **ring})
        if kind == "busy":
            yield _disc(x, y, r * 0.45, fill=own)


def _disc(x: float, y: float, r: float, *, fill: str) -> str:
    return element("circle", {"cx": x, "cy": y, "r": r, "fill": fill})


def _at(x: float, y: float) -> str:
    return f"{figure(x)} {figure(y)}"


def _through(corners: list[tuple[float, float]]) -> str:
    first, *others = (_at(*one) for one in corners)
    return f"M{first}L{'L'.join(others)}Z"


def fitted(at: tuple[float, float], words: str, size: float, room: float, **more: object) -> str:
    """Give text that fits its room: smaller where it must be, then shortened."""
    wide = BOLD if "font_weight" in more else 1.0
    need = width_of(words, size) * wide
    if need > room:
        size *= max(LEAST, room / need)
    if width_of(words, size) * wide > room + _HAIR:
        while words and width_of(f"{words}…", size) * wide > room:
            words = words[:-1]
        words = f"{words.rstrip(' ,;:')}…"
    given: dict[str, Any] = {"font_size": size, **more}
    return text(*at, words, **given)


def wrapped(words: str, size: float, room: float, most: int) -> list[str]:
    """Break words into lines that fit a room; the last takes what is left, and may not fit."""
    lines = [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if not lines[-1] or len(lines) == most or width_of(longer, size) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
