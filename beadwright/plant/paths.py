"""By which lots something came into a lot: looked for back from it, level by level.

Read :meth:`Walk.search` first. A way never passes the last time a place was swept empty before the
draw; what is found nearest ends the search for it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Generic, NamedTuple, TypeVar

from beadwright.ledger import lots
from beadwright.quality import standing

__all__ = ["Hit", "Leg", "Start", "Target", "Walk"]

_T = TypeVar("_T")

_DEEPEST = 12
"""Steps a way is followed back; reclaim may go round for ever."""

_AT_ANY_TIME = 2**62


class Start(NamedTuple):
    """A lot to look back from, and from when."""

    lot: str
    what: str = ""
    until: int = _AT_ANY_TIME


class Leg(NamedTuple):
    """One step of a way: from which lot, into which, when."""

    source: str
    into: str
    at_ms: int


@dataclass(frozen=True, slots=True)
class Target(Generic[_T]):
    """What is looked for: its name, and what a step and a lot that went into it are of it."""

    name: Hashable
    is_it: Callable[[lots.Making, lots.Ingredient], Sequence[_T]]


@dataclass(frozen=True, slots=True)
class Hit(Generic[_T]):
    """Something found, with the legs from there down to the lot looked back from."""

    what: _T
    legs: tuple[Leg, ...]


class _Seen(NamedTuple):
    """Where something was found among the makings of a lot."""

    at_ms: int
    source: str
    what: object


@dataclass(slots=True)
class Walk:
    """Makings of lots, read as they are needed and kept for the next lot looked back from."""

    plant_no: int
    makings: dict[str, Sequence[lots.Making]] = field(default_factory=dict)
    _swept: Mapping[str, Sequence[int]] | None = None
    _seen: dict[tuple[str, Hashable], list[_Seen]] = field(default_factory=dict)
    _grades: dict[str, frozenset[str]] = field(default_factory=dict)

    def read(self, codes: Iterable[str]) -> None:
        """Read the makings of lots not yet known."""
        new = sorted(set(codes) - self.makings.keys())
        if new:
            found = lots.makings(self.plant_no, new)
            for code in new:
                self.makings[code] = found.get(code, ())

    def grades_of(self, code: str) -> frozenset[str]:
        """Grades of a lot whose sisters' makings are known; theirs are read along with it."""
        if code not in self._grades:
            near = {one.lot for ms in self.makings.values() for m in ms for one in m.inputs}
            new = sorted((near | {code}) - self._grades.keys())
            self._grades.update(dict.fromkeys(new, frozenset()))
            for lot, view in lots.get_many(self.plant_no, new).items():
                self._grades[lot] = frozenset(view.grades)
        return self._grades[code]

    def search(self, start: Start, targets: Sequence[Target[_T]]) -> dict[Hashable, list[Hit[_T]]]:
        """Give what is found of each target at the level nearest to a lot, newest first.

        A target of which nothing is found has no entry.
        """
        found: dict[Hashable, list[Hit[_T]]] = {}
        legs: dict[str, tuple[Leg, ...]] = {start.lot: ()}
        level = [start]
        for _ in range(_DEEPEST):
            self.read(one.lot for one in level)
            missing = [target for target in targets if target.name not in found]
            for one in level:
                for target in missing:
                    for seen in self._within(one, target):
                        leg = Leg(seen.source, one.lot, seen.at_ms)
                        hit: Hit[_T] = Hit(seen.what, (leg, *legs[one.lot]))  # type: ignore[arg-type]
                        found.setdefault(target.name, []).append(hit)
            if len(found) == len(targets):
                break
            level = self._next(level, legs)
        return found

    def _within(self, start: Start, target: Target[_T]) -> list[_Seen]:
        """Where a target is among the makings of a lot, newest first, since its last sweep."""
        key = (start.lot, target.name)
        if key not in self._seen:
            self._seen[key] = [
                _Seen(making.at_ms, one.lot, what)
                for making in reversed(self.makings[start.lot])
                for one in making.inputs
                for what in target.is_it(making, one)
            ]
        seen = self._seen[key]
        if not seen:
            return seen
        since = self._since(start)
        return [one for one in seen if since <= one.at_ms <= start.until]

    def _since(self, start: Start) -> int:
        if start.what != "content":
            return -1
        if self._swept is None:
            self._swept = standing.sweeps(self.plant_no)
        swept = self._swept.get(start.lot, ())
        before = bisect_right(swept, start.until)
        return swept[before - 1] if before else -1

    def _next(self, level: Sequence[Start], legs: dict[str, tuple[Leg, ...]]) -> list[Start]:
        """Lots that went into those of a level, each by its newest way."""
        coming = []
        for start in level:
            since = self._since(start)
            for making in reversed(self.makings[start.lot]):
                if not since <= making.at_ms <= start.until:
                    continue
                for one in making.inputs:
                    if one.lot not in legs:
                        legs[one.lot] = (Leg(one.lot, start.lot, making.at_ms), *legs[start.lot])
                        coming.append(Start(one.lot, one.what, making.at_ms))
        return coming
