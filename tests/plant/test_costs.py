"""What a good block costs, checked by sums done by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from beadwright.errors import Misuse
from beadwright.ledger.draft import Evidence, Line, Material, NewLot
from beadwright.plant.costs import costs, costs_asked, prices_told, says
from beadwright.plant.costs.rows import Row
from beadwright.plant.opening import open_plant
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


def counted(yard: Yard, lot: str = "L1", good: int = 38, scrap: int = 2, at: float = 20) -> None:
    """One hour of a press: 40 blocks of 1.5 kg of foam and six ties of 0.25 kg."""
    made = good + scrap
    each = 3 * KG
    facts = {
        "good": str(good), "scrap": str(scrap), "lot": lot, "cause": "short fill" if scrap else "",
        "started": str(ms(at - 1)), "ended": str(ms(at)),
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
