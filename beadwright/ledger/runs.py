"""Runs as they were told: opened, gone on with, closed.

Read :class:`RunMark`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass

from beadwright.ledger import store

__all__ = ["RunMark", "marks_of", "marks_since"]

_RANKS = 32
"""The fold's order within one millisecond."""

_SELECT = (
    "SELECT key, kind, at_ms, place, run, product, facts, by FROM ledger_step"
    " WHERE p=%s AND NOT reversed AND kind IN ('run_open', 'run_close')"
)


@dataclass(frozen=True, slots=True)
class RunMark:
    """A step that opens a run, goes on with it after it stood, or closes it."""

    step: str
    kind: str
    at_ms: int
    place: str
    run: str
    product: str
    facts: Mapping[str, str]
    by: str


def marks_of(plant_no: int, run: str) -> tuple[RunMark, ...]:
    """Give what was told of one run, in the fold's order."""
    rows = store.select(f"{_SELECT} AND run=%s ORDER BY k, tie", [plant_no, run])
    return tuple(_mark(row) for row in rows)


def marks_since(plant_no: int, since_ms: int) -> tuple[RunMark, ...]:
    """Give what was told of every run since a time, in the fold's order."""
    rows = store.select(f"{_SELECT} AND k >= %s ORDER BY k, tie", [plant_no, since_ms * _RANKS])
    return tuple(_mark(row) for row in rows)


def _mark(row: store.Row) -> RunMark:
    step, kind, at_ms, place, run, product, facts, by = row
    said = json.loads(facts) if facts else {}
    return RunMark(step, kind, at_ms, place, run, product, said, by)
