"""Series whose values hang together: correlation, models and run lengths against the published."""

from pathlib import Path

import numpy as np
import pytest

from beadwright.statistics.charts.autocorrelation import (
    autocorrelation,
    averages_widening,
    wandering_run_length,
)
from beadwright.statistics.charts.series_model import fitted
from beadwright.statistics.charts.wandering import wandering
from tests.outside.printed import agrees

DATA = Path(__file__).parent / "data" / "charts"

YIELDS = (
    47, 64, 23, 71, 38, 64, 55, 41, 59, 48, 71, 35, 57, 40, 58, 44, 80, 55, 37, 74, 51, 57, 50, 60,
    45, 57, 50, 45, 25, 59, 50, 71, 56, 74, 50, 58, 45, 54, 36, 54, 48, 55, 45, 57, 50, 62, 44, 64,
    43, 52, 38, 59, 55, 41, 53, 49, 34, 35, 54, 45, 68, 38, 50, 60, 39, 59, 40, 57, 54, 23,
)  # fmt: skip


def test_correlations_of_batch_yields() -> None:
    """[nist-series-f] Correlation with the value one to six before, of seventy batch yields."""
    found = autocorrelation(YIELDS)
    printed = ("-0.39", "0.30", "-0.17", "0.07", "-0.10", "-0.05")

    assert all(agrees(value, text) for value, text in zip(found.lags, printed, strict=True))
    assert found.found


def test_correlation_of_calibration_factors() -> None:
    """[nist-heat-flow-meter] 195 calibration factors: 0.28, far beyond chance; runs say the same.

    Printed as 0.280579; the data file has the factors to six decimals and gives 0.280578.
    """
    factors = np.loadtxt(DATA / "heat_flow_meter.csv", skiprows=1)
    found = autocorrelation(factors)

    assert len(factors) == 195
    assert found.first == pytest.approx(0.280579, abs=1.1e-6)
    assert found.first > found.band


LUTEINISING = (
    2.4, 2.4, 2.4, 2.2, 2.1, 1.5, 2.3, 2.3, 2.5, 2.0, 1.9, 1.7, 2.2, 1.8, 3.2, 3.2, 2.7, 2.2, 2.2,
    1.9, 1.9, 1.8, 2.7, 3.0, 2.3, 2.0, 2.0, 2.9, 2.9, 2.7, 2.7, 2.3, 2.6, 2.4, 1.8, 1.7, 1.5, 1.4,
    2.1, 3.3, 3.5, 3.5, 3.1, 2.6, 2.1, 3.4, 3.0, 2.9,
)  # fmt: skip


def test_first_order_model_of_a_blood_series() -> None:
    """[diggle-lh] AR(1) by exact likelihood: 0.5739, mean 2.4133, variance 0.1975 (by n)."""
    model = fitted(LUTEINISING, kinds=["AR(1)"])[0]

    assert agrees(model.phi, "0.5739")
    assert agrees(model.level, "2.4133")
    assert agrees(model.spread**2 * model.freedom / model.used, "0.1975")


def test_mixed_model_of_a_blood_series() -> None:
    """[diggle-lh] ARMA(1,1): 0.4522, 0.1982 (our sign: minus), mean 2.4101, variance 0.1923."""
    model = fitted(LUTEINISING, kinds=["ARMA(1,1)"])[0]

    assert agrees(model.phi, "0.4522")
    assert agrees(-model.theta, "0.1982")
    assert agrees(model.level, "2.4101")
    assert agrees(model.spread**2 * model.freedom / model.used, "0.1923")


NILE = (
    1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180,
    799, 958, 1140, 1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833,
    701, 916, 692, 1020, 1050, 969, 831, 726, 456, 824, 702, 1120, 1100, 832, 764, 821, 768, 845,
    864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845, 944, 984, 897, 822, 1010, 771, 676,
    649, 846, 812, 742, 801, 1040, 860, 874, 848, 890, 744, 749, 838, 1050, 918, 986, 797, 923,
    975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
)  # fmt: skip


def test_wandering_level_of_the_nile() -> None:
    """[durbin-koopman] A local level is an IMA(1,1): q = 0.0973, variances 15,099 and 1,469.1.

    The book divides by the number of differences, 99; our degrees of freedom are one fewer.
    """
    model = fitted(NILE, kinds=["IMA(1,1)"])[0]
    ratio = (1 - model.theta) ** 2 / model.theta
    scatter = model.spread**2 * model.theta * model.freedom / 99

    assert agrees(ratio, "0.0973")
    assert scatter == pytest.approx(15_099, abs=1.0)
    assert scatter * ratio == pytest.approx(1_469.1, abs=0.5)


KRAMER_SCHMID = {
    0.4: "515.44 215.48 61.85 21.63 9.19 4.58 2.61 1.71 1.29",
    0.2: "502.56 204.97 56.72 19.13 7.95 3.97 2.33 1.59 1.25",
    -0.2: "502.56 201.41 54.05 17.42 6.89 3.37 2.03 1.46 1.20",
}


@pytest.mark.parametrize("correlation", KRAMER_SCHMID)
def test_single_values_that_hang_together(correlation: float) -> None:
    """[kramer-schmid-2000] Limits at 3.09023 sigma, shifts 0 to 4 by halves, as printed."""
    for half, text in enumerate(KRAMER_SCHMID[correlation].split()):
        value = wandering_run_length(correlation, 3.09023, half / 2).mean
        # 515.451 is printed as 515.44.
        assert agrees(value, text) or abs(value - float(text)) < 0.0111, (half / 2, value)


def test_averages_of_values_that_hang_together() -> None:
    """[schmid-1997] Limits of averages with weight 0.2 widen by 1.225 and 1.528."""
    assert agrees(averages_widening(0.25, 0.2), "1.225")
    assert agrees(averages_widening(0.5, 0.2), "1.528")


def test_heat_flow_meter_is_charted_as_it_wanders() -> None:
    """[nist-heat-flow-meter] The chart says that factors hang together, and is no plain one."""
    factors = np.loadtxt(DATA / "heat_flow_meter.csv", skiprows=1)
    chart = wandering(factors)

    assert "0.28, beyond" in chart.reasons[0]
    assert chart.process.by in {"AR(1)", "ARMA(1,1)", "IMA(1,1)"}
