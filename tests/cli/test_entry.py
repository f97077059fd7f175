"""`entry` and `history` at the shell: words, names, and what their JSON holds."""

import hashlib
import json
from collections.abc import Callable
from typing import Any

import pytest

from beadwright.ledger import people
from beadwright.ledger.people import Person
from tests.cli.shell import Outcome, Shell
from tests.plant.yard import Yard

Asked = Callable[..., Outcome]


@pytest.fixture(scope="session")
def corrected(asked: Asked) -> Any:
    """The first correction of the demonstration, which restates a mould run."""
    return json.loads(asked("entry", "corrections/1", "--json").out)


@pytest.fixture(scope="session")
def lot(corrected: Any) -> str:
    """The block lot of that run."""
    found: str = next(one["lot"] for one in corrected["lines"] if one["lot"].startswith("L"))
    return found


def test_a_reading_is_followed_to_its_row(lot: str, asked: Asked) -> None:
    """Of the demonstration: what, when, who by name, instrument, sheet and row, hash."""
    said = json.loads(asked("history", lot, "--json").out)
    read = next(one for one in said["entries"] if one["what"] == "readings")
    told = asked("entry", str(read["entry"]))

    assert told.status == 0
    assert read["name"]
    for word in (f"{read['by']} ({read['name']})", "BAL-", "sheet inspections, row", "hash"):
        assert word in told.out


def test_a_correction_shows_what_was_before_and_after(
    corrected: Any, lot: str, asked: Asked
) -> None:
    """And the entry that it restates says so, in the lot's history too."""
    told = " ".join(asked("entry", "corrections/1").out.split())
    before = asked("entry", str(corrected["about_entry"])).out
    changed = {one["field"]: one for one in corrected["changes"]}

    assert corrected["reason"] in told
    assert changed["good"]["before"] != changed["good"]["after"] == corrected["facts"]["good"]
    assert f"out {lot}" in changed
    assert f"RESTATED BY ENTRY {corrected['entry']}" in before
    assert f"RESTATED BY ENTRY {corrected['entry']}" in " ".join(asked("history", lot).out.split())


def test_the_body_is_what_the_hash_covers(corrected: Any) -> None:
    """Anybody can work the hash out again from what is shown."""
    text = (
        f'{{"body":{corrected["body"]},"kind":"{corrected["kind"]}",'
        f'"plant":"{corrected["plant"]}","prev":"{corrected["prev"]}",'
        f'"schema":{corrected["schema"]},"seq":{corrected["entry"]}}}'
    )

    assert hashlib.sha256(text.encode()).hexdigest() == corrected["hash"]


def test_masses_are_shown_in_pounds_where_asked(corrected: Any, asked: Asked) -> None:
    """A pound is 0.453 592 37 kg (NIST SP 811, appendix B.8)."""
    mg = next(one["mass_mg"] for one in corrected["lines"])
    kg, lb = asked("entry", "corrections/1"), asked("entry", "corrections/1", "--units", "us")

    assert f"{mg / 1e6:.3f} kg" in kg.out
    assert f"{mg / 453_592.37:.3f} lb" in lb.out


def test_an_assessment_names_the_readings_that_its_limits_rest_on(lot: str, asked: Asked) -> None:
    """Entries, time, specimens, instrument and person; the JSON gives each whole."""
    page = " ".join(asked("assess", lot).out.split())
    (told,) = json.loads(asked("assess", lot, "--json").out)["lots"]
    density = next(one for one in told["limits"] if one["characteristic"] == "density")
    rests = density["rests_on"]
    entries = sorted({one["entry"] for one in rests})
    first = min(one["at"] for one in rests)[:16].replace("T", " ")

    assert [[one["entry"], one["number"]] for one in rests] == density["readings"] != []
    assert f"entries {', '.join(map(str, entries))}; {first}" in page
    assert f"{rests[0]['instrument']}; by {rests[0]['by']} ({rests[0]['name']})" in page
    for one in rests:
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
def test_names_stand_beside_ids_in_every_answer_that_says_who(shell: Shell) -> None:
    """A hold in an assessment and in the list of holds; a nonconformity file; once each."""
    yard = Yard.open()
    yard.block_lot("L1")
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    words = ("--by", "EI")
    shell("hold", "B-1", "--id", "H-1", "--reason", "smell", *words)
    shell("nc-open", "smell", "--lot", "L1=3", *words)
    pages = [
        " ".join(shell(*asked).out.split())
        for asked in (("assess", "L1"), ("holds",), ("nonconformity", "NC-0001"))
    ]

    for page in pages:
        assert "by P-13 (Edda Ivesworth)" in page, page
        assert "(Edda Ivesworth) (Edda" not in page


@pytest.mark.django_db
def test_an_erased_name_is_gone_and_the_id_stays(shell: Shell) -> None:
    """Names stand beside ids for as long as the plant keeps them."""
    yard = Yard.open()
    yard.bag("B-1")
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    shell("hold", "B-1", "--id", "H-1", "--reason", "smell", "--by", "EI")
    named = shell("history", "B-1").out
    assert shell("people", "--erase", "P-13", "--by", "EI", "--yes").status == 0
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
