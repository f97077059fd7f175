"""Lateral pressure of fresh concrete against its rate of rise, with its floor and its cap.

Read :func:`picture`.
"""

from __future__ import annotations

import numpy as np

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label
from beadwright.science import pour

__all__ = ["picture"]

_FOOT, _PSF = 0.3048, 47.88026
_MIX = pour.Mix(150 * 16.018463, 0.15)
_WARM_K, _COLD_K = 294.26, 277.6
_TALL_FT, _LOW_FT = 9.0, 4.0


def picture() -> Curves:
    """Give the pressure against the rate: a wall warm and cold, and a lift of its floor."""
    rate = np.linspace(0.5, 14.9, 145)
    warm, cold = (_psf(rate, _TALL_FT, kelvin) for kelvin in (_WARM_K, _COLD_K))
    lift = _psf(rate, _LOW_FT, _WARM_K)
    head, least = 150 * _TALL_FT, float(warm.min())
    words = (
        f"Design pressure on a wall form against the rate at which concrete rises. A wall of "
        f"{_TALL_FT:.0f} ft at 70 °F never has less than {least:.0f} lb/ft², and rises with the "
        f"rate to its full head, {head:.0f} lb/ft²; at 40 °F it is there at a lower rate. In a "
        f"lift of {_LOW_FT:.0f} ft the full head, {float(lift.max()):.0f} lb/ft², is reached at "
        f"every rate: there the rate does not matter."
    )
    return Curves(
        name="physics-pour",
        title="Pressure of fresh concrete against its rate of rise",
        words=words,
        x=Axis("Rate of rise, ft/h", 0, 15),
        y=Axis("Lateral pressure, lb/ft²", 0, 1600),
        curves=(
            Curve.of(rate, cold, tone="bead", dashes="8 4",
                     label=Label("9 ft at 40 °F", 3.2, 1240, "end")),
            Curve.of(rate, warm, tone="bad", label=Label("9 ft at 70 °F", 8.0, 960)),
            Curve.of(rate, lift, tone="ink", dashes="2 3",
                     label=Label("floor, and the head of a 4 ft lift, at every rate", 6, 545)),
        ),
        across=(Across(head, label=Label("full head of 9 ft", 0.2, head + 55)),),
    )  # fmt: skip


def _psf(rate_ft_h: np.ndarray, height_ft: float, kelvin: float) -> np.ndarray:
    placed = pour.Pour(_MIX, height_ft * _FOOT, rate_ft_h * _FOOT / 3600, kelvin, 1.2)
    return np.asarray(pour.lateral_pressure(placed).pressure_pa / _PSF)
