"""Starts of changes against published analyses of two old series."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from beadwright.statistics.changepoint import Level, alone, count_start, step_start
from beadwright.statistics.charts import lasting_step

# Annual flow of the Nile at Aswan, 1871 to 1970, in 10^8 m^3.
NILE = np.array([
    1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960,
    1180, 799, 958, 1140, 1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940,
    833, 701, 916, 692, 1020, 1050, 969, 831, 726, 456, 824, 702, 1120, 1100, 832, 764, 821, 768,
    845, 864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845, 944, 984, 897, 822, 1010, 771,
    676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890, 744, 749, 838, 1050, 918, 986, 797,
    923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
], dtype=float)  # fmt: skip
# Disasters in British coal mines by year, 1851 to 1962.
MINES = np.array([
    4, 5, 4, 1, 0, 4, 3, 4, 0, 6, 3, 3, 4, 0, 2, 6, 3, 3, 5, 4, 5, 3, 1, 4, 4, 1, 5, 5, 3, 4, 2,
    5, 2, 2, 3, 4, 2, 1, 3, 2, 2, 1, 1, 1, 1, 3, 0, 0, 1, 0, 1, 1, 0, 0, 3, 1, 0, 3, 2, 2, 0, 1,
    1, 1, 0, 1, 0, 1, 0, 0, 0, 2, 1, 0, 0, 0, 1, 1, 0, 2, 3, 3, 1, 1, 2, 1, 1, 1, 1, 2, 4, 2, 0,
    0, 0, 1, 4, 0, 0, 0, 1, 0, 0, 0, 0, 0, 1, 0, 0, 1, 0, 1,
], dtype=float)  # fmt: skip


def test_the_step_in_the_flow_of_the_nile() -> None:
    """[nile-break] After the 28th year (1898); within 25 to 32; the squares left, as printed.

    The printed interval is by asymptotic theory and wider than ours, 26 to 29; in simulation of
    such a step ours holds 97 times in 100.
    """
    found = step_start(NILE)

    assert found.first == 28
    assert found.earliest >= 25
    assert found.latest <= 32
    # From the printed sums of squares, without and with one break.
    assert found.gain == pytest.approx(98 * math.log(2835157 / 1597457), abs=1e-4)


def test_the_nile_stepped_and_stayed() -> None:
    """[nile-break] After the 28th year too where neighbours may hang together; little is left."""
    found = lasting_step(NILE)

    assert (found.at, found.found) == (28, True)
    assert found.correlation < 0.2


def test_the_step_in_the_disasters_in_mines() -> None:
    """[coal-mines] After the 41st year (1891); means of 3.1 and 0.9 a year."""
    found = count_start(MINES)

    assert (len(MINES), int(MINES.sum())) == (112, 191)
    assert found.first == 41
    assert round(found.before, 1) == 3.1
    assert round(found.after, 1) == 0.9


def test_the_likelihood_by_another_librarys_distributions() -> None:
    """[scipy-distributions] Log likelihood of every split, term by term: the same best, gain."""
    best = max(
        range(1, 112),
        key=lambda k: sum(
            stats.poisson.logpmf(part, part.mean()).sum() for part in (MINES[:k], MINES[k:])
        ),
    )
    whole = stats.poisson.logpmf(MINES, MINES.mean()).sum()
    parts = sum(
        stats.poisson.logpmf(part, part.mean()).sum() for part in (MINES[:best], MINES[best:])
    )
    known = step_start([0.2, -0.4, 1.4, 2.1, 1.0], before=Level(0.0, 1.0))
    shifted = stats.norm.logpdf([1.4, 2.1, 1.0], 1.5).sum()

    assert count_start(MINES).first == best
    assert count_start(MINES).gain == pytest.approx(2 * (parts - whole), abs=1e-9)
    assert known.first == 2
    assert known.gain == pytest.approx(
        2 * (shifted - stats.norm.logpdf([1.4, 2.1, 1.0]).sum()), abs=1e-9
    )


def test_the_gain_of_a_value_alone_is_that_of_the_statistic_of_grubbs() -> None:
    """[nist-grubbs] Eight masses, G = 2.468765: without one, 1 - n G^2 / (n - 1)^2 is left."""
    masses = (199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57)
    left = 1 - 8 * 2.468765**2 / 7**2

    # Printed to seven figures, of which the remainder keeps three.
    assert alone(masses, 7).gain == pytest.approx(-6 * math.log(left), rel=1e-3)
