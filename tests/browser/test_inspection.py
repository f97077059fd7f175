"""Inspection in the real browser: a lot that waits, three blocks, pieces looked over by taps."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import SIZES, Visit
from tests.browser.test_press import done, keep

pytestmark = pytest.mark.browser

STATION = "/stations/inspection/"
_LEAST_PX = 64


def open_lot(page: Page, *, number: int) -> str:
    """Tap one of the lots that can be inspected now and need three blocks; gives its code."""
    waiting = page.locator(".waiting a.act", has_text="Weigh 3, gauge 3")
    lot = waiting.filter(has=page.locator(".state.good")).nth(number)
    code = lot.locator("b").inner_text()
    lot.click()
    page.wait_for_url(f"**{STATION}?lot={code}")
    return code


def still(page: Page) -> str:
    """What a lot still needs, as its line says it."""
    return page.locator("#needs").inner_text()


@pytest.mark.parametrize(("size", "number"), [("tablet", 0), ("desk", 1)])
def test_three_blocks_and_the_line_follows_each(size: str, number: int, visit: Visit) -> None:
    """From those that wait: an odd number asked once, the form again, nothing owed at last."""
    page = visit(STATION, by="TC", size=size)
    lot = open_lot(page, number=number)
    assert still(page) == "Still: weigh 3, gauge 3."
    page.locator("#do-block").click()
    pounds = {"FB6S": "7.03", "FB8S": "7.46"}[page.locator("h1 small").inner_text()[:4]]
    for more in (2, 1, 0):
        expect(page.locator("#mass")).to_be_focused()
        if more == 1:  # the point slipped: asked once, and keyed again
            block(page, pounds.replace(".", "") + "0")
            expect(page.locator(".notice.asked")).to_contain_text(f"{pounds.replace('.', '')}0 lb")
        block(page, pounds)
        assert "Dry foam of D" in done(page)
        expect(page.locator("#needs")).to_have_text(
            f"Still: weigh {more}, gauge {more}." if more else "Inspection owes it nothing more."
        )
    keep(page, f"inspection-done-{size}")
    page.get_by_role("link", name="All that wait").click()
    expect(page.locator("#waiting")).to_be_visible()
    assert lot not in page.locator(".waiting b").all_inner_texts()


def block(page: Page, pounds: str) -> None:
    """Key one block: its weight and sizes."""
    page.fill("#mass", pounds)
    wide = "11.25" if "6 in" in page.locator("h1").inner_text() else "13.25"
    for name, inches in (("length", "48.00"), ("width", wide), ("height", "16.00")):
        page.fill(f"#{name}", inches)
    page.get_by_role("button", name="Record the block").click()
    page.wait_for_load_state()


def test_pieces_are_looked_over_by_taps(visit: Visit) -> None:
    """Scanned, one field keyed, four taps: all said at once; the bad one is asked a place."""
    page = visit(STATION, by="TC", size="tablet", scheme="dark")
    page.locator("#scan").press_sequentially("l1-072")
    page.keyboard.press("Enter")
    page.wait_for_url(f"**{STATION}?lot=l1-072")
    page.locator("#do-look").click()
    page.fill("#checked", "40")
    for what in ("Ties", "Fusion", "Size"):
        page.get_by_role("group", name=what).get_by_label("all ok").check()
    page.get_by_role("group", name="Surface").get_by_label("1 bad").check()
    keep(page, "inspection-look-tablet")
    page.get_by_role("button", name="Record what was seen").click()
    expect(page.locator(".notice.asked", has_text="1 bad piece of 40")).to_be_visible()
    page.get_by_role("button", name="Yes, as keyed: none rejected").click()
    assert "Looked over." in done(page)
    expect(page.locator(".needs")).to_contain_text(
        re.compile("79 pieces looked at; bad: .*surface 1")
    )


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    "query", ["", "?lot=L2-001", "?lot=L1-072&do=block", "?lot=L1-072&do=look"]
)
def test_what_is_tapped_is_large_and_what_is_read_too(query: str, size: str, visit: Visit) -> None:
    """At least 64 px high, words of 20 px: gloves, and an arm's length."""
    page = visit(f"{STATION}{query}", by="TC", size=size)
    low = page.evaluate(
        "[...document.querySelectorAll('main a.act, main button, main .keys input, main .keys"
        " select, main label.choice, main .more input')]"
        f".filter(one => one.checkVisibility() && one.getBoundingClientRect().height < {_LEAST_PX})"
        ".map(one => one.outerHTML.slice(0, 80))"
    )
    small = page.evaluate(
        "[...document.querySelectorAll('main .needs *, main .waiting *, main .keyed label')]"
        ".filter(one => one.checkVisibility() && parseFloat(getComputedStyle(one).fontSize) < 20)"
        ".map(one => one.outerHTML.slice(0, 80))"
    )
    assert low == []
    assert small == []


def test_it_works_by_keyboard_alone_and_without_a_script(served: str, browser: Browser) -> None:
    """Tab, arrows and Enter: a lot scanned, its pieces passed."""
    context = browser.new_context(
        java_script_enabled=False, base_url=served, viewport=SIZES["desk"]
    )
    page = context.new_page()
    page.goto(f"/in/?to={STATION}")
    page.fill("#named", "TC")
    page.fill("#code", "invented")
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(f"**{STATION}")
    expect(page.locator("input:focus")).to_have_count(1)  # the page gives it once it is drawn
    page.keyboard.type("L1-071")
    page.keyboard.press("Enter")
    page.wait_for_url(f"**{STATION}?lot=L1-071")
    page.locator("#do-look").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**do=look")
    expect(page.locator("input:focus")).to_have_count(1)
    page.keyboard.type("10")
    for _ in range(4):
        page.keyboard.press("Tab")  # to the first of four: all ok
        page.keyboard.press("Space")
        page.keyboard.press("Tab")  # to the number that is keyed
    page.keyboard.press("Enter")
    assert "Looked over." in done(page)
    context.close()
