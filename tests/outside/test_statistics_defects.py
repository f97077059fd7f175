"""Simultaneous intervals, exact tests and corrections for many against printed figures."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from beadwright.statistics.defects import (
    Group,
    Stratum,
    holm,
    over_represented,
    pareto,
    within,
)

COUNTS = (56, 72, 73, 59, 62, 87, 58)
GOODMAN = (
    (".085", ".166"), (".115", ".204"), (".116", ".207"), (".091", ".173"), (".096", ".181"),
    (".143", ".239"), (".089", ".171"),
)  # fmt: skip


def test_simultaneous_intervals_of_seven_shares() -> None:
    """[goodman-r] Counts 56 72 73 59 62 87 58, as a statistics package prints them."""
    found = pareto({f"kind {n}": count for n, count in enumerate(COUNTS)})
    by_name = {one.name: one for one in found.causes}
    for n, (lower, upper) in enumerate(GOODMAN):
        one = by_name[f"kind {n}"]
        # The second figure is quoted to three decimals, cut or rounded: one unit of the last.
        assert one.lower == pytest.approx(float(lower), abs=1e-3)
        assert one.upper == pytest.approx(float(upper), abs=1e-3)


def test_the_lady_who_tastes_tea() -> None:
    """[fisher-tea] Three of four cups told aright: P = 17/70 = 0.243."""
    milk, tea = over_represented([Group("milk first", 3, 4), Group("tea first", 1, 4)])

    assert milk.name == "milk first"
    assert milk.probability == pytest.approx(17 / 70)
    assert tea.probability == pytest.approx(69 / 70)


# p-values of fifteen comparisons of two treatments of heart attacks.
TREATMENTS = (
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262,
    0.5719, 0.6528, 0.7590, 1.000,
)  # fmt: skip


def test_fifteen_tests_of_one_study() -> None:
    """[benjamini-hochberg-1995] At 5 %: three by Holm, four by the rate of false discoveries."""
    assert int((holm(TREATMENTS) < 0.05).sum()) == 3
    assert int((stats.false_discovery_control(TREATMENTS) < 0.05).sum()) == 4


def test_four_tests_of_a_package() -> None:
    """[p-adjust-holm] 0.01 0.02 0.03 0.04: 0.04 0.06 0.06 0.06."""
    assert holm([0.01, 0.02, 0.03, 0.04]).tolist() == pytest.approx([0.04, 0.06, 0.06, 0.06])


def test_exact_tests_by_another_librarys_own() -> None:
    """[scipy-distributions] Fisher's test of each two by two table; a binomial test of counts."""
    groups = [Group("a", 9, 120), Group("b", 3, 200), Group("c", 7, 90), Group("d", 0, 150)]
    bad, of = 19, 560
    for one in over_represented(groups):
        table = [[one.bad, one.of - one.bad], [bad - one.bad, of - bad - (one.of - one.bad)]]
        assert one.probability == pytest.approx(
            stats.fisher_exact(table, alternative="greater").pvalue, rel=1e-9
        )
    for one in over_represented(groups, pieces=False):
        exact = stats.binomtest(one.bad, bad, one.of / of, alternative="greater").pvalue
        assert one.probability == pytest.approx(exact, rel=1e-9)


def test_intervals_of_counts() -> None:
    """[garwood-1936] 0, 1, 3, 5 and 10 counted: 95 % limits of the mean."""
    printed = {
        0: ("0", "3.689"), 1: (".0253", "5.572"), 3: (".619", "8.767"),
        5: ("1.623", "11.668"), 10: ("4.795", "18.390"),
    }  # fmt: skip
    for count, (lower, upper) in printed.items():
        groups = [Group("one", count, 1), Group("other", 1, 1)]
        (one,) = (it for it in over_represented(groups, pieces=False) if it.name == "one")
        assert one.lower == pytest.approx(float(lower), abs=5.1e-4)
        assert one.upper == pytest.approx(float(upper), abs=5.1e-4)


# Of six departments: men admitted, men, women admitted, women.
ADMISSIONS = (
    (512, 825, 89, 108), (353, 560, 17, 25), (120, 325, 202, 593), (138, 417, 131, 375),
    (53, 191, 94, 393), (22, 373, 24, 341),
)  # fmt: skip


def _mantel_haenszel() -> float:
    """Give the statistic with the correction for continuity, of the women admitted."""
    off, spread = 0.0, 0.0
    for a, m, b, n in ADMISSIONS:
        every, taken = m + n, a + b
        off += b - n * taken / every
        spread += m * n * taken * (every - taken) / (every**2 * (every - 1))
    return (abs(off) - 0.5) ** 2 / spread


def _convolved() -> float:
    """Give the chance of as many women admitted or more, were they taken as men are."""
    law = np.ones(1)
    for a, m, b, n in ADMISSIONS:
        law = np.convolve(law, stats.hypergeom(m + n, a + b, n).pmf(np.arange(n + 1)))
    return float(law[sum(b for *_, b, _ in ADMISSIONS) :].sum())


def test_what_stands_out_in_all_departments_together_does_not_within_them() -> None:
    """[berkeley-admissions] More men than women are admitted, and in no department for being men.

    The counts are those of the printed test: it comes out of them to the last digit. It is an
    approximation, of both sides; ours is exact, of one side: against scipy's hypergeometric law of
    each department, convolved.
    """
    assert sum(men + women for _, men, _, women in ADMISSIONS) == 4526
    statistic, exact = _mantel_haenszel(), _convolved()
    assert statistic == pytest.approx(1.4269, abs=5e-5)
    assert stats.chi2.sf(statistic, 1) == pytest.approx(0.2323, abs=5e-5)
    women = [Stratum(b, n, a + b, m + n) for a, m, b, n in ADMISSIONS]
    men = [Stratum(a, m, a + b, m + n) for a, m, b, n in ADMISSIONS]
    of_women, of_men = within(women), within(men)

    assert of_women is not None
    assert of_men is not None
    assert of_women.probability == pytest.approx(exact, rel=1e-9)
    together = over_represented([
        Group("men", sum(a for a, *_ in ADMISSIONS), sum(m for _, m, *_ in ADMISSIONS)),
        Group("women", sum(b for *_, b, _ in ADMISSIONS), sum(n for *_, n in ADMISSIONS)),
    ])  # fmt: skip
    assert together[0].name == "men"
    assert together[0].stands_out
    assert of_men.probability > 0.5


def test_one_stratum_is_the_exact_test_of_one_table() -> None:
    """As a general-purpose library has it."""
    found = within([Stratum(8, 140, 11, 680)])

    assert found is not None
    exact = stats.fisher_exact([[8, 132], [3, 537]], alternative="greater").pvalue
    assert found.probability == pytest.approx(exact, rel=1e-9)
