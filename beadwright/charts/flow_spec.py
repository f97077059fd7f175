"""What a flow drawing is told: lots in layers, and what went from one into another.

Read :class:`Flow`.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Flow", "Link", "Node", "amount"]

_DIGITS = 3
_LEAST = 0.001


@dataclass(frozen=True, slots=True)
class Node:
    """A lot, or several folded into one."""

    key: str
    layer: int
    name: str
    mass: float
    """In the unit of the drawing: how much of it the drawing is about."""
    tone: str = "bead"
    said: str = ""
    """What it is, for whoever points at it."""
    estimated: bool = False
    asked: bool = False
    """Whether it is the lot that was asked about."""
    href: str = ""
    folded: int = 0
    """How many lots are folded into it; 0 of a lot by itself."""


@dataclass(frozen=True, slots=True)
class Link:
    """What went from one lot into another."""

    source: str
    into: str
    mass: float
    estimated: bool = False


@dataclass(frozen=True, slots=True)
class Flow:
    """Lots in layers from left to right, joined by what went from one into another."""

    name: str
    """Of a-z, digits and hyphen; no two pictures of a page share one."""
    title: str
    unit: str
    layers: tuple[str, ...]
    nodes: tuple[Node, ...]
    links: tuple[Link, ...]
    opens: str = ""
    """What a folded node leads to, before the number of its layer; empty where none opens."""


def amount(mass: float, unit: str) -> str:
    """Give a mass with its unit, to three figures that count.

    >>> amount(1234.5, "kg"), amount(12.34, "kg"), amount(0.0123, "kg"), amount(1e-6, "kg")
    ('1234 kg', '12.3 kg', '0.0123 kg', '<0.001 kg')
    """
    if 0 < mass < _LEAST:
        return f"<{_LEAST:g} {unit}"
    if not mass:
        return f"0 {unit}"
    whole = f"{mass:.0f}"
    if len(whole.lstrip("-")) >= _DIGITS:
        return f"{whole} {unit}"
    return f"{float(f'{mass:.{_DIGITS}g}'):g} {unit}"
