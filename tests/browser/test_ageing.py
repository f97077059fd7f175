"""The picture of the hours on the silo board: kept while the board is replaced, and asked anew."""

from __future__ import annotations

import re

import pytest

from tests.browser.conftest import Served, Visit

pytestmark = pytest.mark.browser


def test_the_picture_stays_while_the_board_is_replaced(alone: Served, visit_alone: Visit) -> None:
    """Beads are moved, so the board comes anew without a picture: the one that is there stays."""
    page = visit_alone("/silos/")
    picture = page.locator("#ageing svg")
    picture.evaluate("one => { one.kept = true }")
    alone.asked("hold", "S6", "--id", "H-9", "--reason", "looked at", "--by", "EI")
    page.evaluate("htmx.ajax('GET', '/silos/?seen=other', {target: '#board', swap: 'outerHTML'})")
    page.get_by_text("Held H-9: looked at").wait_for()

    assert picture.count() == 1
    assert picture.evaluate("one => one.kept") is True
    assert page.locator("#ageing").count() == 1


def test_the_picture_is_asked_for_anew_and_still_asks(visit_alone: Visit) -> None:
    """What is put in its place asks again, and stays in the board that follows."""
    page = visit_alone("/silos/")
    page.evaluate(
        "htmx.ajax('GET', '/ageing/?seen=other', {target: '#ageing', swap: 'outerHTML'})"
        ".then(() => { document.body.dataset.done = 'yes' })"
    )
    page.wait_for_selector("body[data-done=yes]")
    anew = page.locator("#ageing")

    assert anew.locator("svg").count() == 1
    assert re.fullmatch(r"/ageing/\?seen=[0-9a-f]{16}", anew.get_attribute("hx-get") or "")
    assert anew.get_attribute("hx-trigger") == "every 60s"


def test_the_same_is_said_in_words(visit: Visit) -> None:
    """For who sees no picture: each silo, what is signed, what is estimated."""
    page = visit("/silos/")
    page.locator("#hours-words summary").click()
    said = page.locator("#hours-words li").all_inner_texts()

    assert len(said) == 6
    assert all("signed" in one and "by estimate fit from" in one for one in said)
