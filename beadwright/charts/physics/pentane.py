"""What a silo's beads give off hour by hour, and how it falls.

Read :func:`picture`.
"""

from __future__ import annotations

import numpy as np

from beadwright.charts.curves import Axis, Curve, Curves, Label
from beadwright.science import pentane

__all__ = ["picture"]

_DRY_KG, _CONTENT, _RADIUS_M, _DIFFUSIVITY = 400.0, 0.05, 1.5e-3, 2.3e-13
_HOURS = 48


def picture() -> Curves:
    """Give the mean rate of each hour since filling, with its band."""
    content = pentane.per_dry_polymer(pentane.PerWetBead.of(_CONTENT))
    beads = pentane.Beads(_DRY_KG, content, 0.0, _RADIUS_M, _DIFFUSIVITY)
    edges = np.arange(_HOURS + 1) * 3600.0
    rate = pentane.emission_rate(beads, edges)
    value, low, high = (3600 * one for one in (rate.value, rate.low, rate.high))
    middle = np.arange(_HOURS) + 0.5
    held = _DRY_KG * float(content.kg_kg)
    given = float(value.sum())
    words = (
        f"Pentane that {_DRY_KG:.0f} kg of beads of 3 mm give off in each hour since they were "
        f"filled, with its band. {value[0]:.2f} kg ({low[0]:.2f} to {high[0]:.2f}) in the first, "
        f"{value[5]:.2f} in the sixth, {value[23]:.2f} in the 24th; {given:.0f} of the "
        f"{held:.0f} kg they held in two days."
    )
    return Curves(
        name="physics-pentane",
        title="What a silo gives off",
        words=words,
        x=Axis("Hours since filling", 0, _HOURS),
        y=Axis("Given off, kg/h", 0.0, 2.5),
        curves=(
            Curve.of(middle, value, tone="prefoam", low=low, high=high,
                     label=Label("mean of each hour, with its band", 4, 0.88)),
        ),
    )  # fmt: skip
