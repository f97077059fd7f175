"""Agreement of judges, shares with intervals, and a gauge's turning point against the printed."""

import numpy as np
import pytest
from scipy.stats import norm

from beadwright.statistics.agreement import cohen_kappa, fit_jig, fleiss_kappa
from beadwright.statistics.proportions import proportion, wilson
from tests.outside.printed import agrees

BETWEEN = ([[44, 6], [3, 97]], [[43, 7], [8, 92]], [[42, 5], [9, 94]])
TO_TRUTH = ([[45, 5], [3, 97]], [[45, 2], [3, 100]], [[42, 9], [6, 93]])


def test_the_manuals_tables_of_agreement() -> None:
    """[aiag-msa-attribute] Three people, fifty pieces: with each other and with the truth."""
    for tables, printed in (
        (BETWEEN, ("0.86", "0.78", "0.79")),
        (TO_TRUTH, ("0.88", "0.92", "0.77")),
    ):
        for table, text in zip(tables, printed, strict=True):
            assert agrees(cohen_kappa(table).value, text)


def test_the_manuals_effectiveness() -> None:
    """[aiag-msa-attribute] 42 of 50 pieces right every time: 0.84, 0.71 to 0.93."""
    found = proportion(42, 50)

    assert agrees(found.share, "0.84")
    assert agrees(found.lower, "0.71")
    assert agrees(found.upper, "0.93")


def test_a_printed_kappa_with_its_errors() -> None:
    """[kappa-printed] A 3 by 3 table: value, error, interval, error without agreement, z, p."""
    found = cohen_kappa([[0, 4, 1], [0, 8, 0], [0, 1, 5]])

    for value, printed in (
        (found.value, "0.4842"),
        (found.u, "0.1380"),
        (found.lower, "0.2137"),
        (found.upper, "0.7547"),
        (found.value / found.z, "0.1484"),
        (found.z, "3.2626"),
        (found.p, "0.0011"),
    ):
        assert agrees(value, printed)


def test_kappa_of_a_textbook() -> None:
    """[kappa-textbook] Twenty and fifteen of fifty alike: 0.40."""
    assert agrees(cohen_kappa([[20, 5], [10, 15]]).value, "0.40")


FOURTEEN = (
    (0, 0, 0, 0, 14), (0, 2, 6, 4, 2), (0, 0, 3, 5, 6), (0, 3, 9, 2, 0), (2, 2, 8, 1, 1),
    (7, 7, 0, 0, 0), (3, 2, 6, 3, 0), (2, 5, 3, 2, 2), (6, 5, 2, 1, 0), (0, 2, 2, 3, 7),
)  # fmt: skip
DIAGNOSES = (
    "444444 222555 233335 555555 222444 113333 333355 113334 114444 555555 144444 124444 222333 "
    "144444 224445 333335 111455 111112 224444 133555 555555 244444 224555 114444 144445 222224 "
    "111155 224444 133333 555555"
)


def test_fleiss_kappa_as_printed() -> None:
    """[fleiss-printed] Fourteen judges, ten subjects; six psychiatrists, thirty patients."""
    counts = [[case.count(str(j)) for j in range(1, 6)] for case in DIAGNOSES.split()]
    found = fleiss_kappa(counts)

    assert agrees(fleiss_kappa(FOURTEEN).value, "0.210")
    assert agrees(found.value, "0.4302445")
    assert agrees(found.z, "17.65183")


NEWCOMBE = (
    (81, 263, ("0.2553", "0.3662"), ("0.2527", "0.3676")),
    (15, 148, ("0.0624", "0.1605"), ("0.0578", "0.1617")),
    (0, 20, ("0.0000", "0.1611"), ("0.0000", "0.1684")),
    (1, 29, ("0.0061", "0.1718"), ("0.0009", "0.1776")),
)


@pytest.mark.parametrize(("count", "of", "by_wilson", "exact"), NEWCOMBE)
def test_intervals_of_shares(
    count: int, of: int, by_wilson: tuple[str, str], exact: tuple[str, str]
) -> None:
    """[newcombe-1998] Wilson's and Clopper and Pearson's intervals of four shares."""
    for found, printed in (
        (wilson(count, of), by_wilson),
        (proportion(count, of), exact),
    ):
        assert agrees(found.lower, printed[0])
        assert agrees(found.upper, printed[1])


def test_the_handbooks_interval_of_a_share() -> None:
    """[nist-proportion] Four of twenty with 90 % confidence."""
    found = proportion(4, 20, confidence=0.90)

    assert agrees(found.lower, "0.071354")
    # Remembered as 0.401029; it is 0.4010281: a unit of the last digit.
    assert found.upper == pytest.approx(0.401029, abs=1e-6)


SIZES = (-0.016, -0.015, -0.014, -0.013, -0.012, -0.011, -0.0105, -0.010, -0.008)
ACCEPTED = (0, 1, 3, 5, 8, 16, 18, 20, 20)


def test_the_manuals_jig_lies_near_the_line_drawn_by_eye() -> None:
    """[aiag-msa-attribute] Bias 0.0023 and repeatability 0.0073 by 1.08, read from a graph.

    The graph's line takes no account of how often each piece was tried nor of the ends; the
    likelihood does. They agree within two of its standard errors, or 15 %.
    """
    jig = fit_jig(SIZES, ACCEPTED, 20)
    bias = -0.010 - jig.turning_point
    width = 2 * norm.ppf(0.995) * jig.spread  # from 0.5 % accepted to 99.5 %

    assert bias == pytest.approx(0.0023, abs=2 * jig.u_turning_point)
    assert width == pytest.approx(0.0073, rel=0.15)


def test_the_jigs_likelihood_is_greatest_where_it_was_found() -> None:
    """[probit-likelihood] No point of a fine grid about it is likelier."""
    jig = fit_jig(SIZES, ACCEPTED, 20)
    x, k = np.array(SIZES), np.array(ACCEPTED)

    def likelihood(point: float, spread: float) -> float:
        z = (x - point) / spread
        return float((k * norm.logcdf(z) + (20 - k) * norm.logsf(z)).sum())

    best = likelihood(jig.turning_point, jig.spread)
    for a in np.linspace(-2e-5, 2e-5, 9):
        for b in np.linspace(-2e-5, 2e-5, 9):
            assert likelihood(jig.turning_point + a, jig.spread + b) <= best + 1e-12
