"""Gauge studies: what must hold of any readings, and what their intervals promise."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.special import fdtri

from beadwright.errors import OutOfRange
from beadwright.statistics.gauge_study import (
    Term,
    component,
    crossed_study,
    nested_study,
    range_study,
    study_over_time,
)
from beadwright.statistics.ranges import mean_range, range_spread

Readings = NDArray[np.float64]

SHAPES = st.tuples(st.integers(2, 6), st.integers(2, 4), st.integers(2, 4))


@st.composite
def readings(draw: st.DrawFn) -> Readings:
    """Whole numbers in an array of three dimensions."""
    shape = draw(SHAPES)
    count = math.prod(shape)
    values = draw(st.lists(st.integers(-99, 99), min_size=count, max_size=count))
    return np.array(values, dtype=np.float64).reshape(shape)


def made(random: np.random.Generator, sds: tuple[float, ...], shape: tuple[int, ...]) -> Readings:
    """Readings with these standard deviations of part, person, interaction, repeatability."""
    p, o, _ = shape
    part, person, both, error = (
        random.normal(0, 1, s) for s in ((p, 1, 1), (o, 1), (p, o, 1), shape)
    )
    return np.asarray(sds[0] * part + sds[1] * person + sds[2] * both + sds[3] * error)


@given(readings())
def test_the_squares_add_up(values: Readings) -> None:
    """Every reading's square about the mean belongs to one line, in both designs."""
    total = float(((values - values.mean()) ** 2).sum())
    for table in (crossed_study(values).table, nested_study(values).table):
        assert sum(row.squares for row in table[:-1]) == pytest.approx(total, abs=1e-6)
        assert sum(row.dof for row in table[:-1]) == table[-1].dof == values.size - 1


@given(readings(), st.integers(1, 9), st.integers(-50, 50))
def test_a_study_moves_with_unit_and_zero(values: Readings, times: int, more: int) -> None:
    """Standard deviations in the other unit; shares and classes the same."""
    one, other = crossed_study(values), crossed_study(times * values + more)

    assert other.gauge.sd == pytest.approx(times * one.gauge.sd, abs=1e-6)
    assert other.part.sd == pytest.approx(times * one.part.sd, abs=1e-5)
    assert other.pooled == one.pooled
    by_hand = range_study(times * values + more)
    assert by_hand.gauge == pytest.approx(times * range_study(values).gauge, abs=1e-4)


@given(readings())
def test_variances_add_up_and_lie_in_their_intervals(values: Readings) -> None:
    """Gauge is repeatability and reproducibility; total is gauge and part; all within bounds."""
    study = crossed_study(values, pool_above=1.0)
    for one in (study.repeatability, study.person, study.gauge, study.part, study.total):
        assert one.lower - 1e-9 <= one.variance <= one.upper + 1e-9
    whole = study.repeatability.variance + study.reproducibility.variance

    assert study.gauge.variance == pytest.approx(whole, abs=1e-8)
    assert study.total.variance == pytest.approx(study.part.variance + whole, abs=1e-8)
    assert 0 <= study.share <= 1


def test_each_component_lies_in_its_interval_as_often_as_promised() -> None:
    """300 studies of 8 parts, 3 people, 3 trials: 95 %, at least within four standard errors."""
    random, trials, sds = np.random.default_rng(9), 300, (1.0, 0.3, 0.2, 0.25)
    squares = [sd**2 for sd in sds]
    truth = {
        "repeatability": squares[3],
        "person": squares[1],
        "interaction": squares[2],
        "gauge": sum(squares[1:]),
        "part": squares[0],
        "total": sum(squares),
    }
    held = dict.fromkeys(truth, 0)
    shares = 0
    for _ in range(trials):
        study = crossed_study(made(random, sds, (8, 3, 3)), pool_above=1.0)
        for name, variance in truth.items():
            one = getattr(study, name)
            held[name] += one.lower <= variance <= one.upper
        low, high = study.share_interval
        shares += low <= math.sqrt(truth["gauge"] / truth["total"]) <= high

    for times in (*held.values(), shares):
        assert times / trials > 0.95 - 4 * math.sqrt(0.95 * 0.05 / trials)


