"""The laboratory's day: what is in conditioning and ready when, and which tests are due.

Read :func:`laboratory`.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.plant.conditioning import SampleLot, samples
from beadwright.plant.dues import Due, due

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


def laboratory(plant_no: int, at_ms: int) -> Laboratory:
    """Give what is in conditioning, and what is due."""
    tests = due(plant_no, at_ms)
    waiting = tuple(one for one in tests if one.state != "in_time")
    return Laboratory(at_ms, samples(plant_no, at_ms), waiting, len(tests) - len(waiting))
