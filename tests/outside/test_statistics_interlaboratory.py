"""Studies between laboratories: the worked example of the standard, and our own material."""

import csv
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from beadwright.statistics.interlaboratory import (
    cochran_critical,
    h_critical,
    interlaboratory,
    k_critical,
)
from tests.outside.printed import agrees

DATA = Path(__file__).parent / "data" / "interlaboratory"
Results = NDArray[np.float64]


def results(name: str, material: str, shape: tuple[int, int]) -> Results:
    """One material's results, laboratories by replicates."""
    with (DATA / f"{name}.csv").open(encoding="utf-8") as file:
        rows = [float(r[name]) for r in csv.DictReader(file) if r["material"] == material]
    return np.array(rows).reshape(shape)


def test_critical_values_of_eight_laboratories() -> None:
    """[ils-glucose] h, k and Cochran's share, as a public library prints them."""
    assert agrees(h_critical(8), "2.152492")
    assert agrees(k_critical(8, 3), "2.06084")
    assert agrees(cochran_critical(8, 3), "0.5156875")


# Mean, standard deviation of means, repeatability, reproducibility.
PRINTED = {
    "A": ("41.5183", "0.6061", "1.0632", "1.0632"),
    "B": ("79.6796", "1.0027", "1.4949", "1.5796"),
    "D": ("194.7170", "2.5950", "2.6251", "3.3657"),
    "E": ("294.4920", "2.6931", "3.9350", "4.1923"),
}


@pytest.mark.parametrize("material", PRINTED)
def test_the_precision_of_the_standards_example(material: str) -> None:
    """[astm-e691] Four materials whose data all copies agree on, or on which they fit the print."""
    study = interlaboratory(results("glucose", material, (8, 3)))
    mean, mean_sd, repeatability, reproducibility = PRINTED[material]

    # The standard works from means of laboratories that were rounded: a unit of the last digit.
    assert study.mean == pytest.approx(float(mean), abs=1.01e-4)
    assert study.mean_sd == pytest.approx(float(mean_sd), abs=1.01e-4)
    assert agrees(study.repeatability_sd, repeatability)
    assert agrees(study.reproducibility_sd, reproducibility)
    assert study.reproducibility_sd >= study.repeatability_sd


def test_a_keying_error_in_the_copies_is_pointed_at() -> None:
    """[astm-e691] Material C: 148.30 stands where the printed precision fits 138.30."""
    keyed = results("glucose", "C", (8, 3))
    study = interlaboratory(keyed, outlier_risk=0.01)
    mended = keyed.copy()
    mended[3, 1] = 138.30
    right = interlaboratory(mended)

    assert [lab.uneven for lab in study.laboratories].index(True) == 3
    assert agrees(study.laboratories[3].k, "2.41")
    assert study.cochran.laboratory == 3
    assert study.cochran.flagged
    assert agrees(study.cochran.statistic, "0.725")
    assert right.mean == pytest.approx(134.7264, abs=3e-4)
    assert agrees(right.mean_sd, "1.7397")
    assert agrees(right.repeatability_sd, "1.5434")
    assert agrees(right.reproducibility_sd, "2.1482")
    assert not any(lab.uneven for lab in right.laboratories)


def test_expanded_polystyrene_in_five_national_laboratories() -> None:
    """[conductivity-study] Our own material: half a per cent between the best there are.

    The study's abstract gives data, not these figures: they are worked out here by the
    standard's formulas written out once more, from the definitions.
    """
    found = results("conductivity", "4", (5, 5))
    study = interlaboratory(found)
    within = np.array([np.var(row, ddof=1) for row in found])
    apart = np.var([np.mean(row) for row in found], ddof=1)

    assert study.repeatability_sd == pytest.approx(float(np.sqrt(np.mean(within))), rel=1e-9)
    wanted = float(np.sqrt(apart + np.mean(within) * 4 / 5))
    assert study.reproducibility_sd == pytest.approx(wanted, rel=1e-9)
    assert 0.004 < study.reproducibility_sd / study.mean < 0.006
    assert [lab.uneven for lab in study.laboratories] == [True, False, False, False, False]
    assert [lab.coarse for lab in study.laboratories] == [False, False, False, True, False]


@pytest.mark.parametrize("material", ["1", "2", "3", "4"])
def test_the_laboratory_that_rounds_is_seen_on_every_material(material: str) -> None:
    """[conductivity-study] Laboratory 4 gives tenths of a mW/(m K), the others hundredths."""
    study = interlaboratory(results("conductivity", material, (5, 5)))

    assert [lab.coarse for lab in study.laboratories] == [False, False, False, True, False]