def test_large_studies_find_what_was_planted() -> None:
    """60 parts, 40 people, 2 trials: every component within a quarter of itself."""
    sds = (1.0, 0.5, 0.4, 0.3)
    study = crossed_study(made(np.random.default_rng(10), sds, (60, 40, 2)))

    assert not study.pooled
    assert study.interaction is not None
    found = (study.part.sd, study.person.sd, study.interaction.sd, study.repeatability.sd)
    assert found == pytest.approx(sds, rel=0.25)
    assert study.repeatability.sd == pytest.approx(0.3, rel=0.05)


def test_pooling_follows_the_chance_of_the_interaction() -> None:
    """Without interaction it is pooled as a rule; asked never, it is not; asked always, it is."""
    values = made(np.random.default_rng(11), (1.0, 0.3, 0.0, 0.2), (10, 3, 3))
    strong = made(np.random.default_rng(12), (1.0, 0.3, 1.0, 0.2), (10, 3, 3))

    assert not crossed_study(values, pool_above=1.0).pooled
    assert crossed_study(values, pool_above=0.0).pooled
    assert not crossed_study(strong).pooled
    assert crossed_study(strong, pool_above=0.0).pooled


def test_a_gauge_that_does_not_scatter_tells_everything_apart() -> None:
    """No repeatability, no people: share 0, infinite classes, and no division by nothing."""
    values = np.broadcast_to(np.arange(4.0)[:, None, None], (4, 2, 2))
    study = crossed_study(values)

    assert study.gauge.sd == 0
    assert study.share == 0
    assert math.isinf(study.distinct)
    assert study.table[0].f is None


def test_parts_that_are_all_alike_cannot_be_told_apart() -> None:
    """The share of the gauge is all, and the interval of the classes starts at none."""
    values = made(np.random.default_rng(13), (0.0, 0.1, 0.0, 0.2), (10, 3, 3))
    study = crossed_study(values)

    assert study.distinct <= 1
    assert study.distinct_interval[0] == 0
    assert study.of_tolerance(12 * study.gauge.sd) == pytest.approx(0.5)


def test_one_mean_square_has_its_exact_interval() -> None:
    """Chi-square of 60 degrees of freedom: 40.48 and 83.30."""
    found = component([Term(1.0, 1.0, 60)])

    assert found.lower == pytest.approx(60 / 83.2977, rel=1e-5)
    assert found.upper == pytest.approx(60 / 40.4817, rel=1e-5)


@pytest.mark.parametrize(("one", "other"), [(9, 18), (2, 18), (30, 4)])
def test_a_difference_ends_at_nothing_where_the_ratio_is_just_not_shown(
    one: int, other: int
) -> None:
    """At the upper 2.5 % point of F the lower end is 0; at the lower point the upper end is."""
    high, low = float(fdtri(one, other, 0.975)), float(fdtri(one, other, 0.025))
    shown = component([Term(1.0, high, one), Term(-1.0, 1.0, other)])
    hidden = component([Term(1.0, low, one), Term(-1.0, 1.0, other)])

    assert shown.estimate > 0
    assert shown.lower == pytest.approx(0, abs=1e-9 * high)
    assert shown.upper > shown.estimate
    assert hidden.estimate < 0
    assert hidden.upper == pytest.approx(0, abs=1e-9)


@given(readings())
def test_the_sums_of_both_designs_are_of_their_parts(values: Readings) -> None:
    """Before anything counts as 0: gauge and total are what they are made of."""
    nested, crossed = nested_study(values), crossed_study(values, pool_above=1.0)
    inner = crossed.interaction.estimate if crossed.interaction else 0.0
    gauge = crossed.repeatability.estimate + crossed.person.estimate + inner

    assert crossed.gauge.estimate == pytest.approx(gauge, abs=1e-7)
    assert crossed.total.estimate == pytest.approx(gauge + crossed.part.estimate, abs=1e-7)
    made = nested.repeatability.estimate + nested.person.estimate
    assert nested.gauge.estimate == pytest.approx(made, abs=1e-7)
    assert nested.total.estimate == pytest.approx(made + nested.part.estimate, abs=1e-7)


