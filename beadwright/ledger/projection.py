"""Rows of the projections that follow from one entry alone; the fold's part is in ``refold``.

The record (as it appends) and the rebuild (as it reads everything again) share these.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from beadwright.ledger import store
from beadwright.ledger.body import encode, fold_lines
from beadwright.ledger.chain import canonical
from beadwright.ledger.draft import (
    RANK,
    RECLAIM,
    Concession,
    Decision,
    Draft,
    Hold,
    Lift,
    Material,
    NewLot,
    ReadingsDraft,
    Release,
    SettingDraft,
    StepDraft,
    Void,
    lot_uuid,
)
from beadwright.ledger.fold import EMPTY, FoldLine, FoldLot, FoldStep

__all__ = [
    "RANKS",
    "Projector",
    "Rows",
    "content_lot",
    "decision_row",
    "first_k",
    "fold_step",
    "hold_step",
    "new_lot",
    "order_k",
    "place_of",
    "tie_of",
    "time_after",
]

Projector = Callable[[int, str, Sequence[tuple[int, ReadingsDraft | Void]]], None]
"""``project(plant number, plant, [(seq, draft)])``: how another app keeps its own projection."""

_RECLAIMED = frozenset({"regrind", "densified"})
RANKS = 32
"""Places in the fold's order within one millisecond: a time's first is as many times the time."""

_STEP = (
    "p, no, key, kind, k, tie, at_ms, seq, reversed, product, place, run, by, facts, remainder_mg"
)
_LOT = (
    "p, no, id, code, kind, what, product, own, unit_mg, seq, last_k, last_tie,"
    " mg, pieces, in_mg, first, last, grades, causes, place, reclaim"
)


@lru_cache(maxsize=8192)
def tie_of(key: str) -> int:
    """Order of steps of one kind in one instant: 63 bits of their key's hash, never the seq."""
    return int.from_bytes(hashlib.sha256(key.encode()).digest()[:8], "big") >> 1


def order_k(at_ms: int, kind: str) -> int:
    """Place in the fold's order: the time, then the rank of the step's kind."""
    return at_ms * RANKS + RANK[kind]


def first_k(k: int) -> int:
    """Give the first place in the fold's order within the same millisecond."""
    return k // RANKS * RANKS


def time_after(k: int) -> int:
    """Give the first millisecond after a place in the fold's order."""
    return k // RANKS + 1


def fold_step(no: int, draft: StepDraft, numbers: Mapping[str, int]) -> FoldStep:
    """Give a step as the fold reads it."""
    at_ms = draft.happened_at or 0
    return FoldStep(
        no=no,
        key=draft.key,
        kind=draft.kind,
        k=order_k(at_ms, draft.kind),
        tie=tie_of(draft.key),
        at_ms=at_ms,
        lines=fold_lines(draft, numbers),
        product=draft.product,
        place=draft.place,
        run=draft.run,
        by=draft.by,
        facts=draft.facts,
        remainder_mg=draft.remainder_mg,
    )


def hold_step(no: int, draft: Hold | Lift, numbers: Mapping[str, int]) -> FoldStep:
    """Give a hold or a lift as the fold reads it: marks set on, or taken off, the named lots.

    A lift counts from when it was given; a hold on a lot from the lot's birth, on a place from
    what the draft says.
    """
    kind = "hold" if isinstance(draft, Hold) else "lift"
    since = (draft.since or 0) if isinstance(draft, Hold) else draft.happened_at
    lines = [
        FoldLine(i, numbers[code], 0, 0, 0, "", "")
        for i, code in enumerate(sorted(set(draft.lots)))
    ]
    return FoldStep(
        no=no,
        key=draft.key,
        kind=kind,
        k=order_k(since, kind),
        tie=tie_of(draft.key),
        at_ms=draft.happened_at,
        lines=lines,
        run=draft.hold,
        by=draft.by,
    )


def new_lot(no: int, new: NewLot) -> FoldLot:
    """Give a lot as the fold knows it; foam that was moulded before is marked so for ever."""
    own = set(new.grades) | ({RECLAIM} if str(new.kind) in _RECLAIMED else set())
    kind = str(new.kind)
    return FoldLot(no, new.code, kind, new.what, new.product, "|".join(sorted(own)), new.unit_mg)


