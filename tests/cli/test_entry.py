"""`entry` and `history` at the shell: words, names, and what their JSON holds."""

import hashlib
import json
from collections.abc import Callable

import pytest

from beadwright.ledger import people
from beadwright.ledger.people import Person
from tests.cli.shell import Outcome, Shell
from tests.plant.yard import Yard

Asked = Callable[..., Outcome]


def test_a_reading_is_followed_to_its_row(asked: Asked) -> None:
    """Of the demonstration: what, when, who by name, instrument, sheet and row, hash."""
    said = json.loads(asked("history", "L1-008", "--json").out)
    read = next(one for one in said["entries"] if one["what"] == "readings")
    told = asked("entry", str(read["entry"]))

    assert told.status == 0
    for word in ("P-02 (Dorrin Selwick)", "BAL-FP1", "sheet inspections, row", "hash", "6.14"):
        assert word in told.out


def test_a_correction_shows_what_was_before_and_after(asked: Asked) -> None:
    """And the entry that it restates says so."""
    told = asked("entry", "corrections/1").out
    found = json.loads(asked("entry", "corrections/1", "--json").out)
    before = asked("entry", "mould_runs/53").out

    assert "tally sheet says otherwise" in told
    assert {"field": "good", "before": "1120", "after": "112"} in found["changes"]
    assert f"RESTATED BY ENTRY {found['entry']}" in before
    assert f"RESTATED BY ENTRY {found['entry']}" in " ".join(asked("history", "L1-008").out.split())


def test_the_body_is_what_the_hash_covers(asked: Asked) -> None:
    """Anybody can work the hash out again from what is shown."""
    found = json.loads(asked("entry", "574", "--json").out)
    text = (
        f'{{"body":{found["body"]},"kind":"{found["kind"]}","plant":"{found["plant"]}",'
        f'"prev":"{found["prev"]}","schema":{found["schema"]},"seq":{found["entry"]}}}'
    )

    assert hashlib.sha256(text.encode()).hexdigest() == found["hash"]


@pytest.mark.parametrize("key", ["574", "5728", "231", "4"])
def test_masses_are_shown_in_pounds_where_asked(key: str, asked: Asked) -> None:
    """Whatever the entry, it can be shown in both; only a mass of material changes."""
    kg, lb = asked("entry", key), asked("entry", key, "--units", "us")

    assert (kg.status, lb.status) == (0, 0)
    assert ("156.281 kg" in kg.out) == ("344.541 lb" in lb.out)


def test_an_assessment_names_the_readings_that_its_limits_rest_on(asked: Asked) -> None:
    """Entries, time, specimens, instrument and person; the JSON gives each whole."""
    page = " ".join(asked("assess", "L1-008").out.split())
    (lot,) = json.loads(asked("assess", "L1-008", "--json").out)["lots"]
    density = next(one for one in lot["limits"] if one["characteristic"] == "density")
    entries = [one["entry"] for one in density["rests_on"]]

    assert [[one["entry"], one["number"]] for one in density["rests_on"]] == density["readings"]
    assert "density, height, length, width: entries" in page
    assert f"entries {', '.join(map(str, sorted(set(entries))))}; 2025-09-10 20:53" in page
    assert "specimens D1 to D4; BAL-Q1; by P-11 (Hale Everbrook)" in page
    for one in density["rests_on"]:
        found = json.loads(asked("entry", str(one["entry"]), "--json").out)
        read = found["readings"][one["number"]]
        assert (read["value"], read["specimen"]) == (one["value"], one["specimen"])


@pytest.mark.django_db
def test_a_release_is_shown_with_the_name_of_who_gave_it(shell: Shell) -> None:
    """In the answer; the JSON keeps the id alone."""
    yard = Yard.open()
    yard.limit("DENSITY", "density", "min", "21.6 kg/m3")
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [3.13, 3.13, 3.14])
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    shell("release", "L1", "--by", "EI")

    assert "by P-13 (Edda Ivesworth)" in " ".join(shell("assess", "L1").out.split())
    assert json.loads(shell("assess", "L1", "--json").out)["lots"][0]["released_by"] == "P-13"


@pytest.mark.django_db
def test_an_erased_name_is_gone_and_the_id_stays(shell: Shell) -> None:
    """Names stand beside ids for as long as the plant keeps them."""
    yard = Yard.open()
    yard.bag("B-1")
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    shell("hold", "B-1", "--id", "H-1", "--reason", "smell", "--by", "EI")
    named = shell("history", "B-1").out
    shell("people", "--erase", "P-13")
    erased = shell("history", "B-1").out

    assert "P-13 (Edda Ivesworth)" in " ".join(named.split())
    assert "P-13" in erased
    assert "Edda" not in erased
    assert json.loads(shell("history", "B-1", "--json").out)["entries"][-1]["name"] == ""


@pytest.mark.django_db
def test_what_is_not_there_is_misuse(shell: Shell) -> None:
    """Entry or lot."""
    Yard.open()

    assert shell("entry", "999").status == 2
    assert shell("entry", "mould_runs/1").status == 2
    assert shell("history", "L9").status == 2
