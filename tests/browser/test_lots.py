"""Finding a lot, following it and reading its pictures, in the real browser."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from beadwright.charts.svg import width_of
from tests.browser.conftest import SIZES, Visit

pytestmark = pytest.mark.browser

_TEXTS = """() => [...document.querySelectorAll('main svg')].map(svg => {
  const box = svg.viewBox.baseVal;
  const texts = [...svg.querySelectorAll('text')];
  return {width: box.width, height: box.height, texts: texts.map(one => {
    const at = one.getBBox();
    return {text: one.textContent, size: parseFloat(one.getAttribute('font-size')),
            long: one.getComputedTextLength(), x: at.x, y: at.y, w: at.width, h: at.height};
  })};
})"""

_PICTURES = ("/lots/L2-008/", "/lots/S3/", "/lots/L2-008/trace/", "/lots/F1-D2-01/trace/")


@pytest.mark.parametrize("path", _PICTURES)
def test_words_of_a_picture_are_no_wider_than_they_were_measured(path: str, visit: Visit) -> None:
    """In the font that is shipped: so what is laid out without a browser holds in one."""
    for picture in _pictures(visit(path)):
        for one in picture["texts"]:
            assert one["long"] <= width_of(one["text"], one["size"]) + 0.5, one["text"]


@pytest.mark.parametrize("path", _PICTURES)
def test_words_of_a_picture_stand_inside_it_and_alone(path: str, visit: Visit) -> None:
    """As the browser draws them."""
    for picture in _pictures(visit(path)):
        texts = picture["texts"]
        for at, one in enumerate(texts):
            assert one["x"] >= -0.5
            assert one["x"] + one["w"] <= picture["width"] + 0.5, one["text"]
            assert one["y"] + one["h"] <= picture["height"] + 0.5, one["text"]
            for other in texts[at + 1 :]:
                assert not _overlap(one, other), (one["text"], other["text"])


def _pictures(page: Page) -> list[Any]:
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    found: list[Any] = page.evaluate(_TEXTS)
    assert found
    return found


def _overlap(one: dict[str, float], other: dict[str, float]) -> bool:
    """Whether two texts lie over each other by more than the room above and below their letters."""
    across = min(one["x"] + one["w"], other["x"] + other["w"]) - max(one["x"], other["x"])
    down = min(one["y"] + one["h"], other["y"] + other["h"]) - max(one["y"], other["y"])
    return across > 0.5 and down > 0.3 * min(one["h"], other["h"])


def test_a_lot_is_found_as_it_is_typed_and_opened_by_keyboard(visit: Visit) -> None:
    """Nothing is sent; the list is there a moment after the key, and Tab reaches it."""
    page = visit("/search/")
    page.locator("#q").focus()
    page.keyboard.type("L2-00")
    first = page.locator("#found a").first
    expect(first).to_contain_text("L2-00")
    code = first.locator("b").inner_text()

    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    expect(first).to_be_focused()
    page.keyboard.press("Enter")

    page.wait_for_url(f"**/lots/{code}/")
    expect(page.get_by_role("heading", level=1)).to_have_text(code)


def test_a_scanner_that_types_and_ends_with_enter_opens_the_lot(visit: Visit) -> None:
    """The whole code, then Enter: no second step."""
    page = visit("/search/")
    page.locator("#q").press_sequentially("L2-008")
    page.keyboard.press("Enter")

    page.wait_for_url("**/lots/L2-008/")


def test_the_drawing_opens_and_leads_on_by_keyboard(visit: Visit) -> None:
    """Each lot of it is a link, and so is what was folded."""
    page = visit("/lots/F1-D2-01/trace/")
    folded = page.locator("main svg a", has_text="others").first
    said = folded.locator("text").first.text_content() or ""
    folded.focus()
    expect(folded).to_be_focused()
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(r"\?open=\d"))

    assert said not in page.locator("main svg text").all_text_contents()
    lot = page.locator("main svg a").first
    name = lot.locator("text").first.text_content()
    lot.focus()
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/lots/{name}/trace/")


def test_search_and_trace_work_without_a_script(served: str, browser: Browser) -> None:
    """A form and links: what a script adds is only that the list comes as one types."""
    context = browser.new_context(
        java_script_enabled=False, base_url=served, viewport=SIZES["tablet"]
    )
    page = context.new_page()
    page.goto("/in/?to=/search/")
    page.fill("#named", "EI")
    page.fill("#code", "invented")
    page.get_by_role("button", name="Sign in").click()
    page.fill("#q", "harrow")
    page.get_by_role("button", name="Search").click()
    page.locator("#found a").first.click()
    expect(page.get_by_role("heading", name="Its story")).to_be_visible()
    page.get_by_role("link", name="Trace", exact=True).click()
    page.wait_for_url("**/trace/")
    assert page.locator("main svg").count() == 1
    context.close()