def content_lot(draft: SettingDraft) -> NewLot | None:
    """A place that holds beads is a lot of its own: its content."""
    if draft.topic == "place" and draft.body.get("content"):
        return NewLot(draft.name, Material.PREFOAM, what="content")
    return None


def place_of(step: FoldStep) -> tuple[object, ...]:
    """Columns that a correction of a step may move."""
    facts = canonical(dict(step.facts)) if step.facts else ""
    return (
        step.kind, step.k, step.tie, step.at_ms, step.product, step.place, step.run, step.by,
        facts, step.remainder_mg,
    )  # fmt: skip


def decision_row(plant: int, seq: int, draft: Draft) -> tuple[object, ...] | None:
    """Row of what a person decided."""
    match draft:
        case Hold() | Lift():
            about = draft.hold
        case Release():
            about = draft.lot
        case Concession():
            about = draft.cause
        case Decision():
            about = draft.about
        case Void():
            about = draft.readings
        case _:
            return None
    kind = draft.kind if isinstance(draft, Decision) else type(draft).__name__.lower()
    return (plant, seq, kind, about, draft.happened_at, draft.by, canonical(encode(draft)))


@dataclass(slots=True)
class Rows:
    """Rows gathered from entries, written together."""

    plant: int
    lots: list[tuple[object, ...]] = field(default_factory=list)
    labels: list[tuple[object, ...]] = field(default_factory=list)
    steps: list[tuple[object, ...]] = field(default_factory=list)
    losses: list[tuple[object, ...]] = field(default_factory=list)
    settings: list[tuple[object, ...]] = field(default_factory=list)
    decisions: list[tuple[object, ...]] = field(default_factory=list)

    def add_lot(self, seq: int, at_ms: int, code: str, new: NewLot, lot: FoldLot) -> None:
        """Introduce a lot; its state is the fold's to fill."""
        id_ = new.id or lot_uuid(at_ms, code, new.code)
        self.lots.append((
            self.plant, lot.no, id_, lot.code, lot.kind, lot.what, lot.product, lot.own,
            lot.unit_mg, seq, 0, 0, *EMPTY,
        ))  # fmt: skip

    def add_labels(self, no: int, draft: StepDraft, numbers: Mapping[str, int]) -> None:
        """Foreign labels that a step says its lots carry."""
        said = [(new.code, new.labels) for new in draft.new_lots] + [*draft.labels.items()]
        self.labels += [
            (self.plant, numbers[code], no, b.issuer, b.text, b.since, b.until)
            for code, labels in said
            for b in labels
        ]

    def add_step(self, step: FoldStep, seq: int, *, reversed_: bool = False) -> None:
        """Give a step its place."""
        kind, k, tie, at_ms, product, place, run, by, facts, rest = place_of(step)
        self.steps.append((
            self.plant, step.no, step.key, kind, k, tie, at_ms, seq, reversed_,
            product, place, run, by, facts, rest,
        ))  # fmt: skip

    def add_losses(self, no: int, draft: StepDraft) -> None:
        """Named losses of a step."""
        self.losses += [(self.plant, no, loss.name, loss.mg) for loss in draft.losses]

    def add_setting(self, seq: int, draft: SettingDraft) -> None:
        """A dated setting."""
        since = draft.happened_at if draft.since is None else draft.since
        body = json.dumps(draft.body, ensure_ascii=False, sort_keys=True)
        self.settings.append((self.plant, seq, draft.topic, draft.name, since, body))

    def write(self) -> None:
        """Insert everything gathered."""
        store.insert("lot", _LOT, self.lots)
        store.insert("label", "p, lot, step, issuer, text, since, until", self.labels)
        store.insert("step", _STEP, self.steps)
        store.insert("loss", "p, step, name, mg", self.losses)
        store.insert("setting", "p, seq, topic, name, since, body", self.settings)
        store.insert("decision", "p, seq, kind, about, at_ms, by, body", self.decisions)
        for rows in (
            self.lots, self.labels, self.steps, self.losses, self.settings, self.decisions,
        ):  # fmt: skip
            rows.clear()
