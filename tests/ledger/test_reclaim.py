"""The share of a lot that was moulded before: carried from step to step, and reckoned by hand.

Blocks of 1.495 kg of foam and six ties of 0.27 kg.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from django.apps import apps
from django.db import connection
from django.db.migrations import RunPython
from django.db.migrations.loader import MigrationLoader

from beadwright.ledger.draft import Line, Material, NewLot
from beadwright.ledger.lots import get
from beadwright.ledger.trace import trace
from tests.ledger.projections import rows
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

_FOAM, _TIES = 1.495, 6 * 0.27
_BLOCK = _FOAM + _TIES


def _mg(kg: float) -> int:
    return round(1e6 * kg)


def _share(yard: Yard, lot: str) -> float:
    found = get(yard.no, lot)
    assert found is not None
    return found.reclaim


@pytest.fixture
def yard() -> Yard:
    """Bag B-1 in S1, and 20 kg of regrind of blocks that were moulded of it."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.carton("T-1")
    yard.expand("B-1", "S1", 300, at=2)
    yard.block_lot("L1", good=40, at=20)
    foam, ties = 40 * _FOAM, 40 * _TIES
    yard.step(
        "strip", 30,
        [
            Line("L1", -1, _mg(40 * _BLOCK), 40), Line("TO-1", 1, _mg(ties), 240),
            Line("BIN", 1, _mg(foam)),
        ],
        NewLot("TO-1", Material.TIE, "stripped", unit_mg=_mg(0.27)),
        NewLot("BIN", Material.SCRAP, "bin"),
    )  # fmt: skip
    yard.step(
        "grind", 31, [Line("BIN", -1, _mg(foam)), Line("RG-1", 1, _mg(foam))],
        NewLot("RG-1", Material.REGRIND, "regrind"),
    )  # fmt: skip
    return yard


def _fill(yard: Yard, source: str, kg: float, at: float) -> None:
    yard.step("fill", at, [Line(source, -1, _mg(kg)), Line("S2", 1, _mg(kg))], place="S2")


def test_a_place_is_mixed_and_what_is_drawn_takes_its_share_along(yard: Yard) -> None:
    """20 kg of regrind in 100 kg of beads; then 120 kg more; then ties beside it."""
    assert [_share(yard, lot) for lot in ("S1", "L1", "BIN", "TO-1", "RG-1")] == [0, 0, 0, 0, 1]

    _fill(yard, "S1", 80, 40)
    _fill(yard, "RG-1", 20, 41)
    assert _share(yard, "S2") == 0.2
    _fill(yard, "S1", 100, 42)
    assert _share(yard, "S2") == 0.1

    drawn = 10 * _FOAM
    yard.step(
        "mould", 50,
        [
            Line("S2", -1, _mg(drawn)), Line("T-1", -1, _mg(10 * _TIES), 60),
            Line("P1", 1, _mg(10 * _BLOCK), 10),
        ],
        NewLot("P1", Material.PACKAGING, "mould run", "PK", unit_mg=_mg(_BLOCK)),
        product="PK", place="FP1",
    )  # fmt: skip
    assert _share(yard, "P1") == pytest.approx(0.1 * _FOAM / _BLOCK, abs=1e-6)
    assert _share(yard, "S2") == 0.1  # a draw leaves it as it is

    (regrind,) = (one for one in trace(yard.no, "P1", "back").lots if one.lot.code == "RG-1")
    assert regrind.share == pytest.approx(_share(yard, "P1"), abs=1e-6)


def test_foam_that_is_stripped_of_its_ties_holds_it_all(yard: Yard) -> None:
    """The ties take none of it along."""
    _fill(yard, "S1", 80, 40)
    _fill(yard, "RG-1", 20, 41)
    yard.step(
        "mould", 50,
        [
            Line("S2", -1, _mg(10 * _FOAM)), Line("T-1", -1, _mg(10 * _TIES), 60),
            Line("P1", 1, _mg(10 * _BLOCK), 10),
        ],
        NewLot("P1", Material.PACKAGING, "mould run", "PK", unit_mg=_mg(_BLOCK)),
        product="PK", place="FP1",
    )  # fmt: skip
    yard.step(
        "strip", 60,
        [
            Line("P1", -1, _mg(10 * _BLOCK), 10), Line("TO-2", 1, _mg(10 * _TIES), 60),
            Line("BIN-2", 1, _mg(10 * _FOAM)),
        ],
        NewLot("TO-2", Material.TIE, "stripped", unit_mg=_mg(0.27)),
        NewLot("BIN-2", Material.SCRAP, "bin"),
    )  # fmt: skip

    assert _share(yard, "TO-2") == 0
    assert _share(yard, "BIN-2") == pytest.approx(0.2, abs=2e-6)


def test_only_a_swept_place_is_rid_of_it(yard: Yard) -> None:
    """A weighing and a draw change no share; what comes in late does, and all that came after."""
    _fill(yard, "RG-1", 20, 41)
    yard.step("weigh", 42, [Line("S2", 0, _mg(25))], place="S2")
    assert _share(yard, "S2") == 1
    _fill(yard, "S1", 75, 43)
    assert _share(yard, "S2") == 0.25

    _fill(yard, "S1", 20, 41.5)  # entered late
    assert _share(yard, "S2") == pytest.approx(0.5 * 25 / 100, abs=1e-6)

    yard.sweep("S2", 44)
    assert _share(yard, "S2") == 0


def test_a_store_from_before_is_given_the_shares(yard: Yard) -> None:
    """The migration reckons what the fold would have kept."""
    _fill(yard, "S1", 80, 40)
    _fill(yard, "RG-1", 20, 41)
    _fill(yard, "S1", 23.4, 42)
    yard.transfer("S2", "S1", 30, 43)
    yard.sweep("S2", 44)
    asked = (
        "SELECT lot, k, tie, line, reclaim FROM ledger_touch ORDER BY 1, 2, 3, 4",
        "SELECT no, reclaim FROM ledger_lot ORDER BY no",
    )
    kept = [rows(sql) for sql in asked]
    assert sum(row[-1] > 0 for row in kept[0]) > 4
    with connection.cursor() as cursor:
        for table in ("lot", "touch"):
            cursor.execute(f"UPDATE ledger_{table} SET reclaim=0")

    migration = MigrationLoader(None).disk_migrations["ledger", "0008_reclaim"]
    fill: Any
    (fill,) = (one for one in migration.operations if isinstance(one, RunPython))
    fill.code(apps, SimpleNamespace(connection=connection))

    assert [rows(sql) for sql in asked] == kept
