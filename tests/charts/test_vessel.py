"""How full a place is: the level where the books have it, hatched as far as they may be wrong."""

import pytest

from beadwright.charts.vessel import Vessel, draw
from tests.charts.drawn import SVG, read


def a_vessel(level: float, low: float, high: float, *, held: bool = False) -> Vessel:
    """Give a vessel with its words."""
    return Vessel("s1", "Silo S1", "S1 holds 188 kg.", level, low, high, held)


def test_the_level_lies_in_its_band() -> None:
    """The sure part ends where the hatched one begins, and the line lies between."""
    sure, maybe = read(draw(a_vessel(0.5, 0.4, 0.6))).findall(f"{SVG}rect")

    top_sure, top_maybe = float(sure.get("y", "")), float(maybe.get("y", ""))
    assert top_maybe + float(maybe.get("height", "")) == pytest.approx(top_sure)
    assert float(maybe.get("height", "")) == pytest.approx(116 * 0.2)
    assert (maybe.get("fill") or "").startswith("url(#s1-")


def test_what_may_be_empty_has_no_sure_part() -> None:
    """The hatched part then begins at the foot."""
    (maybe,) = read(draw(a_vessel(0.02, 0.0, 0.1))).findall(f"{SVG}rect")

    assert float(maybe.get("y", "")) + float(maybe.get("height", "")) == pytest.approx(118)


def test_an_empty_one_has_no_filling_and_all_stays_inside() -> None:
    """More than full is drawn as full."""
    assert read(draw(a_vessel(0, 0, 0))).findall(f"{SVG}rect") == []
    for one in read(draw(a_vessel(1.4, 1.2, 1.6))).findall(f"{SVG}rect"):
        assert float(one.get("y", "")) >= 2


def test_the_picture_says_its_words_and_a_held_one_has_a_thick_edge() -> None:
    """Nothing is told by colour alone."""
    root = read(draw(a_vessel(0.5, 0.4, 0.6, held=True)))

    assert root.findtext(f"{SVG}desc") == "S1 holds 188 kg."
    assert max(float(one.get("stroke-width", "0")) for one in root.iter(f"{SVG}path")) == 4
