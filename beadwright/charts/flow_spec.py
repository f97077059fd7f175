"""What a flow drawing is told: lots in layers, and what went from one into another.

Read :class:`Flow`.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

__all__ = ["Flow", "Link", "Node", "amount", "told"]

_DIGITS = ((10, 1), (1, 2))
"""Digits after the point from a figure on; of smaller ones three."""

_LEAST = Decimal("0.001")


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
    """Give a mass with its unit, to the digits that a table of the same figures shows.

    >>> amount(1234.56, "kg"), amount(31.15, "kg"), amount(1.234, "kg"), amount(1e-6, "kg")
    ('1234.6 kg', '31.2 kg', '1.23 kg', '<0.001 kg')
    """
    exact = Decimal(repr(float(mass)))
    if 0 < exact < _LEAST / 2:
        return f"<{_LEAST} {unit}"
    digits = next((n for least, n in _DIGITS if abs(exact) >= least), 3)
    return f"{exact.quantize(Decimal(1).scaleb(-digits)):f} {unit}"


def told(mass: float, unit: str, *, estimated: bool) -> str:
    """Give a mass as it stands beside a lot: an estimate is marked as one."""
    said = amount(mass, unit)
    return f"≈ {said}" if estimated and not said.startswith("<") else said
