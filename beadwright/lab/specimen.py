"""A weighed and measured specimen, with its numbers as they were keyed.

Read first: :class:`Specimen`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from beadwright.lab.density import box_volume, cylinder_volume
from beadwright.units import Kind, from_si, to_si

__all__ = ["Keyed", "Specimen", "kind_of"]

_EDGES = 3


@dataclass(frozen=True, slots=True)
class Keyed:
    """A number as a person keyed it, with its unit."""

    number: Decimal
    unit: str

    def __str__(self) -> str:
        """Return number and unit, such as ``146.2 mm``."""
        return f"{self.number:f} {self.unit}"


@dataclass(frozen=True, slots=True)
class Specimen:
    """A weighed and measured specimen, in SI; ``keyed`` holds the numbers as they were typed.

    ``dims`` names its dimensions: with ``diameter`` and one more it is a cylinder, with three
    it is a cuboid. A field is ``mass`` or the name of a dimension. A field that is not in
    ``keyed`` is shown in g or mm.
    """

    name: str
    mass_kg: float | None
    dims: Mapping[str, float]
    keyed: Mapping[str, Keyed] = field(default_factory=dict)

    @property
    def values(self) -> dict[str, float]:
        """Each field's value in SI, dimensions first."""
        mass = {} if self.mass_kg is None else {"mass": self.mass_kg}
        return {**self.dims, **mass}

    @property
    def impossible(self) -> tuple[str, ...]:
        """The fields whose value is not a finite number above zero."""
        values = self.values.items()
        return tuple(name for name, value in values if not (math.isfinite(value) and value > 0))

    @property
    def density_kg_m3(self) -> float | None:
        """Mass over volume, None where either cannot be had."""
        if self.mass_kg is None or self.impossible:
            return None
        sizes = dict(self.dims)
        diameter = sizes.pop("diameter", None)
        if diameter is not None and len(sizes) == 1:
            return self.mass_kg / float(cylinder_volume(diameter, *sizes.values()))
        if diameter is None and len(sizes) == _EDGES:
            return self.mass_kg / float(box_volume(*sizes.values()))
        return None

    def as_keyed(self, name: str) -> Keyed:
        """Return a field's number and unit as keyed, or in g or mm."""
        return self.keyed.get(name) or self.in_unit(name, self.values[name])

    def in_unit(self, name: str, value: float) -> Keyed:
        """Return an SI value in the unit in which a field was keyed, to four figures or a tenth."""
        kept = self.keyed.get(name)
        unit = kept.unit if kept else ("g" if name == "mass" else "mm")
        if not math.isfinite(value):
            return Keyed(Decimal(repr(value)), unit)
        number = from_si(Decimal(repr(float(value))), unit, kind_of(name))
        places = max(1, 3 - number.adjusted()) if number else 1
        rounded = round(number, places)
        return Keyed(rounded.normalize() if rounded else rounded, unit)

    def meaning(self, name: str, keyed: Keyed) -> Specimen:
        """Return the specimen that it would be, had this been keyed in that field."""
        value = float(to_si(keyed.number, keyed.unit, kind_of(name)))
        mass_kg = value if name == "mass" else self.mass_kg
        dims = self.dims if name == "mass" else {**self.dims, name: value}
        return replace(self, mass_kg=mass_kg, dims=dims, keyed={**self.keyed, name: keyed})


def kind_of(name: str) -> Kind:
    """Return the kind of quantity that a field holds."""
    return "mass" if name == "mass" else "length"
