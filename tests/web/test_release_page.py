"""Releasing on a page: the queue, the one thing that is missing, two persons, what may change."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.test import Client

from beadwright.ledger.draft import Reading, Release
from beadwright.plant.access import Role
from beadwright.plant.opening import open_plant
from beadwright.plant.release_queue import loading, queue
from beadwright.plant.release_words import headline
from tests.plant.asking import the_lot
from tests.plant.planning import decide
from tests.plant.restating import read_by, restate, weighed
from tests.plant.yard import Yard, ms
from tests.web.conftest import CAST, SignIn

pytestmark = pytest.mark.django_db

ENGINEER = CAST[Role.ENGINEER]


def ready(yard: Yard) -> None:
    """Let nothing stand in the way of lot L1, and let two persons release."""
    yard.limit("MASS", "block_mass", "min", "3.0 kg")
    yard.weigh("L1", "24h", [3.2])
    yard.set("release", "rule", persons=2)


def sent(browser: Client, lot: str = "L1") -> dict[str, str]:
    """What the form of a lot's page would send."""
    text = browser.get(f"/release/{lot}/").content.decode()
    names = ("evidence", "key")
    return {name: re.search(rf'name="{name}" value="([^"]*)"', text)[1] for name in names}  # type: ignore[index]


def test_the_queue_says_the_one_thing_that_is_missing(yard: Yard, as_: SignIn) -> None:
    """Lots that wait for the same stand together, with whom they wait for."""
    yard.limit("MASS", "block_mass", "min", "3.0 kg")
    yard.mould("L2")
    told = queue(yard.no, ms(1440))
    (group,) = told.asked
    shown = as_(Role.SHIFT_LEAD).get("/release/").content.decode()

    assert (group.lots, group.who) == (("L1", "L2"), "laboratory")
    assert told.rule.startswith("The plant has set no rule of release")
    yard.set("release", "rule", persons=2, since=1)
    assert queue(yard.no, ms(1440)).rule.startswith(
        "By the plant's rule 2 different people release each lot. It asks from 2026-09-"
    )
    assert group.reason.code == "not_measured"
    assert "L1, L2" in shown
    assert "an engineer signs" not in shown


def test_a_hold_is_told_once_for_all_its_lots(yard: Yard, as_: SignIn) -> None:
    """However each came by it, and without the way of one of them."""
    ready(yard)
    yard.mould("L2")
    yard.hold("H-1", "S1")
    (group,) = queue(yard.no, ms(1440)).stopped
    shown = as_(Role.ENGINEER).get("/release/").content.decode()

    assert group.lots == ("L1", "L2")
    assert " into " not in group.reason.sentence
    assert shown.count("hold H-1") + shown.count("Hold H-1") == 1


def test_two_persons_release_what_they_saw(yard: Yard, as_: SignIn) -> None:
    """The first is told that another is needed; the lot leaves the queue with the second."""
    ready(yard)
    browser = as_(Role.ENGINEER)
    first = browser.post("/release/L1/", sent(browser))
    assert first.status_code == 200
    (row,) = queue(yard.no, ms(1440)).ready
    assert (row.lot, row.signed, row.to_sign) == ("L1", (ENGINEER,), 1)
    again = browser.get("/release/L1/").content.decode()
    assert "You have signed this evidence; somebody else signs next: " in again
    assert "Release this lot" not in again

    yard.release("L1", the_lot(yard).evidence)
    told = queue(yard.no, ms(1440))
    assert (told.ready, told.leaving) == ((), ("L1",))


def test_what_was_sent_twice_is_one_release(yard: Yard, as_: SignIn) -> None:
    """A form carries its key; a second press finds the entry there."""
    ready(yard)
    browser = as_(Role.ENGINEER)
    form = sent(browser)
    answers = [browser.post("/release/L1/", form).status_code for _ in range(2)]

    assert answers == [200, 200]
    assert len(the_lot(yard).given) == 1


def test_evidence_that_changed_meanwhile_is_not_released(yard: Yard, as_: SignIn) -> None:
    """What was looked at is what is approved: the refusal says so, and nothing is written."""
    ready(yard)
    browser = as_(Role.ENGINEER)
    form = sent(browser)
    yard.weigh("L1", "24h", [2.2])
    answer = browser.post("/release/L1/", form)

    assert answer.status_code == 422
    assert b"May not" in answer.content
    assert the_lot(yard).given == ()


