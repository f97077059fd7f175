"""The floor and the silo board live: they ask anew by themselves, and nothing jumps meanwhile."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import SIZES, Visit

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("path", ["/", "/silos/"])
def test_a_page_asks_anew_and_leaves_alone_what_is_the_same(path: str, visit: Visit) -> None:
    """Within the quarter minute; whoever stands on a link stays there.

    An age may turn to its next hour between two askings, which is no longer the same; so of
    three askings in a row one finds nothing new.
    """
    page = visit(path)
    link = page.locator("main a").first
    link.focus()
    found: list[int] = []
    while 204 not in found and len(found) < 3:
        with page.expect_response(lambda one: "seen=" in one.url, timeout=15_000) as asked:
            pass
        found.append(asked.value.status)

    assert found[-1] == 204
    assert link.evaluate("one => one === document.activeElement")


def test_whoever_stands_on_a_link_stands_there_after_a_change(visit: Visit) -> None:
    """What was asked by a stale print is drawn anew, and the caret is where it was."""
    page = visit("/")
    link = page.locator("main figure.lying svg a").nth(3)
    where = link.get_attribute("href")
    link.focus()
    page.evaluate("document.querySelector('#floor').dataset.before = ''")
    page.evaluate("htmx.ajax('GET', '/?seen=stale', {target: '#floor', swap: 'outerHTML'})")

    expect(page.locator("#floor:not([data-before])")).to_have_count(1)
    expect(page.locator(f"main figure.lying svg a[href='{where}']").first).to_be_focused()


@pytest.mark.parametrize("size", SIZES)
def test_one_drawing_is_shown_and_fits_the_screen(size: str, visit: Visit) -> None:
    """Rows where the screen lies, a column where it stands; its words are large enough."""
    page = visit("/", size=size)
    drawings = page.locator("main svg[role]")
    shown = [one for one in drawings.all() if one.is_visible()]

    (drawing,) = shown
    box = drawing.bounding_box()
    assert box is not None
    assert box["width"] <= SIZES[size]["width"]
    least = page.evaluate(
        "Math.min(...[...document.querySelectorAll('main svg[role] text')]"
        ".filter(one => one.checkVisibility()).map(one => one.getBoundingClientRect().height))"
    )
    assert least >= 14


def test_a_silo_of_the_drawing_leads_to_its_plate(visit: Visit) -> None:
    """By keyboard as well as by finger."""
    page = visit("/")
    page.locator("figure.lying svg a", has_text="S6").first.focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/silos/#S6")

    assert page.locator("#S6 h3").is_visible()
