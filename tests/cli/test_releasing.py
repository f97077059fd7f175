"""A release at the shell: who has still to sign, which approvals count, what may leave."""

import json
from pathlib import Path
from typing import Any

import pytest

from beadwright.ledger import people
from beadwright.ledger.draft import Reading
from beadwright.ledger.people import Person
from tests.cli.shell import Shell
from tests.plant.planning import decide
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


def two_persons(yard: Yard) -> None:
    """Let two release, and give them names."""
    people.match("P1", [Person("KR", "P-14", "Kaia Rowntree")])
    yard.set("release", "rule", {"persons": 2})


def flat(text: str) -> str:
    """A page without its line breaks."""
    return " ".join(text.split())


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


def test_without_a_rule_of_release_a_lot_that_may_ship_may_leave(yard: Yard, shell: Shell) -> None:
    """No release is asked for: the exit status says so."""
    page = shell("assess", "L1")

    assert (page.status, shell("assess").status) == (0, 0)
    assert page.out.startswith("L1: MAY SHIP\n")
    assert "Not released.\n" in page.out
    assert answer(shell)["may_leave"] is True
    assert yard.no


def test_where_a_release_is_asked_for_a_lot_ships_once_it_is_released(
    yard: Yard, shell: Shell
) -> None:
    """Before, no page says without more that it may ship, and the exit status is 1."""
    people.match("P1", [Person("KR", "P-14", "Kaia Rowntree")])
    yard.bundle("BN-1", "L1", 10)
    yard.set("release", "rule", {"persons": 2})

    page, summary, bundle = shell("assess", "L1"), shell("assess"), shell("assess", "BN-1")

    assert (page.status, summary.status, bundle.status) == (1, 1, 1)
    assert page.out.startswith("L1: MAY SHIP, ONCE RELEASED\n")
    assert "Not released; two persons must release it." in page.out
    assert "BN-1 (bundle): MAY SHIP, ONCE RELEASED" in bundle.out
    assert "0 may ship, 1 may once released, 0 may not" in summary.out
    assert "MAY SHIP, ONCE RELEASED: 1 lot" in summary.out
    assert "two persons must release: L1" in summary.out
    assert "MAY SHIP:" not in summary.out
    told = json.loads(shell("assess", "BN-1", "--json").out)
    assert (told["counts"]["may_ship"], told["counts"]["may_leave"]) == (1, 0)
    assert told["asked"][0]["may_leave"] is False
    assert [told["lots"][0][name] for name in ("answer", "may_leave", "to_sign")] == [
        "may_ship", False, 2,
    ]  # fmt: skip

    shell("release", "L1", "--by", "EI")

    page = shell("assess", "L1")
    assert "not released; one more person must release it." in page.out.replace("\n", " ")
    assert "one more person must release: L1" in shell("assess").out
    assert (page.status, answer(shell)["to_sign"]) == (1, 1)

    shell("release", "L1", "--by", "KR")

    page, summary = shell("assess", "L1"), shell("assess")
    assert (page.status, summary.status, shell("assess", "BN-1").status) == (0, 0, 0)
    assert page.out.startswith("L1: MAY SHIP\n")
    assert "MAY SHIP: 1 lot; 1 released" in summary.out
    assert [answer(shell)[name] for name in ("may_leave", "to_sign")] == [True, 0]


def test_the_count_says_how_many_must_be_looked_back_on_first(yard: Yard, shell: Shell) -> None:
    """Of those that wait for a release; one that does not rest on the balance just waits."""
    two_persons(yard)
    yard.block_lot("L2")
    yard.weigh("L2", "24h", [3.13, 3.13, 3.14])
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    one = Reading("block_mass_24h", "3.14", "kg", lot="L1", specimen="D-9", instrument="BAL-2",
                  facts={"state": "24h", "age_h": "26"})  # fmt: skip
    for done, result in (("2026-09-01", "pass"), ("2026-09-04", "fail")):
        decide(yard, "calibration", "BAL-2", {"done": done, "result": result, "certificate": done})
    yard.read([one], at=61)
    summary = flat(shell("assess").out)

    assert "2 may once released (1 of them look back first), 0 may not" in summary
    assert "release: L2" in summary
    said = "two persons must release; look back first: BAL-2 was found wrong since it was read: L1"
    assert said in summary
    told = json.loads(shell("assess", "--json").out)["counts"]
    assert (told["may_ship"], told["look_back_first"]) == (2, 1)


