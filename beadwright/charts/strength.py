"""Strength against density, lot by lot, with the plant's own line and its prediction band.

Read :class:`OwnTests`, then :func:`picture`. A lot that is flagged has words beside it, and stays
in the line.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label, Point
from beadwright.statistics.regression import Line, prediction_band
from beadwright.units import System

__all__ = ["OwnTests", "picture"]

_POINTS = 81
_ROOM = 0.06
_ABOVE = 0.35  # of the room: words clear of their line
_KPA, _PSI, _LB_FT3 = 1e3, 6894.757293168, 16.01846337396


@dataclass(frozen=True, slots=True)
class OwnTests:
    """What is drawn, in SI: lots of one product with the line through all of them."""

    title: str
    """What was tested, of which product."""
    quantity: str
    density_kg_m3: tuple[float, ...]
    value_si: tuple[float, ...]
    line: Line
    flagged: frozenset[int]
    """Lots far from the line of the others."""
    bounds: tuple[tuple[float, str], ...]
    """Least values, each with its words."""
    confidence: float = 0.95
    """Of the band in which one lot more will lie."""


@dataclass(frozen=True, slots=True)
class _Scale:
    """What SI is divided by, and the words of the axes."""

    density: float
    stress: float
    density_words: str
    stress_words: str


_SCALES = {
    "si": _Scale(1.0, _KPA, "kg/m³", "kPa"),
    "us": _Scale(_LB_FT3, _PSI, "lb/ft³", "psi"),
}


def picture(of: OwnTests, system: System) -> Curves:
    """Give the picture of a line."""
    scale = _SCALES[system]
    low, high = of.line.range
    room = _ROOM * (high - low)
    x = np.linspace(low - room, high + room, _POINTS)
    band = prediction_band(of.line, x, of.confidence)
    shown = [*of.value_si, *(bound for bound, _ in of.bounds)]
    least = min(float(band.lower.min()), *shown) / scale.stress
    most = max(float(band.upper.max()), *shown) / scale.stress
    ends = _ROOM * (most - least)
    left = float(x[0]) / scale.density
    curve = Curve.of(
        x / scale.density,
        band.centre / scale.stress,
        low=band.lower / scale.stress,
        high=band.upper / scale.stress,
    )
    return Curves(
        "strength-line",
        of.title,
        _said(of),
        Axis(f"Density, {scale.density_words}", left, float(x[-1]) / scale.density),
        Axis(f"{of.quantity}, {scale.stress_words}", least - ends, most + ends),
        (curve,),
        _points(of, scale, ends),
        _across(of, scale, (left, ends)),
    )


def _points(of: OwnTests, scale: _Scale, ends: float) -> tuple[Point, ...]:
    found = []
    for at, (density, value) in enumerate(zip(of.density_kg_m3, of.value_si, strict=True)):
        x, y = density / scale.density, value / scale.stress
        label = Label("flagged", x, y + ends / 2) if at in of.flagged else None
        found.append(Point(x, y, full=False, label=label))
    return tuple(found)


def _across(of: OwnTests, scale: _Scale, at: tuple[float, float]) -> tuple[Across, ...]:
    left, ends = at
    found = []
    for bound_si, words in of.bounds:
        bound = bound_si / scale.stress
        found.append(Across(bound, label=Label(words, left, bound + _ABOVE * ends)))
    return tuple(found)


def _said(of: OwnTests) -> str:
    flagged = len(of.flagged)
    words = f"{of.line.count} lots, one ring each; the line through all of them"
    words += f", and where one lot more will lie in {of.confidence:.0%} of cases."
    if flagged:
        words += f" {flagged} far from the others {'is' if flagged == 1 else 'are'} flagged."
    return words
