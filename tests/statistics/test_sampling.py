"""Sampling plans: what must hold of any plan, of the rules for changing over, and of a draw."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.statistics.sampling import (
    DoublePlan,
    Level,
    LotResult,
    Model,
    Scheme,
    Severity,
    SinglePlan,
    SwitchingState,
    TwoPoints,
    VariablesPlan,
    acceptance,
    accepts,
    after_lot,
    averages,
    code_letter,
    design_double,
    design_single,
    design_variables,
    outgoing_limit,
    plan_words,
    published_plan,
    select,
    share_accepted_with,
    share_beyond,
    variables_acceptance,
    zero_failures,
)
from beadwright.statistics.sampling.published import AQLS, tighter_aql
from beadwright.statistics.sampling.switching import resume

SHARE = st.floats(0.0, 1.0)
PLAN = SinglePlan(50, 1)


@st.composite
def doubles(draw: st.DrawFn) -> DoublePlan:
    """Double plans of up to 30 and 30 pieces."""
    accept = draw(st.integers(1, 6))
    first = draw(st.integers(0, accept - 1))
    reject = draw(st.integers(first + 2, accept + 1))
    return DoublePlan(draw(st.integers(1, 30)), first, reject, draw(st.integers(1, 30)), accept)


@given(st.integers(1, 80), st.integers(0, 8), SHARE, SHARE)
def test_worse_lots_are_accepted_less_often(size: int, accept: int, one: float, two: float) -> None:
    """Every curve falls, from 1 without bad pieces."""
    plan, (low, high) = SinglePlan(size, accept), sorted((one, two))

    assert float(acceptance(plan, low)) >= float(acceptance(plan, high)) - 1e-12
    assert float(acceptance(plan, 0.0)) == 1.0


@given(doubles(), st.integers(0, 60))
def test_a_double_plan_lies_between_its_two_single_ones(plan: DoublePlan, bad: int) -> None:
    """It accepts whatever its first sample alone does, and no more than not rejecting there."""
    lot, share = 60, bad / 60
    found = float(acceptance(plan, share, Model.LOT, lot))
    least = float(acceptance(SinglePlan(plan.first, plan.first_accept), share, Model.LOT, lot))
    most = float(acceptance(SinglePlan(plan.first, plan.first_reject - 1), share, Model.LOT, lot))

    assert least - 1e-9 <= found <= most + 1e-9


@given(doubles(), st.integers(0, 12))
@settings(max_examples=20, deadline=None)
def test_a_double_plan_by_drawing_it(plan: DoublePlan, bad: int) -> None:
    """4000 lots of 60, drawn and judged by hand, within four and a half standard errors."""
    random, tries = np.random.default_rng(bad), 4000
    pieces = np.argsort(random.random((tries, 60)), axis=1) < bad
    first = pieces[:, : plan.first].sum(axis=1)
    both = first + pieces[:, plan.first : plan.first + plan.second].sum(axis=1)
    passed = (first <= plan.first_accept) | ((first < plan.first_reject) & (both <= plan.accept))
    exact = float(acceptance(plan, bad / 60, Model.LOT, 60))

    assert abs(passed.mean() - exact) <= 4.5 * math.sqrt(exact * (1 - exact) / tries) + 1e-9


@given(st.floats(0.002, 0.05), st.floats(2.5, 8.0), st.sampled_from([Model.PROCESS, Model.COUNTS]))
@settings(max_examples=30, deadline=None)
def test_a_designed_plan_keeps_both_points_and_is_smallest(
    good: float, times: float, model: Model
) -> None:
    """Both risks are kept; one piece fewer with the same Ac breaks the consumer's."""
    points = TwoPoints(good, good * times)
    plan = design_single(points, model)
    less = SinglePlan(plan.size - 1, plan.accept)

    assert float(acceptance(plan, points.good, model)) >= 0.95
    assert float(acceptance(plan, points.bad, model)) <= 0.10
    assert float(acceptance(less, points.bad, model)) > 0.10


@given(st.integers(40, 400), st.floats(0.002, 0.03))
@settings(max_examples=30, deadline=None)
def test_a_plan_for_one_lot_needs_no_more_pieces_than_the_lot_has(lot: int, good: float) -> None:
    """It keeps both points in whole pieces, on the safe side."""
    plan = design_single(TwoPoints(good, 0.12), Model.LOT, lot)
    few, many = math.floor(good * lot + 1e-9), math.ceil(0.12 * lot - 1e-9)

    assert plan.size <= lot
    assert float(acceptance(plan, few / lot, Model.LOT, lot)) >= 0.95 - 1e-12
    assert float(acceptance(plan, many / lot, Model.LOT, lot)) <= 0.10 + 1e-12


