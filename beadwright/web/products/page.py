"""What a set-up sheet shows: each number in words, section by section.

Read :func:`page`.
"""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from beadwright.plant.set_up import SetUp
from beadwright.plant.worked_words import Told, told_all
from beadwright.units import System

__all__ = ["Part", "Picked", "SheetPage", "page"]

_PARTS = {"grade": "Bead grade", "expander": "Pre-expander", "mould": "Mould"}


@dataclass(frozen=True, slots=True)
class Part:
    """A section of the sheet."""

    key: str
    title: str
    says: str
    caution: str
    lines: tuple[Told, ...]


@dataclass(frozen=True, slots=True)
class Picked:
    """What the sheet is for, and what it could be for instead."""

    part: str
    title: str
    name: str
    others: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetPage:
    """The sheet."""

    product: str
    title: str
    at_ms: int
    picked: tuple[Picked, ...]
    parts: tuple[Part, ...]
    under: tuple[Told, ...]
    """Lines that others rest on and no section shows."""
    unknown: int
    all: bool

    @property
    def form(self) -> bool:
        """Whether it is a form block, of which walls are made."""
        return any(one.key == "foam" for one in self.parts)

    @property
    def picks(self) -> str:
        """What was picked, as a link says it."""
        return urlencode({one.part: one.name for one in self.picked})


def page(found: SetUp, units: System, *, everything: bool) -> SheetPage:
    """Give what is shown of a sheet."""
    told = {one.key: one for one in told_all(found.lines, units)}
    shown = {line.key for part in found.sections for line in part.lines}
    parts = tuple(
        Part(one.key, one.title, one.says, one.caution, tuple(told[x.key] for x in one.lines))
        for one in found.sections
    )
    picked = tuple(
        Picked(part, title, getattr(found.choice, part), found.choices[part])
        for part, title in _PARTS.items()
    )
    under = tuple(one for key, one in told.items() if key not in shown)
    unknown = sum(one.unknown for part in parts for one in part.lines)
    return SheetPage(
        found.product, found.title, found.at_ms, picked, parts, under, unknown, everything
    )
