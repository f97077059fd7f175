"""A laboratory's test results as a sheet: units of the header, conditions, all faults at once."""

from pathlib import Path

import pytest

from beadwright.interop.sheets.kinds import KINDS
from beadwright.ledger.draft import Correction, Reading, ReadingsDraft
from beadwright.quality.characteristics import CHARACTERISTICS, Level
from tests.interop.plant import Plant, codes
from tests.interop.record import MemoryRecord

HEADER = (
    "at,lot,specimen,thickness [in],conditioned [h],compressive_resistance [psi],"
    "thermal_resistance [°F·ft²·h/Btu],dimensional_stability [%],water_absorption [%],method,by"
)
MOULD = "1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1,25,97,3,1.5,604,W-1,,KR"
GOOD = "1,2026-09-04 09:00,L-1,C1,1.00,48,16.2,4.1,-0.4,0,ASTM D1621,"


@pytest.fixture
def plant(tmp_path: Path) -> Plant:
    """A plant with a block lot, and an empty sheet of results."""
    plant = Plant(tmp_path).ground().add("mould_runs", MOULD)
    plant.headers["results"] = HEADER
    return plant


def taken(plant: Plant) -> tuple[Reading, ...]:
    """Readings of the first row."""
    intake = plant.read()
    assert [str(fault) for fault in intake.faults] == []
    (draft,) = (one for one in intake.drafts if one.key == "results/1/readings")
    assert isinstance(draft, ReadingsDraft)
    return draft.readings


def test_a_row_is_one_specimen_with_its_conditions(plant: Plant) -> None:
    """Values as keyed, units of the header, a change below zero, none of what was not tested."""
    found = taken(plant.add("results", GOOD))

    assert [(one.characteristic, one.value, one.unit) for one in found] == [
        ("compressive_resistance", "16.2", "psi"),
        ("thermal_resistance", "4.1", "°F·ft²·h/Btu"),
        ("water_absorption", "0", "%"),
        ("dimensional_stability", "-0.4", "%"),
    ]
    assert {(one.lot, one.specimen, one.method) for one in found} == {("L-1", "C1", "ASTM D1621")}
    assert found[0].facts == {"conditioned_h": "48", "thickness": "1.00 in"}


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        (GOOD.replace("16.2", "-16.2"), ["negative"]),
        (GOOD.replace("16.2", "0"), ["not_positive"]),
        (GOOD.replace("16.2", "16,2").replace(",16,2,", ',"16,2",'), ["not_a_number"]),
        (GOOD.replace("1.00", "2.5"), ["fact_unknown"]),
        (GOOD.replace(",1.00,", ",,"), ["fact_missing"]),
        (GOOD.replace("L-1", "L-9"), ["unknown_lot"]),
        ("1,2026-09-04 09:00,L-1,C1,1.00,48,,,,,,", ["row_empty"]),
    ],
)
def test_what_cannot_be_meant_is_a_bad_row(plant: Plant, row: str, expected: list[str]) -> None:
    """With the place of its cell; the file posts nothing then."""
    intake = plant.add("results", row).read()

    assert codes(intake) == expected
    assert intake.faults[0].where.startswith("results.csv")


def test_a_unit_of_another_kind_is_refused_in_the_header(plant: Plant) -> None:
    """A conductivity is no resistance."""
    plant.headers["results"] = HEADER.replace("°F·ft²·h/Btu", "W/(m·K)")

    assert codes(plant.add("results", GOOD).read()) == ["unit_unknown"]


def test_a_result_is_corrected_and_its_row_recalled(plant: Plant) -> None:
    """The corrected row is restated from the record: conditions stay, one value changes."""
    plant.add("results", GOOD)
    record = MemoryRecord(plant.read().drafts, plant.read().people)
    plant.add(
        "corrections",
        "1,2026-09-05 09:00,results,1,compressive_resistance,15.2 psi,misread,EI",
        "2,2026-09-05 09:05,results,1,dimensional_stability,-1.4 %,misread,EI",
    )
    intake = plant.read(record, only=["corrections"])
    assert [str(fault) for fault in intake.faults] == []

    again = [one for one in intake.drafts if isinstance(one, ReadingsDraft)]

    assert not [one for one in intake.drafts if isinstance(one, Correction)]
    draft = again[-1]
    assert [one.value for one in draft.readings] == ["15.2", "4.1", "0", "-1.4"]
    assert draft.readings[0].facts["thickness"] == "1.00 in"
    assert draft.readings[0].method == "ASTM D1621"


def test_every_tested_characteristic_has_its_column() -> None:
    """What a specimen is tested for can be keyed; what its density is computed from has a sheet."""
    tested = {
        name
        for name, known in CHARACTERISTICS.items()
        if known.level is Level.SPECIMEN and not name.startswith("specimen_")
    }

    assert tested <= set(KINDS["results"].fields)
    assert len(tested) > 15


def test_every_condition_of_a_test_is_a_column_and_is_kept_as_keyed(plant: Plant) -> None:
    """With its unit, or in words; a correction brings them back."""
    plant.headers["results"] = (
        "at,lot,specimen,thermal_conductivity [W/(m·K)],thickness [mm],mean_temperature [°F],"
        "temperature_difference [°F],temperature [°C],humidity [%],exposed [h],cut_at,by"
    )
    row = "1,2026-09-04 09:00,L-1,C1,0.0355,25.4,75,45,23.1,51,24,outer panel,EI"
    (one,) = taken(plant.add("results", row))

    assert one.facts == {
        "thickness": "25.4 mm", "mean_temperature": "75 °F", "temperature_difference": "45 °F",
        "temperature": "23.1 °C", "humidity": "51 %", "exposed": "24 h", "cut_at": "outer panel",
    }  # fmt: skip
    record = MemoryRecord(plant.read().drafts, plant.read().people)
    plant.add("corrections", "1,2026-09-05 09:00,results,1,mean_temperature,77 °F,misread,EI")
    again = [
        one
        for one in plant.read(record, only=["corrections"]).drafts
        if isinstance(one, ReadingsDraft)
    ]

    facts = again[-1].readings[0].facts
    assert {**one.facts, "mean_temperature": "77 °F", "correction": "corrections/1"} == facts
