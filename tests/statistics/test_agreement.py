"""Judgements, shares and go/no-go gauges: what must hold of any."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.special import ndtr

from beadwright.errors import OutOfRange
from beadwright.statistics.agreement import attribute_study, cohen_kappa, fit_jig, fleiss_kappa
from beadwright.statistics.conformity import Limits, NormalProcess, global_risks
from beadwright.statistics.proportions import proportion, wilson

TABLE = st.lists(st.lists(st.integers(0, 40), min_size=3, max_size=3), min_size=3, max_size=3)


@given(TABLE, st.permutations(range(3)))
def test_kappa_knows_no_order(table: list[list[int]], order: list[int]) -> None:
    """Judges change places, classes change names: the same agreement."""
    counts = np.array(table)
    assume(len(np.flatnonzero(counts.sum(0) + counts.sum(1))) > 1)
    assume((counts.sum(0) * counts.sum(1)).sum() < counts.sum() ** 2)
    found = cohen_kappa(counts)

    assert cohen_kappa(counts.T).value == pytest.approx(found.value)
    assert cohen_kappa(counts[np.ix_(order, order)]).u == pytest.approx(found.u)
    assert found.value <= 1
    assert found.lower <= found.value <= found.upper


def test_full_agreement_is_one_and_chance_is_none() -> None:
    """A diagonal table; a table whose rows are alike."""
    assert cohen_kappa(np.diag([5, 7, 9])).value == pytest.approx(1)
    assert cohen_kappa([[8, 2], [16, 4]]).value == pytest.approx(0, abs=1e-12)
    assert fleiss_kappa([[3, 0], [0, 3], [3, 0]]).value == pytest.approx(1)


def test_the_error_of_kappa_is_what_it_scatters_by() -> None:
    """4000 tables of 100 pieces: their spread is the standard error given, within a tenth."""
    random = np.random.default_rng(17)
    p = np.array([[0.4, 0.1], [0.08, 0.42]])
    found = [cohen_kappa(random.multinomial(100, p.ravel()).reshape(2, 2)) for _ in range(4000)]
    values = np.array([one.value for one in found])

    assert float(values.std()) == pytest.approx(np.mean([one.u for one in found]), rel=0.1)


def test_the_error_of_fleiss_kappa_is_what_it_scatters_by() -> None:
    """600 studies of 40 pieces by 5 judges: the same."""
    random = np.random.default_rng(18)
    found = []
    for _ in range(600):
        bad = random.uniform(size=40) < 0.4
        calls = random.binomial(5, np.where(bad, 0.15, 0.85))
        found.append(fleiss_kappa(np.stack([calls, 5 - calls], axis=1)))

    spread = float(np.std([one.value for one in found]))
    assert spread == pytest.approx(np.mean([one.u for one in found]), rel=0.12)


@given(st.integers(0, 60), st.integers(1, 60), st.floats(0.5, 0.99))
def test_a_share_lies_in_its_intervals(count: int, of: int, confidence: float) -> None:
    """And what is not so lies in the mirrored one."""
    assume(count <= of)
    exact, about = proportion(count, of, confidence), wilson(count, of, confidence)
    mirrored = proportion(of - count, of, confidence)

    assert 0 <= exact.lower <= exact.share <= exact.upper <= 1
    assert 0 <= about.lower <= about.share + 1e-12
    assert about.share - 1e-12 <= about.upper <= 1
    assert mirrored.lower == pytest.approx(1 - exact.upper, abs=1e-9)


@pytest.mark.parametrize("share", [0.02, 0.1, 0.5])
def test_the_exact_interval_never_falls_short(share: float) -> None:
    """Summed over every count of 25: at least 95 %."""
    held = 0.0
    for count in range(26):
        weight = math.comb(25, count) * share**count * (1 - share) ** (25 - count)
        found = proportion(count, 25)
        held += weight * (found.lower <= share <= found.upper)

    assert held >= 0.95


def study(
    miss: float, alarm: float, pieces: int = 400
) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
    """Judgements of two people with these chances, three trials; half of the pieces are bad."""
    random = np.random.default_rng(19)
    good = np.arange(pieces) % 2
    chance = np.where(good == 1, 1 - alarm, miss)
    return random.binomial(1, chance[:, None, None], (pieces, 2, 3)), good


def test_a_study_finds_the_misses_and_false_alarms_that_were_planted() -> None:
    """8 % and 3 %, for both people and each: within intervals of 99.9 %."""
    calls, good = study(0.08, 0.03)
    found = attribute_study(calls, good, confidence=0.999)

    for miss in (found.miss, *(judge.miss for judge in found.judges)):
        assert miss.lower < 0.08 < miss.upper
    for alarm in (found.false_alarm, *(judge.false_alarm for judge in found.judges)):
        assert alarm.lower < 0.03 < alarm.upper
    assert found.miss.of == 200 * 2 * 3
    assert found.all_right.count <= min(judge.effective.count for judge in found.judges)
    assert found.all_alike.count >= found.all_right.count
    assert found.pairs[0].kappa is not None
    assert found.among_all is not None


def test_perfect_people_agree_with_each_other_and_the_truth() -> None:
    """No miss, no false alarm, kappa 1; and the intervals still say how few pieces there were."""
    good = np.array([1, 0, 1, 0, 1])
    found = attribute_study(np.broadcast_to(good[:, None, None], (5, 3, 2)), good)

    assert (found.miss.count, found.false_alarm.count, found.all_right.count) == (0, 0, 5)
    assert found.miss.upper > 0.25
    assert all(judge.with_truth.value == pytest.approx(1) for judge in found.judges)


def test_people_who_accept_everything_agree_and_miss_everything() -> None:
    """Kappa between them means nothing and is not given; the miss rate says it."""
    good = np.array([1, 0, 1, 0])
    found = attribute_study(np.ones((4, 2, 2)), good)

    assert found.pairs[0].kappa is None
    assert found.among_all is None
    assert found.miss.share == 1
    assert found.judges[0].with_truth.value == pytest.approx(0)


@pytest.mark.parametrize("above", [True, False])
def test_a_jig_is_found_where_it_turns(above: bool) -> None:
    """1000 trials of 9 sizes: point and spread within four standard errors."""
    random = np.random.default_rng(20)
    sizes = np.linspace(9.0, 11.0, 9)
    z = (sizes - 10.1) / 0.3
    jig = fit_jig(sizes, random.binomial(1000, ndtr(z if above else -z)), 1000)

    assert jig.accepts_above == above
    assert abs(jig.turning_point - 10.1) < 4 * jig.u_turning_point
    assert abs(jig.spread - 0.3) < 4 * jig.u_spread
    assert float(jig.accepts(10.1)) == pytest.approx(0.5, abs=0.05)


def test_a_jigs_uncertainties_are_what_it_scatters_by() -> None:
    """800 studies of 9 sizes and 200 trials: point and spread, within a tenth."""
    random = np.random.default_rng(29)
    sizes = np.linspace(9.0, 11.0, 9)
    chance = ndtr((sizes - 10.1) / 0.3)
    found = [fit_jig(sizes, random.binomial(200, chance), 200) for _ in range(800)]
    points, spreads = ([jig.turning_point for jig in found], [jig.spread for jig in found])

    assert float(np.std(points)) == pytest.approx(found[0].u_turning_point, rel=0.1)
    assert float(np.std(spreads)) == pytest.approx(found[0].u_spread, rel=0.1)


@given(st.floats(0.001, 1000), st.floats(-100, 100))
def test_a_jig_moves_with_unit_and_zero(times: float, more: float) -> None:
    """In another unit, from another zero."""
    sizes, accepted = np.array([1.0, 2.0, 3.0, 4.0, 5.0]), [20, 17, 9, 4, 0]
    one, other = fit_jig(sizes, accepted, 20), fit_jig(times * sizes + more, accepted, 20)

    assert other.turning_point == pytest.approx(
        times * one.turning_point + more, rel=1e-6, abs=1e-6
    )
    assert other.spread == pytest.approx(times * one.spread, rel=1e-6)
    assert other.u_spread == pytest.approx(times * one.u_spread, rel=1e-5)


def test_a_jigs_risks_are_those_of_a_guarded_rule() -> None:
    """Its turning point inside the limit is the guard band, its spread the uncertainty."""
    risks = global_risks(NormalProcess(0.0, 0.6), 0.1, Limits(upper=1.5), guard=1.5 - 1.4)

    assert risks.consumer == pytest.approx(2.0343e-4, abs=5e-9)
    assert risks.producer == pytest.approx(4.6730e-3, abs=5e-8)


CALLS, GOOD = study(0.1, 0.1, 4)


@pytest.mark.parametrize(
    ("call", "part"),
    [
        (lambda: cohen_kappa([[1, 2, 3]]), "table is of shape (1, 3): must be square"),
        (lambda: cohen_kappa([[1, -2], [0, 3]]), "table[0, 1] is -2.0"),
        (lambda: cohen_kappa([[0, 0], [0, 0]]), "table is empty"),
        (lambda: cohen_kappa([[5, 0], [0, 0]]), "table is of one class"),
        (lambda: fleiss_kappa([[2, 1], [2, 2]]), "counts[1, 0] is 2.0: must be one of 3"),
        (lambda: fleiss_kappa([[1, 0], [0, 1]]), "counts is 1 judgements of a piece"),
        (lambda: fleiss_kappa([[3, 0], [3, 0]]), "counts is of one class"),
        (lambda: proportion(3, 2), "count is 3: must be at most 2"),
        (lambda: wilson(0, 0), "of is 0"),
        (lambda: attribute_study(CALLS[:, :, 0], GOOD), "accepted is of shape (4, 2)"),
        (lambda: attribute_study(2 * CALLS, GOOD), "must be 0 or 1"),
        (lambda: attribute_study(CALLS, GOOD[:3]), "good is of shape (3,)"),
        (lambda: attribute_study(CALLS, np.ones(4)), "good is 1 of every piece"),
        (lambda: fit_jig([1, 2, 3], [0, 0, 0], 10), "accepted is all or none"),
        (lambda: fit_jig([1, 2, 3], [0, 4, 10], 10), "accepted is parted by one size"),
        (lambda: fit_jig([1, 2, 3], [0, 11, 10], 10), "accepted[1] is 11.0"),
        (lambda: fit_jig([1, 2, 3], [0, 5, 4, 10], 10), "accepted is a row of 4"),
    ],
)
def test_what_has_no_sense_is_refused_by_name(call: object, part: str) -> None:
    """The argument, its first bad value, where, and what it must be."""
    assert callable(call)
    with pytest.raises(OutOfRange) as caught:
        call()

    assert part in str(caught.value)
