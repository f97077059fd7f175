"""A silo's probe and a weighed mesh sample are sheets of their own, and move nothing."""

import pytest

from beadwright.interop.sheets.kinds import KINDS
from beadwright.ledger.draft import ReadingsDraft
from tests.interop.plant import Plant

PROBE = "taken,silo,temperature [°C],instrument,by"
MESH = "taken,sample,silo,grade,age [h],mass [g],temperature [°C],instrument,by"


@pytest.fixture
def followed(ground: Plant) -> Plant:
    """The ground, with headers of both sheets."""
    ground.headers["silo_temperatures"] = PROBE
    ground.headers["mesh_samples"] = MESH
    return ground


def only(plant: Plant, key: str) -> ReadingsDraft:
    """The readings of a row; nothing but readings comes of it."""
    intake = plant.read()
    assert not intake.faults, intake.faults
    (draft,) = (one for one in intake.drafts if one.key == key)
    assert isinstance(draft, ReadingsDraft)
    return draft


def test_a_probe_below_freezing_is_a_temperature(followed: Plant) -> None:
    """Nought degrees is no nothing: a hall in winter is colder."""
    followed.add("silo_temperatures", "1,2026-09-01 14:00,S1,-2.5,probe 1,DS")
    (reading,) = only(followed, "silo_temperatures/1/readings").readings

    assert (reading.characteristic, reading.value, reading.unit) == (
        "silo_temperature", "-2.5", "°C"
    )  # fmt: skip
    assert (reading.lot, reading.instrument) == ("S1", "probe 1")


def test_a_mesh_sample_says_its_grade_and_how_old_its_beads_are(followed: Plant) -> None:
    """Without a temperature of its own it goes by the silo's probe."""
    followed.add("mesh_samples", "1,2026-09-01 14:00,MS-1,S1,F1,2.5,103.82,,balance 1,DS")
    (reading,) = only(followed, "mesh_samples/1/readings").readings

    assert (reading.characteristic, reading.value, reading.unit) == (
        "mesh_sample_mass", "103.82", "g"
    )  # fmt: skip
    assert (reading.specimen, reading.lot) == ("MS-1", "S1")
    assert reading.facts == {"age_h": "2.5", "grade": "F1"}


@pytest.mark.parametrize(
    ("sheet", "row", "code"),
    [
        ("silo_temperatures", "1,2026-09-01 14:00,S1,-300,probe 1,DS", "below_absolute_zero"),
        ("silo_temperatures", "1,2026-09-01 14:00,NO-SUCH,20,probe 1,DS", "unknown_place"),
        ("mesh_samples", "1,2026-09-01 14:00,MS-1,S1,F9,2.5,103.82,,,DS", "unknown_grade"),
        ("mesh_samples", "1,2026-09-01 14:00,MS-1,S1,F1,,103.82,,,DS", "field_missing"),
        ("mesh_samples", "1,2026-09-01 14:00,MS-1,S1,F1,2.5,0,,,DS", "not_positive"),
    ],
)
def test_what_cannot_be_meant_is_a_fault(followed: Plant, sheet: str, row: str, code: str) -> None:
    """Each with its own code, and nothing of the row is taken."""
    followed.add(sheet, row)
    intake = followed.read()

    assert [fault.code for fault in intake.faults] == [code]


@pytest.mark.parametrize(
    ("sheet", "row"),
    [
        ("silo_temperatures", "1,2026-09-01 14:00,S1,31.5,probe 1,DS"),
        ("mesh_samples", "1,2026-09-01 14:00,MS-1,S1,F1,2.5,103.82,30,balance 1,DS"),
        ("mesh_samples", "1,2026-09-01 14:00,MS-1,S1,F1,2.5,103.82,,,DS"),
    ],
)
def test_a_row_comes_back_from_its_readings(followed: Plant, sheet: str, row: str) -> None:
    """So that a correction may restate it when its file is long gone."""
    followed.add(sheet, row)
    draft = only(followed, f"{sheet}/1/readings")
    recall = KINDS[sheet].recall
    assert recall is not None
    cells = recall(draft).cells
    said = dict(zip((PROBE if sheet == "silo_temperatures" else MESH).split(","),
                    row.split(",")[1:], strict=True))  # fmt: skip

    assert {name.partition(" [")[0] for name, text in said.items() if text} == {*cells}
    name = "temperature" if sheet == "silo_temperatures" else "mass"
    assert getattr(cells[name], "text") in row  # noqa: B009 - a cell is one of three
