"""Control charts: rules against a plain reading of their words, phases, reasons, the choice."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.statistics import run_length
from beadwright.statistics.charts import (
    ISO_7870_2,
    NELSON,
    WESTERN_ELECTRIC,
    Baseline,
    Chart,
    Cusum,
    LeftOut,
    Rule,
    RuleSet,
    Series,
    chart_of,
    choose,
    cusum,
    cusum_run_length,
    ewma,
    factors,
    individuals,
    many_individuals,
    means,
    proportions,
    rates,
    subgrouped,
)
from beadwright.statistics.charts.cusum import one_sided_run_length, sums
from beadwright.statistics.charts.rules import found

ALL = RuleSet("all", (*NELSON.rules, *WESTERN_ELECTRIC.rules, *ISO_7870_2.rules), "", verified=True)


def read(z: list[float], rule: Rule, end: int) -> int:
    """Read a rule as it is written: its side at this point, 0 where it is not completed."""
    window = z[max(0, end - rule.of + 1) : end + 1]
    if rule.form == "beyond":
        sides = [1 if v > rule.width else -1 if v < -rule.width else 0 for v in window]
        return sides[-1] * (sides.count(sides[-1]) >= rule.count)
    if len(window) < rule.of:
        return 0
    if rule.form in {"within", "outside"}:
        return int(all((abs(v) <= rule.width) == (rule.form == "within") for v in window))
    steps = [b - a for a, b in pairwise(window)]
    if rule.form == "trend":
        return int(all(s > 0 for s in steps)) - int(all(s < 0 for s in steps))
    return int(all(a * b < 0 for a, b in pairwise(steps)))


@given(st.lists(st.sampled_from([-3.5, -2.5, -1.5, -0.5, 0.0, 0.4, 0.5, 1.5, 2.5, 3.5]),
                min_size=1, max_size=60))  # fmt: skip
def test_rules_are_read_as_they_are_written(z: list[float]) -> None:
    """All at once gives what reading window after window gives."""
    sides = found(z, ALL)
    plain = [[read(z, rule, end) for end in range(len(z))] for rule in ALL.rules]

    assert sides.tolist() == plain


LONG = (
    [0.5 * (-1) ** i for i in range(20)],  # by turns, and within one sigma
    [0.1 * i for i in range(12)],  # rising
    [1.5 * (-1) ** (i // 2) for i in range(12)],  # beyond one sigma on either side
)


@pytest.mark.parametrize("z", LONG)
def test_long_runs_are_read_as_they_are_written(z: list[float]) -> None:
    """Rules that need many points are completed too."""
    sides = found(z, ALL)

    assert sides.tolist() == [[read(z, rule, end) for end in range(len(z))] for rule in ALL.rules]
    assert sides.any()


def test_a_process_is_in_control_where_neither_level_nor_spread_signals() -> None:
    """A spread that has grown is a signal too, with every mean inside its limits."""
    kept = means(np.random.default_rng(31).normal(0, 1, (50, 4))).process
    level = means([[2.1, 2.0, 2.2, 1.9]], kept)
    spread = means([[-3.0, 3.0, -3.0, 3.0]], kept)
    neither = means([[0.2, -0.5, 1.0, -0.4]], kept)

    assert spread.signals == ()
    assert [one.in_control for one in (level, spread, neither)] == [False, False, True]


def test_a_missing_point_ends_every_run() -> None:
    """Eight on one side with a gap between are no run of eight."""
    assert not found([1, 1, 1, 1, np.nan, 1, 1, 1, 1], WESTERN_ELECTRIC.only(4)).any()


def test_a_run_that_goes_on_is_one_signal() -> None:
    """Twelve points on one side are one signal of rule 4, completed at the eighth."""
    values = [*[0.0, 2.0] * 10, *[1.4] * 12]
    kept = individuals([0.0, 2.0] * 10).process
    chart = individuals(values, kept, WESTERN_ELECTRIC.only(4))

    (signal,) = chart.signals
    assert (signal.at, signal.points[-1], signal.side) == (26, 31, "above")
    assert str(signal).startswith("Western Electric 4 at point 27 (points 20 to 32)")


def test_limits_of_phase_2_are_those_that_were_kept() -> None:
    """Later values do not move the limits, however far they lie off."""
    first = individuals([9.0, 11.0, 10.0, 12.0, 8.0])
    later = individuals([50.0, 60.0], first.process)

    assert (first.phase, later.phase) == (1, 2)
    assert later.upper[0] == first.upper[0]
    assert len(later.signals) == 2


def test_a_point_left_out_stays_on_the_chart_and_moves_no_limit() -> None:
    """Its cause stands in the result; no rule counts it, no moving range goes over it."""
    values = [10.0, 11.0, 10.0, 40.0, 11.0, 10.0, 11.0]
    chart = individuals(values, Baseline((LeftOut(3, "wrong scale"),)))

    assert chart.points[3] == 40.0
    assert chart.process.level == pytest.approx(10.5)
    assert chart.process.spread == pytest.approx(1.0 / factors(2).d2)
    assert chart.signals == ()
    assert "Point 4 is left out of the limits: wrong scale" in chart.reasons


@pytest.mark.parametrize("left", [LeftOut(1, " "), LeftOut(9, "gone"), LeftOut(-1, "gone")])
def test_nothing_is_left_out_without_a_cause(left: LeftOut) -> None:
    """A point without a cause, and one that is not there, are refused."""
    with pytest.raises(OutOfRange, match="left_out"):
        individuals([1.0, 2.0, 3.0], Baseline((left,)))


def test_subgroups_of_many_sizes_have_limits_of_their_own() -> None:
    """Limits of a mean widen with the root of its size, and ranges have their own factors."""
    rows = subgrouped([1, 2, 3, 4, 5, 4, 3, 2, 1, 3, 5, 2], [0, 0, 0, 0, 1, 1, 2, 2, 2, 3, 4, 4])
    chart = means(rows, Baseline(by="range"))
    assert chart.beside is not None
    half = chart.upper - chart.centre

    assert half[0] * 2 == pytest.approx(half[3])
    assert chart.beside.centre[0] == pytest.approx(factors(4).d2 * chart.process.spread)
    assert np.isnan(chart.beside.points[3])


def test_spread_by_deviation_is_the_mean_of_s_where_sizes_are_alike() -> None:
    """Weights do not matter then."""
    rows = np.random.default_rng(3).normal(5, 2, (20, 5))
    chart = means(rows)

    expected = float(np.std(rows, axis=1, ddof=1).mean()) / factors(5).c4
    assert chart.process.spread == pytest.approx(expected)


def test_rules_are_asked_only_where_they_hold() -> None:
    """On ranges and counts no zones; on moving ranges, averages and sums the limits alone."""
    rows = np.random.default_rng(4).normal(5, 2, (30, 5))
    chart = means(rows, None, NELSON)
    assert chart.beside is not None
    asked = [rule.name for rule in chart.beside.rules.rules]

    assert len(chart.rules.rules) == 8
    assert asked == ["Nelson 1", "Nelson 2", "Nelson 3", "Nelson 4"]
    assert "Nelson 5" in chart.beside.reasons[-1]
    assert [len(one.rules.rules) for one in (ewma(rows[:, 0]), cusum(rows[:, 0]))] == [1, 1]


def test_few_counts_have_exact_limits() -> None:
    """Of a mean of 1, six signal and five do not: P(X > 5) = 0.06 %, P(X > 4) = 0.37 %."""
    chart = rates([1] * 30, 1.0)

    assert chart.process.by == "exact"
    assert chart.upper[0] == 5.0


def test_counts_that_vary_too_much_widen_the_limits() -> None:
    """One event does not; a spread from point to point that chance cannot give does."""
    rng = np.random.default_rng(6)
    pieces = np.full(60, 2000)
    steady = rng.binomial(2000, 0.05, 60)
    steady[20] = 190
    loose = rng.binomial(2000, np.clip(rng.normal(0.05, 0.02, 60), 0.005, 0.2))

    assert proportions(steady, pieces).process.by == "sigma"
    wide = proportions(loose, pieces)
    assert wide.process.by == "point to point"
    assert wide.process.spread > 2


RNG = np.random.default_rng(12)
FORMS = {
    "individuals": Series.of(RNG.normal(10, 1, 60)),
    "wandering": Series.of(np.cumsum(RNG.normal(0, 1, 80)) + RNG.normal(0, 1, 80)),
    "means": Series.of(RNG.normal(10, 1, (40, 5))),
    "means as individuals": Series.of(RNG.normal(10, 1, (40, 5)) + RNG.normal(0, 2, (40, 1))),
    "c": Series.of(RNG.poisson(12, 30), "defects"),
    "u": Series.of(RNG.poisson(12, 30), "defects", RNG.integers(1, 4, 30)),
    "np": Series.of(RNG.binomial(80, 0.1, 30), "defectives", 80),
    "p": Series.of(RNG.binomial(80, 0.1, 30), "defectives", RNG.integers(80, 120, 30)),
}


@pytest.mark.parametrize("design", FORMS)
def test_the_form_of_the_data_chooses_the_chart(design: str) -> None:
    """Each form has its chart, with reasons, and others are offered."""
    choice = choose(FORMS[design])
    chart = chart_of(FORMS[design])

    assert choice.design == design
    assert choice.reasons
    assert choice.others
    assert chart.reasons[: len(choice.reasons)] == choice.reasons


def test_a_step_is_not_taken_for_values_that_hang_together() -> None:
    """Limits that allow for a step would hide it: the plain chart is chosen, and shows it."""
    rng = np.random.default_rng(21)
    series = Series.of(rng.normal(0, 1, 60) + np.where(np.arange(60) < 35, 0, 3))
    choice, chart = choose(series), chart_of(series, rules=WESTERN_ELECTRIC)

    assert choice.design == "individuals"
    assert "A step at point 3" in " ".join(choice.reasons)
    assert chart.signals


def test_the_choice_is_open() -> None:
    """Another chart is made where it is asked for, and says what was suggested."""
    chart = chart_of(FORMS["wandering"], "individuals")

    assert chart.kind == "individuals"
    assert chart.reasons[0] == "Asked for, instead of wandering, which the data suggest."


def test_a_chart_that_does_not_fit_the_data_is_refused() -> None:
    """Counts of defects are no shares of defectives."""
    with pytest.raises(OutOfRange, match="design"):
        chart_of(FORMS["c"], "p")


def test_many_charts_are_the_same_charts() -> None:
    """Limits and signals of a thousand at once are those of one after the other."""
    values = np.random.default_rng(8).normal(3, 2, (40, 120))
    many = many_individuals(values, NELSON, workers=2)
    for row, one in enumerate(values):
        chart: Chart = individuals(one, None, NELSON)
        sides = found(chart.scores, NELSON)
        assert many.level[row] == pytest.approx(chart.process.level)
        assert many.spread[row] == pytest.approx(chart.process.spread)
        assert sorted(many.of(row)) == sorted(zip(*(a.tolist() for a in sides.nonzero()),
                                                  strict=True))  # fmt: skip


def test_sums_of_many_series_are_those_of_one() -> None:
    """The walk less its lowest is the sum that starts again at 0."""
    z = np.random.default_rng(9).normal(0.2, 1, (5, 50))
    up, down = sums(z, Cusum(0.4, 5.0, 0.5))
    for row, one in enumerate(z):
        high = low = 2.5
        for at, value in enumerate(one.tolist()):
            high, low = max(0.0, high + value - 0.4), max(0.0, low - value - 0.4)
            assert up[row, at] == pytest.approx(high, abs=1e-12)
            assert down[row, at] == pytest.approx(low, abs=1e-12)


def test_a_percentile_is_the_first_point_that_reaches_it() -> None:
    """Before it less than the share has signalled."""
    length = one_sided_run_length(Cusum(0.5, 3.0))
    for share in (0.01, 0.3, 0.9, 0.999):
        point = length.percentile(share)
        assert length.chance_by(point - 1) < share <= length.chance_by(point) + 1e-12


def test_sums_of_a_standardised_series_run_as_long() -> None:
    """The chart's run length is that of the sums that findings are made with."""
    for shift in (0.0, 0.5, 2.0):
        expected = run_length(0.5, 5.0, shift)
        assert cusum_run_length(Cusum(), shift).mean == pytest.approx(expected, rel=1e-8)
