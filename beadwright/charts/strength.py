"""Strength against density, lot by lot, with the plant's own line and its prediction band.

Read :func:`picture`. A lot that is flagged has words beside it, and stays in the line.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label, Point
from beadwright.plant.strength import CONFIDENCE, StrengthLine
from beadwright.statistics.regression import Line, prediction_band
from beadwright.units import System

__all__ = ["picture"]

_POINTS = 81
_ROOM = 0.06
_KPA, _PSI, _LB_FT3 = 1e3, 6894.757293168, 16.01846337396


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


def picture(of: StrengthLine, line: Line, system: System) -> Curves:
    """Give the picture of a line."""
    scale = _SCALES[system]
    low, high = line.range
    room = _ROOM * (high - low)
    x = np.linspace(low - room, high + room, _POINTS)
    band = prediction_band(line, x, CONFIDENCE)
    name = of.characteristic.replace("_", " ").capitalize()
    shown = [*of.value_si, *(float(one.limit.value_si) for one in of.limits)]
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
        f"{name} against density: {of.product}",
        _said(of, line),
        Axis(f"Density, {scale.density_words}", left, float(x[-1]) / scale.density),
        Axis(f"{name}, {scale.stress_words}", least - ends, most + ends),
        (curve,),
        _points(of, scale, ends),
        _across(of, scale, (left, ends)),
    )


def _points(of: StrengthLine, scale: _Scale, ends: float) -> tuple[Point, ...]:
    flagged = {one.index for one in of.flagged}
    found = []
    for at, (density, value) in enumerate(zip(of.density_kg_m3, of.value_si, strict=True)):
        x, y = density / scale.density, value / scale.stress
        label = Label("flagged", x, y + ends / 2) if at in flagged else None
        found.append(Point(x, y, full=False, label=label))
    return tuple(found)


def _across(of: StrengthLine, scale: _Scale, at: tuple[float, float]) -> tuple[Across, ...]:
    left, ends = at
    found = []
    for one in of.limits:
        bound = float(one.limit.value_si) / scale.stress
        words = f"at least {one.limit.value} {one.limit.unit}"
        found.append(Across(bound, label=Label(words, left, bound + ends / 4)))
    return tuple(found)


def _said(of: StrengthLine, line: Line) -> str:
    flagged = len(of.flagged)
    words = f"{line.count} lots, one ring each; the line through all of them"
    words += f", and where one lot more will lie in {CONFIDENCE:.0%} of cases."
    if flagged:
        words += f" {flagged} far from the others {'is' if flagged == 1 else 'are'} flagged."
    return words
