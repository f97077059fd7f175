"""Cups drawn about the target of their place: a lane each, shape by side, the same in words."""

import re

from beadwright.charts.cups import CupMark, Cups, Lane, draw

HOT = Lane(
    "hot",
    (CupMark(0, "13:05", 23.5, "inside"), CupMark(2, "13:45", 24.6, "above")),
    23.4,
    0.6,
)
DRIED = Lane("dried", (CupMark(1, "13:20", 21.0, "below"),), 22.2, 0.6)


def drawn(*lanes: Lane) -> tuple[str, str]:
    """Picture and words."""
    found = draw(Cups("c", "Cups of E1", "g/L", 1, lanes))
    return found.svg, found.words


def test_words_say_what_the_picture_says() -> None:
    """Each place by itself: its target and band, each cup with its time."""
    svg, words = drawn(HOT, DRIED)

    assert words == (
        "2 hot cups, 1 within, 1 not within 23.4 ± 0.6 g/L: 13:05 23.5, 13:45 24.6 above."
        " 1 dried cup, 0 within, 1 not within 22.2 ± 0.6 g/L: 13:20 21.0 below."
    )
    assert words in svg


def test_the_shape_says_on_which_side_a_cup_lies() -> None:
    """A disc within, a triangle that points up or down outside: not by colour alone."""
    svg, _ = drawn(HOT, DRIED)
    ways = re.findall(r'<path d="M([\d.]+) ([\d.]+) L[\d.]+ ([\d.]+) L', svg)

    assert svg.count("<circle") == 1
    up, down = ((float(tip), float(base)) for _, tip, base in ways)
    assert up[0] < up[1]
    assert down[0] > down[1]


def test_a_cup_outside_lies_outside_the_band_that_is_drawn() -> None:
    """Above is above the upper edge; within lies between both."""
    svg, _ = drawn(HOT)
    edges = sorted(float(y) for y in re.findall(r'y1="([\d.]+)"[^>]*dasharray', svg))
    (inside,) = re.findall(r'<circle cx="[\d.]+" cy="([\d.]+)"', svg)
    ((tip, base),) = re.findall(r'd="M[\d.]+ ([\d.]+) L[\d.]+ ([\d.]+) L', svg)

    assert edges[0] < float(inside) < edges[1]
    assert (float(tip) + float(base)) / 2 < edges[0]


def test_cups_stand_in_the_order_in_which_they_were_taken() -> None:
    """Over all lanes: the dried cup between the two hot ones."""
    svg, _ = drawn(HOT, DRIED)
    (disc,) = re.findall(r'<circle cx="([\d.]+)"', svg)
    above, below = re.findall(r'd="M([\d.]+) [\d.]+ L', svg)

    assert float(disc) < float(below) < float(above)


def test_without_a_target_nothing_is_judged() -> None:
    """A ring, no band, and the words say so."""
    svg, words = drawn(Lane("hot", (CupMark(0, "13:05", 23.5, ""),)))

    assert words == "1 hot cup, no target: 13:05 23.5 g/L."
    assert "dasharray" not in svg
    assert 'fill="none"' in svg


def test_no_cups_is_said() -> None:
    """An empty picture is still one."""
    assert drawn()[1] == "No cups."


def test_a_far_cup_stays_in_its_lane() -> None:
    """The lane reaches as far as the farthest."""
    svg, _ = drawn(
        Lane("hot", (CupMark(0, "1", 99.0, "above"), CupMark(1, "2", 1.0, "below")), 23.4, 0.6)
    )
    tips = [float(y) for y in re.findall(r'd="M[\d.]+ ([\d.]+) L', svg)]

    assert all(0 < y < 140 for y in tips)


def test_one_slip_of_the_pen_hides_no_other_cup() -> None:
    """The band keeps a fifth of the lane at least; the far cup stands at its edge."""
    cups = (CupMark(0, "1", 23.5, "inside"), CupMark(1, "2", 234.0, "above"))
    svg, _ = drawn(Lane("hot", cups, 23.4, 0.6))
    edges = sorted(float(y) for y in re.findall(r'y1="([\d.]+)"[^>]*dasharray', svg))

    assert edges[1] - edges[0] > 12