@pytest.mark.parametrize("points", [(0.01, 0.06), (0.02, 0.08), (0.005, 0.05)])
def test_a_double_plan_looks_at_fewer_pieces_of_good_lots(points: tuple[float, float]) -> None:
    """It keeps both points, and on good lots takes less than the single plan."""
    both, single = design_double(TwoPoints(*points)), design_single(TwoPoints(*points))

    assert float(acceptance(both, points[0])) >= 0.95
    assert float(acceptance(both, points[1])) <= 0.10
    assert float(averages(both, [points[0]], 10_000).sampled[0]) < single.size


@pytest.mark.parametrize("sigma", [None, 2.5])
@pytest.mark.parametrize("points", [(0.01, 0.06), (0.005, 0.03)])
def test_a_variables_plan_keeps_both_points_and_takes_fewer_pieces(
    sigma: float | None, points: tuple[float, float]
) -> None:
    """Both risks are kept, by fewer pieces than pass and fail needs."""
    plan = design_variables(TwoPoints(*points), sigma)

    assert float(variables_acceptance(plan, points[0])) >= 0.95 - 1e-9
    assert float(variables_acceptance(plan, points[1])) <= 0.10 + 1e-9
    assert plan.size < design_single(TwoPoints(*points)).size


@pytest.mark.parametrize("sigma", [None, 1.0])
def test_a_variables_plan_by_drawing_it(sigma: float | None) -> None:
    """4000 samples at 4 % beyond a lower limit, within four standard errors."""
    random, tries = np.random.default_rng(8), 4000
    plan = design_variables(TwoPoints(0.01, 0.08), sigma)
    limit = -1.7506860712521692  # 4 % of the standard normal lie below
    exact = float(variables_acceptance(plan, 0.04))
    drawn = random.normal(size=(tries, plan.size))
    passed = np.mean([accepts(plan, row, lower=limit).accepted for row in drawn])

    assert abs(passed - exact) < 4 * math.sqrt(exact * (1 - exact) / tries)


def test_two_limits_are_judged_together() -> None:
    """A sample that passes each limit alone may leave too much beyond both."""
    plan = VariablesPlan(20, 1.7)
    values = np.linspace(-1, 1, 20)
    width = 1.75 * float(values.std(ddof=1))

    assert accepts(plan, values, lower=-width).accepted
    assert accepts(plan, values, upper=width).accepted
    assert not accepts(plan, values, lower=-width, upper=width).accepted


def test_the_estimate_beyond_a_limit_is_without_bias() -> None:
    """Mean of 20 000 estimates at 5 %: within four standard errors."""
    random, limit = np.random.default_rng(3), 1.6448536269514722
    drawn = random.normal(size=(20_000, 6))
    inside = (limit - drawn.mean(axis=1)) / drawn.std(axis=1, ddof=1)
    found = np.array([share_beyond(6, float(q)) for q in inside])

    assert abs(found.mean() - 0.05) < 4 * found.std() / math.sqrt(len(found))


@given(st.integers(2, 3000), st.sampled_from(AQLS), st.sampled_from(Level))
def test_published_plans_are_ordered_as_they_should_be(lot: int, aql: float, level: Level) -> None:
    """At the AQL tightened accepts less often than normal, and reduced looks at no more pieces."""
    normal = published_plan(lot, aql, level)
    tight = published_plan(lot, aql, level, Severity.TIGHTENED)
    reduced = published_plan(lot, aql, level, Severity.REDUCED)
    share = aql / 100

    def passes(found: SinglePlan) -> float:
        return float(acceptance(found, share, Model.COUNTS))

    assert passes(tight.plan) <= passes(normal.plan) + 1e-12
    assert reduced.plan.size <= tight.plan.size
    assert normal.plan.size <= lot
    assert normal.every_piece == (normal.plan.size == lot)


def run(bads: list[int], scheme: Scheme = Scheme.ISO_2859_1, **more: bool) -> SwitchingState:
    """The state after lots with so many bad pieces each, all by one plan."""
    state = SwitchingState()
    for bad in bads:
        lot = LotResult(bad, PLAN, within_limit_number=more.get("within"))
        state = after_lot(
            state, lot, scheme=scheme, reduced_allowed=more.get("allowed", False)
        ).state
    return state


@pytest.mark.parametrize(
    ("bads", "severity"),
    [
        ([2], Severity.NORMAL),
        ([2, 2], Severity.TIGHTENED),
        ([2, 0, 0, 0, 2], Severity.TIGHTENED),
        ([2, 0, 0, 0, 0, 2], Severity.NORMAL),
        ([2, 2, 0, 0, 0, 0], Severity.TIGHTENED),
        ([2, 2, 0, 0, 0, 0, 0], Severity.NORMAL),
        ([2, 2, 0, 0, 2, 0, 0, 0, 0], Severity.TIGHTENED),
        ([2, 2, 2, 2, 2, 2], Severity.TIGHTENED),
        ([2, 2, 2, 2, 2, 2, 2], Severity.DISCONTINUED),
        ([2, 2, 2, 0, 2, 0, 2, 0, 2, 0, 2], Severity.DISCONTINUED),
    ],
)
def test_the_rules_between_normal_tightened_and_stop(bads: list[int], severity: Severity) -> None:
    """Two of five, five in a row, five in all; each counted from the last change."""
    assert run(bads).severity is severity


