"""Rows whose figures cannot be true together are asked about; ordinary ones are not."""

import pytest

from beadwright.interop.sheets import Intake, Question
from beadwright.ledger.draft import ReadingsDraft, StepDraft
from tests.interop.plant import PLANT, Plant
from tests.interop.record import MemoryRecord

RUN = "FP1,tool 4,FB6S,H1,C-1,L-1"


@pytest.fixture
def moulded(ground: Plant) -> Plant:
    """Forty good blocks of L-1, moulded from 07:00 to 07:50."""
    return ground.add("mould_runs", run(1, "7", "10,40,0"))


def run(number: int, hour: str, counts: str, used: str = "", mould: str = "tool 4") -> str:
    """A row of L-1: shots, good and scrapped blocks, and ties used."""
    times = f"2026-09-02 {hour:0>2}:00,2026-09-02 {hour:0>2}:50"
    place = RUN.replace("tool 4", mould)
    return f"{number},M-1,{times},{place},{counts},1.5,{used},BIN,,KR"


def weighed(at: str, age: str, state: str) -> str:
    """A block of L-1 on the scale."""
    return f"1,{at},L-1,a,{age},{state},3.17,,,,,,,,,,,,KR"


def looked(checked: str, rejected: str) -> str:
    """Blocks of L-1 looked at and rejected."""
    return f"1,2026-09-03 12:00,L-1,,,,,,,,{checked},,,,,{rejected},BIN,,KR"


def asked(intake: Intake) -> Question:
    """The only question; a fault would be another matter."""
    assert not intake.faults, "\n".join(map(str, intake.faults))
    (question,) = intake.questions
    return question


@pytest.mark.parametrize(
    ("at", "age", "state", "says"),
    [
        ("2026-09-02 05:10", "2", "24h", "1.8 h before"),
        ("2026-09-01 08:10", "1", "dry", "22.8 h before"),
        ("2026-09-02 08:00", "0.1", "24h", "a block of it is 0.2 h old, and a day old from 20 h"),
        ("2026-09-02 08:00", "", "24h", "0.2 h old"),
        ("2026-09-02 23:00", "24", "24h", "16.0 h old"),
        ("2026-09-02 05:10", "0.1", "press", "1.8 h before"),
    ],
)
def test_a_block_is_as_old_as_the_record_lets_it_be(
    moulded: Plant, at: str, age: str, state: str, says: str
) -> None:
    """Its state is asked about, with the times of the run as the sheet writes times."""
    if not age:
        moulded.headers["inspections"] = moulded.headers["inspections"].replace(
            ",age,", ",age [d],"
        )
        age = "0.004"
    question = asked(moulded.add("inspections", weighed(at, age, state)).read())

    assert (question.code, question.where) == ("impossible_age", "inspections.csv:2:state")
    assert question.value == state
    assert "L-1 was moulded from 2026-09-02 07:00 to 2026-09-02 07:50" in question.why
    assert says in question.why


@pytest.mark.parametrize(
    ("at", "age", "state"),
    [
        ("2026-09-03 07:30", "24", "24h"),
        ("2026-09-03 04:00", "20", "24h"),
        ("2026-09-02 07:10", "0.1", "press"),
        ("2026-09-02 06:50", "0.1", "press"),  # by another clock
    ],
)
def test_ordinary_ages_are_not_asked_about(moulded: Plant, at: str, age: str, state: str) -> None:
    """From twenty hours a block is a day old."""
    assert not moulded.add("inspections", weighed(at, age, state)).read().questions


def test_a_block_said_to_be_wet_a_day_after_its_lot_is_asked_about(moulded: Plant) -> None:
    """By the youngest of the lot, whatever age is stated; before that it may be wet."""
    moulded.add("inspections", weighed("2026-09-03 03:49", "0", "press"))
    assert not moulded.read().questions
    moulded.sheets["inspections"] = [weighed("2026-09-03 04:20", "0", "press")]
    question = asked(moulded.read())

    assert (question.code, question.where) == ("no_more_wet", "inspections.csv:2:state")
    assert (question.value, question.perhaps) == ("press", "24h")
    assert "its youngest block is 20.5 h old, and a day old from 20 h" in question.why


def test_the_plants_own_hours_are_asked_by(moulded: Plant) -> None:
    """Of the day of the weighing."""
    moulded.settings = PLANT + '\n[age_gate.weighing]\nmin_h = "30"\n'
    moulded.add("inspections", weighed("2026-09-03 07:30", "24", "24h"))

    assert "a day old from 30 h" in asked(moulded.read()).why


def test_a_kept_age_is_marked_on_the_reading_and_not_asked_again(moulded: Plant) -> None:
    """The record says that a person kept it; what its runs say it can still be told from."""
    moulded.add("inspections", weighed("2026-09-02 08:00", "24", "24h"))
    intake = moulded.read(keep=frozenset({"inspections.csv:2:state"}))
    assert not intake.questions
    draft = next(d for d in intake.drafts if d.key == "inspections/1/readings")

    assert isinstance(draft, ReadingsDraft)
    assert [one.facts["kept"] for one in draft.readings] == ["as keyed"]
    record = MemoryRecord(intake.drafts, intake.people)
    assert not moulded.read(record).questions
    moulded.sheets["inspections"] = [f"2{weighed('2026-09-02 08:00', '24', '24h')[1:]}"]
    assert moulded.read(record, only=["inspections"]).questions[0].code == "impossible_age"


