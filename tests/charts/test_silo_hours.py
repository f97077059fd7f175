"""Silos on one axis drawn: signed solid, estimate with its band apart from it, now, and unknown."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from beadwright.charts.silo_hours import SiloHours, SiloRow, Tick, draw
from tests.charts.drawn import overlaps, words_of

KNOWN = SiloRow(
    "S1", "14 to 19 h old", -19, -14, (-6, 77), (-13, -12, -10), (6, 60, 300), "",
    "S1: signed Fri 02:00 to Mon 13:00; by estimate fit from then to then.",
)  # fmt: skip
UNKNOWN = SiloRow(
    "S2", "2 h old", -2, -2, None, None, None, "unknown without: width of the silo",
    "S2: no hours signed; estimate unknown without width of the silo.",
)  # fmt: skip
SPEC = SiloHours(
    "h", "Silos", "now, Fri 08:10", (KNOWN, UNKNOWN), -24, 96,
    (Tick(-8, "Fri 26"), Tick(4, ""), Tick(16, "Sat 27"), Tick(88, "Tue 30")),
)  # fmt: skip
RECT = re.compile(r'<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)" ([^>]*)/>')


def near(x: float) -> Any:
    """A coordinate as it is written, to a hundredth."""
    return pytest.approx(x, abs=0.02)


def bars(svg: str, look: str) -> list[tuple[float, float]]:
    """Left and right of the bars below the legend that look so."""
    return [
        (float(x), float(x) + float(width))
        for x, y, width, _, more in RECT.findall(svg)
        if float(y) > 60 and look in more
    ]


def test_words_say_what_the_picture_says() -> None:
    """Now, then each row."""
    assert draw(SPEC).words == f"Now, Fri 08:10. {KNOWN.words} {UNKNOWN.words}"
    assert draw(replace(SPEC, rows=())).words == "No silo holds beads."


def test_signed_hours_are_solid_and_the_estimate_is_not() -> None:
    """Solid from and until what is signed; hatched as far as the band reaches, plain between."""
    svg = draw(SPEC).svg
    signed = bars(svg, 'fill="var(--chart-ink')
    hatched, plain = bars(svg, "url(#h-hatch)"), bars(svg, "fill-opacity")

    assert signed == [(near(SPEC.x(-6)), near(SPEC.x(77)))]
    assert [near(one) for pair in hatched for one in pair] == [
        SPEC.x(-13), SPEC.x(-10), SPEC.x(6), SPEC.x(96)
    ]  # fmt: skip
    assert plain == [(near(SPEC.x(-10)), near(SPEC.x(6)))]


def test_where_the_bands_overlap_nothing_is_plain() -> None:
    """Then no hour is fit at both ends of the bands."""
    wide = replace(KNOWN, opens=(-13, -12, 20))
    svg = draw(replace(SPEC, rows=(wide,))).svg

    assert bars(svg, "fill-opacity") == []
    assert bars(svg, "url(#h-hatch)") == [(near(SPEC.x(-13)), near(SPEC.x(96)))]


def test_what_is_not_known_is_dashed_and_says_what_is_missing() -> None:
    """Never an empty row, which could be taken for beads that never close."""
    said = [one.text for one in words_of(draw(SPEC))]
    svg = draw(replace(SPEC, rows=(UNKNOWN,))).svg

    assert "unknown without: width of the silo" in said
    assert "no hours signed" in said
    assert 'stroke-dasharray="5 4"' in svg
    assert bars(svg, "url(#h-hatch)") == []


def test_signed_hours_that_are_long_over_are_said() -> None:
    """Not drawn as a sliver at the edge."""
    over = replace(KNOWN, signed=(-90, -30))
    said = [one.text for one in words_of(draw(replace(SPEC, rows=(over,))))]

    assert "signed hours are over" in said


@pytest.mark.parametrize("count", [0, 1, 2, 12])
def test_no_text_lies_over_another_and_none_sticks_out(count: int) -> None:
    """However many silos there are."""
    rows = tuple(
        replace((KNOWN, UNKNOWN)[n % 2], place=f"SILO-NORTH-{n}", held=n % 3 == 0)
        for n in range(count)
    )
    found = draw(replace(SPEC, rows=rows))

    assert overlaps(found) == []
    assert all(one.left >= 0 and one.right <= found.width for one in words_of(found))
    assert all(one.bottom <= found.height for one in words_of(found))


@pytest.mark.parametrize("now", [-24.0, 0.0, 96.0])
def test_now_is_a_line_across_all_rows(now: float) -> None:
    """With its time above it, within the picture wherever it lies."""
    spec = replace(SPEC, from_h=-24 - now, until_h=96 - now)
    found = draw(spec)
    line = re.search(r'x1="([\d.]+)" y1="([\d.]+)" x2="\1" y2="([\d.]+)"[^>]*chart-bad', found.svg)
    (said,) = (one for one in words_of(found) if one.text == "now, Fri 08:10")

    assert line
    assert float(line[1]) == pytest.approx(spec.x(0), abs=0.01)
    assert float(line[3]) - float(line[2]) > 2 * 60
    assert said.left >= 0
    assert said.right <= found.width
