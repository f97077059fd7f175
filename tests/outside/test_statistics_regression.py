"""Regression against certified data sets, published calibrations and outlier tests."""

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from beadwright.statistics.outliers import extreme_deviates, grubbs_critical
from beadwright.statistics.regression import (
    fit_known,
    fit_line,
    fit_polynomial,
    inverse,
    mean_band,
    prediction_band,
    tolerance_bound,
)
from tests.outside.printed import agrees

POINTS = Path(__file__).parent / "data" / "regression" / "strd.csv"
DIGITS = 1e-12
"""Relative: better than the nine digits asked for."""

WAMPLER_SD = (
    2152.32624678170, 2363.55173469681, 779.343524331583, 101.475507550350, 5.64566512170752,
    0.112324854679312,
)  # fmt: skip
# Coefficients, their standard deviations, residual standard deviation, R squared.
CERTIFIED = {
    "pontius": (
        (0.673565789473684e-03, 0.732059160401003e-06, -0.316081871345029e-14),
        (0.107938612033077e-03, 0.157817399981659e-09, 0.486652849992036e-16),
        0.205177424076185e-03,
        0.999999900178537,
    ),
    "filip": (
        (
            -1467.48961422980, -2772.17959193342, -2316.37108160893, -1127.97394098372,
            -354.478233703349, -75.1242017393757, -10.8753180355343, -1.06221498588947,
            -0.670191154593408e-01, -0.246781078275479e-02, -0.402962525080404e-04,
        ),
        (
            298.084530995537, 559.779865474950, 466.477572127796, 227.204274477751,
            71.6478660875927, 15.2897178747400, 2.23691159816033, 0.221624321934227,
            0.142363763154724e-01, 0.535617408889821e-03, 0.896632837373868e-05,
        ),
        0.334801051324544e-02,
        0.996727416185620,
    ),
    "wampler1": ((1.0,) * 6, (0.0,) * 6, 0.0, 1.0),
    "wampler2": ((1.0, 0.1, 0.01, 0.001, 0.0001, 0.00001), (0.0,) * 6, 0.0, 1.0),
    "wampler3": ((1.0,) * 6, WAMPLER_SD, 2360.14502379268, 0.999995559025820),
    "wampler4": ((1.0,) * 6, tuple(100 * u for u in WAMPLER_SD), 236014.502379268,
                 0.957478440825662),
    "wampler5": ((1.0,) * 6, tuple(1e4 * u for u in WAMPLER_SD), 23601450.2379268,
                 0.224668921574940e-02),
}  # fmt: skip


