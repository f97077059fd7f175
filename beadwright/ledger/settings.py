"""Dated settings of a plant: what was in force when."""

from __future__ import annotations

import json
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping

from beadwright.ledger import store

__all__ = ["RELEASED", "Settings", "load", "steps_from"]

RELEASED = "released"
"""Topic under which a judge finds the approvals of a lot; nobody sets it."""


class Settings:
    """Every setting of a plant, asked by topic, name and time."""

    def __init__(self, rows: Iterable[tuple[str, str, int, int, str]]) -> None:
        """Take ``(topic, name, since, seq, body)``; of two with one date the later posted is it."""
        self._by: dict[str, dict[str, list[tuple[int, int, Mapping[str, object]]]]] = {}
        for topic, name, since, seq, body in rows:
            dated = self._by.setdefault(topic, {}).setdefault(name, [])
            dated.append((since, seq, json.loads(body)))
        for names in self._by.values():
            for dated in names.values():
                dated.sort(key=lambda one: one[:2])

    def at(self, topic: str, name: str, at_ms: int) -> Mapping[str, object] | None:
        """Give the body in force at that time, or None."""
        dated = self._by.get(topic, {}).get(name)
        if not dated:
            return None
        i = bisect_right(dated, at_ms, key=lambda one: one[0])
        return dated[i - 1][2] if i else None

    def versions(self, topic: str, name: str) -> list[tuple[int, Mapping[str, object]]]:
        """Every dated version of a setting: in force since, and its body."""
        return [(since, body) for since, _, body in self._by.get(topic, {}).get(name, [])]

    def stated(self, topic: str, name: str) -> list[tuple[int, int, Mapping[str, object]]]:
        """Every dated version of a setting: in force since, the entry that stated it, its body."""
        return list(self._by.get(topic, {}).get(name, []))

    def names(self, topic: str) -> tuple[str, ...]:
        """Names that a topic has, sorted."""
        return tuple(sorted(self._by.get(topic, {})))

    def all(self, topic: str, at_ms: int) -> Iterator[tuple[str, Mapping[str, object]]]:
        """Every name of a topic with the body in force at that time."""
        for name in self.names(topic):
            body = self.at(topic, name, at_ms)
            if body is not None:
                yield name, body


def load(plant: int) -> Settings:
    """Read every setting of a plant."""
    sql = "SELECT topic, name, since, seq, body FROM ledger_setting WHERE p=%s ORDER BY seq"
    return Settings([*(row[:5] for row in store.select(sql, [plant])), *_released(plant)])


def steps_from(plant: int, since: int) -> int:
    """How many steps in the record happened from a time on: a setting dated there bears on them."""
    row = store.one("SELECT COUNT(*) FROM ledger_step WHERE p=%s AND at_ms >= %s", [plant, since])
    return int(row[0]) if row else 0


def _released(plant: int) -> Iterator[tuple[str, str, int, int, str]]:
    """Approvals of lots as dated settings (topic ``released``), so that a judge can read them.

    Each version holds every approval given until then: who, and over which evidence.
    """
    given: dict[str, list[tuple[int, str, str]]] = {}
    sql = "SELECT about, at_ms, by, body FROM ledger_decision WHERE p=%s AND kind='release'"
    for lot, at_ms, by, body in store.select(sql, [plant]):
        given.setdefault(lot, []).append((at_ms, json.loads(body)["evidence"], by))
    for lot, approvals in given.items():
        # By time and content, never by seq: two of one instant may have been posted either way.
        approvals.sort()
        for i, (at_ms, _, _) in enumerate(approvals, start=1):
            if i == len(approvals) or approvals[i][0] != at_ms:
                body = {"approvals": [[by, evidence] for _, evidence, by in approvals[:i]]}
                yield RELEASED, lot, at_ms, 0, json.dumps(body)
