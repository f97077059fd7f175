"""Studies from a sheet to what is said, against published ones."""

from __future__ import annotations

from pathlib import Path

import pytest

from beadwright.interop.studies.worked import Asked, study
from beadwright.plant.gauge_studies.crossed import GaugeStudy
from beadwright.plant.gauge_studies.destroyed import DestroyedStudy
from beadwright.plant.gauge_studies.laboratories import Comparison
from beadwright.plant.gauge_studies.recording import figures_of
from tests.house.tree import ROOT
from tests.outside.printed import agrees
from tests.outside.test_statistics_gauge_study import PEOPLE, PURITY


def sheet(folder: Path) -> Path:
    """Write the manual's study as a wide sheet."""
    head = ["part", *(f"{person} {trial} [mm]" for person in "ABC" for trial in (1, 2, 3))]
    rows = [
        [str(part + 1), *(f"{PEOPLE[j][k][part]:.2f}" for j in range(3) for k in range(3))]
        for part in range(10)
    ]
    path = folder / "manual.csv"
    path.write_text("\n".join(",".join(row) for row in [head, *rows]), "utf-8")
    return path


def test_the_manuals_study_from_a_sheet(tmp_path: Path) -> None:
    """[aiag-msa] By variances 27.86 % and 4 classes, by ranges 26.7 %; what it says of it."""
    found, written = study(sheet(tmp_path), Asked())

    assert isinstance(found, GaugeStudy)
    assert agrees(100 * found.study.share, "27.86")
    assert found.study.distinct == 4
    assert agrees(100 * found.ranges.share, "26.7")
    assert agrees(found.uncertainty, "0.3024")
    assert found.study.pooled
    assert written.state == "fit for some uses"
    assert "27.9 % of what readings differ by" in written.verdict[0]
    assert any("4 classes" in text for text in written.verdict)
    kept = figures_of(found)
    assert agrees(float(kept["share_of_study"]["value"].removesuffix(" %")), "27.86")
    assert agrees(float(kept["measuring"]["value"].removesuffix(" mm")), "0.3024")


def test_a_reference_board_between_five_laboratories() -> None:
    """[conductivity-study] Mean, s_r, s_R of expanded polystyrene board, who is marked.

    Recomputed once apart from the program from the same open data: 0.0337812, 1.484e-4, 1.696e-4.
    """
    path = ROOT / "docs" / "samples" / "conductivity.csv"
    found, written = study(path, Asked("laboratories"))

    assert isinstance(found, Comparison)
    (level,) = found.levels
    assert agrees(level.study.mean, "0.0337812")
    assert level.study.repeatability_sd == pytest.approx(1.484e-4, abs=5e-8)
    assert level.study.reproducibility_sd == pytest.approx(1.696e-4, abs=5e-8)
    assert level.marked == ("1", "4")
    assert "laboratory 1 repeats worse" in " ".join(written.verdict)


def test_a_textbooks_nested_design_from_a_sheet(tmp_path: Path) -> None:
    """[montgomery-nested] Variance of batches within suppliers 1.71, of tests 2.64."""
    rows = [
        f"{who}{batch},{who},{value}"
        for who, batches in zip("ABC", PURITY, strict=True)
        for batch, values in enumerate(batches)
        for value in values
    ]
    path = tmp_path / "purity.csv"
    path.write_text("\n".join(["part,person,value [%]", *rows]), "utf-8")
    found, _ = study(path, Asked("destroyed"))

    assert isinstance(found, DestroyedStudy)
    assert agrees(found.study.part.variance, "1.71")
    assert agrees(found.study.repeatability.variance, "2.64")
    assert [row.dof for row in found.study.table] == [2, 9, 24, 35]
