"""Evidence at the shell: what is due, reports entered and withdrawn, calibrations."""

from __future__ import annotations

import json
import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.cli.shell import Shell
from tests.plant.planning import lot, plant
from tests.plant.yard import FORM, Yard

pytestmark = pytest.mark.django_db

REPORT = (
    "--laboratory", "Northgate Testing", "--product", "FB6",
    "--characteristic", "compressive_resistance", "--method", "ASTM D1621", "--specimens", "5",
    "--by", "P-13",
)  # fmt: skip


def enter(shell: Shell, number: str, day: int, result: str, *more: str) -> str:
    """Enter a report on a sample of a day of September 2026."""
    told = shell(
        "report", number, "--result", result, "--sampled", f"2026-09-{day:02}", *REPORT, *more
    )
    assert told.status == 0, told.err
    return told.out


def waiting() -> Yard:
    """A plant with a weekly test, and one lot of the 10th that waits for it."""
    yard = plant()
    lot(yard, "L1", 10)
    return yard


def test_a_test_that_was_never_made_is_told_with_the_lot_that_waits(shell: Shell) -> None:
    """And by the exit status."""
    waiting()
    told = shell("due")

    assert told.status == 1
    assert "NEVER DONE: compressive resistance of FB6" in told.out
    assert "periodic test, every week, plan FB6-STR, 5 specimens, ASTM D1621" in told.out
    assert "waiting in stock: L1" in told.out


def test_a_report_lets_the_lot_go_and_its_withdrawal_stops_it_again(shell: Shell) -> None:
    """`assess` tells the report that covers it."""
    waiting()
    assert shell("assess", "L1").status == 1
    assert "report R-1 is entered by P-13" in enter(shell, "R-1", 10, "17.4 psi")
    told = shell("assess", "L1")

    assert told.status == 0
    assert "Tests that the plan asks for besides" in told.out
    assert "periodic test, in time: compressive resistance: 17.4 psi, sampled" in told.out
    gone = shell("report", "R-1", "--withdraw", "specimens mixed up", "--by", "P-13")
    assert "report R-1 is withdrawn by P-13" in gone.out
    assert shell("assess", "L1").status == 1
    assert "0 results of test reports, 1 withdrawn" in shell("reports").out
    listed = shell("reports", "--all").out
    assert "WITHDRAWN:" in listed
    assert "R-1" in listed


def test_a_report_says_how_long_its_specimens_were_conditioned(shell: Shell) -> None:
    """40 h are asked: said to be fewer, it does not count; as JSON it stands as written."""
    waiting()
    enter(shell, "R-1", 10, "17.4 psi", "--conditioned", "24")
    short = shell("assess", "L1")
    told = json.loads(shell("reports", "--json").out)["reports"][0]
    enter(shell, "R-1", 10, "17.4 psi", "--conditioned", "48 h")

    assert short.status == 1
    assert "its specimens were conditioned 24 h of 40 h" in " ".join(short.out.split())
    assert told["conditioned_h"] == "24"
    assert shell("assess", "L1").status == 0


def test_overdue_and_failed_are_told_with_the_sample_they_rest_on(shell: Shell) -> None:
    """Sampled in September 2026, every week: overdue ever after."""
    waiting()
    enter(shell, "R-1", 10, "17.4 psi")
    overdue = shell("due").out
    enter(shell, "R-2", 11, "12 psi")
    failed = shell("due").out

    assert re.search(r"OVERDUE, 2026-09-17, \d+ days? ago: compressive resistance", overdue)
    assert "last: 17.4 psi, sampled 2026-09-10 (report R-1, Northgate Testing)" in overdue
    assert "FAILED," in failed
    assert "which failed" in failed


def test_what_is_in_time_is_listed_only_where_it_is_asked_for(shell: Shell) -> None:
    """A type test without expiry."""
    yard = Yard.open()
    yard.set("plan", "FIRE", product="*", characteristic="flame spread", evidence="type_test")
    told = shell("report", "F-1", "--laboratory", "Northgate Testing", "--product", "*",
                 "--characteristic", "flame spread", "--result", "pass",
                 "--sampled", "2026-09-01", "--by", "P-13")  # fmt: skip

    assert told.status == 0, told.err
    short, long = shell("due"), shell("due", "--all")
    assert (short.status, long.status) == (0, 0)
    assert "flame spread" not in short.out
    assert "in time: flame spread of FB6" in long.out


@pytest.mark.parametrize(
    ("words", "what"),
    [
        (("--product", "FB9"), "product 'FB9' was set up; there are: FB6"),
        (("--characteristic", "strenght"), "here is tested by the name 'strenght'"),
    ],
)
def test_a_slip_that_would_cover_nothing_in_silence_is_misuse(
    shell: Shell, words: tuple[str, str], what: str
) -> None:
    """A product nobody set up, a characteristic nobody asks for."""
    plant()
    told = shell("report", "R-1", "--result", "17 psi", "--sampled", "2026-09-01", *REPORT, *words)

    assert told.status == 2
    assert what in " ".join(told.err.split())
    assert "0 results" in shell("reports").out


