"""A wall sheet: heights that the record holds, where courses end, the wall's resistance."""

from __future__ import annotations

import json

import pytest

from beadwright.errors import Misuse
from beadwright.ledger.draft import Decision
from beadwright.plant.wall import (
    WallAsked,
    short_chance,
    wall_json,
    wall_sheet,
    wall_told,
    wall_words,
)
from beadwright.science.wall import BlockHeights, Courses, Layers, bridged_resistance, stack_up
from tests.plant.yard import FORM, Yard, ms

pytestmark = pytest.mark.django_db

NOW = ms(100)
WALL = {
    **FORM, "height": "16 in", "panel": "2.5 in", "cavity": "6 in", "tie_spacing": "8 in",
    "tie_rise": "16 in", "tie_section": "2.4 cm2",
}  # fmt: skip
HEIGHTS = {"L1": ("407.0", "407.2", "407.1"), "L2": ("406.4", "406.6", "406.5")}


@pytest.fixture
def yard() -> Yard:
    """Two lots that may ship, with heights; a third without evidence, far too high."""
    yard = Yard.open()
    yard.set("product", "FB6", WALL)
    yard.limit("D-MIN", "density", "min", "21.6 kg/m3")
    for lot, heights in HEIGHTS.items():
        yard.block_lot(lot)
        yard.weigh(lot, "24h", [3.13, 3.131, 3.129])
        yard.gauge(lot, "height", [f"{one} mm" for one in heights])
    yard.block_lot("L3")
    yard.gauge("L3", "height", ["440.0 mm", "441.0 mm"])
    yard.gauge("L1", "height", ["450 mm"], at=20.5, facts={"state": "press", "age_h": "0.2"})
    return yard


def test_courses_end_as_released_lots_say(yard: Yard) -> None:
    """Of blocks a day old of lots that may leave alone; the sheet is what the physics gives."""
    found = wall_sheet(yard.no, WallAsked("FB6", storey_m=2.4384, tolerance_m=0.004), NOW)
    by = {one.key: one for one in found.storey}
    heights = found.measured.heights

    assert heights is not None
    assert {one.lot: one.count for one in found.measured.lots} == {"L1": 3, "L2": 3}
    assert found.measured.left_out == 1
    assert heights.mean_m == pytest.approx(0.4068)
    assert heights.within_m == pytest.approx(0.0001)
    end = stack_up(heights, Courses(2.4384, 0.004, [6]))
    assert by["ends_one"].value == pytest.approx(end.deviation_m) == pytest.approx(0.0024)
    assert by["chance_one"].value == pytest.approx(end.chance)
    chances = (by["chance_one"].value, by["chance_mixed"].value)
    assert None not in chances
    assert by["chance_one"].value > by["chance_mixed"].value  # type: ignore[operator]
    assert found.taken == ("What a joint adds", "Spread of joints")
    assert [row.courses for row in found.rows] == list(range(1, 13))
    assert json.loads(json.dumps(wall_json(found)))["courses"][5]["one"]["courses"] == 6


def test_a_named_lot_speaks_for_itself(yard: Yard) -> None:
    """Its own mean, the spread that the released lots show within; nothing between lots."""
    found = wall_sheet(yard.no, WallAsked("FB6", ("l3",)), NOW)
    heights = found.measured.heights

    assert found.measured.of_one_lot
    assert isinstance(heights, BlockHeights)
    assert heights.mean_m == pytest.approx(0.4405)
    assert heights.between_m == 0.0
    assert found.measured.lots[0].why_not != ""
    assert {one.key for one in found.storey} >= {"ends_one"}
    assert "ends_mixed" not in {one.key for one in found.lines}


@pytest.mark.parametrize("lots", [("l1", "l4"), ("l1", "l2", "l4"), ("l4",)])
def test_a_named_lot_without_heights_leaves_the_wall_unknown(
    yard: Yard, lots: tuple[str, ...]
) -> None:
    """Lots that were gauged do not answer for one that was not, and it is named."""
    yard.block_lot("L4")
    found = wall_sheet(yard.no, WallAsked("FB6", lots), NOW)

    assert found.measured.heights is None
    assert found.rows == ()
    assert "L4" in found.measured.why_not
    assert {one.value for one in found.storey if one.key.startswith("chance_")} == {None}


