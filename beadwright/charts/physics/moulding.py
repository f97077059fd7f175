"""Foam pressure on the mould face while a shot cools, and when it lets the block out.

Read :func:`picture`.
"""

from __future__ import annotations

import numpy as np

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label, Point, Stretch
from beadwright.science import moulding

__all__ = ["SHOT", "picture"]

SHOT: tuple[tuple[float, float], ...] = (
    (0, 70.9), (6, 57.2), (12, 49.1), (18, 39.7), (24, 35.2), (30, 28.4), (36, 25.8), (42, 21.1),
    (48, 19.6), (54, 16.6), (60, 15.9), (66, 13.2), (72, 13.4), (78, 11.4), (84, 11.7), (90, 10.0),
)  # fmt: skip
"""An invented shot: seconds since cooling began, foam pressure above the atmosphere in kPa."""

_SPREAD = 700.0


def picture() -> Curves:
    """Give a shot's readings, the decay through them, and the time to wait for."""
    seconds, kilopascals = (np.array(row) for row in zip(*SHOT, strict=True))
    record = moulding.PressureRecord(seconds, kilopascals * 1e3, spread_pa=_SPREAD)
    fit = moulding.fit_foam_pressure(record)
    limit = moulding.DEMOULD_PRESSURE.value
    when = moulding.earliest_demould(fit, limit).time_s
    assert when is not None, "the picture's shot tells its time"  # noqa: S101
    low, likely, late = (float(one) for one in (when.low, when.value, when.high))
    times = np.linspace(0, 90, 91)
    decay = moulding.foam_pressure(times, fit.decay) / 1e3
    words = (
        f"Foam pressure above the atmosphere against seconds of cooling: the readings of an "
        f"invented shot fall along a decay. They reach the {limit / 1e3:.0f} kPa at which the "
        f"block may come out at {likely:.0f} s, band {low:.0f} to {late:.0f} s. Waited for is the "
        f"late end."
    )
    return Curves(
        name="physics-moulding",
        title="Foam pressure while a shot cools",
        words=words,
        x=Axis("Cooling, s", 0, 90),
        y=Axis("Foam pressure, kPa", 0, 80),
        curves=(Curve.of(times, decay, tone="block", label=Label("the fitted decay", 22, 44)),),
        points=tuple(Point(x, y, full=False) for x, y in SHOT),
        across=(
            Across(limit / 1e3, tone="bad",
                   label=Label(f"limit: {limit / 1e3:.0f} kPa", 2, limit / 1e3 - 4)),
            Across(late, upright=True, tone="ink", dashes=None,
                   label=Label(f"wait until {late:.0f} s", late + 1, 62)),
        ),
        stretches=(
            Stretch(low, late, tone="warn", label=Label("the band", low - 1, 72, "end")),
        ),
    )  # fmt: skip
