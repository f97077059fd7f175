"""Samples put by: since when they are in conditioning, when they are ready, and for which tests."""

from __future__ import annotations

import pytest

from beadwright.ledger.account import account
from beadwright.ledger.draft import Evidence, Line, Material, NewLot, StepDraft
from beadwright.plant.conditioning import SampleLot, hours_asked, samples, samples_of
from beadwright.plant.plan import PlanRow
from beadwright.plant.release import assess
from tests.plant.planning import hours, lot, plant
from tests.plant.yard import Yard, ms


def put_by(  # noqa: PLR0913 - one of them is the yard
    yard: Yard, code: str, of: str, at: float, *, since: float | None = None, fate: str = "test"
) -> None:
    """Take two pieces of a lot as a sample."""
    facts = {"fate": fate} | ({} if since is None else {"conditioning_from": str(ms(since))})
    unit = 3_000_000
    lines = (
        Line(of, -1, 2 * unit, 2, Evidence.COUNTED),
        Line(code, 1, 2 * unit, 2, Evidence.COUNTED, place="room 1"),
    )
    new = NewLot(code, Material.BLOCK, "sample", "FB6", unit_mg=unit)
    yard.post(
        StepDraft(f"samples/{code}", "sample", ms(at), lines, new_lots=(new,), facts=facts,
                  product="FB6", by="P-13")
    )  # fmt: skip


def only(yard: Yard, at: float) -> SampleLot:
    """The one sample there is."""
    (found,) = samples(yard.no, ms(at))
    return found


@pytest.mark.django_db
def test_hours_are_counted_from_the_time_recorded_and_the_plan_says_how_many() -> None:
    """40 h of strength: not ready at 39.9 h, ready at 40."""
    yard = plant()
    lot(yard, "L1", 8)
    begun = hours(9, 12)
    put_by(yard, "SA-1", "L1", hours(9, 10), since=begun)

    before, after = only(yard, begun + 39.9), only(yard, begun + 40)

    assert (before.state, after.state) == ("conditioning", "ready")
    assert before.ready_ms == ms(begun + 40)
    assert before.hours(ms(begun + 39.9)) == pytest.approx(39.9)
    assert before.ready_for(ms(begun + 39.9)) == ()
    assert after.ready_for(ms(begun + 40)) == ("compressive_resistance",)
    assert (after.lot, after.product, after.pieces, after.place) == ("L1", "FB6", 2, "room 1")
    assert after.asked[0].source == "plan FB6-STR"


@pytest.mark.django_db
def test_a_sample_that_nobody_put_into_conditioning_is_never_ready() -> None:
    """Nor is a retained piece, which waits for nothing."""
    yard = plant()
    lot(yard, "L1", 8)
    put_by(yard, "SA-1", "L1", hours(9, 10))
    put_by(yard, "SA-2", "L1", hours(9, 10), fate="retained")
    late = ms(hours(28, 10))

    found = samples(yard.no, late)

    assert [(one.code, one.state, one.ready_ms) for one in found] == [
        ("SA-1", "not_begun", None), ("SA-2", "retained", None),
    ]  # fmt: skip


@pytest.mark.django_db
def test_a_lot_knows_its_samples_and_a_sample_knows_itself() -> None:
    """Asked by either code; another lot has none."""
    yard = plant()
    lot(yard, "L1", 8)
    lot(yard, "L2", 9)
    put_by(yard, "SA-1", "L1", hours(10, 10), since=hours(10, 10))
    now = ms(hours(10, 11))

    assert [one.code for one in samples_of(yard.no, "L1", now)] == ["SA-1"]
    assert [one.code for one in samples_of(yard.no, "SA-1", now)] == ["SA-1"]
    assert samples_of(yard.no, "L2", now) == ()


def test_the_plan_decides_and_else_the_method() -> None:
    """Hours of the plan before those of the method; what is no specimen asks for none."""
    rows = [
        PlanRow("A", "FB6", "density", "lot_test", None, conditioning_h=12),
        PlanRow("B", "FB6", "compressive_stress_10", "lot_test", None),
        PlanRow("C", "FB6", "length", "lot_test", None, conditioning_h=99),
        PlanRow("D", "FB6", "oxygen_index", "type_test", None),
    ]

    assert [(one.characteristic, one.hours) for one in hours_asked(rows)] == [
        ("density", 12.0), ("compressive_stress_10", 6.0),
    ]  # fmt: skip
    assert [(one.characteristic, one.hours) for one in hours_asked(rows[3:])] == [
        ("oxygen_index", 88.0)
    ]


@pytest.mark.django_db
def test_a_sample_stays_of_its_lot_and_is_accounted_as_sampled() -> None:
    """Its pieces are found, a hold on the lot reaches it, and asked about it the lot answers."""
    yard = plant()
    lot(yard, "L1", 8)
    put_by(yard, "SA-1", "L1", hours(9, 10), since=hours(9, 12))
    yard.hold("H-1", "L1", at=hours(10, 1))
    (one,) = assess(yard.no, ["SA-1"]).asked

    assert (one.lots, one.answer) == (("L1",), "may_not_ship")
    stands = assess(yard.no).lots[0].whereabouts.in_stock
    assert [(each.pieces, each.what, each.lot) for each in stands] == [
        ("8", "mould run", "L1"), ("2", "sample", "SA-1"),
    ]  # fmt: skip
    assert account(yard.no, "L1").sampled == 6_000_000
