"""Bulk density against steaming time: down to a minimum, then up again; and what a trial tells.

Read :func:`picture`.
"""

from __future__ import annotations

import numpy as np

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label, Point, Stretch
from beadwright.science import expansion

__all__ = ["CUPS", "picture"]

CUPS: tuple[tuple[float, float], ...] = (
    (15, 54.6), (25, 33.4), (40, 23.5), (60, 19.6), (90, 17.2),
    (130, 17.4), (180, 17.9), (250, 20.2), (350, 22.6), (480, 28.4),
)  # fmt: skip
"""An invented trial, one over-steam run included: seconds in steam, density of the dried cup."""

_RAW, _SHORT, _SPREAD = 610.0, 60.0, 0.02
_TARGET = 21.6


def picture() -> Curves:
    """Give a trial's cups, the curve through them with its band, and its lowest point."""
    seconds, densities = (np.array(row) for row in zip(*CUPS, strict=True))
    trial = expansion.SteamingTrial(seconds, densities, _RAW, spread=_SPREAD)
    fit = expansion.fit_steaming(trial)
    times = np.linspace(*fit.tested_s, 156)
    band = expansion.fitted_density(fit, times)
    lowest = expansion.lowest_density(fit.curve)
    when, least = float(lowest.time_s), float(lowest.density_kg_m3)
    words = (
        f"Bulk density of beads against the time they were steamed. It falls steeply, is lowest at "
        f"{when:.0f} s with {least:.1f} kg/m³, and rises again as cells collapse: {_TARGET} kg/m³ "
        f"is met twice. The ten cups of an invented trial lie along it. A trial that stops at "
        f"{_SHORT:.0f} s has seen the fall alone."
    )
    here = Label("the fitted curve with its band", 478, 32, "end")
    bottom = Label(f"lowest: {least:.1f} at {when:.0f} s", when, 14, "middle")
    return Curves(
        name="physics-expansion",
        title="Density against steaming time",
        words=words,
        x=Axis("Time in steam, s", 0, 500),
        y=Axis("Bulk density, kg/m³", 10, 60),
        curves=(
            Curve.of(
                times, band.value, tone="prefoam", low=band.low, high=band.high, label=here
            ),
        ),
        points=(
            *(Point(s, d, full=False) for s, d in CUPS),
            Point(when, least, label=bottom),
        ),
        across=(
            Across(_TARGET, label=Label(f"aim: {_TARGET}, met twice", 120, 22.8)),
        ),
        stretches=(
            Stretch(0, _SHORT, tone="warn",
                    label=Label("a trial that stops here has not seen the minimum", 64, 57)),
        ),
    )  # fmt: skip
