"""Decisions at the shell: who, why, on what; each an entry, or a refusal that says why not."""

import json
from dataclasses import replace
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


@pytest.mark.parametrize(
    "words",
    [
        ("assess", "L9"),
        ("trace", "L9", "--back"),
        ("history", "L9"),
        ("hold", "L9", "--id", "H-2", "--reason", "smell", "--by", "EI"),
        ("lift", "H-1", "L9", "--reason", "aired", "--by", "EI"),
        ("lift", "H-9", "--all", "--reason", "aired", "--by", "EI"),
        ("lift", "H-9", "L1", "--reason", "aired", "--by", "EI"),
        ("concede", "too_fresh:S9", "--reason", "tested", "--by", "EI"),
        ("reverse", "mould/99", "--reason", "twice", "--by", "EI"),
        ("release", "L9", "--by", "EI"),
        ("nc-note", "NC-9999", "--text", "seen", "--by", "EI"),
    ],
    ids=" ".join,
)
def test_a_name_that_the_record_does_not_know_is_misuse_everywhere(
    words: tuple[str, ...], yard: Yard, shell: Shell
) -> None:
    """Lot, hold, cause, step or file; in a question or a decision, before the door or at it."""
    yard.hold("H-1", "L1")

    told = shell(*words)

    assert (told.status, told.out) == (2, "")


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("H" * 41, "smell"),
        ("H|1", "smell"),
        ("H@1", "smell"),
        ("H\n1", "smell"),
        (" H-1", "smell"),
        ("<b>", "smell"),
        ("H-1", "smell" * 401),
        ("H-1", "sm\x07ell"),
        ("H-1", "sm\u202eell"),
    ],
    ids=ascii,
)
def test_a_hold_has_an_id_that_a_tag_can_carry_and_a_reason_that_can_be_read(
    name: str, reason: str, yard: Yard, shell: Shell
) -> None:
    """What cannot is refused, with the remedy."""
    del yard
    told = shell("hold", "L1", "--id", name, "--reason", reason, "--by", "EI")

    assert (told.status, told.out) == (1, "")
    assert "bad_text" in told.err


@pytest.mark.parametrize("name", ["H-07", "7", "Näss 2/26", "H_1.b", "H" * 40])
def test_what_people_call_holds_is_taken(name: str, yard: Yard, shell: Shell) -> None:
    """And a reason of some lines; the hold can be lifted by that name."""
    del yard
    words = ("--reason", "smell\nof the batch, “strong”", "--by", "EI")

    assert shell("hold", "L1", "--id", name, *words).status == 0
    assert shell("lift", name, "--all", *words).status == 0


def test_a_lift_does_not_clear_a_lot_that_a_correction_names_later(
    yard: Yard, shell: Shell
) -> None:
    """Nobody looked at it under that code: it is held until it is lifted too, as the help says."""
    words = ("--reason", "aired", "--by", "EI")
    shell("hold", "S1", "--id", "H-1", *words)
    shell("lift", "H-1", "--all", *words)
    key = next(key for key, step in yard.steps.items() if step.kind == "mould")
    old = yard.steps[key]
    lines = tuple(replace(x, lot="L7" if x.lot == "L1" else x.lot) for x in old.lines)
    yard.correct(key, lines=lines, new_lots=tuple(replace(n, code="L7") for n in old.new_lots))

    assert "H-1" in shell("assess", "L7").out
    assert answer(shell, "L7")["answer"] == "may_not_ship"
    assert "held until it is lifted too" in " ".join(shell("lift", "--help").out.split())
    assert shell("lift", "H-1", "L7", *words).status == 0
    assert all(one["code"] != "on_hold" for one in answer(shell, "L7")["reasons"])


def test_a_lot_named_twice_is_held_once(yard: Yard, shell: Shell) -> None:
    """By its code in either case."""
    del yard
    told = shell("hold", "L1", "l1", "L1", "--id", "H-1", "--reason", "smell", "--by", "EI")
    (entry,) = json.loads(shell("history", "L1", "--json").out)["entries"][-1:]

    assert told.out.splitlines()[0].count("L1") == 1
    assert json.loads(shell("entry", str(entry["entry"]), "--json").out)["named_lots"] == ["L1"]


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
    """By an engineer who says that it is meant; the record never held the name."""
    assert "EI        P-13  Edda Ivesworth  yes" in shell("people", "--confirm", "EI").out
    before = shell("verify", "--json").out

    people.match("P1", [Person("NF", "P-09", "Nils"), Person("KR", "P-15", "Kaia")])
    unsaid = shell("people", "--erase", "P-13", "--by", "EI")
    nobody = shell("people", "--erase", "P-13", "--yes")
    other = shell("people", "--erase", "P-13", "--yes", "--by", "KR")
    assert "Edda" in shell("people").out
    erased = shell("people", "--erase", "P-13", "--yes", "--by", "EI")

    assert (unsaid.status, nobody.status, other.status, erased.status) == (2, 2, 1, 0)
    assert "nothing was erased; --yes" in unsaid.err
    assert "--by" in nobody.err
    assert "not_allowed: P-15 (no role) may not erase a name" in other.err
    assert "Edda" not in erased.out
    assert shell("people", "--erase", "P-13", "--yes", "--by", "NF").status == 2
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
