"""What goes out by a plan, drawn: its highest point against the handbook's figures."""

from __future__ import annotations

import pytest

from beadwright.charts.curves import draw
from beadwright.charts.outgoing import picture
from beadwright.statistics.sampling import SinglePlan


def test_the_highest_point_is_the_outgoing_limit() -> None:
    """[nist-handbook] 6.2.3.2: plan (52, 3), lots of 10000: AOQ 0.0278 at p = 0.03, of its table.

    Its curve has its top between 0.05 and 0.06, at 0.037 or so.
    """
    spec = picture(SinglePlan(52, 3), 10_000)
    (curve,), (top,) = spec.curves, spec.points

    assert max(curve.y) == pytest.approx(top.y, rel=1e-3)  # the curve's step
    at = min(range(len(curve.x)), key=lambda one: abs(curve.x[one] - 3.0))
    assert curve.y[at] == pytest.approx(2.78, abs=0.06)  # the next point of the curve, 0.1 off
    assert 5 < top.x < 6
    assert "at most 3.7 %" in spec.words
    assert "<svg" in draw(spec).svg
