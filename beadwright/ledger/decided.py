"""Decisions that move nothing by themselves, read back by kind: reports, signatures, papers.

Read :func:`decisions`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from beadwright.ledger import store

__all__ = ["DecisionView", "decisions"]


@dataclass(frozen=True, slots=True)
class DecisionView:
    """One decision as it was posted: of which kind, about what, when, by whom."""

    seq: int
    kind: str
    about: str
    at_ms: int
    by: str
    body: Mapping[str, Any]


def decisions(plant: int, kind: str, about: str | None = None) -> tuple[DecisionView, ...]:
    """Give the decisions of a kind, about one thing where it is named, in order of entry."""
    sql = "SELECT seq, kind, about, at_ms, by, body FROM ledger_decision WHERE p=%s AND kind=%s"
    values: list[object] = [plant, kind]
    if about is not None:
        sql += " AND about=%s"
        values.append(about)
    rows = store.select(f"{sql} ORDER BY seq", values)
    return tuple(DecisionView(*row[:5], json.loads(row[5]).get("body", {})) for row in rows)
