"""A row that says something else than the record is shown beside it, and nothing of it is taken."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.shell import Shell
from tests.interop.plant import Plant

pytestmark = pytest.mark.django_db

BAG = "1,2026-09-01 08:00,B-1,88-A,Pellmere Resins,F1,{mass},{by}"


@pytest.fixture
def plant(tmp_path: Path, shell: Shell) -> Plant:
    """A small plant whose sheets were imported once."""
    made = Plant(tmp_path).ground()
    made.add("inspections", "1,2026-09-02 10:00,L-1,,1,press,3.4,1220,,,,,,,,,,BAL-2,KR")
    made.add(
        "mould_runs",
        "1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1,5,20,0,1.5,,,,KR",
    )
    assert shell("import", str(made.write())).status == 0
    return made


def changed(shell: Shell, plant: Plant) -> list[dict[str, Any]]:
    """Rows that an import says have changed."""
    told = shell("import", str(plant.write()), "--json")
    answer = json.loads(told.out)
    rows: list[dict[str, Any]] = answer["changed_rows"]
    assert answer["recorded"] == 0
    assert told.status == (1 if rows else 0)
    return rows


def test_each_field_stands_beside_what_the_record_holds(plant: Plant, shell: Shell) -> None:
    """Values, times and people as the sheet writes them, and the row that would correct it."""
    row = BAG.format(mass="890", by="DS").replace("08:00", "08:30")
    plant.sheets["bead_receipts"][0] = row
    (one,) = changed(shell, plant)

    assert (one["key"], one["where"]) == ("bead_receipts/1", "bead_receipts.csv, row 2")
    assert sorted(one["fields"], key=lambda each: str(each["field"])) == [
        {"field": "by", "record": "KR", "file": "DS"},
        {"field": "mass", "record": "882.5 lb", "file": "890 lb"},
        {"field": "received", "record": "2026-09-01 08:00", "file": "2026-09-01 08:30"},
    ]
    assert 'sheet "bead_receipts", row "1"' in one["remedy"]

    told = shell("import", str(plant.write()))
    said = " ".join(told.out.split())
    assert told.status == 1
    for part in ("bead_receipts/1 (bead_receipts.csv, row 2)", "in the record", "in the file",
                 "882.5 lb", "890 lb", "corrections sheet"):  # fmt: skip
        assert part in said


def test_readings_stand_beside_each_other_too(plant: Plant, shell: Shell) -> None:
    """Of a row that became readings: what was measured, and what now is empty."""
    row = "1,2026-09-02 10:00,L-1,,1,press,3.5,,,,,,,,,,,BAL-2,KR"
    plant.sheets["inspections"][0] = row
    (one,) = changed(shell, plant)

    assert one["key"] == "inspections/1"
    assert one["fields"] == [
        {"field": "mass", "record": "3.4 kg", "file": "3.5 kg"},
        {"field": "length", "record": "1220 mm", "file": ""},
    ]


def test_a_file_that_follows_a_correction_has_not_changed(plant: Plant, shell: Shell) -> None:
    """Somebody mended the sheet as well; another value than the corrected one is shown with it."""
    plant.add("corrections", "1,2026-09-05 08:00,bead_receipts,1,mass,890,misread,EI")
    assert shell("import", str(plant.write())).status == 0
    del plant.sheets["corrections"]
    (plant.folder / "corrections.csv").unlink()

    plant.sheets["bead_receipts"][0] = BAG.format(mass="890", by="KR")
    assert changed(shell, plant) == []
    plant.sheets["bead_receipts"][0] = BAG.format(mass="900", by="KR")
    (one,) = changed(shell, plant)
    assert one["fields"] == [{"field": "mass", "record": "890 lb", "file": "900 lb"}]


def test_a_setting_of_the_same_day_is_shown_by_its_words(plant: Plant, shell: Shell) -> None:
    """It is dated anew, not written over."""
    plant.settings = plant.settings.replace('value = "21.6 kg/m3"', 'value = "20.0 kg/m3"')
    (one,) = changed(shell, plant)

    assert one["key"] == "setting/limit/FB6S-DENSITY/2026-09-01"
    assert one["fields"] == [{"field": "value", "record": "21.6 kg/m3", "file": "20.0 kg/m3"}]
    assert "since" in one["remedy"]


def test_a_correction_that_changed_says_what_it_restated(plant: Plant, shell: Shell) -> None:
    """A correction is corrected by another one."""
    correction = "1,2026-09-05 08:00,bead_receipts,1,mass,{mass},{reason},EI"
    plant.add("corrections", correction.format(mass="890", reason="misread"))
    assert shell("import", str(plant.write())).status == 0
    plant.sheets["corrections"] = [correction.format(mass="891", reason="misread it")]
    (one,) = changed(shell, plant)

    assert one["key"] == "corrections/1"
    assert {"field": "reason", "record": "misread", "file": "misread it"} in one["fields"]
    assert {"field": "mass", "record": "890 lb", "file": "891 lb"} in one["fields"]
