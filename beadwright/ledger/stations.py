"""At which station each nonconformity happened: the step's place, or the one it drew or filled."""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.ledger import store

__all__ = ["FoundAt", "found_at"]


@dataclass(frozen=True, slots=True)
class FoundAt:
    """One nonconformity with its station."""

    code: str
    cause: str
    step: str
    kind: str
    at_ms: int
    station: str
    """A press, silo, hopper; the kind of step where it has no place."""


def found_at(plant: int) -> list[FoundAt]:
    """Give every nonconformity with its station, in order of happening."""
    filled = (
        "SELECT min(o.code) FROM ledger_touch t JOIN ledger_lot o ON o.p=t.p AND o.no=t.lot"
        " WHERE t.p=f.p AND t.step=f.step AND t.sign > 0 AND o.what='content'"
    )
    sql = (
        "SELECT f.code, f.cause, s.key, s.kind, s.at_ms, s.place,"
        f" CASE WHEN l.what='content' THEN l.code ELSE ({filled}) END"
        " FROM ledger_finding f JOIN ledger_step s ON s.p=f.p AND s.no=f.step"
        " LEFT JOIN ledger_lot l ON l.p=f.p AND l.no=f.lot WHERE f.p=%s ORDER BY s.k, s.tie, f.id"
    )
    found = []
    for code, cause, step, kind, at_ms, place, content in store.select(sql, [plant]):
        found.append(FoundAt(code, cause, step, kind, at_ms, place or content or kind))
    return found
