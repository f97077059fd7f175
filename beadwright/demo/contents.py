"""What is truly in a place: parcels, each a mass by where it came from.

Read :class:`Content` first. Beads leave a silo by a funnel: most of a draw is of what came in last,
the rest of what lies there longest.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

__all__ = ["Content", "Mix", "added", "scaled", "shares", "weight"]

Mix = dict[str, float]
"""Kilograms by bag of beads or carton of ties."""

_NOTHING = 1e-9


def weight(mix: Mapping[str, float]) -> float:
    """Mass of a mix, in kilograms."""
    return sum(mix.values())


def added(mixes: Iterable[Mapping[str, float]]) -> Mix:
    """All of some mixes together."""
    whole: Mix = {}
    for mix in mixes:
        for source, kg in mix.items():
            whole[source] = whole.get(source, 0.0) + kg
    return whole


def scaled(mix: Mapping[str, float], share: float) -> Mix:
    """A share of a mix."""
    return {source: kg * share for source, kg in mix.items()}


def shares(mix: Mapping[str, float]) -> dict[str, float]:
    """Shares of a mix's mass, to nine digits."""
    whole = weight(mix)
    return {source: round(kg / whole, 9) for source, kg in mix.items() if kg > 0}


@dataclass
class Content:
    """The parcels in a place, the oldest first; mixed through where ``newest`` is None."""

    newest: float | None = None
    """Share of a draw that comes from what came in last."""
    parcels: list[Mix] = field(default_factory=list)

    @property
    def kg(self) -> float:
        """Mass of all."""
        return sum(map(weight, self.parcels))

    def put(self, mix: Mix) -> None:
        """Let a parcel in, on top of the others."""
        if self.newest is None and self.parcels:
            self.parcels = [added([*self.parcels, mix])]
        else:
            self.parcels.append(dict(mix))

    def draw(self, kg: float) -> Mix:
        """Let so much out; all there is, where there is no more."""
        kg = min(kg, self.kg)
        if self.newest is None:
            return self._off(-1, kg)
        top = self._off(-1, kg * self.newest)
        return added([top, self._off(0, kg - weight(top))])

    def empty(self) -> Mix:
        """Take out everything."""
        whole, self.parcels = added(self.parcels), []
        return whole

    def _off(self, end: int, kg: float) -> Mix:
        """Take from one end until it is enough."""
        took: list[Mix] = []
        while kg > _NOTHING and self.parcels:
            parcel = self.parcels[end]
            there = weight(parcel)
            if there <= kg + _NOTHING:
                took.append(self.parcels.pop(end))
            else:
                took.append(scaled(parcel, kg / there))
                self.parcels[end] = scaled(parcel, 1 - kg / there)
            kg -= there
        return added(took)
