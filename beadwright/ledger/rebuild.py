"""Make the projections again from the record, by another way than the one they were kept by.

The record keeps them step by step, as entries come; the rebuild reads the newest version of every
step first and folds each once, in the fold's order. That both agree is what a test compares.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from django.db import transaction

from beadwright.ledger import heads, holds, settings, store
from beadwright.ledger.body import decode, digest_of
from beadwright.ledger.chain import Break, Chained, verify
from beadwright.ledger.draft import (
    Concession,
    Correction,
    Draft,
    Hold,
    Lift,
    NewLot,
    ReadingsDraft,
    Release,
    Reversal,
    SettingDraft,
    StepDraft,
    Void,
)
from beadwright.ledger.fold import FoldLot, FoldStep
from beadwright.ledger.projection import (
    Rows,
    content_lot,
    decision_row,
    fold_step,
    hold_step,
    new_lot,
)
from beadwright.ledger.refold import Refold
from beadwright.ledger.rules import Rules

__all__ = ["Described", "Newest", "broken", "entries", "head", "newest", "rebuild"]

_TABLES = (
    "touch", "finding", "loss", "step", "label", "lot", "setting", "decision", "posted",
)  # fmt: skip
_CHUNK = 2000


def entries(plant: str, after: int = 0) -> Iterator[Chained]:
    """Every entry of a plant's record, in order of seq; those after one, where it is named."""
    last = after
    while True:
        rows = store.select(
            "SELECT plant, seq, kind, schema, body, prev, hash FROM ledger_entry"
            " WHERE plant=%s AND seq > %s ORDER BY seq LIMIT %s",
            [plant, last, _CHUNK],
        )
        for row in rows:
            yield Chained(*row)
        if len(rows) < _CHUNK:
            return
        last = rows[-1][1]


def head(plant: str) -> tuple[int, str]:
    """Seq and hash of the newest entry: what to print, and to verify against later."""
    row = store.one(
        "SELECT seq, hash FROM ledger_entry WHERE plant=%s ORDER BY seq DESC LIMIT 1", [plant]
    )
    return (row[0], row[1]) if row else (0, "0" * 64)


def broken(plant: str, printed: tuple[int, str] | None = None) -> list[Break]:
    """Every place at which the record of a plant does not verify."""
    return list(verify(entries(plant), printed))


Described = dict[tuple[str, str], NewLot]
"""What corrections say anew of the lots of a step, by its key and the lot's code."""


class Newest(NamedTuple):
    """The last word on a step: its entry, what it restates, and whether the step was undone."""

    seq: int
    restated: StepDraft | None
    reversed: bool = False


@dataclass(slots=True)
class _Reading:
    """What one pass over the record gathers."""

    no: int
    plant: str
    rows: Rows
    lots: dict[str, FoldLot] = field(default_factory=dict)
    newest: dict[str, Newest] = field(default_factory=dict)
    described: Described = field(default_factory=dict)
    """What corrections say anew of the lots of a step, by its key and the lot's code."""
    posted: list[tuple[object, ...]] = field(default_factory=list)
    readings: list[tuple[int, ReadingsDraft | Void]] = field(default_factory=list)
    labelled: list[tuple[int, StepDraft]] = field(default_factory=list)
    """Steps that say labels: written last, for a lot they name may be numbered after them."""
    rules: int = 0

    def numbers(self) -> dict[str, int]:
        return {code: lot.no for code, lot in self.lots.items()}

    def introduce(self, seq: int, at_ms: int, draft: StepDraft) -> None:
        for new in draft.new_lots:
            if new.code not in self.lots:
                said = self.described.get((draft.key, new.code), new)
                self.lots[new.code] = new_lot(len(self.lots) + 1, said)
                self.rows.add_lot(seq, at_ms, self.plant, new, self.lots[new.code])


def rebuild(plant: str, rules: Rules, clear_readings: Callable[[int], None]) -> int:
    """Drop every projection of a plant and make it again; gives the number of entries read."""
    with transaction.atomic():
        row = store.one("SELECT no FROM ledger_plant WHERE code=%s", [plant])
        if row is None:
            return 0
        for table in _TABLES:
            store.run(f"DELETE FROM ledger_{table} WHERE p=%s", [row[0]])
        clear_readings(row[0])
        reading = _Reading(row[0], plant, Rows(row[0]))
        reading.newest, reading.described = newest(plant)
        seq, own = 0, ""
        for entry in entries(plant):
            seq, own = entry.seq, entry.hash
            _take(reading, entry)
            if len(reading.posted) >= _CHUNK:
                _write(reading, rules)
        numbers = reading.numbers()
        for no, said in reading.labelled:
            reading.rows.add_labels(no, said, numbers)
        _write(reading, rules)
        _fold_all(reading, rules)
        heads.write(plant, heads.Head(row[0], seq, own, len(reading.lots), reading.rules))
        return seq


