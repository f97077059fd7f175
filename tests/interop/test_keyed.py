"""A form is one row of a sheet: keyed, it says to the byte what the sheet says."""

import pytest

from beadwright.errors import Misuse
from beadwright.interop.importing import import_files
from beadwright.interop.keyed import Keyed, fields_of, read
from beadwright.interop.keyed.form import FORMS
from beadwright.interop.recorded import Recorded
from beadwright.interop.sheets.kinds import KINDS
from beadwright.ledger.texts import content_of
from tests.interop.plant import HEADERS, Plant

pytestmark = pytest.mark.django_db

CODE = "LARKHOLLOW"
EXPANDER = '\n[place.E1]\nkind = "expander"\n'
INSTRUMENT = '\n[instrument.SCALE]\nwhat = "scale"\nevery = "365 days"\n'
MORE = {
    "adjustments": "at,expander,charge [kg],steaming [s],steam [bar],why,by",
    "silo_temperatures": "taken,silo,temperature [°F],instrument,by",
    "mesh_samples": "taken,sample,silo,grade,age [h],mass [g],temperature [°C],instrument,by",
    "first_pieces": "at,press,run,lot,mass,ties,fusion,dimensions,code,by",
    "samples": "at,lot,sample,pieces,fate,conditioning_from,kept_at,by",
    "results": "at,lot,specimen,thickness [in],conditioned [h],compressive_resistance [psi],"
    "method,instrument,by",
    "reports": "entered,number,laboratory,products,characteristic,method,specimens,result,"
    "sampled,issued,by",
    "calibrations": "entered,instrument,done,result,certificate,by",
    "stocktakes": "at,lot,found_mass [kg],found_pieces,scale,by",
}
MOULDED = "1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1,20,39,1,1.5,,W-1,,DS"
ROWS = {
    "bead_receipts": "7,2026-09-03 08:00,B-7,88-B,Pellmere Resins,F1,882.5,KR",
    "tie_receipts": "7,2026-09-03 09:00,C-7,T-8,,T6,1200,0.6,KR",
    "expansion_runs": "7,E-7,2026-09-02 10:00,2026-09-02 11:30,B-1,12,1,12,S2,11.9,0.2,DS",
    "cups": "7,2026-09-01 11:40,E-1,S1,hot,221.4,10,scale 2,DS",
    "adjustments": "7,2026-09-01 14:00,E1,7.9,,,two cups heavy,DS",
    "silo_temperatures": "7,2026-09-01 14:00,S1,98.6,probe 1,DS",
    "mesh_samples": "7,2026-09-01 14:00,MS-1,S1,F1,2.5,103.82,31,balance 1,DS",
    "silo_moves": "7,2026-09-03 10:00,swept_empty,H1,,,EI,,DS",
    "mould_runs": "7,M-7,2026-09-02 09:00,2026-09-02 10:00,FP1,tool 4,FB6S,H1,C-1,L-7,4,7,1,1.5,,"
    "W-7,short,DS",
    "first_pieces": "7,2026-09-02 07:05,FP1,M-1,L-1,ok,ok,ok,not ok,ok,EI",
    "reclaim": "7,2026-09-03 11:00,strip,W-1,TO-1,1.5,0.2,KR",
    "inspections": "7,2026-09-03 10:00,L-1,3,27,24h,3.2,1219,406,279.4,10,0,1,0,0,1,W-9,tape 1,EI",
    "specimens": "7,2026-09-03 12:00,L-1,3,100.2,100.1,50.2,,11.4,",
    "results": "7,2026-09-04 12:00,L-1,3,1,40,16.5,ASTM D1621,press 1,EI",
    "samples": "7,2026-09-03 12:30,L-1,SA-1,2,test,2026-09-03 13:00,room 1,EI",
    "bundles": "7,2026-09-03 13:00,BU-1,L-1,20,DS",
    "shipments": "7,2026-09-04 13:00,SH-1,Marl Street site,L-1,10,DS",
    "reports": "7,2026-09-04 13:00,R-1,Bench,FB6S,density,,5,22.1 kg/m3,2026-09-01,2026-09-03,EI",
    "calibrations": "7,2026-09-04 13:00,SCALE,2026-09-03,pass,K-1,EI",
    "stocktakes": "7,2026-09-04 14:00,S1,14.2,,scale 2,EI",
}


@pytest.fixture
def yard(ground: Plant) -> Plant:
    """The ground and a lot of blocks, in the store."""
    ground.headers.update(MORE)
    ground.settings += EXPANDER + INSTRUMENT
    ground.add("mould_runs", MOULDED)
    report = import_files([ground.write()])
    assert not report.refused, report
    return ground