@pytest.mark.parametrize("role", [Role.OPERATOR, Role.SHIFT_LEAD, Role.TECHNICIAN, Role.AUDITOR])
def test_others_see_and_do_not_release(role: Role, yard: Yard, as_: SignIn) -> None:
    """They are offered no button; and one that is made up is refused."""
    ready(yard)
    form = sent(as_(Role.ENGINEER))
    browser = as_(role)
    assert b"Release this lot" not in browser.get("/release/L1/").content
    answer = browser.post("/release/L1/", form)

    assert answer.status_code == 422
    assert b"not_allowed" in answer.content


def test_what_is_no_block_lot_has_no_release(as_: SignIn) -> None:
    """A bag, a place, nothing at all."""
    browser = as_(Role.ENGINEER)
    assert [browser.get(f"/release/{code}/").status_code for code in ("B-1", "S1", "X")] == [
        404
    ] * 3


def test_its_limits_are_told_in_the_units_of_who_looks(yard: Yard, as_: SignIn) -> None:
    """As on the lot's own page; the bound is signed in kilograms."""
    ready(yard)
    browser = as_(Role.ENGINEER)
    for units, said in (("si", "min 3.0000 kg"), ("us", "min 6.6139 lb")):
        browser.post("/choices/", {"units": units, "light": "", "to": "/"})
        page = browser.get("/release/L1/").content.decode()
        assert said in page, units
        bound = said.removeprefix("min ") if units == "us" else "3.0 kg"
        (head,) = re.findall(r'<p class="first"><strong>(.*?)</strong>', page)
        assert head.startswith("The limit is met, narrowest: block mass "), head
        assert head.endswith(f"at least {bound}"), head
        assert (" lb " in head) is (units == "us"), head


def test_a_limit_that_is_missed_is_told_in_units_too(yard: Yard, as_: SignIn) -> None:
    """How far it is missed by as well: 3.4 kg are 7.4957 lb (0.45359237 kg a pound, exact)."""
    ready(yard)
    yard.limit("HEAVY", "block_mass", "min", "3.4 kg", statistic="mean")
    browser = as_(Role.ENGINEER)
    browser.post("/choices/", {"units": "us", "light": "", "to": "/"})
    page = browser.get("/release/L1/").content.decode()
    (head,) = re.findall(r'<p class="first"><strong>(.*?)</strong>', page)
    assert re.search(r" lb \(mean .* is below 7\.4957 lb by 0\.\d{4} lb$", head), head


def test_the_queue_begins_with_how_many_wait_for_what(yard: Yard, as_: SignIn) -> None:
    """Each leads to its part of the page."""
    ready(yard)
    yard.mould("L2")
    shown = as_(Role.ENGINEER).get("/release/").content.decode()

    for place, count in (("ready", 1), ("asked", 1), ("stopped", 0), ("leaving", 0)):
        assert re.search(rf'<a href="#{place}">[^<]*: {count}</a>', shown), place


def test_who_signs_sees_which_readings_were_restated(yard: Yard, as_: SignIn) -> None:
    """Where the page says what the answer rests on, once."""
    ready(yard)
    key = read_by(yard, "inspections/152/readings", weighed("3.02", first=9))
    restate(yard, key, weighed("3.14", first=9))
    shown = as_(Role.ENGINEER).get("/release/L1/").content.decode()

    assert shown.count("1 reading restated by P-13") == 1
    assert "3.02 → 3.14 kg (D9)" in shown


