"""An expansion at its pre-expander, by finger and keys: counted, timed, looked at."""

from __future__ import annotations

import re
import time

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import PICTURES, SEEN, Visit
from tests.browser.test_every_page import _RULES

pytestmark = pytest.mark.browser

AT = "/stations/pre-expander/E2/"
CUPS = ("232.1", "233.0", "231.7", "232.8", "232.4")
MOST_TAPS, MOST_S = 25, 60
FORMS = ("", "cups", "silo_filled", "downtime")


class Hand:
    """Taps what is on the page and keys figures; a figure keyed or scanned counts as one tap."""

    def __init__(self, page: Page) -> None:
        self.page, self.taps = page, 0

    def link(self, words: str) -> None:
        """Tap a way."""
        self._tap(self.page.get_by_role("link", name=words, exact=True))

    def press(self, words: str) -> None:
        """Tap a button that records; it must have been taken."""
        self._tap(self.page.get_by_role("button", name=words, exact=True))
        assert self.page.locator(".notice.done").is_visible()

    def key(self, figure: str) -> None:
        """Key a figure where the page has put the caret already."""
        expect(self.page.locator("input:focus")).to_have_count(1)
        self.page.keyboard.type(figure)
        self.taps += 1

    def _tap(self, what: Locator) -> None:
        with self.page.expect_navigation(wait_until="load"):
            what.click()
        self.taps += 1


def finish(hand: Hand) -> None:
    """Take the rest of the bag off and close the run, so that the next test finds none open."""
    hand.page.goto(f"{AT}?form=silo_filled")
    hand.press("Record")
    hand.press("Close the run")


def test_a_pre_expansion_with_five_cups_takes_few_taps_and_little_time(visit: Visit) -> None:
    """Started, a bag in, five cups keyed, the silo told full: every tap and figure is counted."""
    page = visit(AT, by="BW", size="tablet")
    began = time.monotonic()
    hand = Hand(page)
    hand.press("Start")
    hand.press("Record")  # the bag that is proposed
    for grams in CUPS:
        hand.link("Cup")
        hand.key(grams)
        hand.press("Record")
    hand.link("Silo full")
    hand.key("40")
    hand.press("Record")
    took = time.monotonic() - began

    told = page.locator("main").inner_text()
    assert re.search(r"It is in the record\. S\d holds ", told)
    cups = re.findall(r"hot cup (\d+\.\d) g in 10 L", told)
    assert [*dict.fromkeys(cups)] == [*reversed(CUPS)]
    assert hand.taps <= MOST_TAPS
    assert took < MOST_S
    finish(hand)


def test_each_form_looks_as_it_should(visit: Visit) -> None:
    """While a run is open, and what is refused: no violation, nothing sticks out sideways.

    What somebody keys meanwhile stands on a page that nobody touches within some seconds.
    """
    hand = Hand(visit(AT, by="NF", size="tablet"))
    hand.press("Start")
    hand.press("Record")
    untouched = visit(AT, by="BW", size="tablet")
    for grams in ("233.0", "241.9", "242.3"):
        hand.link("Cup")
        hand.key(grams)
        hand.press("Record")
    untouched.get_by_text("242.3 g").first.wait_for(timeout=15_000)
    for size, scheme in SEEN:
        page = visit(AT, by="NF", size=size, scheme=scheme)
        for form in FORMS:
            page.goto(f"{AT}?form={form}" if form else AT)
            looked_at(page, f"pre-expander-{form or 'open'}-{size}-{scheme}")
        page.goto(f"{AT}?form=bag_opened")
        page.fill("input[name=bag]", "NO-SUCH-BAG")
        page.get_by_role("button", name="Record", exact=True).click()
        page.locator(".notice, .wrong").first.wait_for()
        assert page.locator("input[name=bag]").input_value() == "NO-SUCH-BAG"
        looked_at(page, f"pre-expander-refused-{size}-{scheme}")
    finish(hand)


def looked_at(page: Page, name: str) -> None:
    """Keep a picture; ask what axe-core sees; nothing sticks out."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=PICTURES / f"{name}.png", full_page=True)
    found = Axe().run(page, options=_RULES).response["violations"]
    assert [(one["id"], [node["html"][:120] for node in one["nodes"][:2]]) for one in found] == []
    assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0


@pytest.mark.parametrize("form", ["", "cups", "downtime"])
def test_what_is_touched_is_large_and_what_is_read_too(form: str, visit: Visit) -> None:
    """64 px for what is touched, 20 px for what is read, four buttons in a row."""
    page = visit(f"{AT}?form={form}", by="NF", size="tablet")
    small = page.evaluate(
        "[...document.querySelectorAll('main button, main a.go, main .keys input,"
        " main label.choice, main summary, main .entry a')]"
        ".filter(one => one.checkVisibility() && one.getBoundingClientRect().height < 64)"
        ".map(one => one.outerHTML.slice(0, 80))"
    )
    tiny = page.evaluate(
        "[...document.querySelectorAll('main p, main a, main button, main label, main legend,"
        " main summary, main li')]"
        ".filter(one => one.checkVisibility() && parseFloat(getComputedStyle(one).fontSize) < 20)"
        ".map(one => one.outerHTML.slice(0, 80))"
    )
    assert small == []
    assert tiny == []
