"""How long it takes to look back on an instrument found wrong: 100,000 of its readings.

The sheets of the year name no instrument; here its balance is said to have taken every reading of
the first lots, in a transaction that is rolled back. Each lot is judged as read and without the
error, by the limits and the plan of :mod:`benchmarks._asked`.
"""

from __future__ import annotations

from datetime import timedelta
from typing import NamedTuple

from django.db import connection, transaction

from beadwright.ledger.draft import Decision
from beadwright.ledger.lots import plant_number
from beadwright.ledger.store import select
from beadwright.plant.access import Role, Who
from beadwright.plant.as_found import as_found
from beadwright.plant.look_back import LookBack, look_back
from beadwright.plant.opening import door_of
from benchmarks import Result
from benchmarks._asked import asked
from benchmarks._sheets import at_ms
from benchmarks._stores import PLANT, Store, apart, both, filled
from benchmarks.assessing import Kept, best

__all__ = ["run"]

_TARGET_S = 2.0
_READINGS = 100_000
_BALANCE = "BAL-1"
_NOW = at_ms(24 * 420)
_ERROR = "+93 g"


class _Timed(NamedTuple):
    seconds: float
    floor: float
    lots: int
    worse: int


def run() -> list[Result]:
    """Look back on each store."""
    return [_on(store) for store in both()]


def _on(store: Store) -> Result:
    filled(store)
    one = apart(store, _measure)
    note = f"{one.lots:,} lots, of which {one.worse} stand worse; floor: its queries alone"
    name = f"look back on {_READINGS:,} readings, {store.name}"
    return Result(name, round(one.seconds, 2), "s", _TARGET_S, round(one.floor, 2), "lower", note)


def _measure() -> _Timed:
    no = plant_number(PLANT)
    with transaction.atomic():
        door_of(PLANT).post_many([*asked(), _calibrated()], Who("install", Role.ENGINEER))
        _taken_with_it(no)
        kept = Kept()
        with connection.execute_wrapper(kept):
            found = _ask(no)
        assert found.readings == _READINGS
        assert found.lots
        assert 0 < len(found.of("worse")) < len(found.lots)
        seconds, _ = best(lambda: _ask(no))
        floor, _ = best(kept.again)
        transaction.set_rollback(True)
    return _Timed(seconds, floor, len(found.lots), len(found.of("worse")))


def _ask(no: int) -> LookBack:
    return look_back(no, _BALANCE, _NOW, error=as_found(_ERROR))


def _calibrated() -> Decision:
    body = {"done": "2024-01-08", "result": "pass", "certificate": "C-1", "due": "2026-01-08"}
    return Decision("bench/calibrated", _NOW - timedelta(hours=1) // timedelta(milliseconds=1),
                    "calibration", _BALANCE, body)  # fmt: skip


def _taken_with_it(no: int) -> None:
    """Say of the first readings of lots that the balance took them."""
    (last,) = select(
        "SELECT seq, line FROM quality_reading WHERE p=%s AND lot LIKE 'L-%%'"
        " ORDER BY seq, line LIMIT 1 OFFSET %s",
        [no, _READINGS - 1],
    )
    with connection.cursor() as cursor:
        cursor.execute(
            "UPDATE quality_reading SET instrument=%s WHERE p=%s AND lot LIKE 'L-%%'"
            " AND (seq < %s OR (seq = %s AND line <= %s))",
            [_BALANCE, no, last[0], last[0], last[1]],
        )
