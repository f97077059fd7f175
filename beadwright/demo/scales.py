"""The scales behind the dryers of the pre-expanders: what they show of what goes into a silo.

Read :meth:`Scales.shown` first. One of them may drift from a day on: it shows a little more each
day, and nobody notices.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.demo.clock import DAY, day_start
from beadwright.demo.noise import Noise

__all__ = ["SCALES", "SPREAD", "Drift", "Scales", "draw_drift"]

SCALES = {"E1": "SC-E1", "E2": "SC-E2"}
"""By pre-expander."""

_FIRST, _LAST = 6, 8  # working days on which a drift begins
_A_DAY = (0.0012, 0.0018)
SPREAD = 0.002
"""Share of what is weighed by which a scale is off: one deviation."""


@dataclass(frozen=True)
class Drift:
    """A scale that shows more every day."""

    scale: str
    since: int
    per_day: float
    """Share of the mass."""

    def at(self, minute: int) -> float:
        """Share that it shows too much."""
        return max(0, minute - self.since) / DAY * self.per_day


def draw_drift(seed: int) -> Drift:
    """Draw which scale drifts, from when, by how much a day."""
    noise = Noise(seed, "drift")
    scale = noise.pick(tuple(SCALES.values()))
    since = day_start(noise.whole(_FIRST, _LAST)) + noise.whole(6, 20) * 60
    return Drift(scale, since, noise.between(*_A_DAY))


@dataclass
class Scales:
    """What each scale shows."""

    noise: Noise
    drift: Drift | None

    def shown(self, scale: str, minute: int, kg: float) -> float:
        """Mass that a scale shows at a time, in kilograms."""
        off = self.noise.normal(SPREAD)
        if self.drift is not None and self.drift.scale == scale:
            off += self.drift.at(minute)
        return round(kg * (1 + off), 1)
