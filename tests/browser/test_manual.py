"""The pictures of the README and the manual, taken anew; see `docs/developing.md` for keeping them.

They are pages of the demonstration as somebody sees them who opens them: no more than the screen.
"""

from __future__ import annotations

import re

import pytest

from tests.browser.conftest import CHROMIUM, PICTURES, SIZES, Visit
from tests.house.tree import ROOT

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")

SHOWN = {
    "floor": ("/", "EI", "desk"),
    "silos": ("/silos/#places", "EI", "desk"),
    "ageing": ("/ageing/", "EI", "tablet"),
    "air": ("/air/#room-1", "EI", "tablet"),
    "wall": ("/products/FB6S/wall/?storey=8+ft#answer", "EI", "tablet"),
    "pour": (
        (
            "/products/FB6S/pour/?height=9+ft&rate=5+ft/h&factor=1.5&density=150+lb/ft3&slump=6+in"
            "&temperature=60+%C2%B0F&vibration=3+ft&binder=plain&retarder=no&unbroken=yes"
            "&placed=top#answer"
        ),
        "EI",
        "tablet",
    ),
    "pre-expander": ("/stations/pre-expander/E1/", "KR", "tablet"),
    "press": ("/stations/press/FP1/", "KR", "tablet"),
    "lot": ("/lots/L2-008/", "EI", "desk"),
    "trace": ("/lots/L2-008/trace/", "EI", "desk"),
    "release": ("/release/L1-060/", "EI", "desk"),
}
"""The page of each picture, who looks at it, and on what."""

_NAMED = re.compile(r"!\[[^\]]+\]\((?:docs/)?pictures/([a-z-]+)\.png\)")
"""A picture with the words that stand for it."""


@pytest.mark.parametrize("name", SHOWN)
def test_a_picture_of_the_manual_is_of_a_page_that_is_there(name: str, visit: Visit) -> None:
    """Taken anew beside the other pictures; the one that is kept is as large."""
    path, by, size = SHOWN[name]
    page = visit(path, by=by, size=size)
    folder = PICTURES / "manual"
    folder.mkdir(parents=True, exist_ok=True)
    taken = page.screenshot(path=folder / f"{name}.png")
    kept = (ROOT / "docs" / "pictures" / f"{name}.png").read_bytes()

    assert _size(taken) == _size(kept) == tuple(SIZES[size].values())


def test_each_picture_is_shown_with_words_and_each_shown_is_there() -> None:
    """None is kept for nothing; whoever sees none of them reads what it shows."""
    texts = [ROOT / "README.md", *(ROOT / "docs").glob("*.md")]
    named = {name for text in texts for name in _NAMED.findall(text.read_text())}

    assert named == set(SHOWN)
    assert {file.stem for file in (ROOT / "docs" / "pictures").glob("*.png")} == named


def _size(png: bytes) -> tuple[int, int]:
    """Width and height, as the head of a PNG says them."""
    return int.from_bytes(png[16:20]), int.from_bytes(png[20:24])
