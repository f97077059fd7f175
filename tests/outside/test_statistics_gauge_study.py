"""Gauge studies and the factors of ranges against published studies and tables."""

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from beadwright.statistics.gauge_study import (
    crossed_study,
    nested_study,
    range_study,
    study_over_time,
)
from beadwright.statistics.ranges import grouped_mean_range, mean_range, range_spread
from tests.outside.printed import agrees

# Ten parts, three people, three trials: trials one below the other, parts across, person by person.
PEOPLE = (
    (
        (0.29, -0.56, 1.34, 0.47, -0.80, 0.02, 0.59, -0.31, 2.26, -1.36),
        (0.41, -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25),
        (0.64, -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31),
    ),
    (
        (0.08, -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68),
        (0.25, -1.22, 0.94, 1.03, -1.20, 0.22, 0.55, 0.08, 2.12, -1.62),
        (0.07, -0.68, 1.34, 0.20, -1.28, 0.06, 0.83, -0.34, 2.19, -1.50),
    ),
    (
        (0.04, -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49),
        (-0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77),
        (-0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16),
    ),
)
READINGS = np.array(PEOPLE).transpose(2, 0, 1)


def test_the_manuals_study_by_analysis_of_variance() -> None:
    """[aiag-msa] Table, pooling, standard deviations, share, classes, as printed."""
    study = crossed_study(READINGS)
    part, person, interaction, repeatability, _ = study.table

    for row, dof, squares, mean_square in (
        (part, 9, "88.3619", "9.81799"),
        (person, 2, "3.1673", "1.58363"),
        (interaction, 18, "0.3590", "0.01994"),
        (repeatability, 60, "2.7589", "0.04598"),
    ):
        assert row.dof == dof
        assert agrees(row.squares, squares)
        assert agrees(row.mean_square, mean_square)
    assert [round(row.f or 0, 3) for row in study.table[:3]] == [492.291, 79.406, 0.434]
    assert study.pooled
    assert agrees(study.repeatability.sd, "0.199933")
    assert agrees(study.reproducibility.sd, "0.226838")
    # The manual adds rounded figures: its 0.302373 is 0.302372 by its own two summands.
    assert study.gauge.sd == pytest.approx(0.302373, abs=2e-6)
    assert agrees(study.part.sd, "1.042327")
    assert agrees(study.total.sd, "1.0853")
    assert agrees(100 * study.share, "27.86")
    assert study.distinct == 4


def test_the_manuals_study_by_ranges() -> None:
    """[aiag-msa] Average and range method, with factors worked out instead of looked up."""
    study = range_study(READINGS)

    assert [round(factor, 4) for factor in study.factors] == [0.5908, 0.5231, 0.3146]
    for value, printed in (
        (study.mean_range, "0.3417"),
        (study.repeatability, "0.2019"),
        (study.difference, "0.4447"),
        (study.reproducibility, "0.2297"),
        (study.gauge, "0.3058"),
        (100 * study.share, "26.7"),
    ):
        assert agrees(value, printed)
    # Printed 1.1046 and 1.1461 with the factor rounded to 0.3146; it is 0.31456.
    rounded = study.part_range * 0.3146
    assert agrees(rounded, "1.1046")
    assert agrees(math.hypot(study.gauge, rounded), "1.1461")
    assert study.part == pytest.approx(1.1046, abs=2e-4)
    assert study.total == pytest.approx(1.1461, abs=2e-4)
    assert study.distinct == 5


D2 = ("1.128", "1.693", "2.059", "2.326", "2.534", "2.704", "2.847", "2.970", "3.078")
D3 = ("0.853", "0.888", "0.880", "0.864", "0.848", "0.833", "0.820", "0.808", "0.797")


def test_the_factors_of_ranges() -> None:
    """[nist-chart-constants] d2 and d3 of 2 to 10 values; d2* as the manual's K2 and K3."""
    for count, (d2, d3) in enumerate(zip(D2, D3, strict=True), start=2):
        assert agrees(mean_range(count), d2)
        # Tables differ by a unit in the last digit of d3.
        assert range_spread(count) == pytest.approx(float(d3), abs=6e-4)
    assert agrees(1 / grouped_mean_range(2, 1), "0.7071")
    assert agrees(1 / grouped_mean_range(3, 1), "0.5231")
    assert agrees(1 / grouped_mean_range(10, 1), "0.3146")


def test_exact_factors_of_two_and_three_values() -> None:
    """[range-exact] d2 of two is 2/√π, of three 3/√π; d3 of two is √(2 - 4/π)."""
    assert mean_range(2) == pytest.approx(2 / math.sqrt(math.pi), abs=1e-13)
    assert mean_range(3) == pytest.approx(3 / math.sqrt(math.pi), abs=1e-13)
    assert range_spread(2) == pytest.approx(math.sqrt(2 - 4 / math.pi), abs=1e-11)


def test_the_probe_over_two_runs() -> None:
    """[nist-gauge-nested] Level 1, 2 and 3 of one probe on five wafers, with their freedoms."""
    path = Path(__file__).parent / "data" / "gauge" / "probe.csv"
    with path.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    order = sorted(rows, key=lambda row: (row["standard"], row["run"]))
    means = np.array([float(row["mean"]) for row in order]).reshape(5, 2, 6)
    deviations = np.array([float(row["deviation"]) for row in order]).reshape(5, 2, 6)
    study = study_over_time(means, deviations, repeats=6)

    assert agrees(study.within.sd, "0.0729")
    assert agrees(study.days.sd, "0.0362")
    assert (study.within.dof, study.days.dof, study.runs.dof) == (300, 50, 5)
    # The page works from rounded means: its figures end a unit or so off.
    printed = (0.0223, 0.0027, 0.0289, 0.0133, 0.0205)
    assert study.runs_by_standard == pytest.approx(printed, abs=1.3e-4)
    assert study.runs.sd == pytest.approx(0.0197, abs=1e-4)


PURITY = (
    ((1, -1, 0), (-2, -3, -4), (-2, 0, 1), (1, 4, 0)),
    ((1, -2, -3), (0, 4, 2), (-1, 0, -2), (0, 3, 2)),
    ((2, 4, 0), (-2, 0, 2), (1, -1, 2), (3, 2, 1)),
)


def test_the_nested_design_of_a_textbook() -> None:
    """[montgomery-nested] Purity of batches of three suppliers: squares, ratios, chances."""
    study = nested_study(PURITY)
    supplier, batch, error, total = study.table

    assert [row.dof for row in study.table] == [2, 9, 24, 35]
    assert agrees(supplier.squares, "15.06")
    assert agrees(batch.squares, "69.92")
    assert agrees(error.squares, "63.33")
    assert agrees(total.squares, "148.31")
    assert agrees(supplier.f or 0, "0.97")
    assert agrees(batch.f or 0, "2.94")
    assert agrees(batch.p or 0, "0.02")
    assert agrees(study.part.variance, "1.71")
    assert agrees(study.repeatability.variance, "2.64")
    assert study.person.estimate < 0
    assert study.person.variance == 0