def points(name: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The points of one set."""
    with POINTS.open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["set"] == name]
    return np.array([float(r["x"]) for r in rows]), np.array([float(r["y"]) for r in rows])


@pytest.mark.parametrize("name", CERTIFIED)
def test_the_certified_polynomials(name: str) -> None:
    """[nist-strd-linear] Coefficients, standard deviations, scatter, R squared: twelve digits.

    The data of Wampler 1 and 2 lie on their polynomials; of 2 the decimals, written as binary
    fractions, leave a scatter of 1e-15.
    """
    coefficients, u, spread, r_squared = CERTIFIED[name]
    found = fit_polynomial(*points(name), degree=len(coefficients) - 1)

    assert found.coefficients == pytest.approx(coefficients, rel=DIGITS)
    assert found.u == pytest.approx(u, rel=DIGITS, abs=1e-14)
    assert found.spread == pytest.approx(spread, rel=DIGITS, abs=1e-14)
    assert found.r_squared == pytest.approx(r_squared, rel=DIGITS)


def test_the_certified_line() -> None:
    """[nist-strd-linear] Norris: intercept, slope, standard deviations, scatter, R squared."""
    line = fit_line(*points("norris"))

    assert line.intercept == pytest.approx(-0.262323073774029, rel=DIGITS)
    assert line.slope == pytest.approx(1.00211681802045, rel=DIGITS)
    assert line.u_intercept == pytest.approx(0.232818234301152, rel=DIGITS)
    assert line.u_slope == pytest.approx(0.429796848199937e-03, rel=DIGITS)
    assert line.spread == pytest.approx(0.884796396144373, rel=DIGITS)
    assert line.r_squared == pytest.approx(0.999993745883712, rel=DIGITS)


def test_the_thermometer() -> None:
    """[gum-h3] Calibration line, how its parameters go together, correction at 30 °C."""
    readings = (
        21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511,
    )  # fmt: skip
    corrections = (
        -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160,
    )  # fmt: skip
    line = fit_line(np.array(readings) - 20.0, corrections)
    at_thirty = mean_band(line, 10.0, confidence=0.95)
    t = 2.262157  # Student's 97.5 % point of 9 degrees of freedom

    assert agrees(line.intercept, "-0.1712")
    assert agrees(line.u_intercept, "0.0029")
    assert agrees(line.slope, "0.00218")
    assert agrees(line.u_slope, "0.00067")
    assert agrees(line.correlation, "-0.93")
    assert line.spread**2 * line.dof == pytest.approx(0.000110096583109, rel=1e-12)
    assert agrees(float(at_thirty.centre), "-0.1494")
    assert agrees(float(at_thirty.upper - at_thirty.centre) / t, "0.0041")


def test_bands_and_inverse_of_the_certified_line_another_way() -> None:
    """[weighted-algebra] Bands from the covariance of the parameters; Fieller by its equation.

    The ends x of Fieller's interval are those where the prediction band just reaches y.
    """
    x, y = points("norris")
    line = fit_line(x, y)
    design = np.stack([np.ones_like(x), x], axis=1)
    covariance = line.spread**2 * np.linalg.inv(design.T @ design)
    at = np.array([1.0, 500.0])
    variance = float(at @ covariance @ at)
    t = 2.032245  # Student's 97.5 % point of 34 degrees of freedom
    band, single = mean_band(line, 500.0), prediction_band(line, 500.0)
    found = inverse(line, 500.0)

    assert float(band.upper - band.centre) == pytest.approx(t * math.sqrt(variance), rel=1e-6)
    half = t * math.sqrt(variance + line.spread**2)
    assert float(single.upper - single.centre) == pytest.approx(half, rel=1e-6)
    assert float(prediction_band(line, found.lower).upper) == pytest.approx(500.0, abs=1e-9)
    assert float(prediction_band(line, found.upper).lower) == pytest.approx(500.0, abs=1e-9)
    assert line.intercept + line.slope * found.x == pytest.approx(500.0, abs=1e-9)


def test_pin_what_the_certified_line_says_at_500() -> None:
    """[nist-strd-linear] Our own figures on the certified data, kept so that a change is seen."""
    line = fit_line(*points("norris"))
    found = inverse(line, 500.0)

    assert float(mean_band(line, 500.0).centre) == pytest.approx(500.796086, abs=1e-6)
    assert (found.x, found.lower, found.upper) == pytest.approx(
        (499.205596, 497.385244, 501.026069), abs=1e-6
    )
    assert float(tolerance_bound(line, 500.0)) == pytest.approx(499.3574, abs=1e-4)
    assert float(tolerance_bound(line, 500.0, 0.95, 0.95)) == pytest.approx(498.8768, abs=1e-4)


SIX = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0)
# y, u_y: intercept, slope, their uncertainties, covariance, chi square; y0, u(y0), x0, u(x0).
ISO_28037 = (
    (
        (3.3, 5.6, 7.1, 9.3, 10.7, 12.1),
        (0.5,) * 6,
        ("1.867", "1.757", "0.465", "0.120", "-0.050", "1.665"),
        (10.5, 0.5, "4.913", "0.322"),
    ),
    (
        (3.2, 4.3, 7.6, 8.6, 11.7, 12.8),
        (0.5, 0.5, 0.5, 1.0, 1.0, 1.0),
        ("0.885", "2.057", "0.530", "0.178", "-0.082", "4.131"),
        (10.5, 1.0, "4.674", "0.533"),
    ),
)


@pytest.mark.parametrize(("y", "u_y", "printed", "back"), ISO_28037)
def test_lines_of_known_uncertainties(
    y: tuple[float, ...],
    u_y: tuple[float, ...],
    printed: tuple[str, ...],
    back: tuple[float, float, str, str],
) -> None:
    """[iso-ts-28037] Equal and unequal weights: line, uncertainties, chi square, x of a y."""
    line = fit_known(SIX, y, u_y)
    x, u_x = line.inverse(back[0], back[1])
    found = (line.intercept, line.slope, line.u_intercept, line.u_slope, line.covariance)

    for value, text in zip((*found, line.chi_square, x, u_x), (*printed, *back[2:]), strict=True):
        assert agrees(value, text)


def test_a_line_of_known_uncertainties_in_both() -> None:
    """[iso-ts-28037] x and y uncertain: line, uncertainties, covariance, chi square."""
    x, y = (1.2, 1.9, 2.9, 4.0, 4.7, 5.9), (3.4, 4.4, 7.2, 8.5, 10.8, 13.5)
    line = fit_known(x, y, (0.2, 0.2, 0.2, 0.4, 0.4, 0.4), 0.2)

    assert agrees(line.intercept, "0.5788")
    assert agrees(line.slope, "2.1597")
    assert agrees(line.u_intercept, "0.4764")
    assert agrees(line.u_slope, "0.1355")
    assert agrees(line.covariance, "-0.0577")
    assert agrees(line.chi_square, "2.743")


MASSES = (199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57)


def test_grubbs_of_the_handbook() -> None:
    """[nist-grubbs] Eight masses: statistic and one-sided critical value; two-sided beside it."""
    sample = np.array(MASSES)
    statistic = float((sample.max() - sample.mean()) / sample.std(ddof=1))

    assert agrees(statistic, "2.468765")
    assert agrees(grubbs_critical(8, 0.05, two_sided=False), "2.031652")
    assert agrees(grubbs_critical(8, 0.05), "2.1266")


ROSNER = (
    -0.25, 0.68, 0.94, 1.15, 1.20, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56, 1.58,
    1.65, 1.69, 1.70, 1.76, 1.77, 1.81, 1.91, 1.94, 1.96, 1.99, 2.06, 2.09, 2.10, 2.14, 2.15,
    2.23, 2.24, 2.26, 2.35, 2.37, 2.40, 2.47, 2.54, 2.62, 2.64, 2.90, 2.92, 2.92, 2.93, 3.21,
    3.26, 3.30, 3.59, 3.68, 4.30, 4.64, 5.34, 5.42, 6.01,
)  # fmt: skip
PRINTED = (
    ("3.118906", "3.158794"), ("2.942973", "3.151430"), ("3.179424", "3.143890"),
    ("2.810181", "3.136165"), ("2.815580", "3.128247"), ("2.848172", "3.120128"),
    ("2.279327", "3.111796"), ("2.310366", "3.103243"), ("2.101581", "3.094456"),
    ("2.067178", "3.085425"),
)  # fmt: skip


def test_extreme_deviates_of_the_handbook() -> None:
    """[nist-esd] Rosner's 54 values: ten statistics and critical values; three outliers."""
    found = extreme_deviates(ROSNER, most=10)

    for statistic, critical, printed in zip(
        found.statistics, found.criticals, PRINTED, strict=True
    ):
        assert agrees(statistic, printed[0])
        assert agrees(critical, printed[1])
    assert sorted(ROSNER[i] for i in found.flagged) == [5.34, 5.42, 6.01]
