"""Chance, from a seed alone: the same numbers on every machine.

Read :class:`Noise` first. Only sums and products of ``random.random`` are used, never a logarithm
or a cosine, whose last digit may differ between machines.
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import TypeVar

__all__ = ["Noise"]

_T = TypeVar("_T")

_DRAWS = 12  # the sum of twelve even draws, less six, has mean 0 and standard deviation 1


class Noise:
    """One part's own stream of chance, so that a change in one part leaves the others alone."""

    def __init__(self, seed: int, part: str) -> None:
        """Start the stream of this part."""
        self._random = Random(f"{seed}/{part}")

    def between(self, low: float, high: float) -> float:
        """Give a number, evenly spread."""
        return low + (high - low) * self._random.random()

    def whole(self, low: int, high: int) -> int:
        """Give a whole number, both ends included."""
        return low + int((high - low + 1) * self._random.random())

    def chance(self, share: float) -> bool:
        """Say yes in this share of the calls."""
        return self._random.random() < share

    def pick(self, among: Sequence[_T]) -> _T:
        """Take one."""
        return among[int(len(among) * self._random.random())]

    def some(self, among: Sequence[_T], count: int) -> list[_T]:
        """Take several, no two the same, in the order they stood."""
        left = list(range(len(among)))
        taken = [left.pop(int(len(left) * self._random.random())) for _ in range(count)]
        return [among[i] for i in sorted(taken)]

    def shuffled(self, among: Sequence[_T]) -> list[_T]:
        """Take all, in another order."""
        left = list(among)
        return [left.pop(int(len(left) * self._random.random())) for _ in range(len(among))]

    def normal(self, deviation: float, most: float = 3.0) -> float:
        """Give a near normal deviation, cut off at ``most`` times its standard deviation."""
        total = sum(self._random.random() for _ in range(_DRAWS)) - _DRAWS / 2
        return deviation * max(-most, min(most, total))