def newest(plant: str) -> tuple[dict[str, Newest], Described]:
    """Last word on every step that was corrected or reversed, and on the lots it brought in."""
    found: dict[str, Newest] = {}
    described: Described = {}
    sql = (
        "SELECT seq, kind, body FROM ledger_entry WHERE plant=%s"
        " AND kind IN ('correct', 'reverse') ORDER BY seq"
    )
    for seq, kind, body in store.select(sql, [plant]):
        draft = decode(kind, json.loads(body)["draft"])
        if isinstance(draft, Correction):
            found[draft.step] = Newest(seq, draft.restated)
            for new in draft.restated.new_lots:
                described[draft.step, new.code] = new
        elif isinstance(draft, Reversal):
            before = found.get(draft.step, Newest(seq, None))
            found[draft.step] = Newest(seq, before.restated, reversed=True)
    return found, described


def _take(reading: _Reading, entry: Chained) -> None:
    body = json.loads(entry.body)["draft"]
    draft = decode(entry.kind, body)
    seq = entry.seq
    reading.posted.append((reading.no, draft.key, seq, digest_of(draft)))
    if isinstance(draft, StepDraft):
        reading.introduce(seq, draft.happened_at or 0, draft)
        _take_step(reading, seq, draft)
        return
    decision = decision_row(reading.no, seq, draft)
    if decision is not None:
        reading.rows.decisions.append(decision)
    if isinstance(draft, ReadingsDraft | Void):
        reading.readings.append((seq, draft))
    elif isinstance(draft, SettingDraft):
        reading.rows.add_setting(seq, draft)
        reading.rules = seq
        new = content_lot(draft)
        if new is not None and new.code not in reading.lots:
            reading.lots[new.code] = new_lot(len(reading.lots) + 1, new)
            lot = reading.lots[new.code]
            reading.rows.add_lot(seq, draft.happened_at, reading.plant, new, lot)
    elif isinstance(draft, Concession | Release):
        reading.rules = seq
    elif isinstance(draft, Correction):
        reading.introduce(seq, draft.restated.happened_at or 0, draft.restated)
    elif isinstance(draft, Hold | Lift):
        reading.rows.add_step(hold_step(seq, draft, reading.numbers()), seq)


def _take_step(reading: _Reading, seq: int, draft: StepDraft) -> None:
    newest = reading.newest.get(draft.key, Newest(seq, None))
    said = newest.restated or draft
    # Its lines are read again when it is folded; lots it names may not be numbered yet.
    step = fold_step(seq, replace(said, lines=()), {})
    reading.rows.add_step(step, newest.seq, reversed_=newest.reversed)
    if not newest.reversed:
        reading.rows.add_losses(seq, said)
        if said.labels or any(new.labels for new in said.new_lots):
            reading.labelled.append((seq, said))


def _write(reading: _Reading, rules: Rules) -> None:
    store.insert("posted", "p, key, seq, digest", reading.posted)
    reading.posted.clear()
    reading.rows.write()
    if reading.readings:
        rules.readings(reading.no, reading.plant, reading.readings)
        reading.readings = []


def _fold_all(reading: _Reading, rules: Rules) -> None:
    in_force, conceded = settings.load(reading.no), holds.concessions(reading.no)
    numbers = reading.numbers()
    after = (-1, -1)
    while True:
        rows = store.select(
            "SELECT s.no, s.k, s.tie, e.kind, e.body FROM ledger_step s JOIN ledger_entry e"
            " ON e.plant=%s AND e.seq=s.seq WHERE s.p=%s AND NOT s.reversed"
            " AND (s.k, s.tie) > (%s, %s) ORDER BY s.k, s.tie LIMIT %s",
            [reading.plant, reading.no, *after, _CHUNK],
        )
        if not rows:
            return
        refold = Refold(reading.no, rules.judge, in_force, conceded)
        steps = [
            _step(row[0], decode(row[3], json.loads(row[4])["draft"]), numbers) for row in rows
        ]
        used = {line.lot for step in steps for line in step.lines}
        refold.know(store.lots_by_no(reading.no, used).values())
        for step in steps:
            refold.add(step)
        refold.settle()
        after = (rows[-1][1], rows[-1][2])


def _step(no: int, draft: Draft, numbers: dict[str, int]) -> FoldStep:
    if isinstance(draft, Hold | Lift):
        return hold_step(no, draft, numbers)
    if isinstance(draft, Correction):
        draft = draft.restated
    if not isinstance(draft, StepDraft):
        message = f"entry of step {no} is no step"
        raise TypeError(message)
    return fold_step(no, draft, numbers)
