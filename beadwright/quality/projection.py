"""The projection of readings: written inside the record's transaction, made again by a rebuild.

Read :func:`project` first; it is what the record is handed as its projector of readings.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import lru_cache

from beadwright.errors import Fault, Refusal
from beadwright.ledger import store
from beadwright.ledger.changes import used_keys
from beadwright.ledger.draft import ReadingsDraft, Void
from beadwright.quality.keyed import measure, reading_faults

__all__ = ["COLUMNS", "clear", "project", "refused", "rows_of"]

COLUMNS = (
    "p, seq, line, lot, step, characteristic, value, unit, si, u_si,"
    " instrument, method, specimen, replicate, facts, parents, at_ms, by"
)
"""Of the table of readings, without what voids one."""
_VOID = "UPDATE quality_reading SET voided_by=%s WHERE p=%s AND seq=%s AND voided_by IS NULL"


def project(
    plant_no: int,
    plant: str,  # noqa: ARG001 - the record's projectors all have one signature
    drafts: Sequence[tuple[int, ReadingsDraft | Void]],
) -> None:
    """Keep readings, and mark those that a later draft voids.

    Raises
    ------
    Refusal
        With every reading that cannot be meant, and every void of what was never posted; the
        record's transaction takes all of it back.
    """
    rows: list[store.Row] = []
    faults: list[Fault] = []
    voids: list[tuple[int, Void]] = []
    for seq, draft in drafts:
        if isinstance(draft, Void):
            voids.append((seq, draft))
        else:
            rows += rows_of(plant_no, seq, draft, faults)
    if not faults:
        store.insert("reading", COLUMNS, rows, app="quality")
        faults += _void(plant_no, voids)
    if faults:
        raise Refusal(faults)


def refused(plant_no: int, draft: ReadingsDraft | Void) -> list[Fault]:
    """Give what :func:`project` would refuse a draft for; writes nothing."""
    if isinstance(draft, ReadingsDraft):
        return reading_faults(draft)
    return [] if _voided(plant_no, draft) is not None else [_unknown(draft)]


def clear(plant_no: int) -> None:
    """Drop a plant's readings, before a rebuild keeps them again."""
    store.run("DELETE FROM quality_reading WHERE p=%s", [plant_no])


def rows_of(plant_no: int, seq: int, draft: ReadingsDraft, faults: list[Fault]) -> list[store.Row]:
    """Rows of an entry's readings, by ``COLUMNS``; what cannot be meant is put to the faults."""
    rows: list[store.Row] = []
    if not draft.readings:
        faults += reading_faults(draft)
    for line, r in enumerate(draft.readings):
        measured, wrong = measure(r, line, draft.key)
        faults += wrong
        rows.append((
            plant_no, seq, line, r.lot, r.step, measured.characteristic, r.value, r.unit,
            measured.si, measured.u_si, r.instrument, r.method, r.specimen, r.replicate,
            _facts(tuple(sorted(r.facts.items()))), json.dumps(r.parents) if r.parents else "",
            draft.happened_at, draft.by,
        ))  # fmt: skip
    return rows


@lru_cache(maxsize=8192)
def _facts(items: tuple[tuple[str, str], ...]) -> str:
    """Conditions as JSON; the readings of a row share theirs."""
    return json.dumps(dict(items), ensure_ascii=False) if items else ""


def _void(plant_no: int, voids: Sequence[tuple[int, Void]]) -> list[Fault]:
    """Mark readings as voided; the first void of a draft is the one that is kept."""
    faults: list[Fault] = []
    for seq, draft in voids:
        target = _voided(plant_no, draft)
        if target is None or target >= seq:
            faults.append(_unknown(draft))
        else:
            store.run(_VOID, [seq, plant_no, target])
    return faults


def _voided(plant_no: int, draft: Void) -> int | None:
    """Entry of the readings that a void names, or None where there are none."""
    target = used_keys(plant_no, [draft.readings]).get(draft.readings, (0, ""))[0]
    sql = "SELECT 1 FROM quality_reading WHERE p=%s AND seq=%s LIMIT 1"
    return None if store.one(sql, [plant_no, target]) is None else target


def _unknown(draft: Void) -> Fault:
    what = f"no readings were posted as {draft.readings}"
    return Fault("unknown_readings", what, draft.readings, draft.key, "Check the key.")
