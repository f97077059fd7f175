"""A corrections sheet that restates readings: every answer at the shell says so."""

import json
from pathlib import Path

import pytest

from tests.cli.shell import Shell
from tests.interop.plant import Plant

pytestmark = pytest.mark.django_db

INSPECTED = "{no},2026-09-03 1{no}:00,L-1,D{no},27,24h,3.{no},1219,406,279.4,,,,,,,,BAL-1,DS"


@pytest.fixture
def shell_of(tmp_path: Path, shell: Shell) -> Shell:
    """A lot with two blocks weighed by DS, and both masses restated by EI."""
    made = Plant(tmp_path).ground()
    made.add(
        "mould_runs",
        "1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1,20,39,1,1.5,,W-1,,DS",
    )
    made.add("inspections", *(INSPECTED.format(no=no) for no in (1, 2)))
    made.add(
        "corrections",
        *(f"6{n},2026-09-04 09:00,inspections,{n},mass,3.25,balance misread,EI" for n in (1, 2)),
    )
    done = shell("import", str(made.write()))
    assert done.status == 0, done.out + done.err
    return shell


def told(shell: Shell, *words: str) -> str:
    """What a command prints, blanks as one."""
    return " ".join(shell(*words).out.split())


def test_an_assessment_says_who_restated_what_it_rests_on(shell_of: Shell) -> None:
    """Once for both, with the day on which that was entered."""
    (lot,) = json.loads(shell_of("assess", "L-1", "--json").out)["lots"]
    days = {one["entered_at"][:10] for one in lot["restated"]}
    name = json.loads(shell_of("entry", "corrections/61", "--json").out)["name"]
    text = told(shell_of, "assess", "L-1")

    assert name
    assert {(one["by"], one["reason"]) for one in lot["restated"]} == {("P-13", "balance misread")}
    assert f"2 readings restated by P-13 ({name}), entered {days.pop()}, dated 2026-09-04" in text
    assert 'block mass 24h 3.1 → 3.25 kg (D1); block mass 24h 3.2 → 3.25 kg (D2); "balance' in text


def test_a_correction_is_found_by_the_key_that_answers_name(shell_of: Shell) -> None:
    """The void, with the readings that stand since; each shows before and after."""
    void = json.loads(shell_of("entry", "corrections/61", "--json").out)
    new = json.loads(shell_of("entry", str(void["restated"][0]["entry"]), "--json").out)
    changes = [{"field": "block mass 24h", "before": "3.1 kg", "after": "3.25 kg"}]

    assert void["key"] == "corrections/61/void"
    assert void["changes"] == new["changes"] == changes
    assert new["restated"] == void["restated"]
    assert (new["about_entry"], new["by"]) == (void["about_entry"], "P-02")
    text = told(shell_of, "entry", str(new["entry"]))
    assert f"restates entry {void['about_entry']}, voided by entry {void['entry']}" in text
    assert "restated by P-13 (" in text
    assert "block mass 24h 3.1 kg 3.25 kg" in text


def test_the_history_marks_both_versions(shell_of: Shell) -> None:
    """The old one with what took its place, the new one with what it stands in place of."""
    text = told(shell_of, "history", "L-1")
    void = json.loads(shell_of("entry", "corrections/61", "--json").out)
    old, new = void["about_entry"], void["restated"][0]["entry"]

    assert f"VOIDED BY ENTRY {void['entry']} — RESTATED BY ENTRY {new}" in text
    assert f"in place of entry {old}: block mass 24h 3.1 → 3.25 kg (D1); restated by P-13" in text