def test_what_may_be_loaded_is_offered_first_at_dispatch(yard: Yard, as_: SignIn) -> None:
    """A bundle of a released lot, if it is not held; what holds pieces of another is said so."""
    yard.limit("MASS", "block_mass", "min", "3.0 kg")
    yard.weigh("L1", "24h", [3.2])
    yard.set("release", "rule", persons=1)
    yard.mould("L2")
    for bundle, parts in {"BN-1": ("L1",), "BN-2": ("L1", "L2"), "BN-3": ("L1",)}.items():
        for lot in parts:
            yard.bundle(bundle, lot, 5)
    assert loading(yard.no, ms(1440)).may == ()
    yard.release("L1", the_lot(yard).evidence)
    yard.hold("H-1", "BN-3")
    told = loading(yard.no, ms(1440))

    assert [(one.code, one.pieces) for one in told.may] == [("L1", 25), ("BN-1", 5)]
    assert told.waits == {"L2", "BN-2"}
    page = as_(Role.SHIFT_LEAD).get("/stations/dispatch/").content.decode()
    offered = re.findall(r'<option value="([^"]*)">([^<]*)', page[page.index('id="what-fits"') :])
    assert [code for code, says in offered if "may be loaded" in says] == ["L1", "BN-1"]
    assert {code for code, says in offered if "not released" in says} == {"L2", "BN-2"}


def test_whoever_has_signed_is_told_who_signs_next_and_led_on(yard: Yard, as_: SignIn) -> None:
    """By name, without their own; and to the next lot that waits for them."""
    ready(yard)
    yard.mould("L2")
    yard.weigh("L2", "24h", [3.2])
    yard.set("role", "P-77", role="engineer")
    browser = as_(Role.ENGINEER)
    told = browser.post("/release/L1/", sent(browser)).content.decode()

    assert '<a class="way" href="/release/L2/">Next to sign: L2</a>' in told
    (whom,) = re.findall(r"signs next: ([^<]*)\.</p>", told)
    assert "P-77" in whom
    assert ENGINEER not in whom
    last = browser.post("/release/L2/", sent(browser, "L2")).content.decode()
    assert "Next to sign" not in last


