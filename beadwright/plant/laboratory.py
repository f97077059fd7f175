"""The laboratory's day: what is in conditioning and ready when, and which tests are due.

Read :func:`laboratory`.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.plant.conditioning import SampleLot, samples
from beadwright.plant.dues import Due, due
from beadwright.plant.kept_curves import Waiting, waiting
from beadwright.plant.opening import Plant

__all__ = ["Laboratory", "laboratory"]


@dataclass(frozen=True, slots=True)
class Laboratory:
    """What a laboratory has before it at a time."""

    at_ms: int
    samples: tuple[SampleLot, ...]
    due: tuple[Due, ...]
    """Tests that are failed, overdue, never done or due soon, the worst first."""
    in_time: int
    """Tests that are in time."""
    curves: tuple[Waiting, ...]
    """Curves that are kept and of which no result is in the record, the newest first."""


def laboratory(plant: Plant, at_ms: int) -> Laboratory:
    """Give what is in conditioning, what is due, and which curves wait to be keyed."""
    tests = due(plant.no, at_ms)
    some = tuple(one for one in tests if one.state != "in_time")
    kept = samples(plant.no, at_ms)
    return Laboratory(at_ms, kept, some, len(tests) - len(some), waiting(plant.code))
