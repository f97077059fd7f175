"""Real exports, open data: read as the machine says of itself; their typing errors are asked about.

Where they come from, and what was left out of them: data/load_frames/ORIGIN.md.
"""

from pathlib import Path

import numpy as np
import pytest

from beadwright.interop.load_frame import Found, Layout, Loaded, layout_of, read, specimens
from beadwright.lab.compression import compressed

_FOLDER = Path(__file__).parent / "data" / "load_frames"


def of(name: str, **answers: str) -> Found:
    """Read one of them; a dot in a field is written as two strokes."""
    given = {field.replace("__", "."): text for field, text in answers.items()}
    return read(_FOLDER / name, answers=given)


def peak(loaded: Loaded) -> float:
    """Largest force, in kN."""
    assert loaded.trace is not None
    return float(np.abs(loaded.trace.force_n).max()) / 1e3


def test_a_cube_is_read_as_its_machine_says() -> None:
    """The block of extremes says -906.59528 kN; the sheet above says 150 x 149 x 150 mm, 7878 g.

    The rows, five a second, hold at most 904.09631 kN: the peak fell between two of them.
    """
    found = of("cube.dat")
    (cube,) = specimens(found)

    assert found.questions == ()
    assert cube.name == "20240227_7188_M03_W03"
    assert peak(cube) == pytest.approx(904.09631, rel=1e-9)
    assert peak(cube) == pytest.approx(906.59528, rel=5e-3)
    assert cube.sizes == {"width": 0.15, "height": 0.15, "length": 0.149, "mass": 7.878}
    assert cube.trace is not None
    assert cube.trace.time_s is not None
    assert cube.trace.time_s[0] == 53.525391
    assert cube.trace.travel_m[0] == pytest.approx(-0.00177835e-3)
    taken = {one.heading: one.taken_for for one in found.blocks[0].columns}
    assert taken == {
        "Datum": "other",
        "Tageszeit": "other",
        "Laufzeit": "time",
        "Ch 1 Weg": "travel",
        "Ch 1 Prüfkraft": "force",
    }


@pytest.mark.parametrize(
    ("name", "fields"),
    [
        ("cube-length.dat", {"check.density"}),
        ("core-mass.dat", {"check.density"}),
        ("core-two-parts.dat", {"blocks"}),
        ("modulus-no-units.dat", {"unit.mass", "unit.diameter", "unit.length"}),
        ("foam.csv", {"unit.stress", "unit.strain"}),
    ],
)
def test_a_defect_is_asked_about(name: str, fields: set[str]) -> None:
    """A length of 1148 mm, a mass of another core, a curve in two parts, no units."""
    assert {one.field for one in of(name).questions} == fields


def test_a_curve_in_two_parts_is_one_where_a_person_says_so() -> None:
    """Its largest force is then that of the machine's block between the parts: -942.45343 kN."""
    found = of("core-two-parts.dat", blocks="one specimen")
    (core,) = specimens(found)

    assert peak(core) == pytest.approx(942.45343, rel=1e-3)
    assert any("largest force, 942.453 kN" in said for said in found.blocks[0].agreed)


def test_set_points_and_gauges_are_not_taken_for_the_force_or_the_travel() -> None:
    """Beside force and travel stand a set point and three gauges known by number alone."""
    columns = of("modulus-no-units.dat").blocks[0].columns

    assert [one.taken_for for one in columns] == [
        "other", "time", "other", "force", "travel", "other", "other", "other",
    ]  # fmt: skip


def test_foam_by_stress_and_strain_keeps_its_layout() -> None:
    """Answered once, the next file of its form needs no answer; strength is that of the columns."""
    found = of("foam.csv", unit__stress="MPa", unit__strain="1")
    layout = Layout.from_json(layout_of(found).to_json())
    again = read(_FOLDER / "foam.csv", layout)
    first, second = specimens(again)

    assert again.questions == ()
    assert (first.name, second.name) == ("1", "2")
    assert first.stress_pa is not None
    assert first.strain is not None
    assert first.stress_pa.max() < 200e6
    result = compressed(first.strain, first.stress_pa)
    assert result.strength_pa == pytest.approx(69.26e6, rel=2e-3)
