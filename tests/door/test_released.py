"""A release is judged where it is written: over the evidence there is then, by who may give it."""

from __future__ import annotations

import pytest

from beadwright.errors import Refusal
from beadwright.ledger import rebuild
from beadwright.ledger.draft import Draft, Hold, Reading, ReadingsDraft, Release
from tests.door.released import read_by, release, sound
from tests.door.snapshot import everything
from tests.plant import restating
from tests.plant.asking import coded, the_lot
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


def refused(yard: Yard, *drafts: Draft) -> tuple[str, str]:
    """Code and sentence with which the drafts are refused; nothing is written."""
    before = everything()
    with pytest.raises(Refusal) as refusal:
        yard.door.post_many(drafts, yard.who)
    assert everything() == before
    (fault,) = refusal.value.faults
    return fault.code, fault.what


def test_a_lot_that_may_ship_is_released_over_its_evidence() -> None:
    """And the record still verifies."""
    yard = sound(Yard.open())

    yard.post(release(yard))

    assert the_lot(yard).released
    assert rebuild.broken("P1") == []


def test_the_first_thing_missing_is_said() -> None:
    """Of a lot that nothing was read for."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")

    code, what = refused(yard, release(yard))

    assert code == "not_releasable"
    assert the_lot(yard).reasons[0].sentence in what


def test_a_bundle_is_released_by_its_lots() -> None:
    """The message names them."""
    yard = sound(Yard.open())
    yard.bundle("BN-1", "L1", 20)

    code, what = refused(yard, release(yard, lot="BN-1", evidence=the_lot(yard).evidence))

    assert (code, what) == ("not_releasable", "BN-1 was packed of L1")


@pytest.mark.parametrize("code", ["B-1", "S1"])
def test_what_is_no_block_lot_is_not_released(code: str) -> None:
    """Beads have nothing to be released for."""
    yard = sound(Yard.open())

    assert refused(yard, release(yard, lot=code, evidence="0" * 64))[0] == "not_releasable"


def test_what_comes_with_the_release_counts_as_before_it() -> None:
    """A reading or a hold of the same append is in when the release is judged."""
    yard = sound(Yard.open())
    last = release(yard)
    reading = Reading("block_mass_24h", "3.0", "kg", lot="L1", specimen="D9",
                      facts={"state": "24h", "age_h": "26"})  # fmt: skip

    assert refused(yard, ReadingsDraft("r", ms(62), (reading,)), last)[0] == "not_releasable"
    assert refused(yard, Hold("h", ms(75), "H1", "smell", ("B-1",)), last)[0] == "not_releasable"
    yard.post(last)


def test_the_same_draft_again_is_the_same_release() -> None:
    """Sent twice it is entered once, though by then it has been given."""
    yard = sound(Yard.open())
    draft = release(yard)
    yard.post(draft)

    assert yard.post(draft).repeated
    assert yard.door.may(draft, yard.who).may


def test_another_person_may_release_over_the_same_evidence() -> None:
    """And the same one over new evidence."""
    yard = sound(Yard.open())
    yard.post(release(yard))
    yard.post(release(yard, "P-14"))
    read_by(yard, "P-2")

    yard.post(Release("anew", ms(82), "L1", the_lot(yard).evidence, by="P-13"))


def test_whoever_took_a_reading_is_not_alone() -> None:
    """Another must have released it first; the tester then may, as the second."""
    yard = sound(Yard.open())
    yard.set("release", "rule", {"persons": 2, "tester_apart": True})
    read_by(yard, "P-13")

    assert refused(yard, release(yard, "P-13"))[0] == "tester_alone"
    yard.post(release(yard, "P-14"))
    yard.post(release(yard, "P-13"))


def test_whoever_restated_a_reading_took_it() -> None:
    """By a correction, or by taking it out: the figures are theirs, whoever read the scale."""
    yard = sound(Yard.open())
    yard.set("release", "rule", {"persons": 2, "tester_apart": True})
    key = restating.read_by(yard, "inspections/1/readings", restating.weighed("3.14"))
    restating.restate(yard, key, restating.weighed("3.13"), by="P-13")
    other = restating.read_by(yard, "inspections/2/readings", restating.weighed("3.15"))
    restating.taken_out(yard, other, by="P-09")

    assert refused(yard, release(yard, "P-13"))[0] == "tester_alone"
    assert refused(yard, release(yard, "P-09"))[0] == "tester_alone"
    yard.post(release(yard, "P-14"))
    yard.post(release(yard, "P-13"))
    assert the_lot(yard).released


def test_two_testers_are_testers_alone() -> None:
    """Each took readings; neither has anybody to look at them."""
    yard = sound(Yard.open())
    yard.set("release", "rule", {"persons": 2, "tester_apart": True})
    read_by(yard, "P-13")
    read_by(yard, "P-14")

    assert refused(yard, release(yard, "P-13"))[0] == "tester_alone"
    assert refused(yard, release(yard, "P-14"))[0] == "tester_alone"


def test_two_persons_release_over_the_same_evidence() -> None:
    """One of two releases nothing; two over different evidence do not either."""
    yard = sound(Yard.open())
    yard.set("release", "rule", {"persons": 2})
    yard.post(release(yard, "P-13"))
    one = the_lot(yard)
    read_by(yard, "P-2")
    yard.post(release(yard, "P-14", at=80))
    apart = the_lot(yard)
    yard.post(Release("anew", ms(82), "L1", apart.evidence, by="P-13"))
    both = the_lot(yard)

    assert [(told.released, told.suspended) for told in (one, apart, both)] == [
        (False, False), (False, False), (True, False),
    ]  # fmt: skip
    assert [[given.by for given in told.approvals] for told in (one, apart, both)] == [
        ["P-13"], ["P-14"], ["P-14", "P-13"],
    ]  # fmt: skip


def test_a_third_approval_takes_no_release_back() -> None:
    """Two released it; new evidence left the answer; one more looks at that."""
    yard = sound(Yard.open())
    yard.set("release", "rule", {"persons": 2})
    yard.post(release(yard, "P-13"))
    yard.post(release(yard, "P-14"))
    read_by(yard, "P-2")
    yard.post(Release("third", ms(82), "L1", the_lot(yard).evidence, by="P-13"))
    yard.ship("SH-1", "L1", 5, at=90)

    told = the_lot(yard)

    assert told.released
    assert {one.by for one in told.approvals} == {"P-13", "P-14"}
    assert coded(told, "open_beside") == []


def test_one_of_two_is_nothing_that_could_be_suspended() -> None:
    """A hold suspends a release that stands, and no half of one."""
    yard = sound(Yard.open())
    yard.set("release", "rule", {"persons": 2})
    yard.post(release(yard, "P-13"))
    yard.hold("H1", "B-1", at=80)
    half = the_lot(yard)
    yard.lift("H1", "L1", "B-1", at=81)
    yard.post(release(yard, "P-14", at=81))
    yard.hold("H2", "B-1", at=82)
    whole = the_lot(yard)

    assert (half.suspended, whole.suspended) == (False, True)
    assert [bool(coded(told, "release_suspended")) for told in (half, whole)] == [False, True]
    (suspended,) = coded(whole, "release_suspended")
    assert suspended.sentence == "the release by P-13 and by P-14 is suspended: see below"
    assert suspended.source == f"entries {', '.join(str(one.seq) for one in whole.approvals)}"


def test_a_release_dated_back_is_judged_by_the_rule_of_today() -> None:
    """A date does not get round who may release."""
    yard = sound(Yard.open())
    yard.set("release", "rule", {"persons": 1, "tester_apart": True}, since=90)
    read_by(yard, "P-13")

    assert refused(yard, release(yard))[0] == "tester_alone"
