"""What share of bad pieces goes out on the average, over the share that comes in.

Read :func:`picture`. It holds where lots not accepted are looked through piece by piece.
"""

from __future__ import annotations

import numpy as np

from beadwright.charts.curves import Axis, Curve, Curves, Label, Point
from beadwright.statistics.sampling import SinglePlan, averages, outgoing_limit

__all__ = ["picture"]

_POINTS = 161
_BEYOND = 3.0
"""How far past the worst of it the picture goes."""


def picture(plan: SinglePlan, lot: int, name: str = "outgoing") -> Curves:
    """Give the picture of what goes out by a plan that leaves some pieces of a lot unseen."""
    worst, at = outgoing_limit(plan, lot)
    high = min(1.0, _BEYOND * at)
    shares = np.linspace(0.0, high, _POINTS)
    out = averages(plan, shares, lot).outgoing
    title = "What goes out, where lots not accepted are looked through"
    words = (
        f"Bad pieces in what goes out are on the average at most {100 * worst:.2g} %, which is when"
        f" {100 * at:.2g} % come in. With fewer in, fewer go out; with more in, more lots are"
        " looked through and cleaned."
    )
    label = Label(f"at most {100 * worst:.2g} %", 100 * at, 100 * worst * 1.06, "middle")
    return Curves(
        name,
        title,
        words,
        Axis("Bad pieces in what comes in, %", 0.0, 100 * high),
        Axis("Bad pieces in what goes out, %", 0.0, 100 * worst * 1.25),
        (Curve.of(100 * shares, 100 * out),),
        (Point(100 * at, 100 * worst, label=label),),
    )
