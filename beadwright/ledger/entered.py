"""Entries read back from the record: whole, by number, by client key, or by the lot they name.

Read :class:`Entered` first.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.errors import RecordBroken
from beadwright.ledger import lots, store
from beadwright.ledger.body import decode
from beadwright.ledger.changes import used_keys
from beadwright.ledger.checks import codes_of
from beadwright.ledger.draft import Decision, Draft
from beadwright.ledger.indexes import RESTATED

__all__ = ["Entered", "Mark", "by_number", "marks", "naming", "of_kinds", "seqs_of"]

_COLUMNS = "seq, kind, schema, body, prev, hash"
_BY_KIND = f"SELECT {_COLUMNS} FROM ledger_entry WHERE plant=%s AND kind IN"


@dataclass(frozen=True, slots=True)
class Entered:
    """One entry as it stands in the record, and what it says."""

    seq: int
    kind: str
    schema: int
    body: str
    """The canonical bytes that its hash covers."""
    prev: str
    hash: str
    account: str
    """Who keyed it."""
    recorded_at: int
    """When it was recorded, in UTC milliseconds."""
    draft: Draft


@dataclass(frozen=True, slots=True)
class Mark:
    """Who keyed an entry, and when it was recorded, without what it says."""

    account: str
    recorded_at: int
    """In UTC milliseconds."""


def marks(plant: str, seqs: Iterable[int]) -> dict[int, Mark]:
    """Give the marks of the entries of those numbers; what the record does not hold is left out.

    An assessment asks for thousands: only both ends of the body are read.
    """
    found: dict[int, Mark] = {}
    for batch in store.parts(sorted(set(seqs))):
        signs = ",".join(["%s"] * len(batch))
        sql = (
            f"SELECT seq, substr(body, 1, {_ACCOUNT}), substr(body, length(body) - {_TAIL - 1})"
            f" FROM ledger_entry WHERE plant=%s AND seq IN ({signs})"
        )
        for seq, begin, end in store.select(sql, [plant, *batch]):
            account, recorded = _KEYED.match(begin), _RECORDED.search(end)
            if account is None or recorded is None:
                raise RecordBroken(seq, "cannot be read (who keyed it, or when)")
            found[seq] = Mark(json.loads(account[1]), int(recorded[1]))
    return found


_ACCOUNT, _TAIL = 400, 40
"""Characters in which an account at the body's beginning, and the time at its end, are written."""

_KEYED = re.compile(r'\{"account":("(?:[^"\\]|\\.)*")')
_RECORDED = re.compile(r'"recorded_at":([0-9]+)\}$')


def by_number(plant: str, seqs: Iterable[int]) -> dict[int, Entered]:
    """Give the entries of those numbers; what the record does not hold is left out."""
    found: dict[int, Entered] = {}
    for batch in store.parts(sorted(set(seqs))):
        marks = ",".join(["%s"] * len(batch))
        sql = f"SELECT {_COLUMNS} FROM ledger_entry WHERE plant=%s AND seq IN ({marks})"
        found.update({row[0]: _entered(row) for row in store.select(sql, [plant, *batch])})
    return found


def seqs_of(plant_no: int, keys: Iterable[str]) -> dict[str, int]:
    """Give the entry that each client key was posted with."""
    return {key: used[0] for key, used in used_keys(plant_no, keys).items()}


def of_kinds(plant: str, *kinds: str) -> list[Entered]:
    """Give every entry of some kinds, in the order of the record."""
    marks = ",".join(["%s"] * len(kinds))
    sql = f"{_BY_KIND} ({marks}) ORDER BY seq + 0"  # by the index on kinds, and then in order
    return [_entered(row) for row in store.select(sql, [plant, *kinds])]


def naming(plant: str, code: str, also: Iterable[int] = ()) -> list[Entered]:
    """Give every entry that says something of a lot by its code, in the order of the record.

    Steps are found by what the projections keep of them. What a correction has taken out of a step
    stands in no projection: so both versions of every step that was restated are looked at too.
    ``also`` are entries of readings of the lot, which the ledger does not keep.
    """
    no = lots.plant_number(plant)
    sql = (
        "SELECT s.no, s.seq FROM ledger_lot l JOIN ledger_touch t ON t.p=l.p AND t.lot=l.no"
        " JOIN ledger_step s ON s.p=t.p AND s.no=t.step WHERE l.p=%s AND l.code=%s"
        " UNION SELECT l.seq, b.step FROM ledger_lot l LEFT JOIN ledger_label b ON b.p=l.p"
        " AND b.lot=l.no WHERE l.p=%s AND l.code=%s"
    )
    rows = store.select(sql, [no, code, no, code])
    seqs = {seq for row in rows for seq in row if seq}.union(also)
    sql = f"SELECT no FROM ledger_step WHERE p=%s AND {RESTATED}"
    seqs |= {row[0] for row in store.select(sql, [no])}
    read = {one.seq: one for one in _decided(plant, f'%"{code}"%')}
    read |= by_number(plant, seqs - read.keys())
    return [one for _, one in sorted(read.items()) if _names(one.draft, code)]


def _decided(plant: str, like: str) -> list[Entered]:
    """Give the entries that are no steps and no readings, which are few, where they say a text."""
    marks = ",".join(["%s"] * len(_DECIDED))
    sql = f"{_BY_KIND} ({marks}) AND body LIKE %s"
    return [_entered(row) for row in store.select(sql, [plant, *_DECIDED, like])]


_DECIDED = (
    "correct", "reverse", "void", "setting", "hold", "lift", "release", "concession", "decision",
)  # fmt: skip


def _names(draft: Draft, code: str) -> bool:
    if isinstance(draft, Decision):
        return draft.about == code or _within(draft.body, code)
    return code in codes_of(draft)


def _within(value: object, code: str) -> bool:
    if isinstance(value, dict):
        return any(_within(inner, code) for inner in value.values())
    if isinstance(value, list | tuple):
        return any(_within(inner, code) for inner in value)
    return value == code


def _entered(row: store.Row) -> Entered:
    seq, kind, schema, text, prev, own = row
    try:
        body = json.loads(text)
        draft = decode(kind, body["draft"])
        return Entered(
            seq, kind, schema, text, prev, own, body["account"], body["recorded_at"], draft
        )
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise RecordBroken(seq, f"cannot be read ({error})") from error
