"""Stores of 0.1, 1 and 10 million movements, for what must not grow with the ledger.

Read :func:`grown`. Nobody waits for ten million movements to be posted. The first 0.1 million come
in by the door, from the sheets of :mod:`benchmarks._sheets`: the wide filling and half a year of a
plant. Then that half year is copied in the store, row by row of every table that a trace reads,
each time with other numbers, codes and keys and at an earlier time: half a century of them at ten
million movements.

Why that is fair: the rows are those that the door wrote, with as many columns and the same indexes
on them. The silos stay the same silos, so that at ten million movements each of them was filled,
drawn and swept some nine thousand times; they are swept at the end of each filling, and so what
their rows say of stock is right in each copy. A bin for scrap is another bin in each copy. The wide
filling is in the store once.

What is not copied is the record's own text (``ledger_entry``, ``ledger_posted``) and the readings:
no question asked here reads them, and they would be three times as large. So such a store cannot be
rebuilt, and is for the bench alone. Numbers are left free below the copies for what is posted then.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from django.db import connection, transaction

from beadwright.interop.importing import import_files
from beadwright.ledger.lots import plant_number
from beadwright.ledger.projection import RANKS
from beadwright.ledger.store import one, run, select
from benchmarks._sheets import Year
from benchmarks._stores import LATER_STEPS, PLANT, WIDE_LOTS, Store, apart, fresh, sheets_of

__all__ = ["FEW", "copied", "copies", "grow", "grown", "later_folder", "movements"]

FEW = 100_000
"""Movements that come in by the door."""

_STEPS = 46_200
_CYCLES_A_ROUND = 12
_ROUND_MS = 48 * 3_600_000
_FREE = 10_000_000
"""Numbers of lots and steps left free for what is posted after the copies."""

_WIDE = "code LIKE 'W_-%%' OR code LIKE 'WIDE-%%' OR code IN ('TC-W', 'S99')"
_PLACE = "what='content' AND code <> 'S99'"
_BATCH = 10


def grown(like: Store) -> Store:
    """Give a store of a kind that holds the first 0.1 million movements."""
    store = fresh(like, "grown")
    year = _year()
    apart(store, _begin, sheets_of(year, "grown"), year.cycles)
    return store


def _year() -> Year:
    year = Year()
    year.wide(WIDE_LOTS)
    year.grow(_STEPS)
    return year


def later_folder() -> Path:
    """Give the sheets of the weeks that follow."""
    later = _year().next()
    later.grow(LATER_STEPS)
    return sheets_of(later, "grown-later")


def grow(store: Store, upto: int) -> None:
    """Let a store grow to about so many movements."""
    apart(store, _grow, upto)


def copies() -> int:
    """Count the copies in the store."""
    found = one("SELECT copies FROM grown")
    return int(found[0]) if found else 0


def copied(code: str, copy: int) -> str:
    """Give the code of a lot in one of the copies; the first is what was copied."""
    return f"{code}-C{copy}" if copy else code


def movements() -> int:
    """Count the movements of the store."""
    found = one("SELECT count(*) FROM ledger_touch")
    return int(found[0]) if found else 0


def _begin(folder: Path, cycles: int) -> None:
    from django.core.management import call_command  # noqa: PLC0415 - after the set-up

    call_command("migrate", verbosity=0, interactive=False)
    report = import_files([folder])
    assert not report.refused
    assert report.nonconformities == 0
    _template(-(-cycles // _CYCLES_A_ROUND) * _ROUND_MS)


def _template(lasts_ms: int) -> None:
    """Keep apart which rows are copied, and how far apart their copies are."""
    p = plant_number(PLANT)
    wide = f"SELECT no FROM ledger_lot WHERE p={p} AND ({_WIDE})"  # noqa: S608
    for table, chosen in _CHOSEN.items():
        rows = f"SELECT * FROM ledger_{table} WHERE {chosen.format(wide)}"  # noqa: S608 - ours
        run(f"CREATE TABLE grown_{table} AS {rows}")
    places = f"SELECT no, came_mg FROM ledger_lot WHERE {_PLACE}"  # noqa: S608
    run(f"CREATE TABLE grown_place AS {places}")
    assert not select(
        f"SELECT code FROM ledger_lot WHERE {_PLACE} AND mg <> 0"  # noqa: S608
    )
    moved = one("SELECT count(*) FROM grown_touch")
    last = one("SELECT lots, seq FROM ledger_head WHERE plant=%s", [PLANT])
    assert moved
    assert last
    run(
        "CREATE TABLE grown (movements bigint, lots bigint, steps bigint, lasts_ms bigint,"
        " copies bigint)"
    )
    run("INSERT INTO grown VALUES (%s, %s, %s, %s, 0)", [*moved, *last, lasts_ms])


def _grow(upto: int) -> None:
    row = one("SELECT movements, lots, steps, lasts_ms, copies FROM grown")
    assert row
    of_one, lots, steps, lasts_ms, before = map(int, row)
    last = before + round((upto - movements()) / of_one)
    quick = connection.vendor != "postgresql"
    if quick:
        run("PRAGMA synchronous=OFF")
    for first in range(before + 1, last + 1, _BATCH):
        _copy(range(first, min(last, first + _BATCH - 1) + 1), (lots, steps, lasts_ms))
    run("UPDATE grown SET copies=%s", [last])
    run(
        "UPDATE ledger_lot SET came_mg=%s * (SELECT came_mg FROM grown_place g"
        " WHERE g.no=ledger_lot.no) WHERE no IN (SELECT no FROM grown_place)",
        [last + 1],
    )
    if quick:
        run("PRAGMA wal_checkpoint(TRUNCATE)")
        run("PRAGMA synchronous=FULL")
    else:
        run("VACUUM ANALYZE")


def _copy(numbers: Sequence[int], of: tuple[int, int, int]) -> None:
    """Copy the rows of every table some times, each time with other numbers and another time."""
    lots, steps, lasts_ms = of
    shifts = ", ".join(
        f"({_FREE + n * lots}, {_FREE + n * steps}, {-n * lasts_ms}, '{n}')" for n in numbers
    )
    with transaction.atomic():
        for table, by in _DIFFERS.items():
            names = _columns(f"ledger_{table}")
            given = ", ".join(by.get(name, f't."{name}"') for name in names)
            quoted = ", ".join(f'"{name}"' for name in names)
            run(
                f"INSERT INTO ledger_{table} ({quoted})"  # noqa: S608 - our own names
                f" WITH c(lots, steps, ms, name) AS (VALUES {shifts})"
                f" SELECT {given} FROM c CROSS JOIN grown_{table} t"
            )


_OURS = "step NOT IN (SELECT step FROM ledger_touch WHERE lot IN ({}))"
_CHOSEN: Mapping[str, str] = {
    "lot": "what <> 'content' AND no NOT IN ({})",
    "label": _OURS,
    "step": "no NOT IN (SELECT step FROM ledger_touch WHERE lot IN ({}))",
    "loss": _OURS,
    "touch": _OURS,
}
"""Of each table, which rows are copied."""

_STATE = {
    "first": 't."first" + c.ms',
    "last": 't."last" + c.ms',
    "causes": "CASE t.causes WHEN '' THEN '' ELSE"
    " replace(t.causes, '|', '-C' || c.name || '|') || '-C' || c.name END",
}
_K = f"t.k + c.ms * {RANKS}"
_DIFFERS: Mapping[str, Mapping[str, str]] = {
    "lot": {
        **_STATE, "no": "t.no + c.lots", "code": "t.code || '-C' || c.name",
        "id": "substr(t.id, 1, 32) || substr('000' || c.name, length(c.name), 4)",
        "seq": "t.seq + c.steps", "last_k": f"t.last_k + c.ms * {RANKS}",
    },
    "label": {
        "lot": "t.lot + c.lots", "step": "t.step + c.steps", "text": "t.text || '-C' || c.name"
    },
    "step": {
        "no": "t.no + c.steps", "key": "t.key || '-C' || c.name", "seq": "t.seq + c.steps",
        "k": _K, "at_ms": "t.at_ms + c.ms",
    },
    "loss": {"step": "t.step + c.steps"},
    "touch": {
        **_STATE, "step": "t.step + c.steps", "k": _K,
        "lot": "CASE WHEN t.lot IN (SELECT no FROM grown_lot) THEN t.lot + c.lots ELSE t.lot END",
    },
}  # fmt: skip
"""Of each table, what differs in a copy."""


def _columns(table: str) -> list[str]:
    with connection.cursor() as cursor:
        found = connection.introspection.get_table_description(cursor, table)
    return [column.name for column in found if column.name != "id" or table == "ledger_lot"]
