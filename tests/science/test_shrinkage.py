"""Shrinkage: the curve's limits, the age at which to judge, and what weeks of lengths can tell."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from beadwright.errors import OutOfRange
from beadwright.science.moulding import (
    FURTHEST_S,
    ShrinkageCurve,
    ShrinkageRecord,
    fit_shrinkage,
    fitted_judging_age,
    forecast_shrinkage,
    judging_age,
    remaining_shrinkage,
    shrinkage,
)

DAY = 86_400.0
TRUTH = ShrinkageCurve(0.0045, 0.0025, 18 * DAY, 0.6)
MONTH = DAY * np.repeat([1 / 24, 1, 3, 7, 28], 4)
WEEK = DAY * np.repeat([1 / 24, 1, 3, 7], 4)
NOISE = 1e-4
BOARD = 0.8 / 305  # a board's length tolerance
CURVES = st.builds(
    ShrinkageCurve,
    st.floats(0, 0.01),
    st.floats(-0.01, 0.01),
    st.floats(DAY, 60 * DAY),
    st.floats(0.3, 1.5),
)


def lengths(
    random: np.random.Generator,
    ages: NDArray[np.float64],
    tau: float | None = None,
    exponent: float | None = None,
) -> ShrinkageRecord:
    """Shrinkages of four blocks at each age, a tenth of a millimetre in a metre of scatter."""
    seen = shrinkage(ages, TRUTH) + NOISE * random.standard_normal(ages.size)
    return ShrinkageRecord(ages, seen, tau, exponent, NOISE)


@given(CURVES, st.floats(0, 700))
def test_shrunk_and_still_to_come_are_the_whole(curve: ShrinkageCurve, days: float) -> None:
    """At any age the two sum to the same."""
    done, left = shrinkage(days * DAY, curve), remaining_shrinkage(days * DAY, curve)
    whole = float(curve.mould_share) + float(curve.after_share)  # type: ignore[arg-type]

    assert float(done + left) == pytest.approx(whole, abs=1e-12)


def test_limits_of_age() -> None:
    """Out of the mould only the mould's share has gone; after two years nearly all."""
    assert float(shrinkage(0.0, TRUTH)) == 0.0045
    assert float(shrinkage(730 * DAY, TRUTH)) == pytest.approx(0.0070, abs=1e-6)


@given(CURVES, st.floats(1e-4, 0.05), st.floats(0.05, 1))
def test_at_the_judging_age_the_rest_is_the_part_of_the_tolerance(
    curve: ShrinkageCurve, tolerance: float, part: float
) -> None:
    """There and not before, unless any age will do; a tighter tolerance is later."""
    age = float(judging_age(curve, tolerance, part))
    if age > 700 * DAY:
        return
    left = abs(float(remaining_shrinkage(age, curve)))

    assert left <= part * tolerance * (1 + 1e-9)
    assert age == 0 or left == pytest.approx(part * tolerance, rel=1e-9)
    assert float(judging_age(curve, tolerance / 2, part)) >= age


@pytest.mark.parametrize("ages", [MONTH, WEEK])
def test_with_the_form_known_the_size_is_told(ages: NDArray[np.float64]) -> None:
    """Time constant and exponent from other products: size, forecast and judging age hold."""
    random = np.random.default_rng(ages.size)
    held = np.zeros(3)
    when, later = float(judging_age(TRUTH, BOARD)), ages.max() + 10 * DAY
    for _ in range(200):
        fit = fit_shrinkage(lengths(random, ages, 18 * DAY, 0.6))
        assert fit.refused == ()
        after = fit.parameters[1]
        assert after.value is not None
        assert after.u is not None
        ahead = forecast_shrinkage(fit, later)
        age = fitted_judging_age(fit, BOARD)
        assert age.age_s is not None
        held += [
            abs(after.value - 0.0025) < 1.96 * after.u,
            bool(ahead.band.low <= shrinkage(later, TRUTH) <= ahead.band.high),
            bool(age.age_s.low <= when <= age.age_s.high),
        ]

    assert np.all((held / 200 > 0.91) & (held / 200 < 0.99)), held


def test_a_month_alone_does_not_tell_what_is_still_to_come() -> None:
    """Twenty lengths over 28 days: the later share and its time are refused, and so is the age."""
    random = np.random.default_rng(5)
    fits = [fit_shrinkage(lengths(random, MONTH)) for _ in range(60)]
    silent = [{"s_p", "tau_s"} <= {each.symbol for each in fit.refused} for fit in fits]
    ages = [fitted_judging_age(fit, BOARD) for fit in fits]

    assert sum(silent) >= 57
    assert sum(age.age_s is None for age in ages) >= 57
    assert "last reading is 28 days old" in next(age.why for age in ages if age.age_s is None)


