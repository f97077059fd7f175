"""Decisions at the shell: who, why, on what; each an entry, or a refusal that says why not."""

import json
from typing import Any

import pytest

from beadwright.ledger import people
from beadwright.ledger.people import Person
from tests.cli.shell import Shell
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


@pytest.fixture
def yard() -> Yard:
    """A plant with a block lot that may ship, and one engineer."""
    yard = Yard.open()
    yard.limit("DENSITY", "density", "min", "21.6 kg/m3")
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [3.13, 3.13, 3.14])
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    return yard


def answer(shell: Shell, lot: str = "L1") -> Any:
    """What the assessment says of a lot."""
    return json.loads(shell("assess", lot, "--json").out)["lots"][0]


def test_a_release_stores_the_hash_that_was_assessed(yard: Yard, shell: Shell) -> None:
    """And who gave it."""
    evidence = answer(shell)["evidence"]

    told = shell("release", "L1", "--by", "EI")

    assert told.status == 0
    assert evidence in told.out.replace("\n", " ")
    after = answer(shell)
    assert (after["released"], after["released_by"], after["evidence"]) == (True, "P-13", evidence)
    assert yard.no


def test_where_two_must_release_one_is_told_so(yard: Yard, shell: Shell) -> None:
    """The first approval says that it releases nothing; `assess` shows it."""
    people.match("P1", [Person("KR", "P-14", "Kaia Rowntree")])
    yard.set("release", "rule", {"persons": 2})

    told = shell("release", "L1", "--by", "EI")
    page = shell("assess", "L1").out

    assert "approved by one of two" in told.out
    assert "Approved by one of two, by P-13" in page
    assert answer(shell)["released"] is False
    assert shell("release", "L1", "--by", "EI").status == 1
    assert "is released" in shell("release", "L1", "--by", "KR").out
    assert [one["by"] for one in answer(shell)["approvals"]] == ["P-13", "P-14"]


@pytest.mark.usefixtures("yard")
def test_a_lot_that_may_not_ship_is_not_released(shell: Shell) -> None:
    """The refusal has its code and the worst reason; nothing is recorded."""
    assert shell("hold", "S1", "--id", "H-1", "--reason", "smell", "--by", "EI").status == 0

    told = shell("release", "L1", "--by", "EI")

    assert (told.status, told.out) == (1, "")
    assert "not_releasable" in told.err
    assert "H-1" in told.err
    assert answer(shell)["released"] is False


def test_a_bundle_is_not_released_itself(yard: Yard, shell: Shell) -> None:
    """The message names the lots to release."""
    yard.bundle("BN-1", "L1", 10)

    told = shell("release", "BN-1", "--by", "EI")

    assert told.status == 2
    assert "L1" in told.err


def test_an_operator_decides_nothing_at_the_shell(yard: Yard, shell: Shell) -> None:
    """The shell's account is an engineer's; the person named is not. Stopping a lot is free."""
    people.match("P1", [Person("KR", "P-15", "Kaia Rowntree")])
    yard.set("role", "P-15", role="operator")
    by, why = ("--by", "KR"), ("--reason", "tested")
    yard.mould("L2", at=21)
    yard.expand("B-1", "S2", at=30)
    yard.mould("L3", "S2", at=31)

    refused = [
        shell("release", "L1", *by),
        shell("concede", "too_fresh:S2", *why, *by),
        shell("reverse", list(yard.steps)[-1], *why, *by),
    ]
    held = shell("hold", "L2", "--id", "H-1", *why, *by)
    refused.append(shell("lift", "H-1", "--all", *why, *by))

    assert held.status == 0
    assert [(one.status, "not_allowed: P-15 (operator)" in one.err) for one in refused] == [
        (1, True)
    ] * 4


@pytest.mark.usefixtures("yard")
def test_a_hold_is_lifted_only_from_lots_that_are_named(shell: Shell) -> None:
    """Without lots and without --all it says what the hold reaches; --all clears all of it."""
    shell("hold", "S1", "--id", "H-1", "--reason", "smell", "--by", "EI")

    unclear = shell("lift", "H-1", "--reason", "aired", "--by", "EI")
    part = shell("lift", "H-1", "S1", "--reason", "aired", "--by", "EI")
    still = answer(shell)["answer"]
    whole = shell("lift", "H-1", "--all", "--reason", "aired", "--by", "EI")

    assert (unclear.status, part.status, still, whole.status) == (2, 0, "may_not_ship", 0)
    assert "2 lots (L1, S1)" in unclear.err.replace("\n ", "") or "S1" in unclear.err
    assert answer(shell)["answer"] == "may_ship"


