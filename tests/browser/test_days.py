"""Each role's day in the real browser: what somebody does in a shift, and no id is typed.

A code comes from a label that is scanned, from what a field offers, or was proposed.
"""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import Visit

pytestmark = pytest.mark.browser

LEAD, ENGINEER, SECOND, TECHNICIAN, OPERATOR, AUDITOR = "NF", "EI", "OB", "TC", "KR", "WG"
LABEL = "SL-77413"
"""A supplier's own lot number, as it stands on two bags of it."""


def scan(page: Page, field: str, text: str) -> None:
    """Scan into a field: a scanner types fast and ends with Enter."""
    page.locator(f"#{field}").fill("")
    page.locator(f"#{field}").press_sequentially(text)
    page.keyboard.press("Enter")


def offered(page: Page, field: str) -> list[str]:
    """What a field offers to choose from."""
    options = page.locator(f"datalist#{field}-fits option")
    return [one.get_attribute("value") or "" for one in options.all()]


def choose(page: Page, field: str, value: str) -> None:
    """Choose what a field offers: the browser then puts it into the field."""
    assert value in offered(page, field)
    page.fill(f"#{field}", value)
    page.locator(f"#{field}").dispatch_event("change")


def press(page: Page, words: str) -> None:
    """Press a button and wait for the page that comes."""
    page.get_by_role("button", name=words, exact=True).click()
    page.wait_for_load_state()


def done(page: Page) -> Locator:
    """What a page says was done."""
    said = page.locator(".notice.done")
    expect(said).to_be_visible()
    return said


def test_an_operator_receives_two_bags_and_says_which_a_scan_means(visit: Visit) -> None:
    """One supplier's lot on both: scanned later it fits two, and one tap says which."""
    page = visit("/stations/receiving/", by=OPERATOR, size="tablet")
    bags = []
    for mass in ("1985", "1991"):
        bags.append(page.input_value("#bag"))
        scan(page, "supplier_lot", LABEL)
        page.fill("#mass", mass)
        press(page, "Record")
        expect(done(page)).to_contain_text(f"{bags[-1]} holds {mass}.0 lb")

    page.goto("/stations/silos/")
    page.get_by_label("scrap").check()
    scan(page, "from", LABEL)
    which = page.locator("#which-from button")
    expect(which).to_have_count(2)
    expect(which.first).to_contain_text(
        re.compile("bead bag of [A-Z0-9]+, 19[89][15].0 lb, 0 h old")
    )
    which.filter(has_text=bags[0]).click()
    page.wait_for_load_state()
    expect(page.locator("#from")).to_have_value(bags[0])
    page.fill("#mass", "2")
    choose(page, "bin", offered(page, "bin")[0])
    press(page, "Record")
    expect(done(page)).to_contain_text(f"{bags[0]} holds 1983.0 lb")


def test_a_technician_measures_and_corrects_in_place(visit: Visit) -> None:
    """The lot and the specimen's number are proposed; the record keeps both versions."""
    page = visit("/stations/bench/", by=TECHNICIAN, size="tablet")
    sizes = {"length": "50.1", "width": "50.0", "height": "49.9", "mass": "29"}
    for field, text in sizes.items():
        unit = page.locator(f"select[name=unit-{field}]")
        unit.select_option("g" if field == "mass" else "mm")
        page.fill(f"#{field}", text)
    press(page, "Record")
    if page.locator(".notice.asked").count():
        page.get_by_role("button", name=re.compile("^Yes, as keyed")).first.click()
        page.wait_for_load_state()
    done(page)
    page.locator("ul.entries a").first.click()
    page.fill("#mass", "2.9")
    page.fill("#reason", "decimal point")
    press(page, "Record the correction")
    done(page)
    page.get_by_role("link", name="corrected").click()

    expect(page.locator("main")).to_contain_text("Voided")
    expect(page.locator("main")).to_contain_text("29")


def to_sign(page: Page) -> list[str]:
    """Lots that wait for a signature."""
    page.goto("/release/")
    rows = page.locator("section[aria-labelledby=ready] tbody th")
    return [text.strip() for text in rows.all_text_contents()]


def sign(visit: Visit, who: str, lot: str) -> Page:
    """Sign a lot's release."""
    page = visit(f"/release/{lot}/", by=who)
    page.fill("#note", "figures looked at")
    press(page, "Release this lot")
    expect(done(page)).to_contain_text(f"Your release of {lot} stands in the record.")
    return page


def test_an_engineer_releases_with_a_second_person(visit: Visit) -> None:
    """From the queue; the first is told that somebody else signs next, the lot then may leave."""
    page = visit("/release/", by=ENGINEER)
    lot = to_sign(page)[0]
    page.get_by_role("link", name=lot, exact=True).click()
    page.wait_for_url(f"**/release/{lot}/")
    first = sign(visit, ENGINEER, lot)
    expect(first.locator("main")).to_contain_text("somebody else signs next")
    expect(first.get_by_role("button", name="Release this lot")).to_have_count(0)
    second = sign(visit, SECOND, lot)

    expect(second.locator("section.answer")).to_contain_text("Released", ignore_case=True)
    assert lot not in to_sign(page)
    expect(page.locator("section[aria-labelledby=leaving]")).to_contain_text(lot[:3])