def test_within_its_record_the_curve_is_told_all_the_same() -> None:
    """The band at 20 days holds the truth in 95 of 100 records that refuse their parameters."""
    random = np.random.default_rng(6)
    truth = shrinkage(20 * DAY, TRUTH)
    held = 0
    for _ in range(200):
        band = forecast_shrinkage(fit_shrinkage(lengths(random, MONTH)), 20 * DAY).band
        held += bool(band.low <= truth <= band.high)

    assert 0.91 < held / 200 < 0.995


def test_two_weeks_beyond_is_flagged() -> None:
    """Up to two weeks after the last reading there is no flag, then there is."""
    fit = fit_shrinkage(lengths(np.random.default_rng(7), WEEK, 18 * DAY, 0.6))
    edge = 7 * DAY + FURTHEST_S

    assert forecast_shrinkage(fit, [edge, edge + 1.0]).too_far.tolist() == [False, True]
    assert fitted_judging_age(fit, BOARD).too_far
    assert not fitted_judging_age(fit, 10 * BOARD).too_far
    assert float(fitted_judging_age(fit, 0.1, 1.0).age_s.value) == 0.0  # type: ignore[union-attr]


def test_a_product_that_grows_is_fitted_too() -> None:
    """Negative later share: found with its sign, and judged by its size."""
    grows = ShrinkageCurve(0.004, -0.002, 10 * DAY, 0.7)
    fit = fit_shrinkage(
        ShrinkageRecord(MONTH, shrinkage(MONTH, grows), 10 * DAY, 0.7, spread=NOISE)
    )

    assert fit.parameters[1].value == pytest.approx(-0.002, rel=1e-6)
    assert float(fitted_judging_age(fit, BOARD).age_s.value) == pytest.approx(  # type: ignore[union-attr]
        float(judging_age(grows, BOARD)), rel=1e-6
    )


FIT = fit_shrinkage(lengths(np.random.default_rng(7), WEEK, 18 * DAY, 0.6))


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: shrinkage([1.0, -1.0], TRUTH), r"time_s\[1\] is -1.0"),
        (lambda: remaining_shrinkage([1.0, np.nan], TRUTH), r"time_s\[1\] is nan"),
        (lambda: shrinkage([], TRUTH), "time_s is empty"),
        (lambda: shrinkage(1.0, ShrinkageCurve(mould_share=0.06)), "mould_share is 0.06"),
        (lambda: shrinkage(1.0, ShrinkageCurve(after_share=np.nan)), "after_share is nan"),
        (lambda: shrinkage(1.0, ShrinkageCurve(time_constant_s=0.0)), "time_constant_s is 0.0"),
        (lambda: shrinkage(1.0, ShrinkageCurve(exponent=[0.6, 0.0])), r"exponent\[1\] is 0.0"),
        (lambda: judging_age(TRUTH, [0.01, 0.0]), r"tolerance_share\[1\] is 0.0"),
        (lambda: judging_age(TRUTH, 0.01, 1.5), "part is 1.5"),
        (lambda: fit_shrinkage(ShrinkageRecord([1.0, 2.0], [0.1, 0.1])), r"shrunk\[0\] is 0.1"),
        (lambda: fit_shrinkage(ShrinkageRecord([1.0, 2.0], [0.0, np.nan])), r"shrunk\[1\] is nan"),
        (lambda: fit_shrinkage(ShrinkageRecord([1.0, 2.0], [0.0, 0.0])), "time_s is 2 readings"),
        (lambda: fit_shrinkage(ShrinkageRecord([1.0, 2.0], [0.0] * 3)), "shrunk is of shape"),
        (
            lambda: fit_shrinkage(ShrinkageRecord(WEEK, WEEK * 0, time_constant_s=1.0)),
            "time_constant_s is 1.0",
        ),
        (lambda: fit_shrinkage(ShrinkageRecord(WEEK, WEEK * 0, exponent=3.0)), "exponent is 3.0"),
        (lambda: fit_shrinkage(ShrinkageRecord(WEEK, WEEK * 0, spread=0.0)), "spread is 0.0"),
        (lambda: forecast_shrinkage(FIT, [1.0, -1.0]), r"time_s\[1\] is -1.0"),
        (lambda: forecast_shrinkage(FIT, 1.0, 1.0), "coverage is 1.0"),
        (lambda: fitted_judging_age(FIT, 0.0), "tolerance_share is 0.0"),
        (lambda: fitted_judging_age(FIT, 0.01, 0.0), "part is 0.0"),
        (lambda: fitted_judging_age(FIT, 0.01, coverage=0.0), "coverage is 0.0"),
    ],
)
def test_bad_input_is_named(ask: Callable[[], object], message: str) -> None:
    """By argument, first bad value, index and range."""
    with pytest.raises(OutOfRange, match=message):
        ask()
