"""How hot steam is at what a gauge reads, at sea level and up a hill.

Read :func:`picture`.
"""

from __future__ import annotations

import numpy as np

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label, Point
from beadwright.science import steam

__all__ = ["picture"]

_HILL_M, _AT_BAR = 1500.0, 0.2


def picture() -> Curves:
    """Give the temperature of saturated steam against its gauge pressure at two sites."""
    gauge = np.linspace(0.0, 1.2, 61)
    sites = [float(steam.standard_atmosphere(height)) for height in (0.0, _HILL_M)]
    sea, hill = (_celsius(gauge * 1e5, site) for site in sites)
    low, high = (float(np.interp(_AT_BAR, gauge, line)) for line in (hill, sea))
    words = (
        f"Temperature of saturated steam against what the gauge reads. At {_AT_BAR} bar it has "
        f"{high:.1f} °C at sea level and {low:.1f} °C at {_HILL_M:.0f} m, {high - low:.1f} K less, "
        f"for a gauge counts from the air around it."
    )
    return Curves(
        name="physics-steam",
        title="Steam at what a gauge reads",
        words=words,
        x=Axis("Gauge pressure, bar", 0.0, 1.2),
        y=Axis("Temperature of steam, °C", 90, 130),
        curves=(
            Curve.of(gauge, sea, tone="bead", label=Label("at sea level", 0.6, 116, "end")),
            Curve.of(gauge, hill, tone="scrap", dashes="8 4",
                     label=Label(f"at {_HILL_M:.0f} m", 0.75, 110.5)),
        ),
        points=(
            Point(_AT_BAR, high, label=Label(f"{high:.1f} °C", _AT_BAR - 0.015, high + 2, "end")),
            Point(_AT_BAR, low, label=Label(f"{low:.1f} °C", _AT_BAR + 0.02, low - 1.5)),
        ),
        across=(Across(_AT_BAR, upright=True),),
    )  # fmt: skip


def _celsius(gauge_pa: np.ndarray, site_pa: float) -> np.ndarray:
    pressure = steam.absolute_pressure(gauge_pa, site_pa)
    return np.asarray(steam.saturation_temperature(pressure) - 273.15)
