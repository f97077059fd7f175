"""How long a year's sheets take to import, and how much memory."""

from __future__ import annotations

from benchmarks import Result
from benchmarks._bare import IMPORTED, Bare
from benchmarks._stores import STEPS, Store, apart, both, filled

__all__ = ["run"]


def run() -> list[Result]:
    """Import 100,000 steps with their movements and readings on each store."""
    return [result for store in both() for result in _on(store)]


def _on(store: Store) -> list[Result]:
    done = filled(store)
    floor = apart(store, _floor)
    note = f"{done.movements:,} movements, {done.readings:,} readings, {done.drafts:,} entries"
    return [
        Result(
            f"import {STEPS:,} steps, {store.name}",
            round(done.seconds, 1),
            "s",
            90,
            round(floor, 1),
            "lower",
            note,
        ),
        Result(
            f"peak memory of it, {store.name}",
            round(done.peak_mb),
            "MB",
            1000,
            better="lower",
            note="the store's own server not counted" if store.postgresql else "",
        ),
    ]


def _floor() -> float:
    bare = Bare(IMPORTED)
    seconds = bare.copy_all()
    bare.drop()
    return seconds
