"""Curves: every part lies where its figures say, and no part says anything by tone alone."""

import xml.etree.ElementTree as ET

import pytest

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label, Point, Stretch, alone, draw
from tests.charts.drawn import SVG, read, words_of


def a_picture(**more: object) -> Curves:
    """Give a small picture."""
    given: dict[str, object] = {
        "name": "one", "title": "One", "words": "What it says.",
        "x": Axis("Time, h", 0, 10), "y": Axis("Share, %", 0, 100),
        "curves": (Curve((0, 10), (0, 100), label=Label("rises", 5, 60)),),
    }  # fmt: skip
    return Curves(**{**given, **more})  # type: ignore[arg-type]


def test_it_says_its_title_its_words_and_its_axes() -> None:
    """Who sees no picture is told; who sees it reads what is along each axis."""
    root = read(draw(a_picture()))

    assert root.findtext(f"{SVG}title") == "One"
    assert root.findtext(f"{SVG}desc") == "What it says."
    assert {"Time, h", "Share, %", "rises", "10", "100"} <= {
        one.text for one in words_of(draw(a_picture()))
    }


def test_places_follow_the_scales() -> None:
    """Straight on a plain axis, by ratio on a logarithmic one; what lies beyond is held inside."""
    spec = a_picture(x=Axis("Time, h", 0.1, 1000, log=True))
    left, middle, right = (spec.at(x, 50) for x in (0.1, 10, 1000))

    assert middle[0] == pytest.approx((left[0] + right[0]) / 2)
    assert middle[1] == pytest.approx((spec.at(1, 0)[1] + spec.at(1, 100)[1]) / 2)
    assert spec.at(1e9, -5) == spec.at(1000, 0)


def test_marks_of_an_axis_lie_on_it() -> None:
    """Round figures, none outside."""
    assert Axis("", 15, 34).marks() == [15.0, 20.0, 25.0, 30.0]
    assert Axis("", 1, 30, log=True).marks() == [1, 2, 5, 10, 20]


def test_a_band_closes_about_its_curve() -> None:
    """High end there, low end back."""
    curve = Curve((0, 10), (50, 50), low=(40, 40), high=(60, 60))
    band, middle = read(draw(a_picture(curves=(curve,)))).iter(f"{SVG}path")

    assert (band.get("d") or "").endswith("Z")
    assert middle.get("fill") == "none"


def test_a_stretch_where_nothing_may_be_read_is_hatched() -> None:
    """A hatching is no tone: it is seen without colour."""
    hatched, tinted = read(
        draw(a_picture(stretches=(Stretch(0, 2, hatched=True), Stretch(4, 6))))
    ).findall(f"{SVG}rect")

    assert hatched.get("fill") == "url(#one-hatch)"
    assert not (tinted.get("fill") or "").startswith("url")


def test_what_was_measured_is_a_ring_and_a_line_may_be_upright() -> None:
    """A full disc is computed; a ring is given."""
    root = read(draw(a_picture(points=(Point(1, 1), Point(2, 2, full=False)),
                               across=(Across(5, upright=True),))))  # fmt: skip
    full, ring = root.iter(f"{SVG}circle")
    dashed = [one for one in root.iter(f"{SVG}line") if one.get("stroke-dasharray")]

    assert full.get("fill") != ring.get("fill")
    assert [one.get("x1") == one.get("x2") for one in dashed] == [True]


def test_alone_it_needs_no_page() -> None:
    """No tone of a page is left in it, and its ground lies under everything."""
    drawing = draw(a_picture())
    file = alone(drawing)
    first, *_ = ET.fromstring(file).findall(f"{SVG}rect")  # noqa: S314 - our own output

    assert "var(" not in file
    assert float(first.get("width", "0")) == drawing.width
    assert file.index("<rect") < file.index("<line")