def test_a_chance_is_told_no_better_than_it_is_known(yard: Yard) -> None:
    """Below a thousandth it says so in every list; courses are whole; what is learnt, estimated."""
    found = wall_sheet(yard.no, WallAsked("FB6", storey_m=14 * 0.4068, tolerance_m=8.0), NOW)
    # Two lots alone have a heavy tail: it takes a tolerance of metres to leave it behind.
    told = {one.key: one for one in wall_told(found, "us")}

    assert told["chance_one"].value == "below 0.1 %"
    assert told["courses"].value == "14 pcs"
    assert told["mean_off"].value == "0.016 in"
    assert {told[key].trust_sort for key in ("ends_one", "chance_one", "mean_off")} == {"estimate"}
    assert wall_words(found, "us")[-1] == (
        "This is of 14 courses; course by course is shown up to 12."
    )


@pytest.mark.parametrize(
    ("share", "words"),
    [(4.3e-4, "below 0.1 %"), (0.0234, "2.3 %"), (0.9951, "99.5 %"), (0.99999, "above 99.9 %")],
)
def test_a_chance_in_words(share: float, words: str) -> None:
    """Two figures, and no more at the ends than a tail is known."""
    assert short_chance(share) == words


def test_without_heights_nothing_is_said(yard: Yard) -> None:
    """Unknown, and what to measure: never a chance of nought."""
    yard.set("product", "FB9", {**WALL, "title": "Another"})
    found = wall_sheet(yard.no, WallAsked("FB9"), NOW)
    by = {one.key: one for one in found.storey}

    assert by["chance_one"].value is None
    assert "Mean height of a block" in by["chance_one"].lacking
    assert found.rows == ()
    assert "heights of blocks a day old" in found.measured.why_not


def test_the_wall_resists_as_its_layers_do(yard: Yard) -> None:
    """By a report of the foam where there is one; both bounds; unknown without a panel."""
    yard.set("grade", "F1", of="bead", colour="white")
    estimate = {one.key: one for one in wall_sheet(yard.no, WallAsked("FB6"), NOW).resistance}
    assert estimate["foam"].origin == "worked"
    assert estimate["foam"].low is not None
    body = {
        "laboratory": "A house", "products": ["FB6"], "characteristic": "thermal_resistance",
        "result": "4.2 °F·ft2·h/Btu", "sampled": "2026-08-01",
    }  # fmt: skip
    yard.post(Decision("report/1", ms(80), "report", "TR-1", body, by="P-13"))
    by = {one.key: one for one in wall_sheet(yard.no, WallAsked("FB6"), NOW).resistance}
    assert by["foam"].origin == "measured"
    assert by["foam"].value == pytest.approx(0.0254 / (4.2 * 0.1761102), rel=1e-5)
    value = by["foam"].value
    assert value is not None
    share = 2.4e-4 / (8 * 16 * 0.0254**2)
    layers = Layers(
        [0.0635, 0.1524, 0.0635], [[value, 1.95, value], [0.22] * 3], [1 - share, share], 0.15
    )
    bounds = bridged_resistance(layers)
    assert by["wall"].value == pytest.approx(bounds.mean)
    assert by["wall_low"].value == pytest.approx(bounds.low)
    assert (by["finishes"].value, by["finishes"].origin) == (0.0, "worst")
    yard.set("product", "FB6", {**WALL, "finishes": "0.16 m2·K/W"}, since=90)
    faced = {one.key: one for one in wall_sheet(yard.no, WallAsked("FB6"), NOW).resistance}
    assert faced["finishes"].origin == "set"
    assert faced["wall_low"].value == pytest.approx(bounds.low + 0.16)
    yard.set("product", "FB9", FORM)
    bare = {one.key: one for one in wall_sheet(yard.no, WallAsked("FB9"), NOW).resistance}
    assert bare["wall"].value is None
    assert "Panel, each side" in bare["wall"].lacking


def test_what_no_wall_is_made_of_is_refused(yard: Yard) -> None:
    """Unknown products, packaging, lots of another product, storeys of nothing."""
    yard.set("product", "PK", family="packaging")
    for asked in (WallAsked("NONE"), WallAsked("PK"), WallAsked("FB6", ("B-1",))):
        with pytest.raises(Misuse):
            wall_sheet(yard.no, asked, NOW)
    for wrong in ({"storey_m": 0.0}, {"courses": 0}, {"tolerance_m": -0.1}):
        with pytest.raises(Misuse):
            WallAsked("FB6", **wrong)