def texts(kind: str, row: str) -> tuple[str, dict[str, str], dict[str, str]]:
    """Key, texts and units of a row of a sheet."""
    key, *cells = row.split(",")
    values, units = {}, {}
    for header, cell in zip({**HEADERS, **MORE}[kind].split(","), cells, strict=True):
        name, _, unit = header.partition(" [")
        values[name] = cell
        if unit:
            units[name] = unit.rstrip("]")
    return key, values, units


def key_in(kind: str, row: str = "", **changes: str) -> Keyed:
    """Key a row into a form."""
    key, values, units = texts(kind, row or ROWS[kind])
    return read(CODE, kind, {**values, **changes}, units=units, key=key, by="")


@pytest.mark.parametrize("kind", KINDS)
def test_a_form_says_to_the_byte_what_its_row_says(yard: Plant, kind: str) -> None:
    """The same row through a sheet and through a form, of every kind."""
    yard.sheets = {kind: [ROWS[kind]]}
    intake = yard.read(Recorded(CODE), only=[kind])
    keyed = key_in(kind)

    assert not intake.faults, intake.faults
    assert not keyed.faults, keyed.faults
    assert len(keyed.questions) == len(intake.questions) == 0
    assert intake.drafts
    assert sorted(map(content_of, keyed.drafts)) == sorted(map(content_of, intake.drafts))
    assert keyed.ready


@pytest.mark.usefixtures("yard")
def test_every_fault_stands_at_its_field() -> None:
    """What is wrong with the cells at once; what it does not fit, when they can be read."""
    keyed = key_in("bead_receipts", mass="8x2", grade="", received="2026-13-01 08:00")
    assert {name: [one.code for one in found] for name, found in keyed.faults.items()} == {
        "received": ["time_invalid"],
        "grade": ["field_missing"],
        "mass": ["not_a_number"],
    }
    assert not keyed.drafts
    keyed = key_in("bead_receipts", grade="T6")
    assert [one.code for one in keyed.faults["grade"]] == ["wrong_kind"]


@pytest.mark.usefixtures("yard")
def test_a_number_without_a_unit_is_a_fault_of_its_field() -> None:
    """Nothing is guessed."""
    key, values, _ = texts("bead_receipts", ROWS["bead_receipts"])
    keyed = read(CODE, "bead_receipts", values, units={}, key=key, by="P-01")
    assert [one.code for one in keyed.faults["mass"]] == ["unit_missing"]


@pytest.mark.usefixtures("yard")
def test_a_slip_is_asked_once_and_kept() -> None:
    """Ten times the target: the value, why, and what may have been meant."""
    keyed = key_in("mould_runs", foam_per_block="15")
    assert [(one.field, one.code, one.value, one.perhaps) for one in keyed.questions] == [
        ("foam_per_block", "slipped_value", "15 kg", "1.5 kg")
    ]
    assert not keyed.ready
    key, values, units = texts("mould_runs", ROWS["mould_runs"])
    values["foam_per_block"] = "15"
    kept = frozenset({"foam_per_block", "shots"})
    keyed = read(CODE, "mould_runs", values, units=units, key=key, by="P-02", kept=kept)
    assert keyed.ready
    assert keyed.kept == {"foam_per_block"}


def test_a_slip_against_what_is_usual_in_the_record_is_asked(yard: Plant) -> None:
    """A form is one row, so the newest of its kind in the record say what is usual."""
    rows = [f"{n},2026-09-01 12:{n},E-1,S1,hot,22{n % 10}.4,10,,DS" for n in range(10, 16)]
    yard.sheets = {"cups": rows}
    yard.headers = dict(HEADERS)
    assert not import_files([yard.write()]).refused
    assert [one.field for one in key_in("cups", mass="2214").questions] == ["mass"]
    assert not key_in("cups").questions


@pytest.mark.parametrize("kind", FORMS)
def test_every_field_says_what_it_asks_for(kind: str) -> None:
    """In one sentence."""
    for one in fields_of(kind):
        assert one.help.endswith("."), one.name
        assert len(one.help) < 80, one.name


@pytest.mark.parametrize("kind", FORMS)
def test_a_time_says_that_empty_is_now_where_it_may_be_left_empty(kind: str) -> None:
    """A run's end may be the time of its row, or one that must be said."""
    said = {one.name: "empty: now" in one.help for one in fields_of(kind) if one.sort == "time"}

    assert said == {one.name: one.is_time for one in fields_of(kind) if one.sort == "time"}


def test_the_form_of_each_kind_has_its_units_and_choices() -> None:
    """A quantity has units beside it, the usual one first; the time may be left empty."""
    found = {one.name: one for one in fields_of("inspections")}
    assert found["mass"].quantity == "mass"
    assert "lb" in found["mass"].units
    assert found["age"].unit == "h"
    assert found["state"].choices == ("press", "24h", "dry")
    assert (found["at"].is_time, found["at"].required) == (True, False)
    with pytest.raises(Misuse, match="mould_runs"):
        fields_of("bags")
