"""A press in the real browser: a mould run from its start to its end, by an operator and a lead."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import PICTURES, SIZES, Visit
from tests.browser.test_every_page import _RULES

pytestmark = pytest.mark.browser

PRESS = "/stations/press/FP2/"
_LEAST_PX = 64


def act(page: Page, name: str) -> None:
    """Tap one of the large buttons of a press."""
    page.locator(f"#do-{name}").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("FP2")


def keep(page: Page, name: str) -> None:
    """Keep a picture of what is seen, and see that nothing of it shuts anybody out."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=PICTURES / f"{name}.png", full_page=True)
    found = Axe().run(page, options=_RULES).response["violations"]
    assert [(one["id"], [node["html"][:160] for node in one["nodes"][:3]]) for one in found] == []


def done(page: Page) -> str:
    """What is said of the form that was sent last."""
    said = page.locator(".notice.done")
    expect(said).to_be_visible()
    return said.inner_text()


def test_a_mould_run_with_its_first_piece_counts_and_a_wet_block(visit: Visit) -> None:
    """Start, scrap, first piece by the lead, weigh, gauge, count, end.

    Another mould is in the press, so that a first piece is asked for.
    """
    page = visit(PRESS, by="MT", size="tablet")
    start(page)
    scrap(page)
    lead = visit(PRESS, by="NF", size="tablet")
    sign(lead)
    # Nobody touched the operator's tablet: it asks by itself.
    expect(page.locator(".notice.may_not")).to_have_count(0, timeout=15_000)
    expect(page.get_by_text("First piece signed").first).to_be_visible()
    weigh_and_gauge(page)
    count(page)
    act(page, "end")
    page.get_by_role("button", name="End the run").click()
    assert "The run is ended." in done(page)
    expect(page.get_by_role("button", name="Start the run")).to_be_visible()


def start(page: Page) -> None:
    """Start what is filled in, in another mould: it waits for its first piece, and for whom."""
    expect(page.get_by_text("Nothing forbids it.")).to_be_visible()
    keep(page, "press-start-tablet")
    page.get_by_text("Change something of it").click()
    page.fill("#mould", "M-FB8S-2")
    page.get_by_role("button", name="Start the run").click()
    assert "The run is open." in done(page)
    waits = page.locator(".notice.may_not")
    expect(waits).to_contain_text("First piece not signed, after a mould change")
    expect(waits).to_contain_text("NF Nils Farrowmere")
    expect(page.locator("#do-first")).to_have_count(0)


def scrap(page: Page) -> None:
    """Two first shots."""
    act(page, "scrap")
    page.fill("#scrap", "2")
    page.get_by_label("first shots").check()
    page.get_by_role("button", name="Record the scrap").click()
    assert "Scrapped." in done(page)


def sign(lead: Page) -> None:
    """Sign the first piece."""
    act(lead, "first")
    for what in ("Mass", "Ties", "Fusion", "Size", "Code"):
        lead.get_by_role("group", name=what).get_by_label("ok", exact=True).check()
    keep(lead, "press-first-tablet")
    lead.get_by_role("button", name="Sign").click()
    assert "The first piece is in the record." in done(lead)


def weigh_and_gauge(page: Page) -> None:
    """A wet block, and a hot one."""
    act(page, "weigh")
    page.fill("#mass", "7.55")
    page.get_by_role("button", name="Record the weight").click()
    assert "Dry foam of W1" in done(page)
    expect(page.get_by_text("Assumed, not measured: water of 4 %")).to_be_visible()
    act(page, "gauge")
    page.fill("#length", "48.1")
    page.get_by_role("button", name="Record the size").click()
    assert "Gauged." in done(page)
    expect(page.get_by_text("judged by what it measures after 24 h")).to_be_visible()


def count(page: Page) -> None:
    """Twelve shots: ten good ones, and the two that were told."""
    act(page, "count")
    expect(page.get_by_text("Scrapped and told since the last count: 2.")).to_be_visible()
    page.fill("#shots", "12")
    page.fill("#good", "10")
    page.fill("#scrap", "0")
    page.get_by_role("button", name="Record the count").click()
    assert "holds 10 pieces" in done(page)
    page.reload()
    keep(page, "press-running-tablet")


def test_what_may_not_be_drawn_is_said_before_anything_is_pressed(visit: Visit) -> None:
    """A carton that is none: the form says so as the field is left."""
    page = visit(PRESS, by="MT", size="tablet")
    page.get_by_text("Change something of it").click()
    page.fill("#ties", "NO-SUCH")
    page.keyboard.press("Tab")
    expect(page.locator(".ahead")).to_contain_text("no lot or place is called NO-SUCH")
    expect(page.get_by_role("button", name="Start the run")).to_be_visible()


@pytest.mark.parametrize("size", SIZES)
def test_what_is_tapped_is_large_and_what_is_read_too(size: str, visit: Visit) -> None:
    """At least 64 px high, words of 20 px: gloves, and an arm's length."""
    page = visit(PRESS, by="NF", size=size)
    low = page.evaluate(
        "[...document.querySelectorAll('main a.act, main button, main summary, main .field input')]"
        ".filter(one => one.checkVisibility() && !one.closest('.figure'))"
        f".filter(one => one.getBoundingClientRect().height < {_LEAST_PX})"
        ".map(one => one.outerHTML.slice(0, 80))"
    )
    small = page.evaluate(
        "[...document.querySelectorAll('main .acts *, main .starts dd, main .figure .value')]"
        ".filter(one => parseFloat(getComputedStyle(one).fontSize) < 20)"
        ".map(one => one.outerHTML.slice(0, 80))"
    )
    assert low == []
    assert small == []


def test_a_press_works_without_a_script(served: str, browser: Browser) -> None:
    """Links and forms: a run is started and ended."""
    context = browser.new_context(
        java_script_enabled=False, base_url=served, viewport=SIZES["tablet"]
    )
    page = context.new_page()
    page.goto(f"/in/?to={PRESS}")
    page.fill("#named", "MT")
    page.fill("#code", "invented")
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("button", name="Start the run").click()
    expect(page.locator(".notice.done")).to_contain_text("The run is open.")
    page.locator("#do-end").click()
    page.get_by_role("button", name="End the run").click()
    expect(page.locator(".notice.done")).to_contain_text("The run is ended.")
    context.close()
