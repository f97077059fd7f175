"""What is ordinary for a specimen: its nominal sizes, its siblings, the densities that can be.

Read first: :class:`Ordinary`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from beadwright.lab.specimen import Specimen

__all__ = ["Ordinary", "Siblings", "shown_density"]

# Widths as |ln(value / reference)|. Common practice, no source: typing slips are factors of 1.5
# and more, while specimens of one lot spread by some per cent.
_SPREAD_FLOOR = 0.10  # nearer to its siblings a density is ordinary, however tight they are
_SPREAD_CAP = 0.40  # a group that is half wrong must not make everything ordinary
_SIGMAS = 6.0
_MAD_TO_SIGMA = 1.4826  # of a normal distribution
_SIZE_WIDTH = 0.10
_MASS_WIDTH = 0.30
_ENOUGH = 3  # fewer members, and the median does not tell a wrong one from the rest
_PAIR = 2  # then each is compared with the other


@dataclass(frozen=True, slots=True)
class Ordinary:
    """What is ordinary for one specimen, as far as it is known.

    ``sizes`` holds the usual value of each field (mass too), ``stated`` those fields whose value
    is a nominal that somebody stated rather than the siblings' median.
    """

    sizes: Mapping[str, float]
    stated: frozenset[str]
    density_kg_m3: float | None
    width: float
    density_range: tuple[float, float] | None

    def is_ordinary(self, density: float | None) -> bool:
        """Return whether a density can be; one that is not known can."""
        if density is None:
            return True
        low, high = self.density_range or (0.0, math.inf)
        usual = self.density_kg_m3
        return low <= density <= high and (usual is None or _apart(density, usual) <= self.width)

    def is_near(self, name: str, value: float) -> bool:
        """Return whether a field's value is near its usual one; where none is known, it is."""
        width = _MASS_WIDTH if name == "mass" else _SIZE_WIDTH
        return name not in self.sizes or _apart(value, self.sizes[name]) <= width

    def distance(self, name: str, specimen: Specimen, *, by_density: bool) -> float:
        """Return how far a specimen's density, or else one of its fields, is from usual."""
        density, centre = specimen.density_kg_m3, self.density_kg_m3
        if centre is None and self.density_range:
            centre = math.sqrt(self.density_range[0] * self.density_range[1])
        if by_density and density and centre:
            return _apart(density, centre)
        return _apart(specimen.values[name], self.sizes[name]) if name in self.sizes else 0.0

    def complaint(self, density: float | None) -> str:
        """Return why a density is doubted."""
        reasons = []
        if self.density_kg_m3 is not None:
            reasons.append(f"{shown_density(self.density_kg_m3)} is usual for its siblings")
        if self.density_range is not None:
            low, high = self.density_range
            reasons.append(f"{low:g} to {high:g} kg/m³ can be")
        return f"density {shown_density(density or 0.0)}, where {' and '.join(reasons)}"


@dataclass(frozen=True, slots=True)
class Siblings:
    """Specimens with the same dimensions' names, and their medians."""

    members: Sequence[Specimen]
    medians: Mapping[str, float]
    density_kg_m3: float | None
    width: float

    @classmethod
    def of(cls, members: Sequence[Specimen]) -> Siblings:
        """Return siblings with the median of each field, and of the density with its spread."""
        columns: dict[str, list[float]] = {}
        for member in members:
            for name, value in member.values.items():
                if name not in member.impossible:
                    columns.setdefault(name, []).append(value)
        medians = {
            name: float(np.median(column))
            for name, column in columns.items()
            if len(column) >= _ENOUGH
        }
        densities = [each.density_kg_m3 for each in members]
        known = np.array([each for each in densities if each is not None])
        if len(known) < _ENOUGH:
            return cls(members, medians, None, _SPREAD_CAP)
        middle = float(np.median(known))
        spread = _SIGMAS * _MAD_TO_SIGMA * float(np.median(np.abs(np.log(known / middle))))
        return cls(members, medians, middle, min(max(spread, _SPREAD_FLOOR), _SPREAD_CAP))

    def ordinary_for(
        self,
        specimen: Specimen,
        nominal: Mapping[str, float],
        density_range: tuple[float, float] | None,
    ) -> Ordinary:
        """Return what is ordinary for one of them: the medians, or of two the other."""
        sizes, density = dict(self.medians), self.density_kg_m3
        if len(self.members) == _PAIR:
            other = self.members[1 if self.members[0] is specimen else 0]
            sizes = {
                name: value for name, value in other.values.items() if name not in other.impossible
            }
            density = other.density_kg_m3
        stated = {name: size for name, size in nominal.items() if name in specimen.values}
        return Ordinary(
            sizes={**sizes, **stated},
            stated=frozenset(stated),
            density_kg_m3=density,
            width=self.width,
            density_range=density_range,
        )


def shown_density(density_kg_m3: float) -> str:
    """Return a density to four figures, with its unit.

    Parameters
    ----------
    density_kg_m3 : float
        The density, >= 0. [kg/m^3]

    Returns
    -------
    text : str
        Such as ``21.63 kg/m³``.
    """
    figures = Decimal(repr(density_kg_m3)).adjusted()
    return f"{density_kg_m3:.{max(0, 3 - figures)}f} kg/m³"


def _apart(value: float, other: float) -> float:
    return abs(math.log(value / other))
