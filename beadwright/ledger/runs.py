"""Runs as they were told: opened, gone on with, closed.

Read :class:`RunMark`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass

from beadwright.ledger import store
from beadwright.ledger.indexes import OF_RUN

__all__ = ["AtMachine", "RunMark", "at_machine", "beads_of", "marks_of", "marks_since"]

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


@dataclass(frozen=True, slots=True)
class AtMachine:
    """A step of an expansion run at its machine: opened, a bag in or off, a silo filled, closed."""

    step: str
    kind: str
    at_ms: int
    run: str
    facts: Mapping[str, str]
    by: str


def at_machine(plant_no: int, place: str, since_ms: int, most: int) -> tuple[AtMachine, ...]:
    """Give the newest steps of expansion runs at a machine since a time, oldest first."""
    sql = (
        "SELECT key, kind, at_ms, run, facts, by FROM ledger_step WHERE p=%s AND k >= %s"
        " AND place=%s AND NOT reversed AND product=''"
        " AND kind IN ('run_open', 'draw', 'expand', 'run_close')"
        " ORDER BY k DESC, tie DESC LIMIT %s"
    )
    rows = store.select(sql, [plant_no, since_ms * _RANKS, place, most])
    return tuple(
        AtMachine(step, kind, at_ms, run, json.loads(facts) if facts else {}, by)
        for step, kind, at_ms, run, facts, by in reversed(rows)
    )


def beads_of(plant_no: int, run: str) -> tuple[tuple[str, int], ...]:
    """Give kind and time of each step of an expansion run, in the fold's order."""
    sql = (
        f"SELECT kind, at_ms FROM ledger_step WHERE p=%s AND run=%s AND {OF_RUN} AND NOT reversed"
        " AND product='' AND kind IN ('run_open', 'draw', 'expand', 'run_close') ORDER BY k, tie"
    )
    return tuple((str(kind), int(at_ms)) for kind, at_ms in store.select(sql, [plant_no, run]))


def marks_of(plant_no: int, run: str) -> tuple[RunMark, ...]:
    """Give what was told of one run, in the fold's order."""
    sql = f"{_SELECT} AND run=%s AND {OF_RUN} ORDER BY k, tie"
    rows = store.select(sql, [plant_no, run])
    return tuple(_mark(row) for row in rows)


def marks_since(plant_no: int, since_ms: int) -> tuple[RunMark, ...]:
    """Give what was told of every run since a time, in the fold's order."""
    rows = store.select(f"{_SELECT} AND k >= %s ORDER BY k, tie", [plant_no, since_ms * _RANKS])
    return tuple(_mark(row) for row in rows)


def _mark(row: store.Row) -> RunMark:
    step, kind, at_ms, place, run, product, facts, by = row
    said = json.loads(facts) if facts else {}
    return RunMark(step, kind, at_ms, place, run, product, said, by)
