"""What a good block costs, checked by sums done by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from beadwright.errors import Misuse
from beadwright.ledger.draft import Evidence, Line, Material, NewLot
from beadwright.plant.costs import (
    costs,
    costs_asked,
    costs_json,
    mix_told,
    prices_told,
    says,
    total_of,
)
from beadwright.plant.costs.rows import Row
from beadwright.plant.opening import open_plant
from beadwright.reports.cost_picture import picture
from tests.plant.yard import FORM, Yard, ms

pytestmark = pytest.mark.django_db

KG = 1_000_000
FIRST, LAST = date(2026, 1, 1), date(2026, 12, 31)


@pytest.fixture
def yard() -> Yard:
    """Beads at 2, ties at 1.5 a kilogram, the press at 60 an hour."""
    yard = Yard.open()
    yard.set("product", "FB6", {**FORM, "foam_mass": "1.5 kg", "foam_volume": "66 L"}, since=1)
    yard.set("grade", "F1", of="bead", price_per_kg="2")
    yard.set("grade", "T6", of="tie", price_per_kg="1.5")
    yard.set("place", "FP1", kind="press", cost_per_h="60")
    yard.bag("B-1")
    yard.carton("T-1", unit_kg=0.25)
    yard.expand("B-1", "S1")
    return yard


def counted(
    yard: Yard, lot: str = "L1", good: int = 38, scrap: int = 2, at: float = 20, **more: str
) -> None:
    """One hour of a press: 40 blocks of 1.5 kg of foam and six ties of 0.25 kg."""
    made = good + scrap
    each = 3 * KG
    facts = {
        "good": str(good), "scrap": str(scrap), "lot": lot, "cause": "short fill" if scrap else "",
        "started": str(ms(at - 1)), "ended": str(ms(at)), **more,
    }  # fmt: skip
    bin_ = f"W-{lot}"
    lines = [
        Line("S1", -1, made * 3 * KG // 2, 0, Evidence.BACKFLUSHED),
        Line("T-1", -1, made * 6 * KG // 4, made * 6, Evidence.COUNTED),
        Line(lot, 1, good * each, good, Evidence.COUNTED),
        *([Line(bin_, 1, scrap * each)] if scrap else []),
    ]
    new = [NewLot(lot, Material.BLOCK, "mould run", "FB6", unit_mg=each)]
    if scrap:
        new.append(NewLot(bin_, Material.SCRAP, "bin"))
    yard.step("mould", at, lines, *new, product="FB6", place="FP1", facts=facts)


def moulded(yard: Yard, product: str, count: tuple[int, int], part: float, at: float) -> None:
    """Good and scrapped blocks that hold a part of FB6's foam and ties, and of its press time."""
    (good, scrap), lot = count, f"L{product}{at:g}"
    made, each = good + scrap, round(3 * KG * part)
    facts = {
        "good": str(good), "scrap": str(scrap), "lot": lot, "cause": "short fill" if scrap else "",
        "started": str(ms(at)), "ended": str(ms(at) + round(made * part * 90_000)),
    }  # fmt: skip
    lines = [
        Line("S1", -1, made * each // 2, 0, Evidence.BACKFLUSHED),
        Line("T-1", -1, made * each // 2, 2 * made * each // KG, Evidence.COUNTED),
        Line(lot, 1, good * each, good, Evidence.COUNTED),
        *([Line(f"W-{lot}", 1, scrap * each)] if scrap else []),
    ]
    new = [NewLot(lot, Material.BLOCK, "mould run", product, unit_mg=each)]
    new += [NewLot(f"W-{lot}", Material.SCRAP, "bin")] if scrap else []
    yard.step("mould", at, lines, *new, product=product, place="FP1", facts=facts)


def row(by: str = "product") -> Row:
    """The only row of all that was made."""
    (found,) = costs(open_plant("P1"), FIRST, LAST, by).rows  # type: ignore[arg-type]
    return found


def test_each_part_is_what_the_sums_say(yard: Yard) -> None:
    """38 good of 40: beads 3.00, ties 2.25, scrap 2 x 5.25 over 38, press 60 over 38."""
    counted(yard)
    found = row()
    money = {part.name: part.per_block for part in found.parts}

    assert (found.good, found.scrap, found.share_scrap) == (38, 2, 0.05)
    assert money["beads, as set up"] == pytest.approx(3.0)
    assert money["ties"] == pytest.approx(2.25)
    assert money["lost in scrap"] == pytest.approx(2 * 5.25 / 38)
    assert money["press"] == pytest.approx(60 / 38)
    assert money["overweight"] is None
    assert found.total is None
    ((cause, blocks, lost),) = found.scrap_by_cause
    assert (cause, blocks) == ("short fill", 2)
    assert lost == pytest.approx(2 * 5.25 / 38)
    assert found.per_cent == pytest.approx(0.03)
    assert found.point == pytest.approx((3.0 + 2.25 + 60 / 38) / 100 / 0.95)
    said = says(open_plant("P1"), costs(open_plant("P1"), FIRST, LAST, "product"))
    assert any("One point of scrap is all three" in one for one in said)


def test_foam_is_priced_as_the_raw_beads_that_it_took(yard: Yard) -> None:
    """By hand: 1.5 kg of dry foam took 1.5/0.94 kg of beads that held 6 % of pentane."""
    counted(yard)
    plain = says(open_plant("P1"), costs(open_plant("P1"), FIRST, LAST, "product"))
    assert any("[grade.F1] pentane is not set" in one for one in plain)
    yard.set("grade", "F1", of="bead", price_per_kg="2", pentane="6 %", since=1)
    found = row()
    money = {part.name: part.per_block for part in found.parts}

    assert money["beads, as set up"] == pytest.approx(3.0 / 0.94)
    assert money["ties"] == pytest.approx(2.25)
    assert money["lost in scrap"] == pytest.approx(2 * (3.0 / 0.94 + 2.25) / 38)
    assert found.per_cent == pytest.approx(0.03 / 0.94)
    said = says(open_plant("P1"), costs(open_plant("P1"), FIRST, LAST, "product"))
    assert any("the pentane that left them (F1 6 % of the raw bead)" in one for one in said)


def test_overweight_is_what_weighed_blocks_hold_beyond_the_set_up(yard: Yard) -> None:
    """Blocks of 3.03 kg dry, six ties of 0.25: 0.03 kg too much, 0.06 a block; all is known."""
    counted(yard)
    yard.weigh("L1", "dry", [3.03, 3.03, 3.03])
    found = row()
    money = {part.name: part.per_block for part in found.parts}

    assert money["overweight"] == pytest.approx(0.06)
    assert found.total == pytest.approx(3.0 + 0.06 + 2.25 + 2 * 5.25 / 38 + 60 / 38)


@pytest.mark.parametrize(
    ("by", "name"),
    [("press", "FP1"), ("grade", "F1"), ("day", "2026-01-01"), ("product", "FB6"),
     ("bead bag", "B-1"), ("shift", "not said")],
)  # fmt: skip
def test_costs_are_told_apart_as_asked(yard: Yard, by: str, name: str) -> None:
    """By the plant's calendar, the press, the beads' grade."""
    counted(yard)
    found = row(by)
    assert found.good == 38
    assert found.name == name or by == "day"


def test_a_run_says_its_shift_and_costs_say_where_it_is_missing(yard: Yard) -> None:
    """What nobody said stands apart, with the field that says it."""
    counted(yard, shift="late")
    assert row("shift").name == "late"

    counted(yard, "L2", at=22)
    found = costs(open_plant("P1"), FIRST, LAST, "shift")
    assert {one.name for one in found.rows} == {"late", "not said"}
    assert any("shift of mould_runs" in one for one in says(open_plant("P1"), found))

    yard.set("shift", "early", {"from": "06:00"}, since=1)
    yard.set("shift", "night", {"from": "20:30"}, since=1)
    found = costs(open_plant("P1"), FIRST, LAST, "shift")
    assert {one.name for one in found.rows} == {"late", "night"}
    assert not any("shift" in one for one in says(open_plant("P1"), found))


def test_a_price_that_is_not_set_is_asked_for_and_nothing_is_guessed(yard: Yard) -> None:
    """Without the press's hour the sum is unknown, and which setting is missing is named."""
    yard.set("place", "FP1", kind="press", since=2)
    counted(yard, scrap=0, good=40)
    found = costs(open_plant("P1"), FIRST, LAST, "product")

    assert found.lacks == ("[place.FP1] cost_per_h",)
    why = {part.name: part.why for part in found.rows[0].parts}
    assert why["press"] == "[place.FP1] cost_per_h is not set"
    assert why["overweight"] == "no lot of it was weighed a day old or dry"
    assert why["ties"] == ""
    assert found.rows[0].total is None
    assert found.rows[0].scrap_by_cause == ()


@pytest.mark.parametrize(
    ("since", "until", "by"),
    [("2026-13-01", "", "product"), ("2026-02-01", "2026-01-01", "product"),
     ("2020-01-01", "2026-01-01", "day"), ("", "", "shoe size")],
)  # fmt: skip
def test_what_cannot_be_meant_is_refused(yard: Yard, since: str, until: str, by: str) -> None:
    """No day, a span turned round or too long, no such way."""
    counted(yard)
    with pytest.raises(Misuse):
        costs_asked(open_plant("P1"), since, until, by)


def test_days_are_told_one_by_one(yard: Yard) -> None:
    """40 good blocks on one day, 38 good of 40 three days later: the weighed day alone is whole."""
    counted(yard, scrap=0, good=40)
    counted(yard, "L2", at=92)
    yard.weigh("L2", "dry", [3.03, 3.03, 3.03], at=140)
    found = costs(open_plant("P1"), FIRST, LAST, "product")
    first, second = found.days["FB6"]

    assert (second.day - first.day).days == 3
    assert (first.good, first.whole, second.good, second.whole) == (40, False, 38, True)
    assert first.per_block == pytest.approx(3.0 + 2.25 + 60 / 40)
    assert second.per_block == pytest.approx(3.0 + 0.06 + 2.25 + 2 * 5.25 / 38 + 60 / 38)
    assert list(costs(open_plant("P1"), FIRST, LAST, "day").days) == ["all blocks"]


def test_the_band_is_what_masses_may_be_off(yard: Yard) -> None:
    """Masses to 1 %: twice that of all foam, in good blocks and in scrap; unset, there is none."""
    counted(yard)
    yard.weigh("L1", "dry", [3.03, 3.03, 3.03])
    assert row().band is None

    yard.set("tolerance", "mould", u="1 %", since=1)
    assert row().band == pytest.approx(0.02 * (3.0 + 0.06 + 2 * 3.0 / 38))


def test_prices_say_where_they_come_from_and_money_its_name(yard: Yard) -> None:
    """Each with its setting and day; a plant that names no currency is told how to."""
    counted(yard)
    plant = open_plant("P1")
    found = costs(plant, FIRST, LAST, "product")

    said = {one.of: (one.value, one.setting) for one in found.prices}
    assert said["raw beads F1, a kg"] == (2.0, "[grade.F1] price_per_kg")
    assert said["press FP1, an hour"] == (60.0, "[place.FP1] cost_per_h")
    assert "nothing names it" in says(plant, found)[0]
    assert says(replace(plant, currency="EUR"), found)[0] == "Per good block, in EUR."
    assert prices_told(replace(plant, currency="EUR"), found)[-1][1] == "1.5 EUR"


def test_a_day_without_a_weighed_lot_tells_the_rest(yard: Yard) -> None:
    """The sum without overweight, the same in the table, in JSON and in the picture."""
    counted(yard, scrap=0, good=40)
    plant = open_plant("P1")
    found = costs(plant, FIRST, LAST, "day")
    (one,) = found.rows
    ((day,),) = found.days.values()

    assert one.total is None
    assert one.known == day.per_block == pytest.approx(3.0 + 2.25 + 60 / 40)
    assert total_of(one) == ("6.750", "without overweight")
    assert costs_json(plant, found)["rows"][0]["known"] == one.known
    spec = picture(plant, found)
    assert spec is not None
    assert [point.value for line in spec.lines for point in line.points] == [one.known]
    assert mix_told(found) == ""  # one day, one product


def test_the_mix_of_products_is_told_apart(yard: Yard) -> None:
    """One day 30 of FB6 and 10 of a product half as dear, then 10 and 30: no cost of its own.

    FB6 costs 5.25 and the press a minute and a half, 1.50; the other half of both, 3.375. So a
    block cost 5.90625, then 4.21875; all of it is mix, and at the same mix both cost 5.0625.
    """
    yard.set("product", "FB3", {**FORM, "foam_mass": "0.75 kg"}, since=1)
    for at, many in ((20, (30, 10)), (44, (10, 30))):
        for product, good, half in (("FB6", many[0], 1.0), ("FB3", many[1], 0.5)):
            moulded(yard, product, (good, 0), half, at)
    found = costs(open_plant("P1"), FIRST, LAST, "day")
    first, last = found.rows

    assert first.known == pytest.approx(5.90625)
    assert last.known == pytest.approx(4.21875)
    assert first.mix == pytest.approx(0.84375)
    assert last.mix == pytest.approx(-0.84375)
    assert first.same_mix == pytest.approx(5.0625)
    assert last.same_mix == pytest.approx(5.0625)
    assert "the mix of products makes -1.688 of it, all else +0.000." in mix_told(found)
    assert all(one.mix is None for one in costs(open_plant("P1"), FIRST, LAST, "product").rows)


def test_what_changes_beside_the_mix_is_left(yard: Yard) -> None:
    """The dearer product is scrapped on the second day: that much is no mix."""
    yard.set("product", "FB3", {**FORM, "foam_mass": "0.75 kg"}, since=1)
    for product, half, at, good, scrap in (
        ("FB6", 1.0, 20, 20, 0), ("FB3", 0.5, 20, 20, 0),
        ("FB6", 1.0, 44, 10, 10), ("FB3", 0.5, 44, 30, 0),
    ):  # fmt: skip
        moulded(yard, product, (good, scrap), half, at)
    first, last = costs(open_plant("P1"), FIRST, LAST, "day").rows
    products = costs(open_plant("P1"), FIRST, LAST, "product").rows
    cost = {one.name: one.known or 0.0 for one in products}

    # By hand: shares of FB6 are 1/2 and 1/4, of all 3/8.
    assert first.mix == pytest.approx((1 / 2 - 3 / 8) * (cost["FB6"] - cost["FB3"]))
    assert last.mix == pytest.approx((1 / 4 - 3 / 8) * (cost["FB6"] - cost["FB3"]))
    every = (30 * cost["FB6"] + 50 * cost["FB3"]) / 80
    same = [one.same_mix or 0.0 for one in (first, last)]
    assert last.same_mix is not None
    assert same[1] > every > same[0]
    assert (first.known or 0) * 40 + (last.known or 0) * 40 == pytest.approx(every * 80)
