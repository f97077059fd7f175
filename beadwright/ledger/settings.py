"""Dated settings of a plant: what was in force when."""

from __future__ import annotations

import json
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping

from beadwright.ledger import store

__all__ = ["Settings", "load"]


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
    return Settings(row[:5] for row in store.select(sql, [plant]))
