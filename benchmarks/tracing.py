"""How long a question takes: all made of a bag, where it is now, and all that is in a bundle."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial
from statistics import median

from beadwright.ledger.account import account
from beadwright.ledger.lots import plant_number
from beadwright.ledger.store import select
from beadwright.ledger.trace import Direction, trace
from benchmarks import Result
from benchmarks._stores import PLANT, WIDE_LOTS, Store, apart, both, filled

__all__ = ["codes", "run"]

_REPEATS = 9
_WIDE, _BUNDLE, _LATE_BUNDLE = "WIDE-1", "BU-900-2-1", f"WB-{WIDE_LOTS - 1}"


def run() -> list[Result]:
    """Trace both ways on each store."""
    return [result for store in both() for result in _on(store)]


def _on(store: Store) -> list[Result]:
    filled(store)
    return [
        Result(
            f"{name}, {store.name}", round(ms, 1), "ms", 100, round(floor, 1), "lower",
            f"{lots:,} lots; floor: their codes by one recursive query",
        )
        for name, ms, floor, lots in apart(store, _measure)
    ]  # fmt: skip


def _measure() -> list[tuple[str, float, float, int]]:
    found = []
    for name, code, forward in (
        ("trace forward of a bag", _WIDE, True),
        ("trace back of a bundle", _BUNDLE, False),
        ("trace back past 3,000 draws", _LATE_BUNDLE, False),
    ):
        direction: Direction = "forward" if forward else "back"
        no = plant_number(PLANT)
        lots = len(trace(no, code, direction).lots)
        ours = _median(partial(trace, no, code, direction))
        floor = _median(partial(codes, no, code, forward=forward))
        found.append((name, ours, floor, lots))
    assert found[0][3] >= 3 * WIDE_LOTS
    closing = _median(partial(account, plant_number(PLANT), _WIDE))
    return [*found, ("closing account of a bag", closing, *found[0][2:])]


def _median(ask: Callable[[], object]) -> float:
    times = []
    for _ in range(_REPEATS):
        begun = time.perf_counter()
        ask()
        times.append(time.perf_counter() - begun)
    return 1000 * median(times)


def codes(plant: int, code: str, *, forward: bool) -> list[object]:
    """Give the codes of all that a lot leads to, and nothing else, by one query: the floor."""
    near, far = (-1, 1) if forward else (1, -1)
    rows = select(
        "WITH RECURSIVE w(no) AS (SELECT no FROM ledger_lot WHERE p=%s AND code=%s"
        " UNION SELECT b.lot FROM w CROSS JOIN ledger_touch a CROSS JOIN ledger_touch b"
        " WHERE a.p=%s AND a.lot=w.no AND a.sign=%s AND b.p=a.p AND b.step=a.step AND b.sign=%s)"
        " SELECT l.code FROM w CROSS JOIN ledger_lot l WHERE l.p=%s AND l.no=w.no",
        [plant, code, plant, near, far, plant],
    )
    return [row[0] for row in rows]
