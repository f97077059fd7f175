"""What thermal results bear together: a declared value, and the largest label."""

from __future__ import annotations

import math
import statistics
from datetime import date

import pytest
from scipy.stats import nct, norm

from beadwright.plant.declared import borne
from beadwright.plant.reports import Report


def report(number: str, characteristic: str, result: str, withdrawn: str = "") -> Report:
    """One result of one product."""
    day = date(2026, 9, 1)
    return Report(
        number, "Northgate Testing", ("FB6",), characteristic, "EN 12667", 1, result, day, None,
        None, None, "", 1, "P-13", withdrawn=withdrawn,
    )  # fmt: skip


_MW = (33.8, 34.1, 34.0, 34.3, 33.9, 34.2, 34.0, 34.1, 33.9, 34.0)


def factor(n: int, share: float, confidence: float) -> float:
    """One-sided tolerance factor, by scipy's noncentral t."""
    return float(nct.ppf(confidence, n - 1, norm.ppf(share) * math.sqrt(n)) / math.sqrt(n))


def test_ten_conductivities_bear_the_value_of_90_in_100_with_90_percent() -> None:
    """EN 13163, annex A, and EN 13172 [from memory]: mean + k s, rounded up to 1 mW."""
    (found,) = borne(
        report(f"R{n}", "thermal_conductivity_10c", f"{one} mW/(m·K)") for n, one in enumerate(_MW)
    )
    exact = statistics.fmean(_MW) + factor(10, 0.9, 0.9) * statistics.stdev(_MW)

    assert found.count == len(_MW)
    assert f"declared conductivity of {math.ceil(exact) / 1000:.3f} W/(m·K)" in found.words
    assert f"(90/90: {exact / 1000:.5f};" in found.words
    assert "the method asks for" not in found.words


def test_fewer_than_ten_are_worked_out_and_told() -> None:
    """A value is not declared from them."""
    (found,) = borne(
        report(f"R{n}", "thermal_conductivity", f"{one} mW/(m·K)") for n, one in enumerate(_MW[:3])
    )

    assert "the method asks for 10 results" in found.words


def test_a_label_may_be_at_most_what_no_specimen_and_hardly_a_piece_falls_10_percent_below() -> (
    None
):
    """16 CFR 460.8: the smaller of both bounds over 0.9; rounded down, and never above the mean."""
    values = (4.20, 4.26, 4.31, 4.18, 4.24)
    (found,) = borne(
        report(f"R{n}", "thermal_resistance", f"{one:.2f} °F·ft2·h/Btu")
        for n, one in enumerate(values)
    )
    bound = statistics.fmean(values) - factor(5, 0.99, 0.95) * statistics.stdev(values)
    rule = math.floor(100 * min(bound, *values) / 0.9) / 100
    mean = math.floor(100 * statistics.fmean(values)) / 100

    assert rule > mean
    assert f"a label of {mean:.2f} °F·ft2·h/Btu at most" in found.words
    assert f"95 % confidence, {rule:.2f}; and no more than the mean" in found.words


@pytest.mark.parametrize("others", [
    [report("R2", "thermal_conductivity", "34.1 mW/(m·K)", withdrawn="wrong product")],
    [report("R2", "thermal_conductivity_10c", "34.1 mW/(m·K)")],
    [report("R2", "oxygen_index", "28 %"), report("R3", "thermal_conductivity", "pass")],
    [],
])  # fmt: skip
def test_what_does_not_count_or_is_of_another_test_is_not_pooled(others: list[Report]) -> None:
    """One result by itself bears nothing."""
    assert not list(borne([report("R1", "thermal_conductivity", "34.0 mW/(m·K)"), *others]))
