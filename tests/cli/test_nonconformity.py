"""A nonconformity file worked on at the shell, from opening to closing; attachments verified."""

from __future__ import annotations

import json
import re
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from beadwright.ledger import people
from beadwright.ledger.people import Person
from tests.cli.shell import Outcome, Shell
from tests.cli.test_json import documented, read
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

CAUSE = "too_fresh:S1"


@pytest.fixture
def yard(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Yard:
    """A plant that moulded L8 and L9 too fresh, and shipped 15 blocks of L9."""
    monkeypatch.setenv("BEADWRIGHT_FILES", str(tmp_path / "kept"))
    monkeypatch.setenv("BEADWRIGHT_BY", "EI")
    yard = Yard.open()
    yard.bag("B-1")
    yard.carton("T-1")
    yard.expand("B-1", "S1")
    yard.mould("L8", good=30, at=3)
    yard.mould("L9", good=40, at=4)
    yard.ship("SH-1", "L9", 15)
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth"), Person("KR", "P-01", "Kesta")])
    return yard


@pytest.fixture
def photograph(tmp_path: Path) -> Path:
    """A picture from a site."""
    path = tmp_path / "wall.jpg"
    path.write_bytes(b"\xff\xd8 a wall")
    return path


def flat(told: Outcome) -> str:
    """What was printed, on one line."""
    return " ".join(told.out.split())


def flat_err(told: Outcome) -> str:
    """What was said beside the answer, on one line."""
    return " ".join(told.err.split())


def the_file(shell: Shell, number: str = "NC-0001") -> dict[str, Any]:
    """The file as JSON."""
    found: dict[str, Any] = json.loads(shell("nonconformity", number, "--json").out)
    return found


def work(shell: Shell, *calls: str) -> None:
    """Run calls that must succeed; ``|`` parts their words."""
    for call in calls:
        told = shell(*call.split("|"))
        assert told.status == 0, told.err


def test_from_opening_to_closing(yard: Yard, shell: Shell) -> None:
    """Every verb once; closing is refused, with all that is missing, until nothing is."""
    assert yard.no
    opened = shell("nc-open", "moulded too fresh", "--cause", CAUSE, "--hold")
    assert "NC-0001 opened" in opened.out
    work(
        shell,
        "nc-note|NC-0001|press short of beads|--by|KR",
        "nc-dispose|NC-0001|L9=25|--as|sort|--conforming|20|--reason|gauged",
        "nc-dispose|NC-0001|L9=5|--as|scrap|--reason|open at the ties",
        "nc-action|NC-0001|a clock on the silo|--who|KR|--due|2026-10-01|--keep",
    )

    early = shell("nc-close", "NC-0001", "done")

    assert (early.status, early.out) == (1, "")
    assert [line.partition(":")[0] for line in early.err.splitlines() if line[0].islower()] == [
        "cause_open", "quantity_left", "quantity_left", "cause_not_stated", "action_unchecked"
    ]  # fmt: skip
    work(
        shell,
        "nc-dispose|NC-0001|--as|concession|--reason|strength tested",
        "nc-cause|NC-0001|nobody could see the hours",
        "nc-check|NC-0001|1|20 fills looked at|--did-not-work",
        "nc-action|NC-0001|a lock on the valve|--who|KR|--due|2026-11-01|--keep|--replaces|1",
        "nc-check|NC-0001|2|20 fills looked at|--worked",
        "nc-close|NC-0001|no more since",
    )
    file = the_file(shell)
    assert (file["state"], file["to_do"], file["why"]["by"]) == ("closed", [], "P-13")
    assert [(one["how"], one["lot"], one["pieces"]) for one in file["dispositions"]] == [
        ("sort", "L9", 25), ("scrap", "L9", 5), ("concession", "L8", 30), ("concession", "L9", 15)
    ]  # fmt: skip
    shown = flat(shell("nonconformity", "NC-0001"))
    assert "NC-0001 CLOSED moulded too fresh" in shown
    assert "1. a clock on the silo; P-01 (Kesta), by 2026-10-01 DID NOT WORK" in shown
    assert (
        "2. a lock on the valve; P-01 (Kesta), by 2026-11-01; in place of action 1 worked" in shown
    )
    assert "QUARRY LANE 15" in shown
    assert shell("nc-note", "NC-0001", "more").status == 1


def test_what_is_in_no_file_is_said_wherever_files_are_listed(yard: Yard, shell: Shell) -> None:
    """Until it is in one; then its number stands beside the cause."""
    assert yard.no
    assert f"{CAUSE} OPEN, not yet in a file" in flat(shell("nonconformities"))
    assert f"- {CAUSE}" in shell("nonconformity").out

    work(shell, f"nc-open|too fresh|--cause|{CAUSE}|--number|2026-7")

    assert f"{CAUSE} OPEN, in 2026-7" in flat(shell("nonconformities"))
    told = shell("nonconformity")
    assert CAUSE not in told.out
    assert "2026-7" in told.out
    (cause,) = (
        one
        for one in json.loads(shell("nonconformities", "--json").out)["causes"]
        if one["cause"] == CAUSE
    )
    assert cause["file"] == "2026-7"


def test_a_complaint_with_a_photograph_holds_the_shipment_it_is_about(
    yard: Yard, shell: Shell, photograph: Path
) -> None:
    """Receiver, day, words, and the file under its hash; all of the shipment is in question."""
    told = shell(
        "nc-open", "gaps at the ties", "--receiver", "QUARRY LANE", "--shipment", "SH-1",
        "--received", "2026-09-12", "--keep", "--file", str(photograph), "--hold",
    )  # fmt: skip

    assert told.status == 0
    file = the_file(shell)
    assert file["complaint"] == {
        "receiver": "QUARRY LANE", "text": "gaps at the ties", "received": "2026-09-12",
        "shipment": "SH-1", "lot": "",
    }  # fmt: skip
    assert [(one["lot"], one["pieces"]) for one in file["items"]] == [("SH-1", 15)]
    assert [one["name"] for one in file["attachments"]] == ["wall.jpg"]
    assert "hold:NC-0001" in str(yard.facts("SH-1")["causes"])
    assert "QUARRY LANE complaint" in flat(shell("nonconformities", "--by-station"))


def test_a_complaint_may_name_the_block_lot_itself(yard: Yard, shell: Shell) -> None:
    """As it stands on the blocks; of it only what was counted is in question."""
    assert yard.no
    work(shell, "nc-open|gaps|--receiver|QUARRY LANE|--shipment|L9|--lot|L9=4")

    file = the_file(shell)

    assert (file["complaint"]["lot"], file["complaint"]["shipment"]) == ("L9", "")
    assert [(one["lot"], one["pieces"]) for one in file["items"]] == [("L9", 4)]


def test_verify_names_an_attachment_that_is_missing_or_altered(
    yard: Yard, shell: Shell, photograph: Path, tmp_path: Path
) -> None:
    """Status 3, with the file it belongs to; put back, all is well again."""
    assert yard.no
    work(shell, f"nc-open|a gap|--file|{photograph}")
    assert shell("verify").status == 0
    (kept,) = (path for path in (tmp_path / "kept").rglob("*") if path.is_file())
    kept.unlink()

    lost, chain = shell("verify"), shell("verify", "--chain")

    assert (lost.status, chain.status) == (3, 0)
    assert "NC-0001: wall.jpg, missing" in flat(lost)
    kept.write_bytes(b"another wall")
    found = shell("verify", "--json")
    assert json.loads(found.out)["plants"][0]["attachments_damaged"][0]["what"] == "altered"
    assert {one for one in read(found) if "attachments" in one} == {
        one for one in documented()["verify"] if "attachments" in one
    }
    kept.write_bytes(photograph.read_bytes())
    assert shell("verify").status == 0


@pytest.mark.parametrize(
    ("call", "said"),
    [
        ("nc-open|x|--cause|too_fresh:S7", CAUSE),
        ("nc-open|x|--lot|L77", "L77"),
        ("nc-open|x|--lot|L9=0", "kept in pieces"),
        ("nc-open|x|--lot|L9=2 kg", "kept in pieces"),
        ("nc-open|x|--lot|B-1=41", "kept by mass"),
        ("nc-open|x|--complaint|broken", "--receiver"),
        ("nc-open|x|--receiver|Q|--received|soon", "--received"),
        ("nc-open|x|--receiver|q|--shipment|SH-1", "NC-0002 (open) is about 15 pieces of SH-1"),
        ("nc-open|x|--file|nothing.jpg", "nothing.jpg"),
        ("nc-open| ", "empty"),
        ("nonconformity|NC-0009", "NC-0001"),
        ("nc-dispose|NC-0001|L8|--as|repaint|--reason|x", "concession, rework"),
        ("nc-dispose|NC-0001|T-1|--as|scrap|--reason|x", "nothing of T-1"),
        ("nc-dispose|NC-0001|--as|sort|--conforming|3|--reason|x", "one lot"),
        ("nc-action|NC-0001|x|--who|KR|--due|1 October", "--due"),
        ("nc-action|NC-0001|x|--who|ZZ|--due|2026-10-01|--keep", "ZZ"),
    ],
)
def test_a_slip_is_told_with_what_to_write(yard: Yard, shell: Shell, call: str, said: str) -> None:
    """Status 2, nothing recorded, and what would have been right."""
    assert yard.no
    work(shell, f"nc-open|too fresh|--cause|{CAUSE}", "nc-open|y|--receiver|Q|--shipment|SH-1")
    before = shell("verify", "--json").out

    told = shell(*call.split("|"))

    assert (told.status, told.out) == (2, "")
    assert said in told.err
    assert shell("verify", "--json").out == before


def test_mass_is_given_with_its_unit(yard: Yard, shell: Shell) -> None:
    """41.2 kg of a bag; decided in pounds, if that is what the scale says."""
    assert yard.no
    work(
        shell,
        "nc-open|wet beads|--lot|B-1=41.2 kg",
        "nc-dispose|NC-0001|B-1=40 lb|--as|scrap|--reason|wet",
    )

    (item,) = the_file(shell)["items"]

    assert (item["mass_mg"], item["left_mg"]) == (41_200_000, 600_000_000)
    assert item["undecided_mg"] == 41_200_000 - 18_143_695  # 40 lb = 18.1436948 kg exactly


def test_an_answer_holds_what_is_documented(yard: Yard, shell: Shell, photograph: Path) -> None:
    """Open and closed, with a complaint and without, whole and as a list."""
    assert yard.no
    work(
        shell,
        f"nc-open|fresh|--cause|{CAUSE}|--hold|--receiver|Q|--file|{photograph}",
        "nc-note|NC-0001|more",
        "nc-action|NC-0001|a clock|--who|KR|--due|2026-10-01|--keep",
    )
    found = read(shell("nonconformity", "NC-0001", "--json"))
    found |= read(shell("nonconformity", "--json"))
    yard.expand("B-1", "S2", at=30)
    yard.mould("L7", "S2", good=1, at=31)
    found |= read(shell("nonconformity", "--json"))
    work(
        shell,
        "nc-dispose|NC-0001|--as|concession|--reason|tested",
        "nc-cause|NC-0001|no clock",
        "nc-check|NC-0001|1|looked|--worked",
        "nc-close|NC-0001|done",
        "nc-open|seen|--by|KR",
    )
    found |= read(shell("nonconformity", "NC-0001", "--json"))
    found |= read(shell("nonconformity", "NC-0002", "--json"))

    assert found == documented()["nonconformity"]


def test_what_is_conceded_and_still_on_hold_is_told_with_the_lift_that_frees_it(
    yard: Yard, shell: Shell
) -> None:
    """Not what was scrapped, and nothing while the cause is open or a piece is undecided."""
    assert yard.no
    work(shell, f"nc-open|too fresh|--cause|{CAUSE}|--hold")
    scrap = flat(shell("nc-dispose", "NC-0001", "L8", "--as", "scrap", "--reason", "soft"))
    part = flat(shell("nc-dispose", "NC-0001", "L9=20", "--as", "concession", "--reason", "ok"))
    rest = flat(shell("nc-dispose", "NC-0001", "L9", "--as", "concession", "--reason", "ok"))

    assert "somebody lifts it" not in scrap + part
    assert "L9: decided for use, and on hold until somebody lifts it" in rest
    assert "lift NC-0001 L9 --reason WHY`" in rest
    work(
        shell,
        "nc-cause|NC-0001|no clock",
        "nc-action|NC-0001|a clock|--who|KR|--due|2026-10-01|--keep",
        "nc-check|NC-0001|1|looked|--worked",
    )
    closed = flat(shell("nc-close", "NC-0001", "done"))
    assert "lift NC-0001 L9 --reason WHY`" in closed
    assert "lift NC-0001 L9 --reason WHY`" in flat(shell("nonconformity", "NC-0001"))

    work(shell, "lift|NC-0001|L9|--reason|strength tested")
    assert "somebody lifts it" not in flat(shell("nonconformity", "NC-0001"))
    assert json.loads(shell("assess", "L9", "--json").out)["lots"][0]["answer"] != "may_not_ship"


def test_a_complaint_is_filed_twice_only_where_it_is_another(yard: Yard, shell: Shell) -> None:
    """The same receiver of the same shipment: the first file is named; of other pieces, no."""
    assert yard.no
    words = ("--receiver", "QUARRY LANE", "--shipment", "SH-1")
    assert shell("nc-open", "gaps", *words).status == 0

    asked = shell("nc-open", "gaps", *words)
    other = shell("nc-open", "gaps", *words, "--lot", "L8=1")
    another = shell("nc-open", "dents", *words, "--another")

    assert (asked.status, other.status, another.status) == (2, 0, 0)
    assert "nc-note NC-0001`" in asked.err
    assert "--another" in asked.err


def test_a_complaint_of_a_day_that_has_not_come_is_refused(yard: Yard, shell: Shell) -> None:
    """By the plant's calendar."""
    assert yard.no
    told = shell("nc-open", "gaps", "--receiver", "QUARRY LANE", "--received", "2199-10-02")

    assert (told.status, told.out) == (1, "")
    assert "time_ahead" in told.err
    assert "2199-10-02" in told.err


def test_a_complaint_by_a_name_that_looks_like_a_receiver_says_so(yard: Yard, shell: Shell) -> None:
    """In letters of another script; the same complaint is asked about all the same."""
    assert yard.no
    alike = "QU\u0410RRY LANE"
    told = shell("nc-open", "gaps", "--receiver", alike, "--shipment", "SH-1")

    assert told.status == 0
    assert "looks like the receiver QUARRY LANE of the record" in flat_err(told)
    again = shell("nc-open", "gaps", "--receiver", "QUARRY LANE", "--shipment", "SH-1")
    assert again.status == 2
    assert "--another" in again.err
    same = shell("nc-open", "dents", "--receiver", "QUARRY LANE", "--lot", "L8=1")
    assert "looks like" not in same.err


def test_a_complaint_of_long_ago_is_asked_about_once(yard: Yard, shell: Shell) -> None:
    """A year that was mistyped; said again with --keep it stands."""
    assert yard.no
    words = ("nc-open", "gaps", "--receiver", "QUARRY LANE", "--received", "2019-09-12")
    asked = shell(*words)

    assert (asked.status, asked.out) == (2, "")
    assert re.search(
        r"it came on 2019-09-12, [\d,]+ days ago; if that is so, say --keep", flat_err(asked)
    )
    assert shell(*words, "--keep").status == 0
    assert the_file(shell)["complaint"]["received"] == "2019-09-12"


@pytest.mark.parametrize(
    ("due", "why"),
    [("2019-09-12", "which was"), ("2219-09-12", "from now")],
    ids=["past", "far ahead"],
)
def test_a_day_of_an_action_that_is_past_or_far_is_asked_about_once(
    due: str, why: str, yard: Yard, shell: Shell
) -> None:
    """Late before it was begun, or never."""
    assert yard.no
    work(shell, "nc-open|gaps|--lot|L8=1")
    words = ("nc-action", "NC-0001", "a clock", "--who", "KR", "--due", due)
    asked = shell(*words)

    assert (asked.status, asked.out) == (2, "")
    assert why in flat_err(asked)
    assert "say --keep" in flat_err(asked)
    assert shell(*words, "--keep").status == 0


def test_an_action_due_soon_is_not_asked_about(yard: Yard, shell: Shell) -> None:
    """Today included."""
    assert yard.no
    work(shell, "nc-open|gaps|--lot|L8=1")
    today = datetime.now(ZoneInfo("America/Chicago")).date()
    for days in (0, 30, 365):
        due = (today + timedelta(days=days)).isoformat()
        assert shell("nc-action", "NC-0001", "a clock", "--who", "KR", "--due", due).status == 0


def test_a_complaint_of_somebody_else_about_a_shipment_is_taken_and_said(
    yard: Yard, shell: Shell
) -> None:
    """A buyer's buyer may complain; but a slip of the pen should show."""
    yard.ship("SH-9", "L8", 1)
    words = ("--receiver", "HOLLOW YARD", "--shipment", "SH-9", "--by", "P-01")
    said = shell("nc-open", "a chipped edge", "--lot", "L8=1", *words)
    right = shell("nc-open", "a chipped edge", "--lot", "L8=1", "--receiver", "QUARRY LANE",
                  "--shipment", "SH-9", "--by", "P-01")  # fmt: skip

    assert (said.status, right.status) == (0, 0)
    assert "SH-9 went to QUARRY LANE, not to HOLLOW YARD" in said.err
    assert "went to" not in right.err
