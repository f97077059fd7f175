"""Pictures of a study: every reading is drawn, what does not belong is ringed, people are named."""

from __future__ import annotations

from beadwright.charts.gauge_study import Level, Line, Mark, Readings, draw


def spec(**more: object) -> Readings:
    """Two people on three parts."""
    marks = tuple(Mark(place, who, place + 0.1 * who) for place in range(3) for who in range(2))
    given: dict[str, object] = {
        "name": "by-part", "title": "Readings", "words": "What is shown.", "across": "part",
        "up": "Reading, mm", "places": ("P1", "P2", "P3"), "series": ("Ann", "Bo"),
        "marks": marks, **more,
    }  # fmt: skip
    return Readings(**given)  # type: ignore[arg-type]


def test_every_reading_is_drawn_and_everybody_named() -> None:
    """Discs of the one and diamonds of the other: three each, and one each to tell them by."""
    drawn = draw(spec()).svg

    assert drawn.count("<circle") == 3 + 1
    assert drawn.count("<path") == 3 + 1
    assert ">Ann<" in drawn
    assert ">Bo<" in drawn
    assert all(f">{one}<" in drawn for one in ("P1", "P2", "P3"))


def test_what_does_not_belong_is_ringed() -> None:
    """By a ring of its own, beside the mark."""
    marks = (Mark(0, 0, 1.0), Mark(1, 0, 9.0, alone=True))

    assert draw(spec(marks=marks)).svg.count("<circle") == 3


def test_names_of_lines_that_end_together_stand_apart() -> None:
    """A line's height at least."""
    lines = (Line((1.0, 2.0, 3.0), "Ann", 0), Line((1.0, 2.0, 3.001), "Bo", 1))
    drawn = draw(spec(marks=(), lines=lines, levels=(Level(0.5, "limit"),))).svg
    heights = [float(part.split('y="')[1].split('"')[0]) for part in drawn.split("<text")
               if ">Ann<" in part or ">Bo<" in part]  # fmt: skip

    assert abs(heights[0] - heights[1]) >= 13
    assert ">limit<" in drawn


def test_parts_with_long_names_leave_some_out() -> None:
    """Names never stand over each other."""
    places = tuple(f"a long name of a part {n}" for n in range(30))
    marks = tuple(Mark(n, 0, float(n)) for n in range(30))

    assert draw(spec(places=places, marks=marks)).svg.count("a long name") < 10
