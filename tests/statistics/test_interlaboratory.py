"""Studies between laboratories: what must hold of any, and what their limits promise."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from beadwright.errors import OutOfRange
from beadwright.statistics.interlaboratory import (
    cochran_critical,
    critical_difference,
    h_critical,
    interlaboratory,
    k_critical,
)

Results = NDArray[np.float64]


@st.composite
def results(draw: st.DrawFn) -> Results:
    """Whole numbers, laboratories by replicates."""
    shape = draw(st.tuples(st.integers(3, 8), st.integers(2, 5)))
    count = shape[0] * shape[1]
    values = draw(st.lists(st.integers(-99, 99), min_size=count, max_size=count))
    return np.array(values, dtype=np.float64).reshape(shape)


@given(results())
def test_the_parts_of_precision_fit_together(values: Results) -> None:
    """Reproducibility is between and within; means of h are 0; squares of k are 1 on average."""
    study = interlaboratory(values)
    whole = math.hypot(study.between_sd, study.repeatability_sd)

    assert study.reproducibility_sd == pytest.approx(whole)
    assert study.reproducibility_sd >= study.repeatability_sd
    assert sum(lab.h for lab in study.laboratories) == pytest.approx(0, abs=1e-8)
    if study.repeatability_sd > 0:
        assert np.mean([lab.k**2 for lab in study.laboratories]) == pytest.approx(1)


@given(results(), st.integers(2, 9), st.integers(-50, 50))
def test_a_study_moves_with_unit_zero_and_order(values: Results, times: int, more: int) -> None:
    """Another unit and zero: h and k stay; laboratories in another order keep their figures."""
    one, other = interlaboratory(values), interlaboratory(times * values + more)
    order = np.argsort(values[:, 0], kind="stable")
    again = interlaboratory(values[order])

    assert [lab.h for lab in other.laboratories] == pytest.approx(
        [lab.h for lab in one.laboratories], abs=1e-6
    )
    assert other.reproducibility_sd == pytest.approx(times * one.reproducibility_sd, abs=1e-6)
    assert [lab.k for lab in again.laboratories] == pytest.approx(
        [one.laboratories[i].k for i in order], abs=1e-9
    )


def test_sound_laboratories_are_marked_as_seldom_as_promised() -> None:
    """3000 sound studies of 8 by 3: h and k once in 200, Cochran once in 20, within four errors."""
    random, trials = np.random.default_rng(21), 3000
    unlike = uneven = cochran = 0
    for _ in range(trials):
        study = interlaboratory(random.normal(0, 1, (8, 3)) + random.normal(0, 1, (8, 1)))
        unlike += study.laboratories[2].unlike
        uneven += study.laboratories[5].uneven
        cochran += study.cochran.flagged

    for times, share in ((unlike, 0.005), (uneven, 0.005), (cochran, 0.05)):
        assert abs(times / trials - share) < 4 * math.sqrt(share * (1 - share) / trials)


def test_precision_is_found_as_it_was_planted() -> None:
    """400 laboratories: repeatability 1, reproducibility √5, within a tenth."""
    random = np.random.default_rng(22)
    study = interlaboratory(random.normal(0, 2, (400, 1)) + random.normal(0, 1, (400, 4)))

    assert study.repeatability_sd == pytest.approx(1, rel=0.1)
    assert study.reproducibility_sd == pytest.approx(math.sqrt(5), rel=0.1)


def test_means_of_two_laboratories_differ_by_more_once_in_twenty_times() -> None:
    """40,000 pairs of 3 and 5 results; 2.8 is 1.96 √2 rounded up, so a little seldomer."""
    random, trials = np.random.default_rng(23), 40_000
    labs = random.normal(0, 0.5, (trials, 2))
    first = labs[:, 0] + random.normal(0, 1, (trials, 3)).mean(axis=1)
    second = labs[:, 1] + random.normal(0, 1, (trials, 5)).mean(axis=1)
    limit = critical_difference(1.0, math.sqrt(1.25), 3, 5)

    assert float(np.mean(np.abs(first - second) > limit)) == pytest.approx(0.0478, abs=0.0043)


def test_a_planted_laboratory_is_marked_and_kept() -> None:
    """One far off, one that scatters: marked for that and nothing else; the mean is of all."""
    random = np.random.default_rng(24)
    values = random.normal(0, 1, (9, 4))
    values[2] += 12
    values[6] *= 6
    study = interlaboratory(values)

    assert [i for i, lab in enumerate(study.laboratories) if lab.unlike] == [2]
    assert [i for i, lab in enumerate(study.laboratories) if lab.uneven] == [6]
    assert (study.grubbs.index, study.cochran.laboratory) == (2, 6)
    assert study.mean == pytest.approx(float(values.mean()))


def test_only_rounding_that_matters_is_marked() -> None:
    """A step of 0.1 beside steps of 0.01: marked where the scatter is 0.1, not where it is 2."""
    random = np.random.default_rng(25)
    fine = np.round(21 + random.normal(0, 0.1, (5, 4)), 2)
    wide = np.round(21 + random.normal(0, 2.0, (5, 4)), 2)
    for values, marked in ((fine, True), (wide, False)):
        values[3] = np.round(values[3], 1)
        lab = interlaboratory(values).laboratories[3]
        assert (lab.step, lab.coarse) == (0.1, marked)


def test_laboratories_that_give_one_figure_only_are_all_alike() -> None:
    """No scatter at all: no division by nothing, nobody marked."""
    study = interlaboratory(np.full((4, 3), 21.5))

    assert study.reproducibility_sd == 0
    assert not any(lab.unlike or lab.uneven or lab.coarse for lab in study.laboratories)
    assert not study.cochran.flagged


@given(st.integers(3, 40), st.integers(2, 10))
def test_critical_values_lie_where_they_can_be_reached(labs: int, replicates: int) -> None:
    """Below the largest h, k and share that so many laboratories can have."""
    assert 0 < h_critical(labs) < (labs - 1) / math.sqrt(labs)
    assert 1 < k_critical(labs, replicates) < math.sqrt(labs)
    assert 1 / labs < cochran_critical(labs, replicates) < 1


@pytest.mark.parametrize(
    ("call", "part"),
    [
        (lambda: interlaboratory([[1, 2], [1, 2]]), "values is of shape (2, 2)"),
        (lambda: interlaboratory([[1.0, 2.0], [1.0, math.nan], [1.0, 2.0]]), "values[1, 1] is nan"),
        (lambda: interlaboratory(np.ones((3, 2)), consistency_risk=0.0), "risk is 0.0"),
        (lambda: h_critical(2), "laboratories is 2"),
        (lambda: k_critical(5, 1), "replicates is 1"),
        (lambda: cochran_critical(5, 3, 1.0), "risk is 1.0"),
        (lambda: critical_difference(2.0, 1.0, 1, 1), "reproducibility_sd is 1.0"),
        (lambda: critical_difference(1.0, 2.0, 0, 1), "first is 0"),
    ],
)
def test_what_has_no_sense_is_refused_by_name(call: object, part: str) -> None:
    """The argument, its first bad value, where, and what it must be."""
    assert callable(call)
    with pytest.raises(OutOfRange) as caught:
        call()

    assert part in str(caught.value)
