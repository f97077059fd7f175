"""A series that a plant has without set-up: its points, and the lots and times they belong to.

Read :class:`Watched`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from beadwright.statistics.charts.choose import Scale

__all__ = ["LEAST", "MOST", "Of", "Point", "Watched", "key_of", "newest"]

LEAST = 8
"""Points from which a series is charted. Common practice, no source: limits stay provisional until
there are 25."""

MOST = 120
"""Newest points that are charted: what lies further back is another process."""

Of = Literal["lots", "beads"]
"""What a point is of: a block lot, or beads at a pre-expander."""

_CODE = re.compile(r"[^A-Za-z0-9_-]+")


@dataclass(frozen=True, slots=True)
class Point:
    """One point: what was read or counted, and of what."""

    at_ms: int
    """When what it is of was made: a lot's first mould run, a cup's batch."""
    lot: str
    """A block lot; of a cup, the silo that it was filled into."""
    values: tuple[float, ...]
    """Of each piece, in SI; of a count, the number found."""
    inspected: int = 0
    """Of a count: pieces looked at, or shots."""
    step: str = ""
    """Client key of the step that a cup was taken at."""


@dataclass(frozen=True, slots=True)
class Watched:
    """A series that can be charted."""

    key: str
    """Of letters, digits, ``_``, ``-`` and ``.``; no two series of a plant share one."""
    title: str
    characteristic: str
    product: str
    machine: str
    kind: str
    """Kind of unit of the values; empty of shares and of what has none."""
    scale: Scale
    of: Of
    points: tuple[Point, ...]
    """In the order in which what they are of was made, oldest first."""
    absent: tuple[str, ...] = ()
    """What is not among the points, with its cause."""

    def is_of(self, name: str) -> bool:
        """Whether it is of a product or a machine, or has a point of a lot."""
        return name in {self.product, self.machine} or any(one.lot == name for one in self.points)

    @property
    def few(self) -> bool:
        """Whether it has too few points to be charted."""
        return len(self.points) < LEAST


def key_of(*parts: str) -> str:
    """Give a key that an address and a shell can hold.

    >>> key_of("scrap", "FP1", "stuck in the mould")
    'scrap.FP1.stuck-in-the-mould'
    """
    return ".".join(_slug(part) for part in parts if part)


def _slug(text: str) -> str:
    return _CODE.sub("-", text).strip("-") or "x"


def newest(points: Iterable[Point]) -> tuple[Point, ...]:
    """Give the newest points in the order in which what they are of was made."""
    return tuple(sorted(points, key=lambda one: (one.at_ms, one.lot, one.step)))[-MOST:]
