"""Holds and nonconformities: what stops a lot, since when, and what has been closed."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from beadwright.errors import Fault
from beadwright.ledger import store
from beadwright.ledger.draft import Concession, Hold, Lift
from beadwright.ledger.fold import FoldLot, reaching

__all__ = [
    "HoldView",
    "Nonconformity",
    "about_blocks",
    "closed_causes",
    "concessions",
    "decision_faults",
    "nonconformities",
    "number",
    "open_causes",
    "placed",
    "since",
]


@dataclass(frozen=True, slots=True)
class Nonconformity:
    """Something forbidden that happened: at which step, of which lot, and whether it is closed."""

    step: str
    kind: str
    at_ms: int
    code: str
    lot: str
    cause: str
    detail: str
    closed: bool
    mark: str
    """What a concession lists to cover it; it changes when the step is corrected."""


def decision_faults(plant: int, draft: Hold | Lift | Concession) -> list[Fault]:
    """Faults of a hold, a lift or a concession that only the record can tell."""
    if isinstance(draft, Concession):
        sql = "SELECT 1 FROM ledger_finding WHERE p=%s AND cause=%s LIMIT 1"
        if store.one(sql, [plant, draft.cause]) is None:
            what = f"no nonconformity has the cause {draft.cause}"
            remedy = "List the nonconformities; take the cause as it is written there."
            return [Fault("unknown_cause", what, draft.cause, draft.key, remedy)]
        return []
    sql = "SELECT 1 FROM ledger_decision WHERE p=%s AND kind='hold' AND about=%s LIMIT 1"
    placed = store.one(sql, [plant, draft.hold]) is not None
    if isinstance(draft, Lift):
        if placed:
            return []
        what = f"no hold {draft.hold} was placed"
        return [Fault("unknown_hold", what, draft.hold, draft.key, "Check the hold's id.")]
    faults = []
    if placed:
        what = f"hold {draft.hold} was placed before"
        faults.append(
            Fault("hold_exists", what, draft.hold, draft.key, "Give it an id of its own.")
        )
    if len(draft.lots) > 1 and draft.since is not None:
        what = "a hold names a place together with other lots"
        faults.append(Fault("hold_one_place", what, "", draft.key, "Hold the place alone."))
    return faults


def since(plant: int, draft: Hold, lots: Mapping[str, FoldLot]) -> int | None:
    """From when a hold on a place counts: as said, else its last swept empty; None for lots."""
    numbers = [lots[c].no for c in draft.lots if c in lots and lots[c].what == "content"]
    if not numbers:
        return None
    if draft.since is not None:
        return draft.since
    marks = ",".join(["%s"] * len(numbers))
    row = store.one(
        "SELECT max(s.at_ms) FROM ledger_touch t JOIN ledger_step s ON s.p=t.p AND s.no=t.step"
        f" WHERE t.p=%s AND t.lot IN ({marks}) AND s.kind='swept_empty' AND s.at_ms <= %s",
        [plant, *numbers, draft.happened_at],
    )
    return row[0] if row and row[0] is not None else 0


def concessions(plant: int) -> dict[str, list[int]]:
    """For the root of each cause, the places in the fold's order of the concessions given."""
    sql = "SELECT about, at_ms FROM ledger_decision WHERE p=%s AND kind='concession' ORDER BY at_ms"
    found: dict[str, list[int]] = {}
    for about, at_ms in store.select(sql, [plant]):
        found.setdefault(about.split("#")[0], []).append(at_ms * 32 + 31)
    return found


