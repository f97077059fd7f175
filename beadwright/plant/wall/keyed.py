"""A wall as people key it.

Read :func:`read_wall`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from beadwright.errors import BeadwrightError
from beadwright.plant.keyed_asked import Keyed, lots_said, number_said
from beadwright.plant.wall.asked import WallAsked

__all__ = ["LENGTHS", "read_wall"]

LENGTHS: Mapping[str, str] = {
    "storey": "storey_m",
    "tolerance": "tolerance_m",
    "joint": "seat_m",
    "joint_spread": "seat_spread_m",
}
"""By word: the field of :class:`WallAsked`."""


def read_wall(product: str, lots: Sequence[str], texts: Mapping[str, str]) -> Keyed[WallAsked]:
    """Read a wall; a field that is wrong counts as not said, and is told."""
    wrong: dict[str, str] = {}
    given: dict[str, Any] = {}
    for word in (*LENGTHS, "courses"):
        text = texts.get(word, "").strip()
        if not text:
            continue
        field = LENGTHS.get(word, word)
        try:
            one = {field: number_said(text, "length") if word in LENGTHS else _whole(text)}
            WallAsked(product, **one)  # type: ignore[arg-type]
        except (BeadwrightError, ValueError) as error:
            wrong[word] = f"{word.replace('_', ' ')}: {error}"
        else:
            given |= one
    return Keyed(WallAsked(product, lots_said(lots, wrong), **given), wrong)


def _whole(text: str) -> int:
    if not text.isdecimal():
        message = f'"{text}" is no whole number'
        raise ValueError(message)
    return int(text)
