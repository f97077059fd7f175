"""A trace forward worked out in columns says what a walk over every step says."""

import dataclasses
import math

import pytest

from beadwright.ledger import account, ahead, forward, lots, trace
from beadwright.ledger.draft import Evidence, Line, Material, NewLot
from beadwright.ledger.listed import listed, reached
from beadwright.ledger.unlike import EXACT, Off
from beadwright.ledger.walk import Reads
from tests.ledger.player import play
from tests.ledger.projections import rows
from tests.plant.yard import Yard
from tests.strategies import seeded

pytestmark = pytest.mark.django_db

KG = 1_000_000


def assert_same(one: trace.Trace, other: trace.Trace) -> None:
    """Two traces say the same, in the same order; their floats to what rounding leaves."""
    assert (one.lot, one.mg, one.steps) == (other.lot, other.mg, other.steps)
    assert [x[:3] for x in one.lots] == [x[:3] for x in other.lots]
    for ours, theirs in zip(one.lots, other.lots, strict=True):
        assert ours[3:] == pytest.approx(theirs[3:], rel=1e-9, abs=1e-9)
    assert one.cut_mg == pytest.approx(other.cut_mg, abs=1e-3)


def by_step(no: int, code: str, cut_mg: float, off: Off = EXACT) -> trace.Trace:
    """A trace of which every step is walked, as it is where links are asked for."""
    lot, mass = trace.asked(no, code)
    walk = forward.forward(no, lot, forward.How(cut_mg, off), links={})
    return listed(no, reached(no, walk, mass), walk.used)


def masses(one: account.Account) -> dict[str, float]:
    """A closing account by name, in mg."""
    figures = dataclasses.asdict(one)
    return {**figures.pop("losses"), **{n: mg for n, mg in figures.items() if n != "lot"}}


@pytest.mark.parametrize("seed", range(8))
def test_columns_say_what_the_steps_say(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever happened, with something cut off and without; and so for the closing account."""
    no = lots.plant_number(play("P1", seeded(seed), 50).plant)
    settled = 0
    real = ahead.Ahead._part

    def part(self: ahead.Ahead, *args: object) -> None:
        nonlocal settled
        real(self, *args)  # type: ignore[arg-type]
        settled += len(self.settled.steps)

    monkeypatch.setattr(ahead.Ahead, "_part", part)
    for (code,) in rows("SELECT code FROM ledger_lot WHERE p=%s", [no]):
        for cut_mg, off in ((0.0, EXACT), (0.4, Off(0.03)), (5.0 * KG, EXACT)):
            ours = trace.trace(no, code, "forward", cut_mg=cut_mg, off=off)
            assert_same(ours, by_step(no, code, cut_mg, off))
        reads = Reads()
        reads.stepwise = True
        stepwise = masses(account.account(no, code, reads))
        assert masses(account.account(no, code)) == pytest.approx(stepwise, rel=1e-9, abs=1.0), code
    assert settled


@pytest.fixture
def yard() -> Yard:
    """300 kg of B-1 and 100 kg of B-2 in silo S1; L1 and L2 moulded of it with ties of T-1."""
    yard = Yard.open()
    for bag, kg in (("B-1", 300), ("B-2", 100)):
        yard.bag(bag)
        yard.expand(bag, "S1", kg, at=2)
    yard.carton("T-1")
    yard.mould("L1", at=20)
    yard.mould("L2", at=21)
    return yard


def test_a_bundle_of_two_lots_holds_both(yard: Yard) -> None:
    """10 of the 40 blocks of each lot, put into one bundle: a quarter of what is in each."""
    views = [view for code in ("L1", "L2") if (view := lots.get(yard.no, code))]
    ten = [Line(view.code, -1, 10 * view.unit_mg, 10, Evidence.COUNTED) for view in views]
    new = NewLot("BU-1", Material.BLOCK, "bundle", "FB6", unit_mg=views[0].unit_mg)
    whole = Line("BU-1", 1, sum(line.mg for line in ten), 20, Evidence.COUNTED)
    yard.step("bundle", 30, [*ten, whole], new)

    found = trace.reached(yard.no, "B-1")

    mg = dict(zip(found.code, found.came.tolist(), strict=True))
    assert mg["BU-1"] == pytest.approx((mg["L1"] + mg["L2"]) / 4)
    assert_same(trace.trace(yard.no, "B-1", "forward"), by_step(yard.no, "B-1", 0.4))


def test_where_every_step_is_walked_nothing_is_left_to_be_settled() -> None:
    """A newest carton: blocks and scrap are moulded of it, and blocks are turned down; no more."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.expand("B-1", "S1", 300, at=2)
    yard.carton("T-1")
    block = 1_495_000 + 6 * 270_000
    yard.step(
        "mould", 20,
        [
            Line("S1", -1, 40 * 1_495_000), Line("T-1", -1, 240 * 270_000, 240),
            Line("L1", 1, 38 * block, 38), Line("BIN", 1, 2 * block),
        ],
        NewLot("L1", Material.BLOCK, "mould run", "FB6", unit_mg=block),
        NewLot("BIN", Material.SCRAP, "bin"),
        product="FB6", place="FP1",
    )  # fmt: skip
    yard.step("inspect", 61, [Line("L1", -1, 3 * block, 3), Line("BIN", 1, 3 * block)])

    found = trace.reached(yard.no, "T-1")

    assert set(found.code) == {"L1", "BIN"}
    assert_same(trace.trace(yard.no, "T-1", "forward"), by_step(yard.no, "T-1", 0.4))
    assert account.account(yard.no, "T-1").unaccounted == 0


def test_nothing_by_mass_into_a_settled_lot_is_walked_step_by_step(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where a lot turns out not to be so simple, every step is walked, and the answer stands."""
    expected = trace.trace(yard.no, "B-1", "forward")

    def knot(*_: object) -> None:
        raise ahead.Knot

    monkeypatch.setattr(ahead.Ahead, "_part", knot)
    assert_same(trace.trace(yard.no, "B-1", "forward"), expected)
    assert not forward.forward(yard.no, expected.lot, forward.How(0.0)).settled.lots


@pytest.mark.parametrize("seed", range(4))
def test_what_came_into_a_lot_is_the_sum_of_what_came_in(seed: int) -> None:
    """Kept with each lot, through late entries, corrections and reversals."""
    no = lots.plant_number(play("P1", seeded(seed), 60).plant)

    kept = rows("SELECT no, came_mg FROM ledger_lot WHERE p=%s", [no])

    sql = "SELECT lot, sum(moved_mg) FROM ledger_touch WHERE p=%s AND sign > 0 GROUP BY lot"
    came = {lot: int(mg) for lot, mg in rows(sql, [no])}
    assert {lot: mg for lot, mg in kept if mg} == {lot: mg for lot, mg in came.items() if mg}
    assert math.fsum(came.values())
