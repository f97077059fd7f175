"""Real compression curves of a foam, reduced a second time by another route."""

import csv
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.signal import savgol_filter

from beadwright.lab.compression import Compression, compressed

SHEET = Path(__file__).parent / "data" / "curves" / "compression.csv"
Row = NDArray[np.float64]

STEP = 1e-4
"""Of the even grid of strain that the second route works on."""
WINDOW = 91
"""Steps over which it takes a slope: 0.9 % strain, whatever the specimen."""


def curves() -> dict[str, tuple[Row, Row]]:
    """Strain and stress in Pa, by recipe and specimen."""
    found: dict[str, list[tuple[float, float]]] = {}
    with SHEET.open(encoding="utf-8", newline="") as sheet:
        for row in csv.DictReader(sheet):
            key = f"{row['recipe']}-{row['specimen']}"
            pair = (float(row["strain [1]"]), 1e6 * float(row["stress [MPa]"]))
            found.setdefault(key, []).append(pair)
    rows = {key: np.array(pairs).T for key, pairs in found.items()}
    return {key: (strain, stress) for key, (strain, stress) in rows.items()}


CURVES = curves()


def second_route(strain: Row, stress: Row) -> tuple[float, float, float, float]:
    """Modulus, toe, stress at 10 % and the maximum before, by a smoothing filter of scipy.

    Strain is laid on an even grid; the filter of Savitzky and Golay, of first order, gives level
    and slope over 0.9 % strain about each step; the steepest before the highest stress is taken.
    """
    along = np.maximum.accumulate(strain)
    once = np.r_[True, np.diff(along) > 0]
    grid = np.arange(0, 0.15, STEP)
    even = np.interp(grid, along[once], stress[once])
    slope = savgol_filter(even, WINDOW, 1, deriv=1, delta=STEP)[WINDOW:-WINDOW]
    level = savgol_filter(even, WINDOW, 1)[WINDOW:-WINDOW]
    at = int(np.argmax(slope[: int(np.argmax(level))]))
    modulus = float(slope[at])
    toe = float(grid[WINDOW + at] - level[at] / modulus)
    ten = float(np.interp(toe + 0.10, grid, even))
    return modulus, toe, ten, float(stress[strain <= toe + 0.10].max())


def reduced(name: str) -> Compression:
    """One specimen by our route."""
    return compressed(*CURVES[name])


def test_the_sheet_is_whole() -> None:
    """[foam-compression] Six specimens of four recipes, most of a thousand rows thinned."""
    assert {name: strain.size for name, (strain, _) in CURVES.items()} == {
        "0-1": 332, "2-2": 402, "4-1": 437, "4-3": 405, "6-1": 406, "6-4": 410,
    }  # fmt: skip


@pytest.mark.parametrize("name", CURVES)
def test_modulus_and_toe_agree_with_another_reduction(name: str) -> None:
    """[foam-compression] Within 1 %, and the toe within 0.02 % strain."""
    result = reduced(name)
    modulus, toe, _, _ = second_route(*CURVES[name])

    assert result.modulus_pa == pytest.approx(modulus, rel=0.01)
    assert result.toe == pytest.approx(toe, abs=2e-4)
    assert result.toe > 0.009


@pytest.mark.parametrize("name", CURVES)
def test_stress_at_10_percent_agrees_with_another_reduction(name: str) -> None:
    """[foam-compression] Within 0.2 %, though the raw curve would be read elsewhere."""
    result = reduced(name)
    *_, ten, _ = second_route(*CURVES[name])

    assert result.ten_percent is not None
    assert result.ten_percent.stress_pa == pytest.approx(ten, rel=0.002)


@pytest.mark.parametrize("name", CURVES)
def test_the_strength_is_the_maximum_before_10_percent(name: str) -> None:
    """[foam-compression] These foams yield; of one, a plateau rises 0.5 % past its first peak."""
    result = reduced(name)
    *_, highest = second_route(*CURVES[name])

    assert result.strength_at == "yield"
    assert result.highest.stress_pa == highest
    assert result.strength_pa == pytest.approx(highest, rel=6e-3 if name == "6-1" else 1e-9)


@pytest.mark.parametrize("name", CURVES)
def test_a_sound_record_has_no_departure(name: str) -> None:
    """[foam-compression] Neither an encoder's steps nor densification to 77 % are doubted."""
    assert reduced(name).departures == ()


@pytest.mark.parametrize("name", CURVES)
def test_a_part_of_the_line_fitted_by_polyfit_has_its_slope(name: str) -> None:
    """[foam-compression] The modulus is the least-squares slope between the ends it states."""
    strain, stress = CURVES[name]
    line = reduced(name).line
    first = int(np.argmax(strain - strain[0] >= line.low.strain - 1e-12))
    rows = slice(first, first + line.rows)

    assert line.modulus_pa == pytest.approx(np.polyfit(strain[rows], stress[rows], 1)[0], rel=1e-9)
    assert strain[rows][-1] - strain[0] == pytest.approx(line.high.strain)
