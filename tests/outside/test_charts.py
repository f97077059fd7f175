"""Cumulative sums and self-starting scores against published figures."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest

from beadwright.statistics import cumulative, first_signal, run_length, scores
from tests.outside.printed import agrees

# Twenty means, target 325; the handbook works in data units: k = 0.3175, h = 4.1959.
MEANS = (
    324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
    324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
)  # fmt: skip
TARGET, SLACK, BOUND = 325.0, 0.3175, 4.1959

SHIFTS = (0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4)
LENGTHS = {
    4: ("168", "74.2", "26.6", "13.3", "8.38", "4.75", "3.34", "2.62", "2.19", "1.71"),
    5: ("465", "139", "38.0", "17.0", "10.4", "5.75", "4.01", "3.11", "2.57", "2.01"),
}


def test_the_sums_of_the_handbooks_example() -> None:
    """[nist-cusum] Both sums and the first signal are as printed."""
    deviations = np.array(MEANS) - TARGET
    upward, downward = cumulative(deviations, SLACK)
    printed = ("3.01", "4.94", "7.45", "10.63", "11.99", "14.44", "16.00", "19.04")
    signal = first_signal(deviations, SLACK, BOUND)

    # Half a unit of the last digit is a tie here: the printed sums end in 5 before rounding.
    assert all(
        abs(value - float(text)) < 0.0051
        for value, text in zip(upward[12:].tolist(), printed, strict=True)
    )
    assert float(downward.max()) == pytest.approx(0.715, abs=0.001)
    assert signal is not None
    assert (signal.at, signal.upward) == (13, True)
    assert signal.since == 12


@pytest.mark.parametrize("bound", LENGTHS)
def test_run_lengths_of_the_published_table(bound: int) -> None:
    """[lucas-1976] Mean run lengths for k = 1/2 and ten shifts are as printed."""
    for shift, printed in zip(SHIFTS, LENGTHS[bound], strict=True):
        value = run_length(0.5, bound, shift)
        # 17.05 is printed as 17.0, which half a unit just allows.
        assert agrees(value, printed) or abs(value - float(printed)) < 0.0505, (shift, value)


def test_students_table() -> None:
    """[students-t] A score is Student's distribution turned normal: four entries of its table."""
    table = ((1, 6.314, 0.05), (4, 2.776, 0.025), (5, 2.015, 0.05), (10, 3.169, 0.005))
    for freedom, t, tail in table:
        n = freedom + 1
        before = [float(i * i) for i in range(n)]
        spread = float(np.std(before, ddof=1))
        value = float(np.mean(before)) - t * spread * ((n + 1) / n) ** 0.5
        score = float(scores([*before, value])[-1])

        assert NormalDist().cdf(score) == pytest.approx(tail, rel=2e-3)
