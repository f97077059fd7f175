"""The coverage rule: which sample speaks for a lot that was made at a time. Pure: nothing is asked.

Read :func:`covering` first. Times are UTC milliseconds; a sample known by its day only was taken
at some time of that day.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

__all__ = ["Covering", "Sample", "State", "covering", "in_bucket"]

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


def covering(samples: Iterable[Sample], made_ms: int, *, backward: bool = True) -> Covering:
    """Say how a lot stands that was made at a time.

    A sample that failed stops what was made after the last one that passed before it and before
    the next that passes; where ``backward`` is false (a type test), from when it was taken itself.
    One that passed covers from when it was taken until its period ends; the first ever, where
    ``backward``, the period before it too. Samples of one day are not told apart: there a failed
    one stops what a passed one would cover.
    """
    ordered = sorted(samples, key=lambda one: (one.first_ms, one.last_ms, one.name))
    passed = [one for one in ordered if one.passed]
    for bad in ordered:
        if not bad.passed and _stopped(bad, passed, made_ms, backward=backward):
            return Covering("failed", bad)
    good = [
        one
        for one in passed
        if one.first_ms <= made_ms and (one.until_ms is None or made_ms < one.until_ms)
    ]
    if good:
        return Covering("covers", good[-1])
    if backward and passed and passed[0] is ordered[0]:
        first = passed[0]
        if first.before_ms <= made_ms < first.first_ms:
            return Covering("covers", first)
    over = [one for one in passed if one.first_ms <= made_ms]
    return Covering("lapsed", over[-1]) if over else Covering("missing")


def _stopped(bad: Sample, passed: Sequence[Sample], made_ms: int, *, backward: bool) -> bool:
    before = [one.last_ms for one in passed if one.last_ms < bad.first_ms]
    after = [one.first_ms for one in passed if one.first_ms > bad.last_ms]
    if after and made_ms >= min(after):
        return False
    if not backward:
        return made_ms >= bad.first_ms
    return not before or made_ms > max(before)


def in_bucket(samples: Sequence[Sample]) -> Covering:
    """Say how lots stand of which one speaks for all, such as those of a day: the worst decides."""
    bad = [one for one in samples if not one.passed]
    if bad:
        return Covering("failed", bad[0])
    return Covering("covers", samples[0]) if samples else Covering("missing")
