"""Test reports, calibrations and first pieces: a row of a sheet is one entry of the record."""

import pytest

from beadwright.ledger.draft import Decision, Line, StepDraft
from tests.interop.plant import HEADERS, Plant
from tests.interop.record import MemoryRecord

REPORTS = (
    "entered,number,laboratory,products,characteristic,method,specimens,result,sampled,tested,"
    "issued,expires,by"
)
CALIBRATIONS = "entered,instrument,done,result,certificate,due,by"
FIRST = "at,press,run,lot,mass,ties,fusion,dimensions,code,by"
REPORT = (
    "1,2026-09-03 08:00,R-7,Northgate Testing,FB6S PKC,thermal_conductivity,,3,0.036 W/(m·K),"
    "2026-09-01,2026-09-02,2026-09-02,2028-09-01,EI"
)
CALIBRATION = "1,2026-09-03 09:00,BAL-2,2026-09-02,pass,K-1,2027-09-02,EI"
INSTRUMENT = '\n[instrument.BAL-2]\nwhat = "balance"\nevery = "year"\n'


@pytest.fixture
def plant(ground: Plant) -> Plant:
    """A plant that keeps such sheets."""
    ground.settings += INSTRUMENT
    ground.headers = {
        **HEADERS, "reports": REPORTS, "calibrations": CALIBRATIONS, "first_pieces": FIRST
    }  # fmt: skip
    return ground


def decisions(plant: Plant) -> list[Decision]:
    """Decisions that the sheets became, where nothing was wrong."""
    intake = plant.read()
    assert intake.faults == ()
    return [draft for draft in intake.drafts if isinstance(draft, Decision)]


def test_a_report_is_a_decision(plant: Plant) -> None:
    """With its products apart, specimens as a number, days as they stand."""
    (said,) = decisions(plant.add("reports", REPORT))

    assert (said.key, said.kind, said.about, said.by) == ("reports/1", "report", "R-7", "P-13")
    assert said.body == {
        "laboratory": "Northgate Testing", "products": ["FB6S", "PKC"], "specimens": 3,
        "characteristic": "thermal_conductivity", "result": "0.036 W/(m·K)",
        "sampled": "2026-09-01", "tested": "2026-09-02", "issued": "2026-09-02",
        "expires": "2028-09-01",
    }  # fmt: skip


@pytest.mark.parametrize(("cell", "hours"), [("48", "48"), ("40.5", "40.5"), ("", None)])
def test_a_report_says_how_long_its_specimens_were_conditioned(
    plant: Plant, cell: str, hours: str | None
) -> None:
    """In hours, unless the heading states another unit; without a word, nothing is said."""
    plant.headers["reports"] = f"{REPORTS},conditioned"
    (said,) = decisions(plant.add("reports", f"{REPORT},{cell}"))

    assert said.body.get("conditioned_h") == hours


def test_a_calibration_is_a_decision(plant: Plant) -> None:
    """About its instrument."""
    (said,) = decisions(plant.add("calibrations", CALIBRATION))

    assert (said.kind, said.about) == ("calibration", "BAL-2")
    assert said.body == {
        "done": "2026-09-02", "result": "pass", "certificate": "K-1", "due": "2027-09-02"
    }  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "field", "code"),
    [
        ("FB6S PKC", "FB7S", "products", "unknown_product"),
        ("thermal_conductivity", "warmth", "characteristic", "unknown_characteristic"),
        ("0.036 W/(m·K)", "0.036 psi", "result", "bad_decision"),
        ("2026-09-01,2026-09-02", "1 Sept,2026-09-02", "sampled", "bad_decision"),
        ("2026-09-01,2026-09-02", "2026-09-02,2026-09-01", "tested", "bad_decision"),
        ("2026-09-02,2028-09-01", "2026-09-04,2028-09-01", "issued", "time_ahead"),
    ],
)
def test_a_report_that_cannot_be_meant_is_a_fault_of_its_cell(
    plant: Plant, old: str, new: str, field: str, code: str
) -> None:
    """And nothing of it is handed on."""
    intake = plant.add("reports", REPORT.replace(old, new)).read()

    assert {fault.code for fault in intake.faults} == {code}
    assert all(f'"{field}"' in fault.where for fault in intake.faults)


def test_an_instrument_nobody_set_is_a_fault(plant: Plant) -> None:
    """It would never be judged."""
    (fault,) = plant.add("calibrations", CALIBRATION.replace("BAL-2", "BAL-3")).read().faults

    assert fault.code == "unknown_instrument"


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        (",K-1,", ",,", "certificate"),
        ("2026-09-02,pass,K-1,2027-09-02", "2006-09-02,pass,K-1,", "done"),
        ("2027-09-02", "2099-01-01", "due"),
    ],
)
def test_a_calibration_that_cannot_be_meant_is_a_fault_of_its_cell(
    plant: Plant, old: str, new: str, field: str
) -> None:
    """What it rests on, and days that somebody mistyped."""
    (fault,) = plant.add("calibrations", CALIBRATION.replace(old, new)).read().faults

    assert fault.code == "bad_decision"
    assert f'"{field}"' in fault.where


def test_a_calibration_of_tomorrow_is_a_fault_of_its_cell(plant: Plant) -> None:
    """Tomorrow by the plant's calendar, of the day on which the row was entered."""
    late = CALIBRATION.replace("09-03 09:00", "09-03 22:00").replace("2026-09-02,", "2026-09-04,")
    (fault,) = plant.add("calibrations", late).read().faults

    assert fault.code == "time_ahead"
    assert '"done"' in fault.where


