"""A panel as somebody keys it, and the specimens wanted of it."""

import pytest

from beadwright.lab.cut_map import place_departures
from beadwright.plant.cutting import SHAPES, cutting_sheet, read_cutting

INCH = 0.0254


def test_what_is_empty_is_the_usual_panel_and_nothing_is_wanted() -> None:
    """48 by 16 by 2 5/8 in with six ties, the first 4 in from the end."""
    keyed = read_cutting({}, {})
    panel = keyed.panel

    assert keyed.wrong == {}
    assert panel.length_m == pytest.approx(48 * INCH)
    assert [one.name for one in panel.ties] == ["T1", "T2", "T3", "T4", "T5", "T6"]
    assert panel.ties[1].box.x_m == pytest.approx((12 - 0.75) * INCH)
    assert cutting_sheet(keyed).cuts == ()


def test_all_wanted_lie_clear_of_ties_as_keyed() -> None:
    """In units of choice."""
    texts = {"pitch": "200", "clear": "10", "n-C": "5", "n-F": "3", "n-D": "2", "n-K": "3"}
    keyed = read_cutting(texts, {"pitch": "mm", "clear": "mm"})
    plan = cutting_sheet(keyed)

    assert len(plan.cuts) == 13
    assert plan.without_place == {}
    for cut in plan.cuts:
        assert place_departures(keyed.panel, cut, clear_m=0.010, others=plan.cuts) == ()


def test_what_finds_no_place_between_ties_is_told() -> None:
    """No board of 12 in square lies between ties 8 in apart; with two ties at the ends it does."""
    assert cutting_sheet(read_cutting({"n-T": "1"}, {})).without_place == {"T": 1}

    apart = read_cutting({"n-T": "1", "pitch": "40", "ties": "2"}, {"pitch": "in"})

    assert cutting_sheet(apart).without_place == {}


@pytest.mark.parametrize(
    ("name", "text"),
    [("length", "0"), ("height", "-3"), ("kerf", "x"), ("ties", "2.5"), ("n-C", "many"),
     ("n-C", "9999"), ("length", "99999")],
)  # fmt: skip
def test_what_cannot_be_is_told_and_the_usual_taken(name: str, text: str) -> None:
    """At its field."""
    keyed = read_cutting({name: text}, {})

    assert set(keyed.wrong) == {name}
    assert cutting_sheet(keyed).cuts == ()


def test_every_usual_specimen_is_large_enough_for_its_method() -> None:
    """25.8 cm² of compression, 100 cm³ of density; each says its source."""
    by_name = {one.name: one for one in SHAPES}

    assert by_name["C"].length_m * by_name["C"].height_m >= 25.8e-4
    assert by_name["K"].length_m * by_name["K"].height_m * by_name["K"].depth_m >= 100e-6
    assert all(one.source.endswith("]") for one in SHAPES)
