"""A control chart as a picture: every signal numbered and named, the same in words."""

import re
from xml.etree import ElementTree as ET

import numpy as np

from beadwright.charts import svg
from beadwright.charts.control import Control, draw
from beadwright.charts.control_marks import DIAMOND, SMALL
from beadwright.statistics.charts import (
    LIMITS,
    WESTERN_ELECTRIC,
    Baseline,
    Chart,
    LeftOut,
    Process,
    individuals,
    rates,
)
from tests.charts.drawn import overlaps, words_of

KNOWN = Process(10.0, 1.0, "given", 50, 49.0)
DAYS = tuple(f"{day} Oct" for day in range(1, 31))


def drawn(chart: Chart, labels: tuple[str, ...] = ()) -> tuple[str, str]:
    """Picture and words."""
    found = draw(Control("c", "Foam density", "kg/m³", chart, 1, labels))
    ET.fromstring(found.svg)  # noqa: S314 - our own
    return found.svg, found.words


def test_words_say_what_the_picture_says() -> None:
    """Kind, phase, limits, then each signal with its rule and its points."""
    svg, words = drawn(individuals([10.0, 10.5, 14.0, 9.5], KNOWN), DAYS)

    assert words == (
        "Control chart (individuals) of 4 points, limits kept from before: centre 10.0, limits 7.0"
        " to 13.0 kg/m³. 1. Limits at 3 Oct: one point beyond the control limits, above."
        " In the moving range: signals at 4 Oct."
    )
    assert "1. Limits at 3 Oct: one point beyond the control limits, above." in svg


def test_every_signal_has_its_number_on_the_picture() -> None:
    """The number beneath stands at the point that completes the signal too, in bold."""
    values = [10.0] * 3 + [12.2, 10.0, 12.3, 10.0] + [13.5, 9.8]
    svg, words = drawn(individuals(values, KNOWN, WESTERN_ELECTRIC))
    bold = re.findall(r'font-weight="bold"[^>]*>([\d, ]+)<', svg)
    named = re.findall(r"(\d+)\. Western", words)

    assert sorted(", ".join(bold).split(", ")) == sorted(named)
    assert len(named) >= 2


def test_a_point_left_out_is_crossed_and_its_cause_is_said() -> None:
    """It is no signal, and its cause stands beneath."""
    chart = individuals([10, 11, 10, 30, 11, 10], Baseline((LeftOut(3, "a tie was missing"),)))
    svg, words = drawn(chart)

    assert "× 4 is left out of the limits: a tie was missing" in words
    assert "No signal by: Beyond the limits." in words
    assert svg.count('stroke-dasharray="3 2"') == 1


def test_a_point_far_off_does_not_squeeze_the_rest() -> None:
    """It is a hollow diamond at the edge; limits stay apart."""
    svg, _ = drawn(individuals([10.0, 9.0, 11.0, 500.0, 10.0], KNOWN, LIMITS))
    heights = [float(y) for y in re.findall(r'y="([\d.]+)"[^>]*>(?:U|L)CL', svg)]

    assert heights[1] - heights[0] > 50
    assert 'fill="var(--chart-ground, #ffffff)" stroke="var(--chart-bad' in svg


def test_limits_of_each_point_are_a_stair() -> None:
    """Where sizes differ the line steps half way between points, and the words say so."""
    svg, words = drawn(rates([40, 90, 44, 95], [4.0, 9.0, 4.0, 9.0], Baseline(by="sigma")))

    assert len(re.findall(r"H[\d.]+V[\d.]+", svg)) >= 3
    assert "at the last point" in words


def test_a_thousand_points_are_drawn() -> None:
    """Lines alone, with marks only where there is a signal."""
    values = np.random.default_rng(2).normal(10, 1, 1000)
    svg, words = drawn(individuals(values, KNOWN))
    signals = len(individuals(values, KNOWN).signals)

    assert svg.count("<circle") == 0
    assert words.count("Limits at") == min(signals, 10)


def test_a_missing_point_parts_the_line() -> None:
    """The first moving range does not exist: its line begins at the second point."""
    svg, _ = drawn(individuals([10.0, 11.0, 10.0], KNOWN))

    assert "nan" not in svg


def test_no_defect_at_all_is_drawn() -> None:
    """Limits, centre line and points lie on one line, at 0."""
    _, words = drawn(rates([0, 0, 0], 1.0))

    assert "centre 0.0, limits 0.0 to 0.0" in words
    assert "No signal" in words


def test_bead_lots_are_named_above_where_they_begin() -> None:
    """A broken line and a name each, clear of each other; one without room is named beneath."""
    chart = individuals([10.0, 10.5, 9.5, 10.2, 9.9] * 12, KNOWN)
    begins = ((0, "DU2437-F2"), (2, "PE2474-F1"), (4, "DU2511-F2"), (30, "DU2548-F2"))
    spec = Control("c", "Foam density", "kg/m³", chart, 1, (), begins)
    picture = draw(spec)
    above = {one.text for one in words_of(picture) if one.top < 40}

    assert {"DU2437-F2", "PE2474-F1", "DU2548-F2"} <= above
    assert "DU2511-F2" not in above
    assert "DU2511-F2 at 5" in picture.words
    assert overlaps(picture) == []
    assert picture.svg.count('stroke-dasharray="2 4"') == 2 * len(begins)  # the range beneath too


def test_numbers_of_signals_lie_over_no_diamond() -> None:
    """Signals side by side, above and below: each number stands clear of every diamond."""
    values = [10.0, 10.1, 13.4, 13.6, 13.5, 9.9, 6.5, 6.4, 6.2, 10.0, 13.3, 6.6, 10.0]
    picture = draw(Control("c", "Foam density", "kg/m³", individuals(values, KNOWN), 1))
    marks = [
        (float(x), float(y) + DIAMOND)
        for x, y in re.findall(r'd="M([\d.]+) ([\d.]+)l7 7l-7 7l-7 -7z"', picture.svg)
    ]
    bold = re.findall(r'<text x="([\d.]+)" y="([\d.]+)"[^>]*font-weight="bold"', picture.svg)
    half, above, below = svg.width_of("1", SMALL) / 2, 0.8 * SMALL, 0.22 * SMALL

    assert len(bold) == len([value for value in values if abs(value - 10) > 3])
    for at in bold:
        left, base = float(at[0]) - half, float(at[1])
        for x, y in marks:
            apart = max(left - x, x - left - 2 * half, base - above - y, y - base - below)
            assert apart >= DIAMOND / 2, at