def test_such_a_row_is_entered_again_and_not_corrected(plant: Plant) -> None:
    """A correction of it is a fault that names the sheets that take one."""
    plant.add("reports", REPORT)
    plant.add("corrections", "1,2026-09-04 08:00,reports,1,result,0.035 W/(m·K),misread,EI")
    (fault,) = plant.read().faults

    assert fault.code == "correction_unclear"
    assert "mould_runs" in fault.remedy
    assert "reports" not in fault.remedy


def test_read_again_it_is_the_same(plant: Plant) -> None:
    """So that a second import posts nothing."""
    plant.add("reports", REPORT).add("calibrations", CALIBRATION)
    first = plant.read()
    again = plant.read(MemoryRecord(first.drafts, first.people))

    assert again.faults == ()
    assert again.drafts == first.drafts


def test_a_first_piece_is_a_step_on_its_lot(plant: Plant) -> None:
    """It moves nothing, and says who looked at what."""
    times = "2026-09-02 08:00,2026-09-02 08:50"
    plant.add("mould_runs", f"1,M-1,{times},FP1,tool 4,FB6S,H1,C-1,L-1,20,20,0,1.5,,,,KR")
    plant.add("first_pieces", "1,2026-09-02 08:10,FP1,M-1,L-1,ok,ok,ok,not ok,ok,DS")
    intake = plant.read()
    (step,) = [
        one for one in intake.drafts if isinstance(one, StepDraft) and one.kind == "first_piece"
    ]

    assert intake.faults == ()
    assert (step.lines, step.place, step.run) == ((Line("L-1", 0, 0),), "FP1", "M-1")
    assert (step.facts["ties"], step.facts["dimensions"]) == ("ok", "not ok")


def asked(plant: Plant, record: MemoryRecord | None = None) -> list[tuple[str, str]]:
    """Code and place of each question of the sheets."""
    intake = plant.read(record) if record else plant.read()
    assert intake.faults == ()
    return [(one.code, one.where) for one in intake.questions]


@pytest.mark.parametrize(
    ("row", "question"),
    [
        ("2,2026-09-04 09:00,BAL-2,2026-09-03,pass,k-1,2027-09-03,EI", "done"),
        ("2,2026-09-04 09:00,BAL-2,2026-09-02,pass,K-1,2028-09-02,EI", "due"),
        ("2,2026-09-04 09:00,BAL-2,2026-09-02,fail,K-1,2027-09-02,EI", "result"),
        ("2,2026-09-04 09:00,BAL-2,2026-09-02,pass,K-2,2027-09-02,EI", "certificate"),
        ("2,2026-09-04 09:00,BAL-2,2026-09-02,pass,K-1,2027-09-02,EI", ""),
        ("2,2026-09-04 09:00,BAL-2,2026-09-03,pass,K-2,2027-09-03,EI", ""),
    ],
    ids=["later day", "later end", "other word", "other certificate", "the same", "a new one"],
)
def test_a_calibration_that_says_otherwise_again_is_asked_about(
    plant: Plant, row: str, question: str
) -> None:
    """In one file, and against what is in the record; kept, it is not asked again."""
    plant.add("calibrations", CALIBRATION)
    first = plant.read()
    wanted = [("calibration_again", f"calibrations.csv:3:{question}")] if question else []
    plant.add("calibrations", row)

    assert asked(plant) == wanted
    assert asked(plant, MemoryRecord(first.drafts, first.people)) == wanted
    kept = plant.read(keep=frozenset(where for _, where in wanted))
    assert not kept.questions
    assert asked(plant, MemoryRecord(kept.drafts, kept.people)) == []


def test_what_instruments_are_checked_against_is_no_certificate(plant: Plant) -> None:
    """A set of weights stands beside each calibration: asked about the second time only."""
    days = ("2026-07-02", "2026-08-02", "2026-09-02")
    for number, day in enumerate(days, start=1):
        row = f"{number},2026-09-03 09:0{number},BAL-2,{day},pass,weights 12,,EI"
        plant.add("calibrations", row)

    assert asked(plant) == [("calibration_again", "calibrations.csv:3:done")]


LIMIT = """
[limit.CONDUCTIVITY]
product = "FB6S"
characteristic = "thermal_conductivity"
bound = "max"
value = "0.036 W/(m·K)"
statistic = "mean"
evidence = "periodic_test"
source = "signed limits"
"""


def test_a_result_many_times_off_its_limit_is_asked_about(plant: Plant) -> None:
    """As the shell asks; kept, the entry says so, and is not asked again."""
    plant.settings += LIMIT
    plant.add("reports", REPORT.replace("FB6S PKC", "FB6S").replace("0.036 W", "0.36 W"))
    where = "reports.csv:2:result"

    (question,) = plant.read().questions
    assert (question.code, question.where) == ("result_far_off", where)
    assert "is 10 times what CONDUCTIVITY asks" in question.why
    kept = plant.read(keep=frozenset({where}))
    (said,) = [one for one in kept.drafts if isinstance(one, Decision)]
    assert not kept.questions
    assert said.body["kept"] == "as keyed"
    again = plant.read(MemoryRecord(kept.drafts, kept.people))
    assert not again.questions
    assert again.drafts == kept.drafts


def test_a_result_near_its_limit_is_not_asked_about(plant: Plant) -> None:
    """Whether it meets it or not; the entry says nothing of it."""
    plant.settings += LIMIT
    plant.add("reports", REPORT.replace("FB6S PKC", "FB6S").replace("0.036 W", "0.06 W"))

    assert asked(plant) == []
    assert "kept" not in decisions(plant)[0].body