def nonconformities(plant: int, causes: Iterable[str] | None = None) -> list[Nonconformity]:
    """Give the nonconformities of the causes named, or all, in order of happening."""
    head = (
        "SELECT s.key, s.kind, s.at_ms, f.code, coalesce(l.code, ''), f.cause, f.detail, s.seq"
        " FROM ledger_finding f JOIN ledger_step s ON s.p=f.p AND s.no=f.step"
        " LEFT JOIN ledger_lot l ON l.p=f.p AND l.no=f.lot WHERE f.p=%s"
    )
    rows: list[store.Row] = []
    if causes is None:
        rows = store.select(f"{head} ORDER BY s.k, s.tie", [plant])
    else:
        for batch in store.parts(sorted(set(causes))):
            marks = ",".join(["%s"] * len(batch))
            rows += store.select(
                f"{head} AND f.cause IN ({marks}) ORDER BY s.k, s.tie", [plant, *batch]
            )
    covered = _covered(plant)
    digests = _digests(plant, {row[7] for row in rows})
    found = []
    for key, kind, at_ms, code, lot, cause, detail, seq in rows:
        mark = f"{key}|{code}|{lot}|{digests[seq][:16]}"
        closed = mark in covered.get(cause, ())
        found.append(Nonconformity(key, kind, at_ms, code, lot, cause, detail, closed, mark))
    return found


def about_blocks(plant: int) -> list[Nonconformity]:
    """Give the nonconformities whose offending lot is one of blocks: lots, bundles, shipments."""
    sql = (
        "SELECT DISTINCT f.cause FROM ledger_finding f JOIN ledger_lot l ON l.p=f.p AND l.no=f.lot"
        " WHERE f.p=%s AND l.kind='block'"
    )
    return nonconformities(plant, [row[0] for row in store.select(sql, [plant])])


def _covered(plant: int) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    sql = "SELECT about, body FROM ledger_decision WHERE p=%s AND kind='concession'"
    for about, body in store.select(sql, [plant]):
        found.setdefault(about, set()).update(json.loads(body).get("covers", ()))
    return found


def _digests(plant: int, seqs: set[int]) -> dict[int, str]:
    found: dict[int, str] = {}
    for batch in store.parts(seqs):
        marks = ",".join(["%s"] * len(batch))
        sql = f"SELECT seq, digest FROM ledger_posted WHERE p=%s AND seq IN ({marks})"
        found.update(dict(store.select(sql, [plant, *batch])))
    return found


def closed_causes(plant: int, causes: Iterable[str]) -> set[str]:
    """Causes of which every nonconformity is covered by a concession."""
    state: dict[str, bool] = {}
    for one in nonconformities(plant, [c for c in causes if not c.startswith("hold:")]):
        state[one.cause] = state.get(one.cause, True) and one.closed
    return {cause for cause, closed in state.items() if closed}


def open_causes(plant: int, marks: str) -> tuple[str, ...]:
    """Causes among a lot's marks that still hold it."""
    causes = reaching(marks)
    if not causes:
        return ()
    closed = closed_causes(plant, causes)
    return tuple(c for c in causes if c not in closed)


@dataclass(frozen=True, slots=True)
class HoldView:
    """A hold that a person placed, and the lots it was lifted for."""

    hold: str
    lots: tuple[str, ...]
    reason: str
    at_ms: int
    by: str
    lifted: tuple[str, ...]


def placed(plant: int) -> list[HoldView]:
    """Give every hold, in order of entry."""
    sql = (
        "SELECT kind, about, at_ms, by, body FROM ledger_decision"
        " WHERE p=%s AND kind IN ('hold', 'lift') ORDER BY seq"
    )
    rows = [(*row[:4], json.loads(row[4])) for row in store.select(sql, [plant])]
    lifted: dict[str, list[str]] = {}
    for kind, about, _, _, body in rows:
        if kind == "lift":
            lifted.setdefault(about, []).extend(body["lots"])
    return [
        HoldView(
            about, tuple(body["lots"]), body["reason"], at_ms, by, tuple(lifted.get(about, ()))
        )
        for kind, about, at_ms, by, body in rows
        if kind == "hold"
    ]


def number(plant: int) -> int:
    """Give how many nonconformities there are."""
    row = store.one("SELECT count(*) FROM ledger_finding WHERE p=%s", [plant])
    return int(row[0]) if row else 0
