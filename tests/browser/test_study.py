"""A gauge study in the real browser: pasted, worked out, seen; readable by everybody."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.browser.conftest import PICTURES, Visit
from tests.browser.test_every_page import _RULES
from tests.house.tree import ROOT

SHEET = ROOT / "docs" / "samples"


@pytest.mark.parametrize("size", ["tablet", "desk"])
@pytest.mark.parametrize(
    ("sort", "file", "said"),
    [("gauge", "heights.csv", "fit for some uses"), ("jig", "jig.csv", "not fit"),
     ("laboratories", "conductivity.csv", "look at what is marked")],
)  # fmt: skip
def test_a_sheet_is_pasted_and_its_study_seen(
    sort: str, file: str, said: str, size: str, visit: Visit
) -> None:
    """In each size: the verdict, a picture, nothing that sticks out or cannot be read."""
    page = visit("/instruments/study/", by="EI", size=size)
    page.check(f"input[value={sort}]")
    page.fill("#sheet", (SHEET / file).read_text("utf-8"))
    page.click("text=Work it out")
    page.wait_for_selector("#verdict")
    PICTURES.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=PICTURES / f"study-{sort}-{size}.png", full_page=True)

    assert said in page.inner_text("#verdict").lower()
    assert page.locator("figure svg").count() >= 1
    found = Axe().run(page, options=_RULES).response["violations"]
    assert [(one["id"], [node["html"][:160] for node in one["nodes"][:3]]) for one in found] == []
    assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0
