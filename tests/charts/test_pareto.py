"""The ranked kinds of defects: what is drawn is what was counted."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beadwright.charts.pareto import ParetoChart, draw
from beadwright.statistics.defects import pareto
from tests.charts.drawn import SVG, overlaps, read, words_of

COUNTS = {"tie missing": 31, "poor fusion at the web": 24, "dent": 9, "short shot": 4}


def test_a_bar_is_as_long_as_its_share_and_the_interval_spans_it() -> None:
    """Equal shares are equal lengths; each bar has a line over its end."""
    found = pareto(COUNTS)
    root = read(draw(ParetoChart(found, "Defects of a week")))
    bars = [float(one.get("width", "")) for one in root.iter(f"{SVG}rect")]

    assert bars[0] / bars[2] == pytest.approx(31 / 9, rel=0.01)
    assert len(bars) == 4


@settings(max_examples=25, deadline=None)
@given(
    st.dictionaries(
        st.text("abcdefghi jklmnopq", min_size=1, max_size=40), st.integers(0, 5000), min_size=2
    ).filter(lambda counts: sum(counts.values()) > 0)
)
def test_no_words_lie_on_words_or_outside(counts: dict[str, int]) -> None:
    """However long the names and large the counts."""
    drawing = draw(ParetoChart(pareto(counts), "Defects"))

    assert overlaps(drawing) == []
    assert all(one.left >= -1 and one.right <= drawing.width + 1 for one in words_of(drawing))


def test_the_words_say_what_the_picture_says() -> None:
    """Who sees no picture is told counts, shares, intervals, and what is not sure."""
    said = draw(ParetoChart(pareto(COUNTS, dict.fromkeys(COUNTS, 2.0)), "Defects", "kg")).words

    assert "poor fusion at the web may be as frequent." in said
    assert "tie missing: 31, 46 %, 62 kg; together 46 %, between 32 and 60 % of all." in said
