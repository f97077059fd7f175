"""One pass over the record: the chain verified, and what was entered since a day.

Read :func:`read`. What was recorded since counts, whatever day it is dated: a step or a setting
entered late stands here with both days.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any
from zoneinfo import ZoneInfo

from beadwright.ledger import rebuild
from beadwright.ledger.body import decode
from beadwright.ledger.chain import Break, Chained, verify
from beadwright.ledger.draft import Decision, Draft
from beadwright.plant.frequency import day_of
from beadwright.plant.plan import start_of

__all__ = ["Entry", "Person", "Since", "read"]

_DECIDED = frozenset(
    {"setting", "hold", "lift", "release", "concession", "decision", "correct", "reverse", "void"}
)
_DATED = {"calibration": "done", "report": "sampled"}
"""Days that decisions which are evidence speak of, whenever they were entered."""

_BY = re.compile(r'"by":"([^"]*)"')
_HAPPENED = re.compile(r'"happened_at":([0-9]+)')
_RECORDED = re.compile(r'"recorded_at":([0-9]+)\}$')


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry that decides or changes something."""

    seq: int
    kind: str
    account: str
    recorded_at: int
    draft: Draft


@dataclass(slots=True)
class Person:
    """When a person of the record first and last did something, and how often."""

    first: int
    last: int
    count: int = 0


@dataclass(slots=True)
class Since:
    """What one pass has found."""

    breaks: tuple[Break, ...] = ()
    counts: Counter[str] = field(default_factory=Counter)
    """Entries recorded since, by kind."""
    late: Counter[str] = field(default_factory=Counter)
    """Of those, entries dated before."""
    entries: list[Entry] = field(default_factory=list)
    people: dict[str, Person] = field(default_factory=dict)
    """Everybody the record knows, by id."""
    last: tuple[int, int] = (0, 0)
    """Newest entry of all, and when it was recorded."""
    set_up: int = 0
    """Last of the settings that the record begins with."""


def read(plant: str, since_ms: int, zone: ZoneInfo) -> Since:
    """Read the record of a plant once."""
    found = Since()
    found.breaks = tuple(verify(_seen(plant, since_ms, zone, found)))
    return found


def _seen(plant: str, since_ms: int, zone: ZoneInfo, found: Since) -> Iterator[Chained]:
    for entry in rebuild.entries(plant):
        yield entry
        match = _RECORDED.search(entry.body)
        recorded = int(match[1]) if match else 0
        happened = _HAPPENED.search(entry.body)
        at_ms = int(happened[1]) if happened else recorded
        found.last = (entry.seq, recorded)
        if entry.kind == "setting" and found.set_up == entry.seq - 1:
            found.set_up = entry.seq
        _person(found, entry.body, at_ms)
        if recorded < since_ms:
            continue
        found.counts[entry.kind] += 1
        if entry.kind in _DECIDED:
            body: dict[str, Any] = json.loads(entry.body)
            draft = decode(entry.kind, body["draft"])
            found.entries.append(
                Entry(entry.seq, entry.kind, str(body["account"]), recorded, draft)
            )
            at_ms = min(at_ms, _done(draft, zone) or at_ms)
        found.late[entry.kind] += at_ms < since_ms


def _done(draft: Draft, zone: ZoneInfo) -> int | None:
    """Give the day that a calibration was done, or a report's sample made: what it is dated by."""
    key = _DATED.get(draft.kind) if isinstance(draft, Decision) else None
    if key is None or not isinstance(draft, Decision):
        return None
    return start_of(day_of(str(draft.body[key])), zone)


def _person(found: Since, body: str, at_ms: int) -> None:
    match = _BY.search(body)
    if match is None:
        return
    person = found.people.setdefault(match[1], Person(at_ms, at_ms))
    person.first, person.last = min(person.first, at_ms), max(person.last, at_ms)
    person.count += 1
