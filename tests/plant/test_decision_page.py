"""The page on how it is decided, and its picture, say what the program does."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree as ET

from beadwright.plant.assessment import REASONS

_DOCS = Path(__file__).parents[2] / "docs"
_SVG = "{http://www.w3.org/2000/svg}"


def _picture() -> ET.Element:
    return ET.parse(_DOCS / "decision.svg").getroot()  # noqa: S314 - our own file


def test_every_reason_stands_on_the_page_with_its_weight_and_meaning() -> None:
    """In the order of the program, which is worst first."""
    page = (_DOCS / "decision.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `(\w+)` \| (\w+) \| (.+) \|$", page, re.MULTILINE)

    assert [(code, (weight, meaning)) for code, weight, meaning in rows] == list(REASONS.items())


def test_the_picture_can_be_heard() -> None:
    """It is one image with a title and a description, by ids that no other has."""
    root = _picture()
    ids = [one.get("id") for one in root.iter() if one.get("id")]
    named = {
        one.get("id"): one.text or "" for one in root if one.tag in {f"{_SVG}title", f"{_SVG}desc"}
    }

    assert root.get("role") == "img"
    assert root.get("aria-labelledby", "").split() == list(named)
    assert len(ids) == len(set(ids))
    assert all(len(text) > 20 for text in named.values())


def test_the_picture_says_what_it_shows_in_words_too() -> None:
    """Its text is text, and names the three answers; so does its description."""
    root = _picture()
    shown = [one.text or "" for one in root.iter(f"{_SVG}text")]
    told = (root.findtext(f"{_SVG}desc") or "").casefold()

    for answer in ("MAY NOT SHIP", "NOT ENOUGH EVIDENCE", "MAY SHIP"):
        assert answer in shown
        assert answer.casefold() in told
    assert not list(root.iter(f"{_SVG}image"))


def test_the_picture_keeps_within_its_frame() -> None:
    """Every box lies inside, and no two of one row overlap."""
    root = _picture()
    _, _, width, height = map(float, root.get("viewBox", "").split())
    boxes = [
        [float(one.get(name, "0")) for name in ("x", "y", "width", "height")]
        for one in root.iter(f"{_SVG}rect")
        if one.get("class", "").startswith("box")
    ]
    assert len(boxes) > 10
    for number, (x, y, w, h) in enumerate(boxes):
        assert 0 <= x < x + w <= width
        assert 0 <= y < y + h <= height
        for other_x, other_y, other_w, other_h in boxes[:number]:
            apart_x = x >= other_x + other_w or other_x >= x + w
            assert apart_x or y >= other_y + other_h or other_y >= y + h