def test_good_lots_lead_to_reduced_only_where_it_is_agreed_and_steady() -> None:
    """Fifteen lots of two points; sixteen begin reduced inspection not without agreement."""
    assert run([0] * 14, allowed=True).severity is Severity.NORMAL
    assert run([0] * 15, allowed=True).severity is Severity.REDUCED
    assert run([0] * 30).severity is Severity.NORMAL
    assert run([0] * 14 + [2] + [0] * 14, allowed=True).severity is Severity.NORMAL
    state = run([0] * 14)
    held = after_lot(state, LotResult(0, PLAN, steady=False), reduced_allowed=True)
    assert held.reason.endswith("production is not steady")


def test_a_lot_of_a_larger_plan_scores_by_the_tighter_one() -> None:
    """Three points if it had passed one AQL step tighter, none if it only passed, or not known."""
    plan = SinglePlan(80, 3)
    scores = [
        after_lot(SwitchingState(score=6), LotResult(bad, plan, tighter)).state.score
        for bad, tighter in ((2, 2), (3, 2), (2, None), (4, 2))
    ]

    assert scores == [9, 0, 0, 0]


def test_the_older_standard_asks_for_ten_lots_and_its_limit_number() -> None:
    """Ten accepted lots within the limit number, and not what is not known."""
    old = Scheme.MIL_STD_105E

    assert run([0] * 10, old, allowed=True, within=True).severity is Severity.REDUCED
    assert run([0] * 9, old, allowed=True, within=True).severity is Severity.NORMAL
    assert run([0] * 40, old, allowed=True).severity is Severity.NORMAL


@pytest.mark.parametrize(
    ("lot", "reason"),
    [
        (LotResult(0, SinglePlan(20, 1, 4)), None),
        (LotResult(2, SinglePlan(20, 1, 4)), "a lot was accepted with more bad pieces than Ac"),
        (LotResult(4, SinglePlan(20, 1, 4)), "a lot was not accepted"),
        (LotResult(0, SinglePlan(20, 1, 4), steady=False), "production is not steady"),
    ],
)
def test_reduced_inspection_ends_at_the_first_sign(lot: LotResult, reason: str | None) -> None:
    """One lot not accepted, one in the gap, or production not steady."""
    moved = after_lot(SwitchingState(Severity.REDUCED), lot)

    assert moved.changed == (reason is not None)
    assert moved.state.severity is (Severity.NORMAL if reason else Severity.REDUCED)
    assert reason is None or moved.reason == reason


def test_what_was_stopped_begins_again_tightened() -> None:
    """Nothing is judged until then, and a lot inspected again counts for nothing."""
    stopped = SwitchingState(Severity.DISCONTINUED)

    with pytest.raises(OutOfRange, match="put right"):
        after_lot(stopped, LotResult(0, PLAN))
    assert resume(stopped).state == SwitchingState(Severity.TIGHTENED)
    again = after_lot(SwitchingState(), LotResult(9, PLAN, resubmitted=True))
    assert again.state == SwitchingState()


def test_a_process_far_worse_than_the_aql_is_stopped_soon() -> None:
    """400 runs at four times the AQL: all are tightened or stopped within forty lots."""
    random = np.random.default_rng(1)
    plans = {one: published_plan(1000, 1.0, severity=one).plan for one in list(Severity)[:3]}
    stopped = 0
    for _ in range(400):
        state = SwitchingState()
        for _ in range(40):
            plan = plans[state.severity]
            lot = LotResult(int(random.binomial(plan.size, 0.04)), plan, 1)
            state = after_lot(state, lot).state
            if state.severity is Severity.DISCONTINUED:
                stopped += 1
                break

    assert stopped >= 396


def test_a_draw_is_the_same_again_and_in_any_order_of_the_list() -> None:
    """The seed and the pieces alone decide."""
    pieces = [f"B{n:03}" for n in range(1, 61)]
    one, other = select(pieces, 8, "L1-001", 4), select(pieces[::-1], 8, "L1-001", 4)

    assert set(one.pieces) == set(other.pieces)
    assert set(one.later) == set(other.later)
    assert not set(one.pieces) & set(one.later)
    assert set(select(pieces, 8, "L1-002").pieces) != set(one.pieces)
    assert set(select(pieces, 12, "L1-001").pieces) == {*one.pieces, *one.later}