def test_the_entry_of_a_release_leads_to_lot_and_evidence(
    yard: Yard, as_: SignIn, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was signed is there, each reading with its entry."""
    monkeypatch.setenv("BEADWRIGHT_FILES", str(tmp_path))
    ready(yard)
    browser = as_(Role.ENGINEER)
    browser.post("/release/L1/", sent(browser))
    (given,) = the_lot(yard).given
    answer = as_(Role.AUDITOR).get("/release/L1/").content.decode()
    assert f"(signed in as {ENGINEER})" in answer
    assert f'Signed at <a href="/entries/{given.seq}/">entry {given.seq}</a>' in answer
    shown = as_(Role.AUDITOR).get(f"/entries/{given.seq}/").content.decode()

    assert 'Lots: <a href="/lots/L1/">L1</a> · <a href="/release/L1/">its release</a>' in shown
    assert "The evidence that was signed" in shown
    assert "The evidence there is now is the same." in shown
    reading = the_lot(yard).limits[0].readings[0][0]
    assert f'<td><a href="/entries/{reading}/">{reading}</a></td>' in shown


def test_what_has_left_is_not_said_to_ship_once_released(yard: Yard, as_: SignIn) -> None:
    """Lot, bundle and shipment, by a rule set after they left; what is here waits for a release."""
    yard.limit("MASS", "block_mass", "min", "3.0 kg")
    yard.weigh("L1", "24h", [3.2])
    yard.set("release", "rule", persons=2, since=100)
    browser = as_(Role.AUDITOR)
    yard.bundle("BN-1", "L1", 40, at=70)
    yard.ship("SH-1", "BN-1", 30, at=71)
    assert "May ship, once released" in browser.get("/lots/L1/").content.decode()
    yard.ship("SH-2", "BN-1", 10, at=72)
    for path in ("/lots/L1/", "/release/L1/", "/lots/BN-1/", "/lots/SH-1/"):
        shown = browser.get(path).content.decode()
        assert "once released" not in shown, path
        assert "Shipped, no release stands" in shown, path
    assert "Not released; all of it is shipped." in browser.get("/release/L1/").content.decode()


def test_what_was_read_by_an_instrument_found_wrong_is_looked_back_on_first(
    yard: Yard, as_: SignIn
) -> None:
    """It stands apart in the queue, its page says so before the button, and asks why it may."""
    ready(yard)
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    for done, result in (("2026-09-01", "pass"), ("2026-09-04", "fail")):
        body = {"done": done, "result": result, "certificate": done, "as_found": "+40 g"}
        decide(yard, "calibration", "BAL-2", body)
    one = Reading("block_mass_24h", "3.2", "kg", lot="L1", specimen="D-9", instrument="BAL-2",
                  facts={"state": "24h", "age_h": "26"})  # fmt: skip
    yard.read([one], at=61)

    browser = as_(Role.ENGINEER)
    shown = browser.get("/release/").content.decode()
    assert "Look back first: BAL-2 was found wrong since it was read" in shown
    assert "To sign: 0" in shown
    page = browser.get("/release/L1/").content.decode()
    said, button = page.index("BAL-2, which failed its calibration"), page.index("Release this lot")
    assert said < button
    read = browser.get(f"/entries/{open_plant('P1').head[0]}/").content.decode()
    assert "BAL-2 failed its calibration and was found with an error of +40 g on 2026-09-04" in read
    assert browser.post("/release/L1/", sent(browser)).status_code == 422
    assert not the_lot(yard, "L1").given
    note = {"note": "weighed again on BAL-1"}
    assert browser.post("/release/L1/", {**sent(browser), **note}).status_code == 200
    assert len(the_lot(yard, "L1").given) == 1


def found_wrong(yard: Yard, *some: str) -> None:
    """Read blocks of lots with a balance that fails its calibration afterwards."""
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    for done, result in (("2026-09-01", "pass"), ("2026-09-04", "fail")):
        body = {"done": done, "result": result, "certificate": done, "as_found": "+40 g"}
        decide(yard, "calibration", "BAL-2", body)
    for many, lot in enumerate(some, 1):
        yard.read([
            Reading("block_mass_24h", "3.2", "kg", lot=lot, specimen=f"E-{n}",
                    instrument="BAL-2", facts={"state": "24h", "age_h": "26"})
            for n in range(many)
        ], at=61)  # fmt: skip


def test_one_bad_balance_is_told_once_for_all_its_lots(yard: Yard, as_: SignIn) -> None:
    """However many readings each has by it."""
    ready(yard)
    yard.mould("L2")
    yard.weigh("L2", "24h", [3.2])
    found_wrong(yard, "L1", "L2")
    shown = as_(Role.ENGINEER).get("/release/").content.decode()
    assert shown.count("BAL-2 was found wrong since it was read") == 1
    assert shown.count(">Look back on BAL-2<") == 1
    assert 'href="/release/L1/"' in shown
    assert 'href="/release/L2/"' in shown


def test_readings_that_do_not_count_are_told_once_for_all_lots(yard: Yard) -> None:
    """By why they do not, whatever number of them each lot has."""
    ready(yard)
    for number, lot in ((2, "L2"), (3, "L3")):
        yard.mould(lot)
        yard.read([
            Reading("block_mass_24h", "3.2", "kg", lot=lot, specimen=f"E-{n}",
                    instrument="BAL-9", facts={"state": "24h", "age_h": "26"})
            for n in range(number)
        ], at=61)  # fmt: skip
    yard.set("instrument", "BAL-9", what="balance", every="365 days")
    (group,) = queue(yard.no, ms(1440)).asked
    assert group.lots == ("L2", "L3")
    assert group.reason.sentence == ("weighed, and none counts: BAL-9 had never been calibrated")


def test_a_headline_says_what_stands_against_what_was_released(yard: Yard, as_: SignIn) -> None:
    """Lot and bundle, on their pages and at the shell's words; what is in order is not marked."""
    ready(yard)
    yard.set("release", "rule", persons=1)
    found_wrong(yard, "L1")
    evidence, note = the_lot(yard).evidence, "weighed again on BAL-1"
    yard.post(Release("release-1", ms(79), "L1", evidence, by="P-13", note=note))
    yard.bundle("BN-1", "L1", 40, at=80)
    browser = as_(Role.AUDITOR)
    for path in ("/lots/L1/", "/release/L1/", "/lots/BN-1/"):
        shown = browser.get(path).content.decode()
        assert "May ship; but BAL-2 was found wrong since it was read" in shown, path
        assert 'class="answer ask"' in shown, path
    assert "<strong>But:</strong> 1 reading of it" in browser.get("/lots/L1/").content.decode()
    yard.ship("SH-1", "BN-1", 40, at=81)
    assert headline(the_lot(yard)) == "shipped; but BAL-2 was found wrong since it was read"
