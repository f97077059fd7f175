"""Limits at the shell: what is listed, what a signature changes, what is refused and why."""

import json
from typing import Any

import pytest

from beadwright.ledger import people
from beadwright.ledger.people import Person
from tests.cli.shell import Shell
from tests.plant.planning import report
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

ROW = "ASTM C578/10/II/density"


@pytest.fixture(autouse=True)
def yard() -> Yard:
    """A plant with a limit of its own, one printed, one that cannot be found, and an engineer."""
    yard = Yard.open()
    yard.limit("LENGTH", "length", "max", "1220 mm")
    yard.limit("SHORTEST", "length", "min", "1218 mm")
    yard.limit("SHORTEST-2", "length", "min", "1217 mm")
    yard.limit("STABLE", "dimensional_stability", "max", "2 %")
    body = {"standard": "ASTM C578", "edition": "10", "type": "II"}
    yard.set("standard", "FB6", body, characteristics=["density", "colour"])
    yard.block_lot("L1")
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    return yard


def listed(shell: Shell, *options: str) -> Any:
    """What `limits` answers."""
    told = shell("limits", "--json", *options)
    assert told.status == 0
    return json.loads(told.out)


def sign(shell: Shell, value: str, *more: str) -> Any:
    """Sign density of type II."""
    return shell("sign", ROW, "--value", value, "--page", "Table 1", "--by", "EI", *more)


def test_what_is_judged_by_today_is_listed(shell: Shell) -> None:
    """The printed row with its products; the plant's own; and what could not be found."""
    found = listed(shell)

    (row,) = found["printed"]
    assert (row["row"], row["products"], row["verified"]) == (ROW, ["FB6"], False)
    assert (row["limit"], row["unit"], row["beside"]) == ("1.35", "lb/ft3", "22 kg/m3")
    own = {one["name"]: one["unusable"] for one in found["own"]}
    assert own["LENGTH"] == ""
    assert "asks nothing of colour" in own["ASTM C578-10 type II colour"]
    for one in (*row["named_by"], *found["own"]):
        assert one["set_by_entry"] > 0
        assert one["since"].startswith("2026-09-01T")
        assert (one["set_by"], one["account"]) == ("", "install")
    assert ("ASTM C578", "thickness") in {
        (one["standard"], one["characteristic"]) for one in found["gaps"]
    }


def test_every_row_of_a_standard_is_listed(shell: Shell) -> None:
    """By its name, or of all by --all; a name that is none says which there are."""
    c578 = listed(shell, "--standard", "ASTM C578")["printed"]
    everything = listed(shell, "--all")["printed"]
    unknown = shell("limits", "--standard", "ASTM D6817")

    assert {row["standard"] for row in c578} == {"ASTM C578"}
    assert {row["edition"] for row in c578} == {"07", "10"}
    assert len({row["row"] for row in everything}) == len(everything) > len(c578)
    assert unknown.status == 2
    assert "EN 13163" in " ".join(unknown.err.split())


def test_a_signature_shows_and_leaves_the_unsigned(shell: Shell) -> None:
    """Who, when, on which page; and no longer under --unsigned."""
    told = sign(shell, "1.35 lb/ft3", "--note", "edition on the shelf")

    (row,) = listed(shell)["printed"]
    assert told.status == 0
    assert f"{ROW} is verified by P-13" in told.out
    assert (row["verified_by"], row["page"]) == ("P-13", "Table 1")
    assert row["signature_note"] == "edition on the shelf"
    assert listed(shell, "--unsigned")["printed"] == []
    assert listed(shell, "--unsigned")["own"] == []


@pytest.mark.parametrize(
    ("value", "status", "says"),
    [
        ("1.40 lb/ft3", 1, "limit_differs"),
        ("22 kg/m3", 1, "the column beside it"),
        ("1.40lb/ft3", 1, "limit_differs"),
        ("1.35", 2, "unit"),
        ("", 2, "--value"),
    ],
)
def test_a_figure_that_was_not_read_so_is_not_signed(
    shell: Shell, value: str, status: int, says: str
) -> None:
    """The message says why; the row stays unsigned."""
    told = sign(shell, value)

    assert told.status == status
    assert says in told.err.replace("\n ", "")
    assert listed(shell)["printed"][0]["verified"] is False


def test_a_signature_is_withdrawn_once(shell: Shell) -> None:
    """Where none stands there is nothing to withdraw."""
    sign(shell, "1.35 lb/ft3")
    withdraw = ("sign", ROW, "--withdraw", "other edition", "--by", "EI")

    assert [shell(*withdraw).status, shell(*withdraw).status] == [0, 2]
    assert listed(shell)["printed"][0]["verified"] is False


def test_the_page_says_how_far_to_trust_each_row(shell: Shell) -> None:
    """Superseded edition, unsigned rows with how they were read, what is missing."""
    page = " ".join(shell("limits").out.split())

    assert "-10 has been superseded; the next edition seen is ASTM C578-12b, the newest" in page
    assert f"{ROW} at least 1.35 lb/ft3 22 kg/m3 FB6 no" in page
    assert "read in two public property sheets" in page
    assert "The plant's own, as its setting says: signed limits, sheet 1; nobody is named" in page
    assert "length each 1218–1220 mm lot test FB6" in page
    assert "length each at least 1217 mm lot test FB6" in page
    assert "dimensional stability each within ± 2 % lot test FB6" in page
    assert "Limits that cannot be judged - ASTM C578-10 type II colour for FB6" in page
    assert "ASTM C578, thickness: two readings" in page

    sign(shell, "1.35 lb/ft3")

    assert "FB6 P-13 20" in " ".join(shell("limits").out.split())


@pytest.mark.parametrize("value", ["1.35", " 1.35 "])
def test_a_figure_without_a_unit_is_asked_for_one(shell: Shell, value: str) -> None:
    """With the unit that the row is printed in."""
    told = sign(shell, value)

    assert told.status == 2
    assert 'write the unit, such as "1.35 lb/ft3"' in " ".join(told.err.split())


@pytest.mark.parametrize("tested", [False, True])
def test_the_summary_lists_every_unsigned_limit_that_decides(
    shell: Shell, yard: Yard, tested: bool
) -> None:
    """Of readings, and of periodic and type tests, made or missing; a signed one no more."""
    body = {"standard": "ASTM C578", "edition": "10", "type": "II"}
    names = ["density", "compressive_resistance", "oxygen_index"]
    yard.set("standard", "FB6", body, characteristics=names)
    for name in names[1:]:
        yard.set("plan", name, product="FB6", characteristic=name, evidence="type_test")
    if tested:
        report(yard, "R-1", 1, method="", tested="")
    sign(shell, "1.35 lb/ft3")

    told = shell("assess").out.partition("Printed limits")[2]

    assert "ASTM C578-10 II compressive_resistance, at least 15.0 psi" in told
    assert "ASTM C578-10 II oxygen_index, at least 24.0 vol%" in told
    assert "density" not in told
