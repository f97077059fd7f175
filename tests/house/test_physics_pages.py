"""The manual's pages on physics say what the code says, and each has its picture and its place."""

import re
from pathlib import Path

import pytest

from tests.charts.drawn import overlaps, words_of
from tests.house.tree import ROOT
from tools.physics import FOLDER, PICTURES, drawn, renewed, with_words

PAGES = sorted(FOLDER.glob("*.md"))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_what_calculations_print_is_not_stale(page: Path) -> None:
    """`python -m tools.physics` would change no page."""
    text = page.read_text("utf-8")

    assert "\n```text\n" in text
    assert renewed(text) == text


def test_a_stale_figure_would_be_seen() -> None:
    """A calculation is run again, with the names of those before it."""
    fold = "<details><summary>How</summary>\n\n```python\n{}\n```\n\n</details>\n"
    page = f"{fold.format('a = 2')}\n```text\n4\n```\n\n{fold.format('print(a + 1)')}"

    assert renewed(page) == page.replace("4", "3")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_no_calculation_stands_unfolded(page: Path) -> None:
    """What is not folded would not be run: `renewed` looks for folds alone."""
    text = page.read_text("utf-8")

    assert text.count("```python\n") == text.count("<details><summary>") > 0
    assert text.count("```text\n") <= text.count("```python\n")


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_is_the_one_that_the_code_draws(name: str) -> None:
    """The file beside the page is not stale, and who does not see it is told what it says."""
    drawing, file = drawn(name)
    page = (FOLDER / f"{name}.md").read_text("utf-8")

    assert (FOLDER / f"{name}.svg").read_text("utf-8") == file
    assert f"![{drawing.words}]({name}.svg)" in page
    assert with_words(page, name, drawing.words) == page


@pytest.mark.parametrize("name", PICTURES)
def test_the_words_of_a_picture_can_be_read(name: str) -> None:
    """No words lie over others, and all lie inside."""
    drawing, _ = drawn(name)

    assert not overlaps(drawing)
    for one in words_of(drawing):
        assert one.left >= -0.5, one
        assert one.right <= drawing.width + 0.5, one


def test_each_page_has_a_picture_and_stands_in_the_manual() -> None:
    """No page without a picture, no picture without a page, none left out of the contents."""
    index = (ROOT / "docs" / "index.md").read_text("utf-8")
    listed = re.findall(r"^physics/(\w+)$", index, re.MULTILINE)
    stems = [page.stem for page in PAGES]

    assert stems == sorted(PICTURES) == sorted(listed)
    assert {path.stem for path in FOLDER.glob("*.svg")} == set(PICTURES)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_a_page_says_how_far_to_trust_it_and_where_it_is_from(page: Path) -> None:
    """Trust and sources stand on every page."""
    text = page.read_text("utf-8")

    assert "\n## How far it may be trusted\n" in text
    assert "\n## Sources\n" in text