def test_a_report_that_cannot_be_read_is_refused_by_the_door(shell: Shell) -> None:
    """With the code and the part."""
    plant()
    told = shell("report", "R-1", "--result", "17", "--sampled", "2026-09-01", *REPORT)

    assert told.status == 1
    assert "bad_decision" in told.err
    assert "result must be a number and a unit of pressure" in " ".join(told.err.split())


def test_reports_break_no_number_and_no_day(shell: Shell, monkeypatch: pytest.MonkeyPatch) -> None:
    """However narrow the page and however many the products."""
    yard = waiting()
    names = [f"FORM-{number:02}" for number in range(9)]
    for name in names:
        yard.set("product", name, FORM)
    more = [word for name in names for word in ("--product", name)]
    enter(shell, "NTH-2026-004711", 10, "17.4 psi", *more, "--expires", "2027-09-09")
    monkeypatch.setenv("COLUMNS", "60")

    told = shell("reports", "--all").out

    for whole in ("NTH-2026-004711", "2026-09-10", "2027-09-09", "17.4 psi", *names):
        assert any(whole in line for line in told.splitlines()), whole
    assert not any(line.strip() == "," for line in told.splitlines())


def test_a_lapsed_test_stands_among_the_first_lines_of_a_lot_that_is_stopped(shell: Shell) -> None:
    """With what else is missing; that pieces have left is a note, for it stops nothing."""
    yard = waiting()
    enter(shell, "R-1", 2, "17.4 psi")
    yard.ship("SH-1", "L1", 4)
    yard.hold("H-1", "L1")

    told = shell("assess", "L1").out
    first, _, notes = told.partition("\nNote\n")

    assert "L1: MAY NOT SHIP" in first
    assert "Also missing\n  - compressive resistance: 17.4 psi, sampled 2026-09-02" in first
    assert "Also stops it" not in told
    assert notes.startswith("  - pieces are already with QUARRY LANE: 4 in SH-1")


@pytest.mark.parametrize(
    ("result", "says"),
    [
        ("999999999 psi", "66,666,667 times what STR asks (min 15.0 psi)"),
        ("1.7 psi", "only 1/8.82 of what STR asks"),
        ("0 psi", "nothing of what STR asks"),
        ("1.7 MPa", "16.4 times what STR asks"),
    ],
)
def test_a_result_many_times_off_its_limit_is_asked_about_once(
    result: str, says: str, shell: Shell
) -> None:
    """With --keep it is entered, and the entry says that somebody kept it."""
    waiting()
    words = ("report", "R-1", "--result", result, "--sampled", "2026-09-10", *REPORT)
    told = shell(*words)

    assert (told.status, told.out) == (2, "")
    assert says in " ".join(told.err.split())
    assert "say --keep" in told.err
    assert "0 results" in shell("reports").out
    entry = enter(shell, "R-1", 10, result, "--keep").split()[1].rstrip(":")
    assert "as keyed" in shell("entry", entry).out


@pytest.mark.parametrize("result", ["17.4 psi", "9 psi", "60 psi"])
def test_a_result_that_can_be_is_not_asked_about(result: str, shell: Shell) -> None:
    """It may fail, or be several times better."""
    waiting()

    assert "R-1 is entered" in enter(shell, "R-1", 10, result)


def test_a_report_that_counts_for_nothing_says_so(shell: Shell) -> None:
    """Where the plan takes one, nothing; where a limit asks readings, or nothing asks, why."""
    yard = waiting()
    assert "counts for nothing" not in enter(shell, "R-1", 10, "17.4 psi")
    yard.limit("WL", "water_absorption", "max", "4 %")
    of_water = ("--characteristic", "water_absorption")
    of_length = ("--characteristic", "length")

    told = " ".join(enter(shell, "R-2", 10, "0.2 %", *of_water).split())
    other = " ".join(enter(shell, "R-3", 10, "48 in", *of_length).split())

    assert (
        "FB6: the limit WL asks readings of each lot; this report counts for nothing until the"
        " plan says so" in told
    )
    assert "FB6: neither a limit nor the plan asks for it; this report counts" in other


def test_what_is_not_stated_is_named_by_its_option(shell: Shell) -> None:
    """All at once, as the shell takes it, and where to read what it must be."""
    plant()
    told = shell("report", "R-1", "--conditioned", "long", "--by", "P-13")
    lines = " ".join(told.err.split())

    assert told.status == 1
    for option in ("--laboratory must be text, and is not stated", "--product must be a list",
                   "--characteristic must be text", "--result must be text",
                   "--sampled must be a day", "--conditioned must be hours"):  # fmt: skip
        assert option in lines
    assert "State --laboratory; `beadwright report --help` says what it takes." in lines
    assert "conditioned_h" not in lines