def test_each_piece_and_each_pair_is_drawn_as_often() -> None:
    """3000 draws of 5 of 20: chi squared of pieces and of pairs within their 1 in 10 000."""
    singles, pairs = np.zeros(20), np.zeros((20, 20))
    for n in range(3000):
        drawn = [int(one) for one in select(range(20), 5, f"seed {n}").pieces]
        singles[drawn] += 1
        pairs[np.ix_(drawn, drawn)] += 1
    expected = 3000 * 5 / 20
    # Pieces of one draw exclude each other: the variance of each count is n p (1 - p).
    chi_single = ((singles - expected) ** 2 / (expected * 0.75)).sum() * 19 / 20
    twos = pairs[np.triu_indices(20, 1)]
    chi_pairs = ((twos - twos.mean()) ** 2 / twos.mean()).sum()

    assert 3 < chi_single < 52
    assert 110 < chi_pairs < 275


def test_words_say_what_passes_and_what_does_not() -> None:
    """The shares they name are those of the curve; of a lot, in whole pieces."""
    words = " ".join(plan_words(SinglePlan(50, 1), 270))

    assert "Accept if at most 1 is bad." in words
    assert "one with 2 bad pieces passes at least 95 times in 100" in words
    assert float(acceptance(PLAN, 2 / 270, Model.LOT, 270)) >= 0.95
    assert float(acceptance(PLAN, 3 / 270, Model.LOT, 270)) < 0.95
    assert "one with 20 bad pieces (7.4 %) at most 10 times in 100" in words
    assert "every piece of the lot" in " ".join(plan_words(SinglePlan(8, 0), 8))
    assert "look at 9 more" in " ".join(plan_words(DoublePlan(7, 0, 3, 9, 2)))
    assert "normally distributed" in " ".join(plan_words(VariablesPlan(42, 1.9)))
    assert "2 to 3 bad" in plan_words(SinglePlan(13, 1, 4))[0]


@pytest.mark.parametrize(
    ("call", "part"),
    [
        (lambda: SinglePlan(0, 0), "size is 0"),
        (lambda: SinglePlan(5, 2, 2), "reject is 2"),
        (lambda: DoublePlan(5, 1, 2, 5, 2), "first_reject is 2"),
        (lambda: DoublePlan(5, 0, 4, 5, 2), "first_reject is 4"),
        (lambda: TwoPoints(0.05, 0.05), "bad is 0.05"),
        (lambda: TwoPoints(0.01, 0.05, 0.6, 0.5), "consumer_risk is 0.5"),
        (lambda: design_single(TwoPoints(0.1, 0.1001)), "points is"),
        (lambda: design_double(TwoPoints(0.1, 0.101)), "points is"),
        (lambda: design_single(TwoPoints(0.1, 0.2), Model.LOT), "lot is None"),
        (lambda: design_variables(TwoPoints(0.1, 0.1001)), "points is"),
        (lambda: acceptance(SinglePlan(5, 0), 0.1, Model.LOT), "lot is None"),
        (lambda: acceptance(SinglePlan(5, 0), 0.1, Model.LOT, 4), "lot is 4"),
        (lambda: acceptance(SinglePlan(5, 0), 1.1), "share is 1.1"),
        (lambda: zero_failures(1.0, 0.9), "confidence is 1.0"),
        (lambda: outgoing_limit(SinglePlan(5, 0), 50, Model.LOT), "model is"),
        (lambda: share_accepted_with(SinglePlan(5, 5), 0.5), "plan is"),
        (lambda: code_letter(1), "lot is 1"),
        (lambda: published_plan(100, 1.2), "aql is 1.2"),
        (lambda: published_plan(100, 1.0, severity=Severity.DISCONTINUED), "severity is"),
        (lambda: tighter_aql(2.0), "aql is 2.0"),
        (lambda: select([1, 1, 2], 1, "x"), "pieces is 1 twice"),
        (lambda: select([1, 2], 3, "x"), "size is 3"),
        (lambda: select([1, 2], 1, " "), "seed is"),
        (lambda: accepts(VariablesPlan(5, 1.5), [1, 2, 3, 4, 5]), "lower is None"),
        (lambda: accepts(VariablesPlan(5, 1.5), [1, 2, 3], lower=0), "values is a row of 3"),
        (lambda: accepts(VariablesPlan(3, 1.5), [1, 1, 1], lower=0), "spread is 0.0"),
        (lambda: share_beyond(2, 1.0), "size is 2"),
    ],
)
def test_what_has_no_sense_is_refused_by_name(call: object, part: str) -> None:
    """The argument, its value, and what it must be."""
    assert callable(call)
    with pytest.raises(OutOfRange) as caught:
        call()

    assert part in str(caught.value)
