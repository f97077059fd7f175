"""A piece that is read several times is one piece, whatever is asked of so many."""

from __future__ import annotations

import math
import statistics

import pytest

from beadwright.ledger.draft import Reading
from beadwright.plant.release import assess
from tests.plant.asking import block, the_limit
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


def read(yard: Yard, *pieces: str, mm: float = 1200.0) -> None:
    """Gauge blocks a day old, each by an entry of its own."""
    facts = {"state": "24h", "age_h": "26"}
    for piece in pieces:
        yard.read([Reading("length", f"{mm}", "mm", lot="L1", specimen=piece, facts=facts)], at=62)


def test_one_block_gauged_three_times_is_one_of_three() -> None:
    """The lot waits for two more; readings that name no piece are each one of their own."""
    yard = Yard.open()
    yard.limit("LEN", "length", "max", "1222 mm", statistic="each", specimens=3)
    yard.block_lot("L1")
    read(yard, "B7", "B7", "B7")
    found = the_limit(yard)
    assert (found.n, found.finding) == (1, "not_enough_evidence")
    assert found.missing == "1 of 3 pieces were measured; 2 more are needed"
    read(yard, "B8", "")
    found = the_limit(yard)
    assert (found.n, found.finding) == (3, "met")
    read(yard, "B7", mm=1223.0)  # the worst of a piece's readings is held against the limit
    assert the_limit(yard).finding == "not_met"


def test_of_blocks_weighed_twice_as_many_are_asked_as_of_others() -> None:
    """Two of three by the driest state, though five weighings stand."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3", specimens=3)
    yard.block_lot("L1")
    for at in (60, 61):
        yard.weigh("L1", "24h", [block(23.0), block(23.1)], at=at)
    yard.weigh("L1", "dry", [block(23.0)], at=200)
    assert the_limit(yard).finding == "not_enough_evidence"
    yard.weigh("L1", "24h", [block(23.0)], at=62, first=3)
    found = the_limit(yard)
    assert (found.n, found.state, found.finding) == (3, "24h", "met")


def test_the_spread_of_a_mean_averages_out_over_pieces() -> None:
    """By the standard library: of four readings of two pieces, s over the root of two."""
    yard = Yard.open()
    yard.limit("LEN", "length", "min", "1190 mm", statistic="mean", specimens=2)
    yard.block_lot("L1")
    values = (1199.0, 1201.0, 1200.5, 1200.9)
    facts = {"state": "24h", "age_h": "26"}
    for number, mm in enumerate(values):
        piece = f"B{number % 2}"
        one = Reading("length", f"{mm}", "mm", uncertainty="0.1", lot="L1", specimen=piece,
                      facts=facts)  # fmt: skip
        yard.read([one], at=62)
    found = the_limit(yard)
    assert found.n == 2
    assert found.value_si == pytest.approx(statistics.mean(values) / 1000)
    u = math.hypot(statistics.stdev(values) / math.sqrt(2), 0.1) / 1000
    assert found.u_si == pytest.approx(u, rel=1e-9)


def test_a_planned_test_without_a_limit_asks_for_pieces_too() -> None:
    """Three words about one block are one of three."""
    yard = Yard.open()
    yard.set("plan", "FIT", product="FB6", characteristic="interlock_fit", evidence="lot_test",
             every="run", specimens=3)  # fmt: skip
    yard.block_lot("L1")
    for _ in range(3):
        yard.read([Reading("interlock_fit", "pass", "", lot="L1", specimen="B7")], at=62)
    (lot,) = assess(yard.no, ["L1"]).lots
    assert [(test.state, test.proof and test.proof.specimens) for test in lot.tests] == [
        ("missing", 1)
    ]
