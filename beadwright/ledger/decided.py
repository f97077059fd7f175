"""Questions about what people decided: holds, concessions, approvals, and every other decision.

Read :func:`of_kinds` first. Each question is one query, or one for some hundred lots: an
assessment asks for a whole plant.
"""

from __future__ import annotations

import json
import operator
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from beadwright.ledger import entered, lots, store
from beadwright.ledger.releases import Approval

__all__ = [
    "Decided",
    "Said",
    "approvals_given",
    "concessions",
    "evidence_signed",
    "holds_placed",
    "of_kinds",
]


@dataclass(frozen=True, slots=True)
class Said:
    """One decision as it was posted: of which kind, about what, saying what."""

    seq: int
    kind: str
    about: str
    at_ms: int
    by: str
    body: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Decided:
    """A hold or a concession: what it is called, why, on which lots, when, by whom."""

    name: str
    reason: str
    lots: tuple[str, ...]
    at_ms: int
    by: str


def of_kinds(plant_no: int, *kinds: str) -> tuple[Said, ...]:
    """Every decision of some kinds (``ledger.draft.Decision``), in the order of the record."""
    if not kinds:
        return ()
    marks = ",".join(["%s"] * len(kinds))
    sql = (
        "SELECT seq, kind, about, at_ms, by, body FROM ledger_decision"
        f" WHERE p=%s AND kind IN ({marks}) ORDER BY seq"
    )
    rows = store.select(sql, [plant_no, *kinds])
    return tuple(
        Said(seq, kind, about, at_ms, by, json.loads(text).get("body", {}))
        for seq, kind, about, at_ms, by, text in rows
    )


def holds_placed(plant_no: int) -> dict[str, Decided]:
    """Every hold that people have placed, lifted since or not, by its id."""
    return {one.name: one for one in _decided(plant_no, "hold")}


def concessions(plant_no: int) -> dict[str, Decided]:
    """The newest concession on each cause."""
    return {one.name: one for one in _decided(plant_no, "concession")}


def approvals_given(plant_no: int, codes: Iterable[str]) -> dict[str, tuple[Approval, ...]]:
    """Every approval of each lot that has one, as a judge reads them: by time, then content."""
    found: dict[str, list[Approval]] = {}
    for batch in store.parts(codes):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            "SELECT about, body, at_ms, by, seq FROM ledger_decision"
            f" WHERE p=%s AND kind='release' AND about IN ({marks}) ORDER BY seq"
        )
        rows = store.select(sql, [plant_no, *batch])
        keyed = entered.marks(lots.plant_code(plant_no), (row[-1] for row in rows)) if rows else {}
        for lot, body, at_ms, by, seq in rows:
            account = keyed[seq].account if seq in keyed else ""
            said = json.loads(body)
            note = said.get("note", "")
            one = Approval(lot, said["evidence"], at_ms, by, seq, account, note)
            found.setdefault(lot, []).append(one)
    order = operator.attrgetter("at_ms", "evidence", "by")
    return {lot: tuple(sorted(given, key=order)) for lot, given in found.items()}


def evidence_signed(plant_no: int) -> list[tuple[str, str]]:
    """Every lot and hash of evidence that a release is over."""
    sql = "SELECT about, body FROM ledger_decision WHERE p=%s AND kind='release' ORDER BY seq"
    found = ((lot, json.loads(body)["evidence"]) for lot, body in store.select(sql, [plant_no]))
    return list(dict.fromkeys(found))


def _decided(plant_no: int, kind: str) -> list[Decided]:
    sql = "SELECT about, body, at_ms, by FROM ledger_decision WHERE p=%s AND kind=%s ORDER BY seq"
    found = []
    for about, text, at_ms, by in store.select(sql, [plant_no, kind]):
        body = json.loads(text)
        found.append(Decided(about, body.get("reason", ""), tuple(body.get("lots", ())), at_ms, by))
    return found
