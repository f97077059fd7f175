"""What a probe in the middle of a silo said since its first bead, and how that goes on.

Read :class:`Probe`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from beadwright.quality.readings import ReadingView
from beadwright.science.ageing import core_temperature

__all__ = ["Probe", "probe_of"]

_AHEAD_S = np.geomspace(600.0, 4e6, 60)
"""Times after the last reading at which the middle is worked out; 46 days, as the physics looks."""


@dataclass(frozen=True, slots=True)
class Probe:
    """Readings since the first bead came in; ages in s, temperatures in K. Never empty."""

    ages_s: tuple[float, ...]
    kelvin: tuple[float, ...]
    last_ms: int

    def onwards(self, room_k: float, bag_radius_m: float) -> tuple[list[float], list[float]]:
        """Give the readings, and after the last a middle that cools by conduction alone.

        The physics holds the last reading for ever; a bag that was read warm would stay so.
        """
        last_s, last_k = self.ages_s[-1], self.kelvin[-1]
        later = core_temperature(_AHEAD_S, bag_radius_m, last_k, room_k)
        return (
            [*self.ages_s, *(last_s + _AHEAD_S).tolist()],
            [*self.kelvin, *np.asarray(later).tolist()],
        )


def probe_of(readings: Iterable[ReadingView], first_ms: int, at_ms: int) -> Probe | None:
    """Give what a silo's probe said from its first bead to a time; None where it said nothing."""
    found: dict[int, float] = {}
    for one in readings:
        if first_ms <= one.at_ms <= at_ms and one.si is not None:
            found[one.at_ms] = one.si
    if not found:
        return None
    times = sorted(found)
    ages = tuple((one - first_ms) / 1000 for one in times)
    return Probe(ages, tuple(found[one] for one in times), times[-1])
