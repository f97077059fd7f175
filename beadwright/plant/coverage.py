"""The coverage rule: which sample speaks for a lot that was made at a time. Pure: nothing is asked.

Read :func:`covering` first. Times are UTC milliseconds; a sample known by its day only was taken
at some time of that day.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

__all__ = ["Covering", "Sample", "State", "Timeline", "covering", "in_bucket"]

State = Literal["covers", "failed", "lapsed", "missing"]


@dataclass(frozen=True, slots=True)
class Sample:
    """A sample of a product with the verdict on it, and how far that reaches."""

    name: str
    """What it is found by: a report's number and characteristic, or the lot it was cut from."""
    passed: bool
    first_ms: int
    last_ms: int
    """It was taken from ``first_ms`` to ``last_ms``, both included."""
    until_ms: int | None
    """It covers what was made before; None: without an end."""
    before_ms: int
    """Where it is the first sample ever, it covers what was made from here on."""


@dataclass(frozen=True, slots=True)
class Covering:
    """How a lot stands by the samples of its product, and the sample that says so."""

    state: State
    sample: Sample | None = None


class Timeline:
    """Samples of one product in order, asked about many lots."""

    def __init__(self, samples: Iterable[Sample], *, backward: bool = True) -> None:
        """Take them in any order; ``backward`` as for :func:`covering`."""
        self._ordered = sorted(samples, key=lambda one: (one.first_ms, one.last_ms, one.name))
        self._passed = [one for one in self._ordered if one.passed]
        self._starts = [one.first_ms for one in self._passed]
        self._backward = backward
        self._stops = [
            (*_stop(bad, self._passed, backward=backward), bad)
            for bad in self._ordered
            if not bad.passed
        ]

    def at(self, made_ms: int) -> Covering:
        """Say how a lot stands that was made at a time."""
        for after, before, bad in self._stops:
            if after < made_ms < before:
                return Covering("failed", bad)
        until = bisect_right(self._starts, made_ms)
        for one in reversed(self._passed[:until]):
            if one.until_ms is None or made_ms < one.until_ms:
                return Covering("covers", one)
        if until:
            return Covering("lapsed", self._passed[until - 1])
        # What was made before a first sample that failed has been stopped above.
        if self._backward and self._passed and self._passed[0].before_ms <= made_ms:
            return Covering("covers", self._passed[0])
        return Covering("missing")


def covering(samples: Iterable[Sample], made_ms: int, *, backward: bool = True) -> Covering:
    """Say how a lot stands that was made at a time.

    A sample that failed stops what was made after the last one that passed before it and before
    the next that passes; where ``backward`` is false (a type test), from when it was taken itself.
    One that passed covers from when it was taken until its period ends; the first ever, where
    ``backward``, the period before it too. Samples of one day are not told apart: there a failed
    one stops what a passed one would cover.
    """
    return Timeline(samples, backward=backward).at(made_ms)


def _stop(bad: Sample, passed: Sequence[Sample], *, backward: bool) -> tuple[float, float]:
    """Times between which a failed sample stops what was made, both excluded."""
    before = [one.last_ms for one in passed if one.last_ms < bad.first_ms]
    after = [one.first_ms for one in passed if one.first_ms > bad.last_ms]
    start = max(before, default=-math.inf) if backward else bad.first_ms - 1
    return start, min(after, default=math.inf)


def in_bucket(samples: Sequence[Sample]) -> Covering:
    """Say how lots stand of which one speaks for all, such as those of a day: the worst decides."""
    bad = [one for one in samples if not one.passed]
    if bad:
        return Covering("failed", bad[0])
    return Covering("covers", samples[0]) if samples else Covering("missing")
