"""Restating and undoing steps that are in the record, and finding what was posted under a key."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from beadwright.errors import Fault, Refusal
from beadwright.ledger import store
from beadwright.ledger.draft import Correction, Draft, Reversal, StepDraft
from beadwright.ledger.fold import FoldStep, Found
from beadwright.ledger.projection import Rows, fold_step, new_lot, place_of
from beadwright.ledger.refold import Refold

__all__ = [
    "introduced_by",
    "other_content",
    "restate",
    "restatement_faults",
    "steps_since",
    "used_keys",
]


def used_keys(plant: int, keys: Iterable[str]) -> dict[str, tuple[int, str]]:
    """Entry and digest of each client key that was posted before."""
    found: dict[str, tuple[int, str]] = {}
    for batch in store.parts(keys):
        marks = ",".join(["%s"] * len(batch))
        sql = f"SELECT key, seq, digest FROM ledger_posted WHERE p=%s AND key IN ({marks})"
        found.update({row[0]: (row[1], row[2]) for row in store.select(sql, [plant, *batch])})
    return found


def other_content(draft: Draft, used: Mapping[str, tuple[int, str]], own: str) -> list[Fault]:
    """Fault of a draft whose client key was used with another content than its own."""
    seq, before = used[draft.key]
    if before == own:
        return []
    what = f"{draft.key} was posted before with other content"
    remedy = "Correct the step, or use a new key."
    return [Fault("key_reused", what, draft.key, f"entry {seq}", remedy)]


def introduced_by(plant: str, no: int, code: str) -> str:
    """Client key of the step that brought a lot into the record, itself or in a correction."""
    sql = (
        "SELECT e.kind, e.body FROM ledger_lot l JOIN ledger_entry e ON e.plant=%s AND e.seq=l.seq"
        " WHERE l.p=%s AND l.code=%s"
    )
    row = store.one(sql, [plant, no, code])
    if row is None:
        return ""
    return str(json.loads(row[1])["draft"]["step" if row[0] == "correct" else "key"])


def steps_since(plant: int, since: Mapping[str, int], but: set[int]) -> dict[int, FoldStep]:
    """Stored steps from a time on, by kind; the empty kind is every kind."""
    numbers: set[int] = set()
    for kind, at_ms in since.items():
        sql = "SELECT no FROM ledger_step WHERE p=%s AND at_ms >= %s AND NOT reversed"
        also = " AND kind=%s" if kind else ""
        args = [plant, at_ms, *([kind] if kind else [])]
        numbers.update(row[0] for row in store.select(sql + also, args))
    numbers -= but
    return store.steps_of(plant, numbers)


def restatement_faults(plant: int, draft: Correction | Reversal) -> list[Fault]:
    """Faults of a correction or reversal: no such step, reversed before, outputs used since."""
    row = _place(plant, draft.step)
    if row is None:
        what = f"no step was posted as {draft.step}"
        return [Fault("unknown_step", what, draft.step, draft.key, "Check the key.")]
    if row[1]:
        what = f"{draft.step} has been reversed"
        return [Fault("already_reversed", what, draft.step, draft.key, "Post it anew.")]
    return _moved_on(plant, row, draft) if isinstance(draft, Reversal) else []


def _place(plant: int, key: str) -> store.Row | None:
    """Number, whether reversed, and place in the fold's order of a step; None where none is."""
    sql = (
        "SELECT no, reversed, k, tie FROM ledger_step"
        " WHERE p=%s AND key=%s AND kind NOT IN ('hold', 'lift')"
    )
    return store.one(sql, [plant, key])


def restate(
    refold: Refold,
    plant: int,
    seq: int,
    draft: Correction | Reversal,
    numbers: Mapping[str, int],
) -> tuple[Found, ...]:
    """Put the newest version of a step in the place of the one before, and fold what follows."""
    row, faults = _place(plant, draft.step), restatement_faults(plant, draft)
    if row is None or faults:
        raise Refusal(faults)
    no: int = row[0]
    store.run("DELETE FROM ledger_label WHERE p=%s AND step=%s", [plant, no])
    refold.remove(no)
    if isinstance(draft, Reversal):
        refold.settle()
        sets = "seq=%s, reversed=%s"
        store.run(f"UPDATE ledger_step SET {sets} WHERE p=%s AND no=%s", [seq, True, plant, no])
        return ()
    refold.again(_described(plant, draft.restated, numbers))
    step = fold_step(no, draft.restated, numbers)
    refold.know(store.lots_by_no(plant, {line.lot for line in step.lines}).values())
    refold.add(step)
    found = refold.settle()
    rows = Rows(plant)
    rows.add_losses(no, draft.restated)
    rows.add_labels(no, draft.restated, numbers)
    rows.write()
    _put_in_place(plant, step, seq)
    return tuple(found[no])


def _put_in_place(plant: int, step: FoldStep, seq: int) -> None:
    sets = (
        "kind=%s, k=%s, tie=%s, at_ms=%s, product=%s, place=%s, run=%s, by=%s, facts=%s,"
        " remainder_mg=%s, seq=%s"
    )
    store.run(
        f"UPDATE ledger_step SET {sets} WHERE p=%s AND no=%s",
        [*place_of(step), seq, plant, step.no],
    )


def _described(plant: int, draft: StepDraft, numbers: Mapping[str, int]) -> dict[int, FoldStep]:
    """Say anew what a step's own lots are; gives the steps that touch those that changed."""
    stored = store.lots_by_code(plant, [new.code for new in draft.new_lots])
    fresh = [new_lot(numbers[new.code], new) for new in draft.new_lots]
    changed = [lot for lot in fresh if stored[lot.code][0] != lot]
    sets = "kind=%s, what=%s, product=%s, own=%s, unit_mg=%s"
    rows = [(*lot[2:], plant, lot.no) for lot in changed]
    store.many(f"UPDATE ledger_lot SET {sets} WHERE p=%s AND no=%s", rows)
    steps: set[int] = set()
    for lot in changed:
        touched = "SELECT DISTINCT step FROM ledger_touch WHERE p=%s AND lot=%s"
        steps.update(row[0] for row in store.select(touched, [plant, lot.no]))
    return store.steps_of(plant, steps)


def _moved_on(plant: int, step: store.Row, draft: Reversal) -> list[Fault]:
    sql = (
        "SELECT l.code, s.key FROM ledger_touch o"
        " JOIN ledger_touch i ON i.p=o.p AND i.lot=o.lot AND i.sign < 0 AND (i.k, i.tie) > (%s, %s)"
        " JOIN ledger_lot l ON l.p=o.p AND l.no=o.lot JOIN ledger_step s ON s.p=i.p AND s.no=i.step"
        " WHERE o.p=%s AND o.step=%s AND o.sign > 0 ORDER BY i.k, i.tie LIMIT 1"
    )
    row = store.one(sql, [step[2], step[3], plant, step[0]])
    if row is None:
        return []
    what = f"lot {row[0]} has been used since, by {row[1]}"
    remedy = "Correct the step instead: both versions stay."
    return [Fault("already_moved_on", what, draft.step, draft.key, remedy)]
