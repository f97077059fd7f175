"""Moulds as a plant set them up: how many cavities, and by how much a hot block is too large.

Read :func:`mould_at`. A mould that nobody set up has one cavity, and nothing is known of its hot
blocks.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from beadwright.errors import BeadwrightError
from beadwright.ledger.fold import Dated
from beadwright.ledger.lots import Making
from beadwright.plant.products import quantity
from beadwright.quality.characteristics import DIMENSIONS

__all__ = ["OFFSETS", "Mould", "most_cavities", "mould_at"]

OFFSETS: Mapping[str, str] = {name: f"{name}_offset" for name in DIMENSIONS[:3]}
"""By dimension, the key that says how much larger a block is hot than after 24 h."""


@dataclass(frozen=True, slots=True)
class Mould:
    """A mould as it was set up at a time."""

    name: str
    cavities: int = 1
    is_set: bool = False
    """Whether the plant set it up; else one cavity is taken."""
    offsets: Mapping[str, float] = field(default_factory=dict)
    """By dimension, hot less a day old, in m; without those that were not set."""


def mould_at(settings: Dated, name: str, at_ms: int) -> Mould:
    """Give a mould as it was set up at a time."""
    body = settings.at("mould", name, at_ms)
    if body is None:
        return Mould(name)
    offsets = {}
    for dimension, key in OFFSETS.items():
        try:
            offsets[dimension] = quantity(body[key], "length")
        except (KeyError, ValueError, BeadwrightError):
            continue
    cavities = body.get("cavities", 1)
    number = cavities if isinstance(cavities, int) and cavities > 0 else 1
    return Mould(name, number, is_set=True, offsets=offsets)


def most_cavities(settings: Dated, makings: Iterable[Making]) -> int:
    """Give the cavities of the mould that made a lot, as it was then; of several, the most."""
    moulds = {(one.facts.get("mould", ""), one.at_ms) for one in makings}
    return max((mould_at(settings, *one).cavities for one in moulds), default=1)
