"""Scales as they are: each with a gain of its own, and noise; or exact.

Read :meth:`Scales.shown` first.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from beadwright.demo.simulated.works import DAY, Works

__all__ = ["LB", "Scales", "down"]

LB = 0.45359237


def down(kg: float, unit_kg: float, digits: int = 1) -> float:
    """The largest figure with so many decimals in a unit that is no more than a mass."""
    step = 10**digits
    return float(int(kg / unit_kg * step + 1e-6) / step)


@dataclass
class Scales:
    """What each scale shows of a true mass."""

    works: Works
    _gains: dict[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Take its own chance."""
        self._chance = self.works.chance("scales")
        self._exact = bool(self.works.parameters.sections["scales"]["exact"])

    def shown(self, scale: str, true: float, digits: int = 1) -> float:
        """Mass that a scale shows, in the unit of the mass, with so many decimals."""
        off = 0.0
        if not self._exact:
            of = self.works.parameters.number
            if scale not in self._gains:
                self._gains[scale] = float(self._chance.normal(0, of("scales", "gain")))
            off += self._gains[scale] + float(self._chance.normal(0, of("scales", "noise")))
        now = self.works.agenda.now
        drift = self.works.wrong("drifting_scale", now, scale)
        if drift is not None:
            off += drift.size * (now - drift.since) / DAY
            what = f"{scale} shows {1000 * drift.size:g} per thousand more each day"
            self.works.happened("drifting_scale", now, scale, what)
        return round(true * (1 + off), digits)

    def keyed(self, true: float) -> float:
        """Foam of one block, in pounds, as a press keys it in."""
        if self._exact:
            return true
        spread = self.works.parameters.number("scales", "foam")
        return round(true * (1 + float(self._chance.normal(0, spread))), 3)
