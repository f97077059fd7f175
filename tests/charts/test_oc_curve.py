"""The curve of a plan: what is drawn is what the plan does."""

import pytest

from beadwright.charts.curves import draw
from beadwright.charts.oc_curve import OcCurve, Promise, picture
from beadwright.statistics.sampling import DoublePlan, SinglePlan, VariablesPlan
from tests.charts.drawn import overlaps

PROMISES = (
    Promise(0.01, 0.954, "a good lot passes"),
    Promise(0.06, 0.0996, "a bad lot does not"),
)


@pytest.mark.parametrize(
    "of",
    [
        OcCurve(SinglePlan(110, 3), "110 pieces, at most 3 bad", None, PROMISES),
        OcCurve(SinglePlan(50, 1), "50 pieces, at most 1 bad", 270),
        OcCurve(DoublePlan(67, 1, 4, 67, 3), "two samples of 67", 1000, PROMISES),
        OcCurve(VariablesPlan(42, 1.898), "42 readings", None, PROMISES),
        OcCurve(SinglePlan(270, 0), "every piece", 270),
        OcCurve(SinglePlan(2, 1), "2 pieces, at most 1 bad"),
    ],
)
def test_the_curve_falls_from_all_to_none_and_no_words_lie_on_words(of: OcCurve) -> None:
    """It begins at 100 and falls; texts keep clear of each other."""
    spec = picture(of)
    (curve, *_) = spec.curves

    assert curve.y[0] == pytest.approx(100, abs=0.01)
    assert all(one >= other - 1e-9 for one, other in zip(curve.y, curve.y[1:], strict=False))
    assert overlaps(draw(spec)) == []


def test_the_words_name_three_shares_of_the_curve() -> None:
    """Who sees no picture is told where it is accepted nearly always, half the time, seldom."""
    said = picture(OcCurve(SinglePlan(50, 1), "50 pieces, at most 1 bad", 270)).words

    assert "Accepted at least 95 times in 100 up to 0.74 % bad pieces." in said
    assert "Accepted at least 10 times in 100 up to 7 % bad pieces." in said
