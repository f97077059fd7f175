"""A room's hours drawn: bands, lines of the limits, and hours that are not known."""

from __future__ import annotations

import re

from beadwright.charts.room_hours import Across, HourBand, RoomHours, draw
from tests.charts.drawn import overlaps, words_of

LINES = (
    Across(10.0, "10 % of 1.1 vol %, the stated share", taken=True),
    Across(13.6, "10 % of 1.5 vol %", taken=False),
    Across(100.0, "lower explosive limit 1.1 vol %", taken=True, always=False),
    Across(136.4, "lower explosive limit 1.5 vol %", taken=False, always=False),
)


def spec(*shares: tuple[float, float, float] | None, why: str = "") -> RoomHours:
    """A room of some hours, the first two past; each gives off 0.5 kg/h more than the one before.

    The band of what is given off is half and twice its value.
    """
    hours = tuple(
        HourBand(f"Fri {8 + n:02}:00", (0.25 * n, 0.5 * n, 1.0 * n), one)
        for n, one in enumerate(shares)
    )
    return RoomHours("r", "Pentane in R", hours, 2, "kg/h", (2, 2), LINES, why)


KNOWN = spec((0.5, 1, 2), (1, 2, 4), (2, 4, 8), (1, 3, 6))
GAP = spec((0.5, 1, 2), (1, 2, 4), (2, 4, 8), None, why="whether the fan runs")


def test_words_say_what_the_picture_says() -> None:
    """Now, the most of both sides of now with its hour, and the lines."""
    assert draw(KNOWN).words == (
        "Given off: now 1.00 kg/h (0.50 to 2.00); in the hours past at most 0.50 kg/h (0.25 to"
        " 1.00) from Fri 09:00; in the hours to come at most 1.50 kg/h (0.75 to 3.00) from Fri"
        " 11:00. Share of the lower explosive limit: now 4.00 % (2.00 to 8.00); in the hours past"
        " at most 2.00 % (1.00 to 4.00) from Fri 09:00; in the hours to come at most 4.00 % (2.00"
        " to 8.00) from Fri 10:00. Lines: 10 % of 1.1 vol %, the stated share at 10 %; 10 % of 1.5"
        " vol % at 13.6 %."
    )


def test_hours_that_are_not_known_are_hatched_and_said() -> None:
    """With what they lack; a panel without any is hatched whole and never empty."""
    svg, words = draw(GAP).svg, draw(GAP).words
    nothing = draw(spec(None, None, None, why="air flow"))

    assert svg.count("url(#r-hatch)") == 1
    assert "to come at most 4.00 % (2.00 to 8.00) from Fri 10:00, 1 of 2 unknown" in words
    assert "Unknown for want of: whether the fan runs." in words
    assert "now unknown; in the hours past unknown; in the hours to come unknown" in nothing.words
    assert "unknown" in [one.text for one in words_of(nothing)]
    assert "url(#r-hatch)" not in draw(KNOWN).svg


def test_both_published_limits_are_lines_at_their_height() -> None:
    """The one that is taken solid, the other dashed; the limits themselves where they fit."""
    found = draw(KNOWN)
    lines = re.findall(r'y1="([\d.]+)"[^>]*stroke-width="2"( stroke-dasharray="6 4")?', found.svg)
    high = draw(spec((0.5, 1, 2), (40, 80, 150), (60, 100, 160)))

    assert [bool(dashed) for _, dashed in lines] == [True, False]
    assert float(lines[0][0]) < float(lines[1][0])
    said = {one.text for one in words_of(found)}
    assert {LINES[0].words, LINES[1].words} <= said
    assert LINES[2].words not in said
    assert {one.words for one in LINES} <= {one.text for one in words_of(high)}


def test_a_band_that_is_above_the_line_is_drawn_above_it() -> None:
    """The outline's highest point against the line of the stated share."""
    for most, above in ((8.0, False), (12.0, True)):
        found = draw(spec((0.5, 1, 2), (1, 2, most)))
        stated = next(
            float(y)
            for y, dashed in re.findall(
                r'y1="([\d.]+)"[^>]*stroke-width="2"( stroke-dasharray="6 4")?', found.svg
            )
            if not dashed
        )
        outline = re.findall(r'd="(M[^"]+Z)"', found.svg)[-1]
        top = min(float(y) for _, y in re.findall(r"([\d.]+) ([\d.]+)", outline))
        assert (top < stated) == above


def test_no_words_lie_over_others() -> None:
    """Of two days with a gap too."""
    long = spec(*[(1.0, 2.0, 3.0)] * 40, *[None] * 8)
    for one in (KNOWN, GAP, long):
        assert overlaps(draw(one)) == []
