"""A laboratory's real record of weighed and measured concrete, laid out as a sheet of specimens.

Data: ``tests/outside/data/specimens`` (source, licence and extraction beside it). The numbers are
as typed there, decimal comma and typing errors included. The densities below are computed here
from the typed digits with plain arithmetic, not by the program.
"""

import csv
import math
from collections import defaultdict
from decimal import Decimal
from pathlib import Path

import pytest

from beadwright.interop.sheets import EmptyRecord, Intake, read
from beadwright.lab.density import box_volume, cylinder_volume, specimen_density
from beadwright.ledger.draft import Reading, ReadingsDraft
from beadwright.units import to_si

DATA = Path(__file__).parents[1] / "outside" / "data" / "specimens" / "specimens.csv"
LAYOUT = """
sheet = "specimens"
encoding = "utf-8"
delimiter = ";"
decimal = ","
thousands = ""
dates = "DD.MM.YYYY hh:mm:ss"
zone = "Europe/Berlin"
row = "specimen"
ignore = ["lot", "tested on"]
[columns]
at = "clock"
specimen = "specimen"
length = "length"
width = "width"
height = "height"
diameter = "diameter"
mass = "mass"
"""


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    """The laboratory's sheet with its layout beside it."""
    file = tmp_path / "specimens.csv"
    file.write_bytes(DATA.read_bytes())
    (tmp_path / "specimens.layout.toml").write_text(LAYOUT, "utf-8")
    return file


@pytest.fixture
def intake(sheet: Path) -> Intake:
    """The sheet, read."""
    return read([sheet], EmptyRecord())


def typed() -> dict[str, dict[str, float]]:
    """What stands in the file, by specimen: millimetres and grams."""
    with DATA.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines, delimiter=";"))
    return {
        row["specimen"]: {
            name.partition(" ")[0]: float(text.replace(",", "."))
            for name, text in row.items()
            if name.endswith("]") and text
        }
        for row in rows
    }


def by_hand(sizes: dict[str, float]) -> float:
    """Density from the typed digits, in kg/m3."""
    if "diameter" in sizes:
        height = sizes.get("height", sizes.get("length", 0.0))
        volume = math.pi / 4 * sizes["diameter"] ** 2 * height
    else:
        volume = sizes["length"] * sizes["width"] * sizes["height"]
    return sizes["mass"] / volume * 1e6


def stored(readings: tuple[Reading, ...]) -> float:
    """Density from a draft's readings, by the program's own formulas, in kg/m3."""
    si = {
        one.characteristic.removeprefix("specimen_"): float(
            to_si(Decimal(one.value), one.unit, "mass" if one.unit == "g" else "length")
        )
        for one in readings
    }
    mass = si.pop("mass")
    if "diameter" in si:
        volume = cylinder_volume(si.pop("diameter"), *si.values())
    else:
        volume = box_volume(*si.values())
    return float(specimen_density(mass, volume))


def test_every_row_is_read(intake: Intake) -> None:
    """29 specimens, none bad: a typing error is a number, too."""
    assert not intake.faults
    assert len(intake.drafts) == len(typed()) == 29


def test_the_densities_are_those_of_the_typed_digits(intake: Intake) -> None:
    """For all 29, the impossible ones too: nothing is mended in silence."""
    expected = {name: by_hand(sizes) for name, sizes in typed().items()}
    found = {
        draft.readings[0].specimen: stored(draft.readings)
        for draft in intake.drafts
        if isinstance(draft, ReadingsDraft)
    }

    assert found == pytest.approx(expected, rel=1e-12)


def test_ordinary_cubes_have_the_density_of_concrete(intake: Intake) -> None:
    """Normal-weight concrete: above 2000 and not above 2600 kg/m3 (EN 206).

    [read in: a second source that cites it]; the impossible rows are those asked about.
    """
    doubted = {question.where.split(":")[1] for question in intake.questions}
    rows = {str(number): name for number, name in enumerate(typed(), 2)}
    ordinary = [by_hand(typed()[name]) for row, name in rows.items() if row not in doubted]

    assert len(ordinary) >= 24
    assert all(2000 < density <= 2600 for density in ordinary)


def test_the_impossible_ones_are_asked_about_by_value(intake: Intake) -> None:
    """A length of 1148 mm; 98.6 mm and 100 mm exchanged; a mass that fits another specimen."""
    asked = defaultdict(list)
    for question in intake.questions:
        file, row, _ = question.where.split(":")
        assert file == "specimens.csv"
        asked[int(row)].append(question.value)

    assert dict(asked) == {4: ["1148 mm"], 29: ["5328 g"]}
    assert "148 mm" in intake.questions[0].perhaps
    assert "98.6 mm, here the height, is the diameter there" in intake.questions[1].perhaps


def test_nothing_passes_that_was_asked_about(sheet: Path, intake: Intake) -> None:
    """Each answer silences its own question only."""
    answers = [question.where for question in intake.questions]
    for answer in answers:
        left = read([sheet], EmptyRecord(), frozenset({answer})).questions
        assert sorted(question.where for question in left) == sorted(set(answers) - {answer})