def test_a_nested_study_finds_what_was_planted() -> None:
    """160 people with 20 parts of their own: each within a quarter, four standard errors."""
    random = np.random.default_rng(14)
    values = (
        0.5 * random.normal(0, 1, (160, 1, 1))
        + 1.0 * random.normal(0, 1, (160, 20, 1))
        + 0.3 * random.normal(0, 1, (160, 20, 2))
    )
    study = nested_study(values)

    assert (study.person.sd, study.part.sd, study.repeatability.sd) == pytest.approx(
        (0.5, 1.0, 0.3), rel=0.25
    )


def test_days_and_runs_add_to_what_repeats_within_minutes() -> None:
    """Planted 0.1 within, 0.2 by day, 0.3 by run on 300 standards: found within a tenth."""
    random = np.random.default_rng(15)
    shape = (300, 4, 5)
    runs, days = random.normal(0, 0.3, (300, 4, 1)), random.normal(0, 0.2, shape)
    raw = (runs + days)[..., None] + random.normal(0, 0.1, (*shape, 6))
    study = study_over_time(raw.mean(axis=-1), raw.std(axis=-1, ddof=1), repeats=6)

    assert study.within.sd == pytest.approx(0.1, rel=0.1)
    assert study.day_component == pytest.approx(0.2, rel=0.1)
    assert study.run_component == pytest.approx(0.3, rel=0.1)
    assert study.single == pytest.approx(math.sqrt(0.14), rel=0.1)


@pytest.mark.parametrize("count", [2, 3, 5, 10, 25])
def test_ranges_drawn_are_as_wide_as_integrated(count: int) -> None:
    """200,000 ranges: mean and spread within four standard errors, or nearly."""
    drawn = np.ptp(np.random.default_rng(16).normal(0, 1, (200_000, count)), axis=1)

    assert abs(float(drawn.mean()) - mean_range(count)) < 4 * range_spread(count) / 447
    assert float(drawn.std()) == pytest.approx(range_spread(count), rel=0.01)


GAP = [[[1.0, 2.0], [1.0, math.nan]], [[1.0, 2.0], [1.0, 2.0]]]
EIGHT = np.arange(8.0).reshape(2, 2, 2)


@pytest.mark.parametrize(
    ("call", "part"),
    [
        (lambda: crossed_study([1.0, 2.0]), "values is of shape (2,): must be of three"),
        (lambda: crossed_study([[[1.0], [2.0]]]), "values is of shape (1, 2, 1)"),
        (lambda: crossed_study(GAP), "values[0, 1, 1] is nan"),
        (lambda: crossed_study(EIGHT, pool_above=2), "pool_above is 2"),
        (lambda: crossed_study(EIGHT, confidence=1.0), "confidence is 1.0"),
        (lambda: crossed_study(EIGHT).of_tolerance(0.0), "width is 0.0"),
        (lambda: nested_study(GAP), "values[0, 1, 1] is nan"),
        (lambda: range_study(GAP), "values[0, 1, 1] is nan"),
        (lambda: study_over_time(EIGHT, EIGHT, repeats=1), "repeats is 1"),
        (lambda: study_over_time(EIGHT, [1.0], repeats=2), "deviations is of shape (1,)"),
        (lambda: study_over_time(EIGHT, -EIGHT, repeats=2), "deviations[0, 0, 1] is -1.0"),
        (lambda: mean_range(1), "count is 1"),
    ],
)
def test_what_has_no_sense_is_refused_by_name(call: object, part: str) -> None:
    """The argument, its first bad value, where, and what it must be."""
    assert callable(call)
    with pytest.raises(OutOfRange) as caught:
        call()

    assert part in str(caught.value)
