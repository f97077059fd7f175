"""Where courses end: what stands on the scale, and words that do not overlap."""

from __future__ import annotations

from dataclasses import replace

import pytest

from beadwright.charts.curves import draw
from beadwright.charts.wall import CourseEnds, MixEnds, picture
from tests.charts.drawn import overlaps

COURSES = range(1, 13)
MIXES = (
    MixEnds(
        "all courses of one lot", tuple(0.4 * n for n in COURSES), tuple(0.5 * n for n in COURSES)
    ),
    MixEnds(
        "each course of another lot",
        tuple(0.4 * n for n in COURSES),
        tuple(0.5 * n**0.5 for n in COURSES),
    ),
)
SEEN = CourseEnds("FB6", "mm", 6.35, MIXES, 6, "Six courses end 2.4 mm too high.")


@pytest.mark.parametrize("asked", [1, 6, 12])
def test_no_words_overlap(asked: int) -> None:
    """At either end and between."""
    assert not overlaps(draw(picture(replace(SEEN, asked=asked))))


@pytest.mark.parametrize("tolerance", [0.5, 6.35, 40.0])
def test_tolerance_and_bands_stand_on_the_scale(tolerance: float) -> None:
    """Both sides of the tolerance, and the widest band."""
    seen = picture(replace(SEEN, tolerance=tolerance))
    assert seen.y.low < -tolerance
    assert seen.y.high > max(tolerance, 0.9 * 12)
    assert SEEN.said in seen.words


def test_courses_beyond_the_scale_are_not_drawn_at_its_edge() -> None:
    """Twenty courses stand nowhere on a scale of twelve; six do."""
    assert [one.value for one in picture(SEEN).across if one.upright] == [6.0]
    assert not [one for one in picture(replace(SEEN, asked=20)).across if one.upright]
