"""A figure of groups day by day: names clear of each other, rings, and the same in words."""

from __future__ import annotations

from datetime import date, timedelta

from beadwright.charts.day_by_day import DayByDay, DayLine, DayPoint, draw
from tests.charts.drawn import overlaps, words_of

FIRST = date(2026, 9, 1)


def line(name: str, *values: float, whole: bool = True) -> DayLine:
    """A line of a value a day."""
    some = [DayPoint(FIRST + timedelta(days=n), value, whole) for n, value in enumerate(values)]
    return DayLine(name, tuple(some))


def test_every_line_is_named_at_its_end_clear_of_the_others() -> None:
    """Six lines that end together: six names, none over another, none beyond the picture."""
    lines = tuple(line(f"FB{n}S", 5.0, 5.1, 5.2 + n / 100) for n in range(6))
    picture = draw(DayByDay("d", "Cost", "A good block, EUR", lines, "A ring is a day."))
    names = [one for one in words_of(picture) if one.text.startswith("FB")]

    assert len(names) == 6
    assert overlaps(picture) == []
    assert all(one.top > 0 and one.bottom < picture.height for one in names)


def test_words_say_what_the_picture_says() -> None:
    """First, last, least and most of each line, then what stands beneath."""
    picture = draw(DayByDay("d", "Cost", "A good block, EUR", (line("FB6S", 5, 4, 6),), "A ring."))

    assert picture.words == (
        "A good block, EUR. FB6S: 5.00 on 2026-09-01, 6.00 on 2026-09-03, between 4.00 and 6.00."
        " A ring."
    )


def test_a_day_of_which_a_part_is_not_known_is_a_ring() -> None:
    """Filled with the ground, where a whole day is full."""
    full = draw(DayByDay("d", "Cost", "EUR", (line("FB6S", 5, 4),)))
    ring = draw(DayByDay("d", "Cost", "EUR", (line("FB6S", 5, 4, whole=False),)))

    assert 'fill="var(--chart-ground, #ffffff)"' not in full.svg
    assert ring.svg.count('fill="var(--chart-ground, #ffffff)"') == 2


def test_a_week_without_a_figure_breaks_the_line() -> None:
    """Over a weekend it goes on; a single day alone is drawn too."""
    days = [DayPoint(FIRST + timedelta(days=n), 5.0 + n) for n in (0, 3, 12)]
    picture = draw(DayByDay("d", "Cost", "EUR", (DayLine("FB6S", tuple(days)),)))
    (path,) = [one for one in picture.svg.split("<path ")[1:] if 'fill="none"' in one]

    steps = path.split('"')[1]
    assert steps.count("M") == 2
    assert steps.count("L") == 1
