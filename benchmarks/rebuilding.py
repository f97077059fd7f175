"""How long it takes to make every projection again, and to check the chain; no target."""

from __future__ import annotations

import time

from beadwright.ledger.rebuild import broken
from beadwright.ledger.store import select
from beadwright.plant.opening import rebuild_plant
from benchmarks import Result
from benchmarks._bare import PROJECTED, Bare
from benchmarks._stores import PLANT, Store, apart, both, filled

__all__ = ["run"]


def run() -> list[Result]:
    """Rebuild and verify the store of the year on each store."""
    return [result for store in both() for result in _on(store)]


def _on(store: Store) -> list[Result]:
    filled(store)
    (made, floor), (checked, read) = apart(store, _measure)
    return [
        Result(
            f"rebuild, {store.name}", round(made, 1), "s", None, round(floor, 1), "lower",
            "floor: insert of the same rows",
        ),
        Result(
            f"verify, {store.name}", round(checked, 2), "s", None, round(read, 2), "lower",
            "floor: reading the entries",
        ),
    ]  # fmt: skip


def _measure() -> tuple[tuple[float, float], tuple[float, float]]:
    begun = time.perf_counter()
    rebuild_plant(PLANT)
    made = time.perf_counter() - begun
    bare = Bare(PROJECTED)
    floor = bare.copy_all()
    bare.drop()
    begun = time.perf_counter()
    assert broken(PLANT) == []
    checked = time.perf_counter() - begun
    begun = time.perf_counter()
    select("SELECT plant, seq, kind, schema, body, prev, hash FROM ledger_entry ORDER BY seq")
    return (made, floor), (checked, time.perf_counter() - begun)
