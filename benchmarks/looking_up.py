"""How long it takes to find a lot as somebody types, and to tell its story."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial
from statistics import quantiles

from beadwright.ledger.store import select
from beadwright.plant.opening import Plant, open_plant
from beadwright.plant.search import search
from beadwright.plant.story import story
from benchmarks import Result
from benchmarks._stores import PLANT, Store, apart, both, filled

__all__ = ["run"]

_REPEATS = 7
_TYPED = ("L", "L-1", "L-1000-0", "1", "zzz", "yard", "SL-77", "P-01", "FB6S", "2024-03-12", "17")
"""What a person types, from the first letter on: codes, a receiver, a label, a person, a day."""

_LOTS = ("L-1000-0", "BU-900-2-1", "B-100")


def run() -> list[Result]:
    """Search and tell on each store."""
    return [result for store in both() for result in _on(store)]


def _on(store: Store) -> list[Result]:
    filled(store)
    searched, floor, told = apart(store, _measure)
    note = f"95th percentile over {len(_TYPED)} texts; floor: one pass over the codes"
    return [
        Result(f"search as typed, {store.name}", round(searched, 1), "ms", 50, round(floor, 1),
               "lower", note),
        Result(f"story of a lot, {store.name}", round(told, 1), "ms", 150, None, "lower",
               f"95th percentile over {', '.join(_LOTS)}"),
    ]  # fmt: skip


def _measure() -> tuple[float, float, float]:
    plant = open_plant(PLANT)
    assert all(search(plant, text) for text in _TYPED if text != "zzz")
    searched = _p95([partial(search, plant, text) for text in _TYPED])
    floor = _p95([partial(_codes, plant, text) for text in _TYPED])
    return searched, floor, _p95([partial(story, plant, code) for code in _LOTS])


def _p95(questions: list[Callable[[], object]]) -> float:
    times = []
    for ask in questions:
        ask()
        for _ in range(_REPEATS):
            begun = time.perf_counter()
            ask()
            times.append(time.perf_counter() - begun)
    return 1000 * quantiles(times, n=20)[-1]


def _codes(plant: Plant, text: str) -> object:
    sql = "SELECT count(*) FROM ledger_lot WHERE p=%s AND code LIKE %s"
    return select(sql, [plant.no, f"%{text}%"])
