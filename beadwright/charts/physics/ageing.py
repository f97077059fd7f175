"""Beads as they age: air comes in, pentane goes out, and between lies the window.

Read :func:`picture`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label, Stretch
from beadwright.science import ageing
from beadwright.science.trust import NINE_IN_TEN, Parameter

__all__ = ["picture"]

_DENSITY, _PENTANE, _ROOM = 36.0, 0.05, 296.15
_RADII = ageing.size_classes([3e-3])
_HOURS = np.geomspace(0.1, 1000, 121)


def picture() -> Curves:
    """Give the shares of air in and of pentane left against hours, each with its band."""
    air = [_shares(air=end)[0] for end in (-1, 0, 1)]
    left = [_shares(pentane=end)[1] for end in (1, 0, -1)]
    fills = ageing.SiloFills(_DENSITY, _PENTANE, _RADII, _ROOM, _ROOM, 0.8, 0.0, 0.0)
    window = ageing.ageing_window(fills)
    opens, closes = (float(one.value[0]) / 3600 for one in (window.opens_s, window.closes_s))
    enough = 100 * ageing.ENOUGH_AIR.value
    least = 100 * ageing.LEAST_PENTANE.value / _PENTANE
    words = (
        f"Share of air come in and of pentane left in beads of 3 mm at 23 °C, against the hours "
        f"since they were filled, each as a band that nine in ten lie in. By the middle lines, "
        f"{enough:.0f} % of the air is in after {opens:.1f} h, and after {closes:.0f} h pentane "
        f"falls to the least that is wanted, {least:.0f} % of what came in. Each band is wide: a "
        f"factor of {_off(ageing.PERMEABILITY_SPREAD):.0f} either way in time for air, of "
        f"{_off(ageing.PENTANE_SPREAD):.0f} for pentane."
    )
    return Curves(
        name="physics-ageing",
        title="Air in, pentane out, and the window between",
        words=words,
        x=Axis("Hours since filling", 0.1, 1000, log=True),
        y=Axis("Share, %", 0, 100),
        curves=(
            Curve.of(_HOURS, air[1], tone="bead", low=air[0], high=air[2],
                     label=Label("air in", 0.3, 66, "end")),
            Curve.of(_HOURS, left[1], tone="scrap", dashes="8 4", low=left[0], high=left[2],
                     label=Label("pentane left", 21, 79)),
        ),
        across=(
            Across(enough, label=Label(f"enough air: {enough:.0f} %", 0.11, enough - 4)),
            Across(least, label=Label(f"least pentane: {least:.0f} %", 930, least + 4, "end")),
        ),
        stretches=(Stretch(opens, closes, label=Label("the window", (opens * closes) ** 0.5, 6,
                                                      "middle")),),
    )  # fmt: skip


def _off(spread: Parameter) -> float:
    """Give the factor that nine in ten lie within, either way."""
    return float(np.exp(NINE_IN_TEN * spread.value))


def _shares(*, air: float = 0, pentane: float = 0) -> tuple[NDArray[np.float64], ...]:
    """Give both shares in per cent, with a parameter at an end of its band."""
    model = ageing.AgeingModel(
        air_multiplier=np.exp(air * NINE_IN_TEN * ageing.PERMEABILITY_SPREAD.value),
        pentane_m2_s=ageing.PENTANE_DIFFUSIVITY.value
        * np.exp(pentane * NINE_IN_TEN * ageing.PENTANE_SPREAD.value),
    )
    beads = ageing.SiloBeads(_DENSITY, _PENTANE, _RADII, _ROOM)
    state = ageing.ageing_state(beads, _HOURS * 3600, model)
    mean = state.air_share.mean(axis=1)[0], state.pentane_per_dry.mean(axis=1)[0] / _PENTANE
    return tuple(100 * one for one in mean)