def test_only_a_report_that_counts_can_be_withdrawn(shell: Shell) -> None:
    """Those that do are named."""
    plant()
    enter(shell, "R-1", 10, "17.4 psi")
    told = shell("report", "R-7", "--withdraw", "mixed up", "--by", "P-13")

    assert told.status == 2
    assert "R-1" in told.err


def test_a_calibration_makes_an_instrument_fit(shell: Shell) -> None:
    """Listed first as never calibrated; a fitting word, an instrument that is listed."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days", place="laboratory")
    before = shell("due")
    unknown = shell(
        "calibration", "BAL-7", "--done", "2026-09-01", "--result", "pass", "--by", "P-13"
    )
    wrong = shell("calibration", "BAL-2", "--done", "2026-09-01", "--result", "ok", "--by", "P-13")
    bare = shell("calibration", "BAL-2", "--done", "2026-09-01", "--result", "pass", "--by", "P-13")
    stated = ("--result", "pass", "--certificate", "C-88", "--by", "P-13")
    far = shell("calibration", "BAL-2", "--done", "2026-09-01", "--due", "2099-01-01", *stated)
    old = shell("calibration", "BAL-2", "--done", "0001-01-01", *stated)
    right = shell("calibration", "BAL-2", "--done", "2026-09-01", "--due", "2029-08-31", *stated)

    assert "NEVER DONE" in before.out
    assert before.status == 1
    assert (unknown.status, wrong.status, right.status) == (2, 1, 0)
    assert "there are: BAL-2" in " ".join(unknown.err.split())
    assert "result must be pass or fail" in " ".join(wrong.err.split())
    for refused, words in (
        (bare, "--certificate is not stated: a calibration that passed names its certificate, or"),
        (far, "--due is more than 10 years after done, 2026-09-01"),
        (old, "--done is more than 10 years before it was entered"),
    ):
        assert refused.status == 1
        assert words in " ".join(refused.err.split())
    assert shell("due").status == 0
    told = " ".join(shell("instruments", "BAL-2").out.split())
    assert "BAL-2: 1 calibration" in told
    assert "C-88" in told
    assert shell("instruments", "BAL-7").status == 2
    listed = shell("instruments").out
    assert "2029-08-31" in listed
    assert "in time" in listed


def test_a_certificate_with_another_day_is_asked_about_once(shell: Shell) -> None:
    """Entered again with a later day it would cover what the first did not."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days", place="laboratory")
    stated = ("calibration", "BAL-2", "--result", "pass", "--certificate", "C-88", "--by", "P-13")
    first = shell(*stated, "--done", "2026-09-01")
    later = shell(*stated, "--done", "2026-09-20")
    longer = shell(*stated, "--done", "2026-09-01", "--due", "2028-09-01")
    kept = shell(*stated, "--done", "2026-09-20", "--keep")

    assert [one.status for one in (first, later, longer, kept)] == [0, 2, 2, 0]
    told = " ".join(later.err.split())
    assert "C-88, is that of the calibration done on 2026-09-01" in told
    assert "if that is so, say --keep" in told
    assert "due not stated, and this says 2028-09-01" in " ".join(longer.err.split())
    assert "BAL-2: 2 calibrations" in " ".join(shell("instruments", "BAL-2").out.split())


def test_a_day_that_has_not_come_is_refused(shell: Shell) -> None:
    """Of a calibration and of a report: nobody has done it yet."""
    yard = plant()
    yard.set("instrument", "BAL-2", what="balance", every="365 days", place="laboratory")
    tomorrow = (datetime.now(ZoneInfo("America/Chicago")) + timedelta(days=1)).date().isoformat()

    done = shell("calibration", "BAL-2", "--done", tomorrow, "--result", "fail", "--by", "P-13")
    sampled = shell("report", "R-1", "--result", "17 psi", "--sampled", tomorrow, *REPORT)

    assert (done.status, sampled.status) == (1, 1)
    assert "time_ahead: calibration BAL-2: --done lies in the future" in done.err
    assert "time_ahead: report R-1: --sampled lies in the future" in sampled.err


def test_a_plant_without_a_plan_has_nothing_due(shell: Shell) -> None:
    """And the exit status says so."""
    yard = Yard.open()
    yard.block_lot("L1", at=20)
    told = shell("due")

    assert told.status == 0
    assert "0 of 0 tests and 0 of 0 calibrations" in told.out


@pytest.mark.django_db
def test_a_day_beyond_every_calendar_is_misuse(shell: Shell) -> None:
    """No fault of the program: as many days as a century has are enough."""
    Yard.open()

    assert shell("due", "--days", "99999999").status == 2
    assert shell("due", "--days", "36500").status in {0, 1}
