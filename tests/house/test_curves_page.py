"""The manual's page on curves says what the code says, and its pictures are the code's."""

import pytest

from tests.charts.drawn import overlaps, words_of
from tests.house.tree import ROOT
from tools.physics import CURVES, OF_CURVES, drawn, renewed

PAGE = CURVES.read_text("utf-8")


def test_what_calculations_print_is_not_stale() -> None:
    """`python -m tools.physics` would change nothing, and every calculation is run."""
    assert renewed(PAGE) == PAGE
    assert PAGE.count("```python\n") == PAGE.count("<details><summary>") == PAGE.count("```text\n")


@pytest.mark.parametrize("name", OF_CURVES)
def test_a_picture_is_the_one_that_the_code_draws(name: str) -> None:
    """The file is not stale, its words stand on the page, and they can be read."""
    drawing, file = drawn(name)

    assert (CURVES.parent / f"{name}.svg").read_text("utf-8") == file
    assert f"![{drawing.words}]({name}.svg)" in PAGE
    assert not overlaps(drawing)
    for one in words_of(drawing):
        assert one.left >= -0.5, one
        assert one.right <= drawing.width + 0.5, one


def test_it_stands_in_the_manual_and_carries_the_caution() -> None:
    """Who looks for it finds it; the proof load never stands without its caution."""
    assert "\ncurves\n" in (ROOT / "docs" / "index.md").read_text("utf-8")
    assert "**Screening. Stand clear, catch tray under.**" in PAGE
