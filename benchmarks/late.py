"""How long a late entry takes that changes what 10,000 lots are made of, and one that does not."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from statistics import median

from django.db import transaction

from beadwright.ledger.draft import Correction, Line, Material, NewLot, StepDraft
from beadwright.ledger.store import one, select, update
from beadwright.plant.access import Role, Who
from beadwright.plant.door import Door
from beadwright.plant.opening import door_of
from benchmarks import Result
from benchmarks._sheets import WIDE_HOURS, WIDE_SILO, at_ms
from benchmarks._stores import PLANT, WIDE_LOTS, Store, apart, both, filled

__all__ = ["run"]

_KG = 1_000_000
_REPEATS = 3
_HOUR = WIDE_HOURS[0] + 0.5


def run() -> list[Result]:
    """Post late, and correct, on each store."""
    return [result for store in both() for result in _on(store)]


def _on(store: Store) -> list[Result]:
    filled(store)
    times, floor = apart(store, _measure)
    target = 3.0 if store.postgresql else 1.0
    lots = f"{3 * WIDE_LOTS:,} lots change"
    rows = "floor: update of the same rows"
    return [
        Result(
            f"{name}, {store.name}", round(median(found), 3), "s", target, round(below, 3), "lower",
            note,
        )
        for name, found, below, note in (
            ("late post of a wrong grade", times.wrong, floor, f"{lots}; {rows}"),
            ("correction of it", times.corrected, floor, f"{lots}; {rows}"),
            ("late post of a right grade", times.right, floor / 6, "only the silo's stock changes"),
            ("late post before a sweep", times.swept, 0.0, "nothing follows it"),
        )
    ]  # fmt: skip


@dataclass
class _Times:
    wrong: list[float] = field(default_factory=list)
    corrected: list[float] = field(default_factory=list)
    right: list[float] = field(default_factory=list)
    swept: list[float] = field(default_factory=list)


def _measure() -> tuple[_Times, float]:
    door, who = door_of(PLANT), Who("install", Role.ENGINEER)
    _receive(door, who)
    times = _Times()
    held = _held()
    for i in range(_REPEATS):
        wrong = _filling(f"late/wrong/{i}", "PK-LATE", WIDE_SILO, _HOUR)
        times.wrong.append(_timed(door.post, wrong, who))
        assert _held() >= held + 3 * WIDE_LOTS
        lines = (replace(wrong.lines[0], lot="F1-LATE"), wrong.lines[1])
        right = replace(wrong, lines=lines)
        noticed = at_ms(24 * 30)
        correction = Correction(f"late/correct/{i}", wrong.key, right, "wrong bag", noticed)
        times.corrected.append(_timed(door.post, correction, who))
        assert _held() == held
        more = _filling(f"late/right/{i}", "F1-LATE", WIDE_SILO, _HOUR)
        times.right.append(_timed(door.post, more, who))
        swept = _filling(f"late/swept/{i}", "F1-LATE", "S01", 5)
        times.swept.append(_timed(door.post, swept, who))
    return times, _floor()


def _receive(door: Door, who: Who) -> None:
    for bag, grade in (("PK-LATE", "PK1"), ("F1-LATE", "F1")):
        new = NewLot(bag, Material.BEAD, "bag", grades=(grade,))
        line = Line(bag, 1, 1000 * _KG, keyed="1000 kg")
        door.post(StepDraft(f"late/{bag}", "receipt", at_ms(0), (line,), new_lots=(new,)), who)


def _filling(key: str, bag: str, silo: str, hour: float) -> StepDraft:
    lines = (Line(bag, -1, 10 * _KG, keyed="10 kg"), Line(silo, 1, 10 * _KG, keyed="10 kg"))
    return StepDraft(key, "expand", at_ms(hour), lines)


def _timed(post: Callable[..., object], draft: object, who: Who) -> float:
    begun = time.perf_counter()
    post(draft, who)
    return time.perf_counter() - begun


def _held() -> int:
    """Lots that are on hold because of the wrong grade."""
    row = one("SELECT count(*) FROM ledger_lot WHERE causes LIKE '%%wrong_grade%%PK-LATE%%'")
    return int(row[0]) if row else 0


def _floor() -> float:
    """Seconds to update the rows that such an entry changes, with the values they have."""
    key = "p, lot, k, tie, line"
    touches = select(
        f"SELECT mg, in_mg, grades, causes, t.{key.replace(', ', ', t.')} FROM ledger_touch t"  # noqa: S608
        " WHERE t.step IN (SELECT step FROM ledger_touch t JOIN ledger_lot l ON l.p=t.p"
        " AND l.no=t.lot AND (l.code=%s OR l.code LIKE 'W%%-%%') AND t.sign < 0)"
        " AND t.lot NOT IN (SELECT no FROM ledger_lot WHERE kind='tie')",
        [WIDE_SILO],
    )
    lots = select("SELECT mg, grades, causes, p, no FROM ledger_lot WHERE code LIKE 'W%%-%%'")
    begun = time.perf_counter()
    with transaction.atomic():
        update("touch", "mg, in_mg, grades, causes", key, touches)
        update("lot", "mg, grades, causes", "p, no", lots)
    return time.perf_counter() - begun
