"""The section on strength against density of a set-up sheet: picture and words.

Read :func:`strength_of`.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.charts.curves import draw
from beadwright.charts.strength import OwnTests, picture
from beadwright.charts.svg import Drawing
from beadwright.plant.strength import CONFIDENCE, StrengthLine, strength_line
from beadwright.plant.strength_words import CAUTION, words_of
from beadwright.statistics.regression import Line
from beadwright.units import System

__all__ = ["StrengthPart", "drawn_of", "strength_of"]

_CHARACTERISTICS = ("compressive_resistance", "compressive_stress_10")


@dataclass(frozen=True, slots=True)
class StrengthPart:
    """The plant's own line of a product."""

    words: tuple[str, ...]
    caution: str
    picture: Drawing | None
    """None where no line can be drawn."""


def strength_of(plant_no: int, product: str, at_ms: int, units: System) -> StrengthPart:
    """Give the line by the first strength that has one; else why there is none."""
    found = [strength_line(plant_no, product, name, at_ms) for name in _CHARACTERISTICS]
    told = next((one for one in found if one.line is not None), found[0])
    drawn = None if told.line is None else draw(picture(drawn_of(told, told.line), units))
    return StrengthPart(tuple(words_of(told, units)), CAUTION, drawn)


def drawn_of(told: StrengthLine, line: Line) -> OwnTests:
    """Give what is drawn of a line."""
    name = told.characteristic.replace("_", " ").capitalize()
    bounds = tuple(
        (float(one.limit.value_si), f"at least {one.limit.value} {one.limit.unit}")
        for one in told.limits
    )
    return OwnTests(
        f"{name} against density: {told.product}",
        name,
        told.density_kg_m3,
        told.value_si,
        line,
        frozenset(one.index for one in told.flagged),
        bounds,
        CONFIDENCE,
    )