def test_dispatch_bundles_and_ships_what_is_released_and_nothing_else(visit: Visit) -> None:
    """An unreleased lot is told before the button, and refused with its reason."""
    page = visit("/release/", by=LEAD, size="tablet")
    ready = to_sign(page)
    page.goto("/stations/bundling/")
    released, waits = [one for one in offered(page, "lot") if one in ready][:2]
    for who in (ENGINEER, SECOND):
        sign(visit, who, released)

    page.goto("/stations/bundling/")
    bundle = page.input_value("#bundle")
    choose(page, "lot", released)
    page.fill("#pieces", "4")
    press(page, "Record")
    expect(done(page)).to_contain_text(f"{bundle} holds 4 pieces")

    page.goto("/stations/dispatch/")
    choose(page, "what", waits)
    page.fill("#pieces", "4")
    page.locator("#pieces").dispatch_event("change")
    said = page.locator(".ahead .notice.may_not")
    expect(said).to_contain_text(f"{waits} is not released")
    press(page, "Record")
    expect(page.locator(".notice.may_not")).to_contain_text(f"{waits}")
    choose(page, "what", bundle)
    press(page, "Record")
    expect(done(page)).to_contain_text(f"{bundle} is empty")
    expect(page.locator(".notice.may_not")).to_have_count(0)


def test_a_shift_lead_at_night_may_stop_and_hold_and_is_told_whom_the_rest_waits_for(
    visit: Visit,
) -> None:
    """No engineer is there: a trouble, a hold; no release, no lift, no concession."""
    page = visit("/stations/press/FP1/", by=LEAD, size="tablet", scheme="dark")
    press(page, "Start the run")
    page.goto("/stations/press/FP1/")
    page.get_by_role("link", name=re.compile("^Stop")).click()
    page.locator("[name=minutes]").fill("12")
    page.locator("input[name=cause][value=steam]").check()
    press(page, "Record the stop")
    expect(page.get_by_text("The stop is in the record.").first).to_be_visible()

    page.goto("/search/?q=S6")
    page.wait_for_url("**/lots/S6/")
    page.get_by_role("link", name="Put on hold").click()
    page.fill("#reason", "smell of solvent")
    press(page, "Put it on hold")
    expect(page.locator("section.answer")).to_contain_text("Smell of solvent")
    expect(page.locator(".notice.may_not")).to_contain_text("Edda Ivesworth")
    hold = page.locator("h1").inner_text().removeprefix("Hold ")

    page.goto("/holds/")
    duties = page.locator("section.duties")
    expect(duties).to_contain_text("put a lot on hold")
    for what in ("lift a hold", "give a concession", "release a lot"):
        expect(duties.locator(".whom")).to_contain_text(what)
    lot = to_sign(page)[-1]
    page.get_by_role("link", name=lot, exact=True).click()
    expect(page.locator("main")).to_contain_text("engineer: EI Edda Ivesworth")
    expect(page.get_by_role("button", name="Release this lot")).to_have_count(0)

    engineer = visit("/holds/", by=ENGINEER)
    engineer.get_by_role("link", name=hold, exact=True).click()
    engineer.fill("#reason", "solvent was of a marker; beads smelt and sound")
    engineer.get_by_role("button", name=re.compile("^Lift from all")).click()
    expect(done(engineer)).to_contain_text(f"Hold {hold} is lifted")


def test_an_auditor_reads_everything_and_keys_nothing(visit: Visit) -> None:
    """Every page of the record; no station, no button but to go and to choose units."""
    page = visit("/", by=AUDITOR)
    for to in ("/", "/silos/", "/holds/", "/release/", "/release/L1-005/", "/lots/L2-008/",
               "/lots/L2-008/trace/", "/search/?q=L2-0", "/entries/900/"):  # fmt: skip
        answer = page.goto(to)
        assert answer is not None
        assert answer.status == 200, to
        expect(page.locator("main form[method=post]")).to_have_count(0)
        for words in ("Correct", "Put on hold", "Release this lot"):
            expect(page.locator("main").get_by_text(words, exact=True)).to_have_count(0)
    page.goto("/stations/")
    expect(page.locator("main")).to_contain_text("Your role keys nothing at a station.")
    refused = [page.goto(to) for to in ("/stations/receiving/", "/entries/900/correct/",
                                        "/stations/stocktake/", "/lots/L2-008/hold/")]  # fmt: skip
    assert [one.status if one else 0 for one in refused] == [403] * 4