@pytest.mark.usefixtures("yard")
def test_a_hold_that_reaches_nothing_cannot_be_lifted(shell: Shell) -> None:
    """A slip in its id shows."""
    told = shell("lift", "H-9", "--all", "--reason", "aired", "--by", "EI")

    assert told.status == 2
    assert "H-9 reaches no lot" in told.err


def test_a_concession_closes_its_cause_and_no_other(yard: Yard, shell: Shell) -> None:
    """The cause is copied from the list; a cause that is none shows those that are open."""
    yard.expand("B-1", "S2", at=30)
    yard.mould("L2", "S2", at=31)
    yard.weigh("L2", "24h", [3.13, 3.13, 3.14])
    (cause,) = {
        one["cause"] for one in json.loads(shell("nonconformities", "--json").out)["causes"]
    }

    unknown = shell("concede", "too_fresh:S9", "--reason", "tested", "--by", "EI")
    given = shell("concede", cause, "--reason", "tested", "--by", "EI")
    again = shell("concede", cause, "--reason", "tested", "--by", "EI")

    assert (unknown.status, given.status, again.status) == (2, 0, 2)
    assert cause in unknown.err
    assert answer(shell, "L2")["answer"] == "may_ship"
    assert f"{cause}  CLOSED by concession: tested" in shell("nonconformities", "--closed").out
    assert cause not in shell("nonconformities").out


def test_a_step_is_reversed_while_nothing_was_made_of_it(yard: Yard, shell: Shell) -> None:
    """Afterwards it is refused, and the message says to correct it."""
    yard.bundle("BN-1", "L1", 10)
    bundled = next(key for key, step in yard.steps.items() if step.kind == "bundle")
    moulded = next(key for key, step in yard.steps.items() if step.kind == "mould")

    late = shell("reverse", moulded, "--reason", "twice", "--by", "EI")
    done = shell("reverse", bundled, "--reason", "twice", "--by", "EI")

    assert (late.status, done.status) == (1, 0)
    assert "already_moved_on" in late.err
    assert "Correct the step instead" in late.err.replace("\n ", "")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("hold", "S1", "--id", "H-1", "--reason", " ", "--by", "EI"), "--reason is empty"),
        (("hold", "S1", "--id", "H-1", "--reason", "smell", "--by", "XX"), "Known initials: EI"),
        (("hold", "S9", "--id", "H-1", "--reason", "smell", "--by", "EI"), "'S9'"),
        (("hold", "S1", "--id", "H-1", "--reason", "smell"), "--by"),
        (("release", "S1", "--by", "EI"), "only blocks"),
    ],
)
@pytest.mark.usefixtures("yard")
def test_a_decision_that_cannot_be_meant_is_misuse(
    words: tuple[str, ...], says: str, shell: Shell
) -> None:
    """Nothing is recorded, and the message says what to write instead."""
    before = shell("verify", "--json").out

    told = shell(*words)

    assert (told.status, told.out) == (2, "")
    assert says in told.err
    assert shell("verify", "--json").out == before


@pytest.mark.usefixtures("yard")
def test_a_person_is_confirmed_and_erased(shell: Shell) -> None:
    """The record verifies as before: it never held the name."""
    assert "EI        P-13  Edda Ivesworth  yes" in shell("people", "--confirm", "EI").out
    before = shell("verify", "--json").out

    erased = shell("people", "--erase", "P-13")

    assert "Edda" not in erased.out
    assert shell("people", "--erase", "P-13").status == 2
    assert shell("verify", "--json").out == before


@pytest.mark.usefixtures("yard")
def test_another_plant_is_said_by_its_code(shell: Shell) -> None:
    """With two in the store a question asks which; with --plant it answers."""
    Yard.open("P2")

    told = shell("stock")

    assert told.status == 2
    assert "P1, P2" in told.err
    assert "plant P2" in shell("--plant", "P2", "stock").out
    assert shell("--plant", "P3", "stock").status == 2


@pytest.mark.usefixtures("yard")
def test_a_rebuild_changes_no_answer(shell: Shell) -> None:
    """Lots, holds and readings are made again from the record, and say what they said."""
    asked = [("assess", "L1", "--json"), ("stock", "--json"), ("verify", "--json")]
    before = [json.loads(shell(*words).out) for words in asked]

    told = shell("rebuild")

    after = [json.loads(shell(*words).out) for words in asked]
    assert told.status == 0
    for was, now in zip(before, after, strict=True):
        was.pop("at", None), now.pop("at", None)
        assert was == now
