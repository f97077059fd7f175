"""How long it takes to say which lots may ship: by the lots asked about, whatever else is stored.

The plant asks density of each lot, strength every week, conductivity by type test, sizes within a
window, and lists its balance. All of it is set up in a transaction that is rolled back. The same
lots are asked about in the year, and in a store with a tenth of its steps.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, NamedTuple

from django.db import connection, transaction

from beadwright.ledger.draft import Hold
from beadwright.ledger.lots import plant_number
from beadwright.ledger.store import select
from beadwright.plant.access import Role, Who
from beadwright.plant.assessment import Answer
from beadwright.plant.opening import door_of
from beadwright.plant.release import assess
from benchmarks import Result
from benchmarks._asked import asked
from benchmarks._sheets import at_ms
from benchmarks._stores import PLANT, Store, apart, both, filled, small

__all__ = ["Kept", "best", "run"]

_TARGET_S = 2.0
_LOTS = (1, 250, 500, 1000)
_IN_BOTH = 750
"""Lots that the small store holds too."""

_REPEATS = 5
_NOW = at_ms(24 * 420)


class _Timed(NamedTuple):
    lots: int
    seconds: float
    cpu: float
    """Of this process; a PostgreSQL's own is not in it."""
    floor: float


def run() -> list[Result]:
    """Assess lots on each store, and the same lots in a store with a tenth of the steps."""
    return [result for store in both() for result in _on(store)]


def _on(store: Store) -> list[Result]:
    filled(store)
    *found, in_large = apart(store, _measure, (*_LOTS, _IN_BOTH))
    (in_small,) = apart(small(store), _measure, (_IN_BOTH,))
    results = [_result(f"assess {_lots(one)}, {store.name}", one) for one in found]
    held = apart(store, _measure_held, max(_LOTS))
    results.append(_result(f"assess {_lots(held)} on hold, {store.name}", held))
    results.append(
        Result(
            f"assess {_IN_BOTH} lots, 100,000 steps for 10,000, {store.name}",
            round(in_large.cpu / in_small.cpu, 2), "times the CPU", 1.5, None, "lower",
            f"{in_large.cpu:.2f} s for {in_small.cpu:.2f} s",
        )
    )  # fmt: skip
    return results


def _lots(one: _Timed) -> str:
    return "1 lot" if one.lots == 1 else f"{one.lots:,} lots"


def _result(name: str, one: _Timed) -> Result:
    target = _TARGET_S if one.lots == max(_LOTS) else None
    note = f"CPU {one.cpu:.2f} s; best of {_REPEATS}; floor: its queries alone"
    return Result(name, round(one.seconds, 3), "s", target, round(one.floor, 3), "lower", note)


def _measure(counts: Sequence[int]) -> list[_Timed]:
    no = plant_number(PLANT)
    with _set_up():
        return [_timed(no, [_code(n) for n in range(count)]) for count in counts]


def _measure_held(count: int) -> _Timed:
    """Assess lots whose bags, one for four of them, are all on hold: each is told by which way."""
    no = plant_number(PLANT)
    with _set_up():
        bags = tuple(f"B-{number}" for number in range(count // 4))
        hold = Hold("bench/hold", _NOW, "H-BENCH", "smell", bags)
        door_of(PLANT).post(hold, Who("install", Role.ENGINEER))
        return _timed(no, [_code(n) for n in range(count)], "may_not_ship")


def _code(number: int) -> str:
    return f"L-{number // 4}-{number % 4}"


def _timed(no: int, codes: list[str], most: Answer = "may_ship") -> _Timed:
    kept = Kept()
    with connection.execute_wrapper(kept):
        found = assess(no, codes, at_ms=_NOW)
    assert len(found.lots) == len(codes)
    # Masses and sizes scatter about what is asked, so that a few lots miss it.
    assert found.count(most) > 0.9 * len(codes)
    assert all(len(lot.tests) == 2 for lot in found.lots)
    seconds, cpu = best(lambda: assess(no, codes, at_ms=_NOW))
    floor, _ = best(kept.again)
    return _Timed(len(codes), seconds, cpu, floor)


def best(ask: Callable[[], object]) -> tuple[float, float]:
    """Best seconds, and best CPU seconds, of a few."""
    wall, cpu = [], []
    for _ in range(_REPEATS):
        begun = time.perf_counter(), time.process_time()
        ask()
        wall.append(time.perf_counter() - begun[0])
        cpu.append(time.process_time() - begun[1])
    return min(wall), min(cpu)


class Kept:
    """Keeps each query as it is asked, to ask it again with nothing around it."""

    def __init__(self) -> None:
        self._asked: list[tuple[str, Sequence[Any]]] = []

    def __call__(self, execute: Callable[..., Any], sql: str, params: Any, *rest: Any) -> Any:
        """Keep one, and ask it."""
        self._asked.append((sql, params or ()))
        return execute(sql, params, *rest)

    def again(self) -> None:
        """Ask them all, and take every row."""
        for sql, params in self._asked:
            select(sql, params)


# -- what the plant asks -------------------------------------------------------------------------


@contextmanager
def _set_up() -> Iterator[None]:
    """Set up limits, plan, reports and a balance, and leave nothing of it behind."""
    with transaction.atomic():
        door_of(PLANT).post_many([*asked()], Who("install", Role.ENGINEER))
        yield
        transaction.set_rollback(True)
