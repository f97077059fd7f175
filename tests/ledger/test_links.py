"""What went from one lot into another: it comes to the masses of the trace, lot by lot."""

from collections import defaultdict

import pytest

from beadwright.ledger import lots, trace
from beadwright.ledger.trace import linked
from tests.ledger.genealogy import reach, touches
from tests.ledger.player import play
from tests.ledger.projections import rows
from tests.ledger.test_ahead import assert_same
from tests.plant.yard import Yard
from tests.strategies import seeded

pytestmark = pytest.mark.django_db

KG = 1_000_000


def by_ends(yard: Yard, code: str, way: trace.Direction) -> dict[tuple[str, str], float]:
    """Kilograms by the lots at both ends."""
    return {(one.source, one.into): one.mg / KG for one in linked(yard.no, code, way)[1]}


def test_a_silo_gives_what_its_bags_gave_it() -> None:
    """Two bags, three to one, in one silo: each is in the blocks by its part of 59.8 kg."""
    yard = Yard.open()
    for bag, kg in (("B-1", 300), ("B-2", 100)):
        yard.bag(bag)
        yard.expand(bag, "S1", kg)
    yard.carton("T-1")
    yard.mould("L1")
    yard.bundle("BU-1", "L1", 10)

    assert by_ends(yard, "L1", "back") == pytest.approx(
        {("B-1", "S1"): 44.85, ("B-2", "S1"): 14.95, ("S1", "L1"): 59.8, ("T-1", "L1"): 64.8}
    )
    assert by_ends(yard, "B-1", "forward") == pytest.approx(
        {("B-1", "S1"): 300, ("S1", "L1"): 44.85, ("L1", "BU-1"): 44.85 / 4}
    )


@pytest.mark.parametrize("seed", range(6))
def test_links_come_to_the_masses_of_the_trace(seed: int) -> None:
    """Back: what leaves a lot for ours; forward: what comes into it of ours. Whatever happened.

    What leaves a lot, comes back and leaves again goes along two links, and is one mass.
    """
    player = play("P1", seeded(seed), 40)
    no = lots.plant_number(player.plant)
    compared = 0
    holds = reach(touches(no), drained=True)

    for (code,) in rows("SELECT code FROM ledger_lot WHERE p=%s", [no]):
        for way in ("back", "forward"):
            found, links = linked(no, code, way)
            sums: dict[str, float] = defaultdict(float)
            for one in links:
                sums[one.source if way == "back" else one.into] += one.mg
            masses = {one.lot.code: one.mg for one in found.lots if one.mg}
            compared += len(masses)
            once = {c: mg for c, mg in masses.items() if c not in holds.get(c, ())}
            assert {c: sums.get(c, 0.0) for c in once} == pytest.approx(once, abs=1)
            assert all(sums[c] >= mg - 1 for c, mg in masses.items())
            assert_same(found, trace.trace(no, code, way))
    assert compared
