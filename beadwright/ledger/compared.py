"""Projections held against the record: whether they still say what their rebuild would say.

The chain guards the entries; questions are answered from the projections. Whoever writes to those
behind the door's back changes answers and no entry, so a verification makes them anew, compares,
and takes the attempt back.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator

from django.apps import apps
from django.db import connection, models, transaction

from beadwright.ledger import heads, store
from beadwright.ledger.rebuild import rebuild
from beadwright.ledger.rules import Rules

__all__ = ["differing"]

_FETCH = 5000
_BITS = 256


def differing(plant: str, rules: Rules, clear_readings: Callable[[int], None]) -> tuple[str, ...]:
    """Names of the tables of a plant that a rebuild would change; nothing is changed.

    Whoever posts waits meanwhile: it takes about as long as a rebuild.
    """
    row = store.one("SELECT no FROM ledger_plant WHERE code=%s", [plant])
    if row is None:
        return ()
    with transaction.atomic():
        heads.lock(plant)
        as_found = _fingerprints(row[0])
        rebuild(plant, rules, clear_readings)
        made_anew = _fingerprints(row[0])
        transaction.set_rollback(True)
    heads.forget()
    return tuple(sorted(name for name in as_found if as_found[name] != made_anew[name]))


def _fingerprints(no: int) -> dict[str, str]:
    """For each projection its rows as one number, whatever their order."""
    found = {name: _fingerprint(sql, no) for name, sql in _tables()}
    sql = "SELECT seq, hash, lots, rules FROM ledger_head WHERE no=%s"
    return {**found, "head": _fingerprint(sql, no)}


def _tables() -> Iterator[tuple[str, str]]:
    """Every table that carries a plant's number is a projection, of whichever app."""
    for model in apps.get_models():
        meta = model._meta  # noqa: SLF001 - the documented way to a table's columns
        fields = {field.column: field for field in meta.concrete_fields}
        if "p" in fields:
            own = [str(n) for n, one in fields.items() if not isinstance(one, models.AutoField)]
            table = meta.db_table
            yield table.partition("_")[2], f"SELECT {', '.join(own)} FROM {table} WHERE p=%s"


def _fingerprint(sql: str, no: int) -> str:
    total = count = 0
    with connection.cursor() as cursor:
        cursor.execute(sql, [no])
        while rows := cursor.fetchmany(_FETCH):
            count += len(rows)
            for row in rows:
                total += int.from_bytes(hashlib.sha256(repr(tuple(row)).encode()).digest())
    return f"{count}:{total % (1 << _BITS):x}"