def test_a_corrected_run_is_what_an_age_is_told_by(moulded: Plant) -> None:
    """A day typed wrong in the run, and corrected, raises no question of its weighings."""
    moulded.sheets["mould_runs"] = [run(1, "7", "10,40,0").replace("09-02", "09-03")]
    moulded.add("inspections", weighed("2026-09-03 07:30", "24", "24h"))
    assert asked(moulded.read()).code == "impossible_age"

    for number, name, hour in ((1, "started", "07:00"), (2, "ended", "07:50")):
        moulded.add(
            "corrections",
            f"{number},2026-09-04 08:0{number},mould_runs,1,{name},2026-09-02 {hour},day,EI",
        )
    assert not moulded.read().questions


@pytest.mark.parametrize(
    ("checked", "rejected", "where", "says"),
    [
        ("5", "30", "rejected", "30 are rejected of 5 looked at"),
        ("", "500", "rejected", "500 are rejected of 40 good ones made of L-1"),
        ("400", "1", "checked", "400 are looked at of 40 good ones made of L-1"),
    ],
)
def test_no_more_are_rejected_than_there_were(
    moulded: Plant, checked: str, rejected: str, where: str, says: str
) -> None:
    """Asked by value; kept, the step says so."""
    moulded.add("inspections", looked(checked, rejected))
    question = asked(moulded.read())
    assert (question.code, question.where) == ("counts_differ", f"inspections.csv:2:{where}")
    assert says in question.why

    intake = moulded.read(keep=frozenset({question.where}))
    assert not intake.questions
    assert not moulded.read(MemoryRecord(intake.drafts, intake.people)).questions
    if where == "rejected":
        step = next(d for d in intake.drafts if d.key == "inspections/1")
        assert isinstance(step, StepDraft)
        assert step.facts["kept"] == "as keyed"


def test_pieces_of_a_lot_in_the_record_are_known(moulded: Plant) -> None:
    """The sheet of inspections comes alone a day later."""
    intake = moulded.read()
    record = MemoryRecord(intake.drafts, intake.people)
    moulded.add("inspections", looked("", "500"))

    assert "of 40 good ones" in asked(moulded.read(record, only=["inspections"])).why


@pytest.mark.parametrize("counts", ["41,30,2", "10,41,0", "10,40,1"])
def test_blocks_are_a_multiple_of_the_shots(ground: Plant, counts: str) -> None:
    """Whatever the mould gives a shot, it is a whole number; the cells to look at are named."""
    question = asked(ground.add("mould_runs", run(1, "7", counts)).read())

    assert (question.code, question.where) == ("shots_differ", "mould_runs.csv:2:shots")
    assert "and 1 scrapped block are" in question.why or counts[-1] != "1"
    assert "See shots, good and scrap." in question.why


def test_the_cells_to_look_at_are_named_as_the_sheet_names_them(ground: Plant) -> None:
    """By its own headings."""
    ground.layouts["mould_runs"] = ground.layout("mould_runs").replace('"shots"', '"coups"')
    ground.headers["mould_runs"] = ground.headers["mould_runs"].replace("shots", "coups")

    question = asked(ground.add("mould_runs", run(1, "7", "41,30,2")).read())
    assert question.where == "mould_runs.csv:2:shots"
    assert question.why.endswith("See coups, good and scrap.")


def test_a_mould_gives_the_same_blocks_a_shot(ground: Plant) -> None:
    """Against its other rows, another multiple is asked about; another mould is not."""
    ground.add("mould_runs", *(run(n, str(n), "10,39,1") for n in range(1, 7)))
    ground.add("mould_runs", run(7, "7", "10,20,0", mould="tool 5"))
    assert not ground.read().questions

    ground.add("mould_runs", run(8, "8", "10,20,0"))
    assert "20 of 10 shots, not 4 a shot, as its mould gives" in asked(ground.read()).why


def test_good_blocks_hold_their_ties(ground: Plant) -> None:
    """Twenty-four ties for forty blocks of six: one cell of three is wrong."""
    question = asked(ground.add("mould_runs", run(1, "7", "10,40,0", used="24")).read())

    assert (question.code, question.where) == ("ties_short", "mould_runs.csv:2:ties_used")
    assert "40 good blocks of 6 ties hold 240" in question.why


def test_no_bag_holds_so_much(ground: Plant) -> None:
    """Two tonnes, or what the plant's own bags hold."""
    ground.add("bead_receipts", "2,2026-09-01 08:00,B-2,88-A,,F1,99999999.5,KR")
    question = asked(ground.read())
    assert (question.code, question.value) == ("bag_too_heavy", "99999999.5 lb")

    ground.sheets["bead_receipts"][1] = "2,2026-09-01 08:00,B-2,88-A,,F1,2900,KR"
    assert not ground.read().questions
    ground.settings = PLANT + '\n[tolerance.receipt]\nbag = "1200 kg"\n'
    assert asked(ground.read()).why == "No bag holds more than 1200 kg."
