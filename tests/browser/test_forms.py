"""A form in the real browser: what may be is said as it is filled, before a button is pressed."""

from __future__ import annotations

import re

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


def test_what_is_scanned_stands_in_place_of_what_was_there(visit: Visit) -> None:
    """A lot that is proposed, then one that was scanned: the next scan leaves nothing of either."""
    page = visit("/stations/bundling/", by="PQ", size="tablet")
    lot = page.locator("#lot")
    assert lot.input_value()
    for code in ("L1-070", "L1-069"):
        lot.click()
        page.keyboard.type(code)
        page.keyboard.press("Enter")
        assert lot.input_value() == code
        assert page.evaluate("document.activeElement.name") == "pieces"


def test_a_figure_keyed_after_a_question_is_the_new_one(visit: Visit) -> None:
    """A cup of ten times the mass is asked about; what is keyed next is recorded, and only that."""
    page = visit("/stations/pre-expander/E1/?form=cups", by="BW", size="tablet")
    page.get_by_label("dried").check()  # no run is open: a hot one would be asked about
    page.locator("[name=mass]").focus()
    for grams, answer in (("2218", "Asked"), ("221.8", "Done")):
        expect(page.locator("[name=mass]")).to_be_focused()
        page.keyboard.type(grams)
        with page.expect_navigation():
            page.keyboard.press("Enter")
        assert page.locator("main .notice .word").first.inner_text() == answer
    assert "cup 221.8 g in 10 L" in page.locator("main .notice.done").inner_text()


def test_a_second_tap_sets_the_caret_where_it_points(visit: Visit) -> None:
    """The first tap chooses what the page filled in; the second one puts the caret into it."""
    page = visit("/stations/bundling/", by="PQ", size="tablet")
    chosen = "[...document.querySelectorAll('#bundle')].map(x => x.selectionEnd - x.selectionStart)"
    page.locator("#bundle").click()
    assert page.evaluate(chosen) == [len(page.input_value("#bundle"))]
    page.locator("#bundle").click(position={"x": 60, "y": 30}, delay=50)
    assert page.evaluate(chosen) == [0]


def test_enter_in_a_field_that_was_unfolded_sends_nothing(visit_alone: Visit) -> None:
    """Another product scanned at a press that stands: the run is not started by the scan."""
    page = visit_alone("/stations/press/FP1/", by="BW", size="tablet")
    page.get_by_text("Change something of it").click()
    page.locator("#product").click()
    page.keyboard.type("FB6C")
    page.keyboard.press("Enter")
    page.wait_for_load_state("networkidle")
    assert page.evaluate("document.activeElement.name") == "mould"
    assert page.input_value("#product") == "FB6C"
    assert page.get_by_role("button", name="Start the run").is_visible()


def test_a_specimen_follows_the_lot_that_is_scanned(visit: Visit) -> None:
    """Proposed for the last lot, then for the scanned one; what was keyed stays as it is."""
    page = visit("/stations/bench/", by="TC", size="tablet")
    proposed = page.input_value("#specimen")
    lot = page.input_value("#lot")
    assert proposed.startswith(lot)
    page.fill("#lot", "")
    page.locator("#lot").press_sequentially("L1-071")
    page.keyboard.press("Enter")
    expect(page.locator("#specimen")).to_have_value("L1-071-C1")
    expect(page.locator(".ahead")).to_contain_text("Now proposed")
    page.fill("#specimen", "MY-7")
    page.fill("#lot", "L1-070")
    page.locator("#lot").press("Tab")
    page.wait_for_load_state("networkidle")
    expect(page.locator("#specimen")).to_have_value("MY-7")


def test_a_test_proposes_no_specimen_before_its_lot(visit: Visit) -> None:
    """Typed key by key, then another one: each time the number is of the lot that stands there."""
    page = visit("/laboratory/result/?test=compressive_resistance", by="TC", size="tablet")
    assert (page.input_value("#lot"), page.input_value("#specimen")) == ("", "")
    for lot in ("L1-061", "L1-062"):
        page.fill("#lot", "")
        page.locator("#lot").press_sequentially(lot)
        page.keyboard.press("Tab")
        expect(page.locator("#specimen")).to_have_value(re.compile(f"{lot}-F[0-9]+"))


def test_after_a_bundle_was_loaded_the_next_is_scanned_at_once(visit: Visit) -> None:
    """Released by two persons, a bundle of the lot is loaded: the caret waits for the next."""
    for who in ("EI", "OB"):
        page = visit("/release/L1-070/", by=who)
        page.get_by_role("button", name="Release this lot").click()
        page.locator(".notice.done").wait_for()
    page = visit("/stations/dispatch/", by="PQ", size="tablet")
    offered = page.locator("#what-fits option", has_text="may be loaded")
    first = offered.first.get_attribute("value")
    assert first is not None
    page.fill("#shipment", "SH-900")
    page.fill("#receiver", "QUARRY LANE")
    page.fill("#what", first)
    page.fill("#pieces", "1")
    page.get_by_role("button", name="Record").click()
    page.locator(".notice.done").wait_for()
    expect(page.locator("[name=what]")).to_be_focused()


ONE_FORM = ("receiving/", "receiving/?kind=tie_receipts", "bench/", "bench/?kind=results",
            "bundling/", "dispatch/", "reclaim/")  # fmt: skip
_LEAST_PX, _SCREENS_PX = 48, 2_000


@pytest.mark.parametrize("where", [*ONE_FORM, "stocktake/", "stocktake/?of=silos"])
def test_a_form_is_for_a_gloved_finger_and_its_button_on_the_first_screen(
    where: str, visit: Visit
) -> None:
    """What is tapped is 48 px high or more; a form of one thing is recorded without a scroll."""
    page = visit(f"/stations/{where}", by="EI", size="tablet")
    low = page.evaluate(
        "[...document.querySelectorAll('main a, main button, main summary, main select,"
        " main input:not([type=hidden])')].filter(one => one.checkVisibility())"
        ".map(one => one.closest('label') || one)"
        f".filter(one => one.getBoundingClientRect().height < {_LEAST_PX})"
        ".map(one => one.outerHTML.slice(0, 80))"
    )
    assert low == []
    if where in ONE_FORM:
        record = page.get_by_role("button", name="Record").bounding_box()
        assert record is not None
        # (reclaim asks five more things than a tablet's height holds at once)
        assert record["y"] + record["height"] < (1_300 if "reclaim" in where else 1_280)
        assert page.evaluate("document.documentElement.scrollHeight") < _SCREENS_PX