def test_an_approval_of_evidence_that_changed_since_is_said_not_to_count(
    yard: Yard, shell: Shell
) -> None:
    """By the page of the lot and by the next approval; both must sign what there is now."""
    two_persons(yard)
    shell("release", "L1", "--by", "EI")
    yard.weigh("L1", "24h", [3.14], at=65)

    before = flat(shell("assess", "L1").out)
    told = flat(shell("release", "L1", "--by", "KR").out)
    after = flat(shell("assess", "L1").out)

    gone = "The approval by P-13 (Edda Ivesworth) 20"
    assert "Not released; two persons must release it. The approval by P-13" in before
    assert "approved by one of two" in told
    assert "not released until another person" in told
    for text in (before, told, after):
        assert gone in text
        assert "does not count: the evidence has changed since" in text
    assert "Approved by one of two, by P-14 (Kaia Rowntree)" in after
    assert answer(shell)["to_sign"] == 1

    assert "L1 is released, over evidence" in flat(shell("release", "L1", "--by", "EI").out)
    assert "not count" not in shell("assess", "L1").out


def test_a_release_over_evidence_before_is_said_to_stand(yard: Yard, shell: Shell) -> None:
    """A further good reading takes nothing back, and one person's look at it neither."""
    two_persons(yard)
    for who in ("EI", "KR"):
        shell("release", "L1", "--by", who)
    yard.weigh("L1", "24h", [3.14], at=65)

    before = flat(shell("assess", "L1").out)
    told = flat(shell("release", "L1", "--by", "EI").out)
    after = shell("assess", "L1")

    stands = "The evidence has changed since, not for the worse: the release stands."
    assert stands in before
    assert "approved by one of two" in told
    assert "Its release by P-13 (Edda Ivesworth) 20" in told
    assert "that release stands. Only a certificate needs one" in told
    assert "not released" not in told
    assert f"{stands} As it is now, it is approved by one of two, by P-13" in flat(after.out)
    assert (after.status, answer(shell)["released"], answer(shell)["to_sign"]) == (0, True, 0)


def test_a_release_whose_grounds_got_worse_is_suspended(yard: Yard, shell: Shell) -> None:
    """And no approval is entered over them."""
    two_persons(yard)
    for who in ("EI", "KR"):
        shell("release", "L1", "--by", who)
    yard.weigh("L1", "24h", [2.6, 2.6, 2.6], at=65)

    page = shell("assess", "L1")

    assert page.status == 1
    assert "SUSPENDED, its grounds have changed" in flat(page.out)
    assert shell("release", "L1", "--by", "EI").status == 1


def test_lots_that_are_gone_stand_apart_from_those_that_wait_for_a_release(
    yard: Yard, shell: Shell
) -> None:
    """Shipped before the rule: nobody has to sign them for a lorry."""
    yard.block_lot("L2", good=10)
    yard.weigh("L2", "24h", [3.13, 3.13, 3.14])
    yard.ship("SH-1", "L2", 10, at=70)
    yard.set("release", "rule", {"persons": 1}, since=100)

    told = shell("assess")

    assert "MAY SHIP, ONCE RELEASED: 2 lots" in told.out
    assert "one person must release: L1" in told.out
    assert "no piece is in the plant any more: L2" in told.out


def test_what_is_decided_in_a_demonstration_is_dated_by_its_time(
    damaged: tuple[Shell, Path],
) -> None:
    """A hold and a release of today would leave its plant a year behind them."""
    shell, _ = damaged
    told = json.loads(shell("assess", "--json").out)["lots"]
    lot = next(one["lot"] for one in told if one["answer"] == "may_ship")
    assert shell("release", lot, "--by", "EI").status == 0
    assert shell("hold", lot, "--id", "H-900", "--reason", "smell", "--by", "EI").status == 0
    said = json.loads(shell("history", lot, "--json").out)["entries"][-2:]

    assert [one["kind"] for one in said] == ["release", "hold"]
    assert {one["happened_at"][:10] for one in said} == {"2025-09-26"}
