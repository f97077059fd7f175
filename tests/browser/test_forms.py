"""A form in the real browser: what may be is said as it is filled, before a button is pressed."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Visit

pytestmark = pytest.mark.browser


def test_what_may_be_is_said_as_a_field_is_left(visit: Visit) -> None:
    """More beads than the silo holds, then few: the page stays, and so does what was keyed."""
    page = visit("/stations/silos/", size="tablet")
    page.get_by_label("transfer").check()
    page.fill("#from", "S3")
    page.fill("#to", "H1")
    page.select_option("select[name=unit-mass]", "kg")
    page.fill("#mass", "0.5")
    page.keyboard.press("Tab")
    expect(page.locator(".ahead .notice")).to_be_visible()
    first = page.locator(".ahead").inner_text()
    page.fill("#mass", "90000")
    page.keyboard.press("Tab")
    expect(page.locator(".ahead")).not_to_have_text(first)

    assert page.url.endswith("/stations/silos/")
    assert page.input_value("#mass") == "90000"
    assert page.locator(".ahead").inner_text() != first
