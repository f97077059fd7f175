"""Samples of ageing beads as a plant follows them: weighed, assayed, compressed.

Read first: :class:`MeshSample`; ``pouch`` says what they tell.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least
from beadwright.science.ageing.gases import OXYGEN_SHARE
from beadwright.science.ageing.loss import PENTANE_DIFFUSIVITY
from beadwright.science.ageing.sphere import sphere_uptake
from beadwright.science.ageing.state import AgeingModel, Laid, SiloBeads

__all__ = ["Followed", "MeshSample", "PentaneAssays", "Rebounds", "SampledBeads"]

_Floats = NDArray[np.float64]

_STEPS = 8192
_END = 1.5
"""Root of tau at which a bead is full to 2e-10."""


@dataclass(frozen=True, slots=True)
class SampledBeads:
    """Beads of one grade, of which a sample was followed.

    ``radius_m`` has shape (classes,), of equal mass; ``temperature_k`` is that of the sample,
    one or one at each reading; ``pentane_per_dry`` as filled, per kg of dry polymer. They are
    taken to have no skin: what a skin does is in the numbers found.
    """

    bead_density_kg_m3: float
    radius_m: ArrayLike
    temperature_k: ArrayLike
    pentane_per_dry: float = 0.05
    u_pentane_per_dry: float = 0.0


@dataclass(frozen=True, slots=True)
class MeshSample:
    """Readings of a balance, net of mesh and of water, of one sample at several ages.

    Beads gain more weight of air than they lose of pentane, and both are in the reading.
    Shapes (readings,); ``u_mass_kg`` is the standard uncertainty of one, drying included.
    """

    beads: SampledBeads
    time_s: ArrayLike
    mass_kg: ArrayLike
    u_mass_kg: ArrayLike


@dataclass(frozen=True, slots=True)
class PentaneAssays:
    """Pentane per dry polymer found by a laboratory at several ages, shape (readings,)."""

    beads: SampledBeads
    time_s: ArrayLike
    pentane_per_dry: ArrayLike
    u_pentane_per_dry: ArrayLike


@dataclass(frozen=True, slots=True)
class Rebounds:
    """Rebound of beads over that of aged ones, as share of air, at several ages, (readings,)."""

    beads: SampledBeads
    time_s: ArrayLike
    air_share: ArrayLike
    u_air_share: ArrayLike


@dataclass(frozen=True, slots=True)
class Followed:
    """A sample's diffusion paths at its readings, for the defaults of the model."""

    laid: Laid
    count: int

    @classmethod
    def of(cls, beads: SampledBeads, time_s: ArrayLike) -> Followed:
        """Sample and times checked."""
        require_at_least(0, u_pentane_per_dry=beads.u_pentane_per_dry)
        (times,) = require_arrays(time_s=time_s)
        times = np.atleast_1d(times)
        temperature = np.atleast_1d(require_arrays(temperature_k=beads.temperature_k)[0])
        radius = np.atleast_1d(require_arrays(radius_m=beads.radius_m)[0])
        silo = SiloBeads(
            beads.bead_density_kg_m3,
            beads.pentane_per_dry,
            radius[np.newaxis],
            temperature[np.newaxis],
        )
        return cls(Laid.of(silo, times, AgeingModel()), times.size)

    def readings(self, **given: ArrayLike) -> list[_Floats]:
        """Each as one number for every time; given so, or as one for all of them."""
        found = []
        for name, values in given.items():
            (array,) = require_arrays(**{name: values})
            if array.ndim > 1 or array.size not in {1, self.count}:
                wanted = f"one for each of {self.count} times"
                raise OutOfRange(name, f"of shape {array.shape}", valid=wanted)
            found.append(np.broadcast_to(array, (self.count,)))
        return found

    def pentane_left(self, log_diffusivity: _Floats) -> _Floats:
        """Share of pentane left, (grid, readings)."""
        pace = np.exp(log_diffusivity / 2) / np.sqrt(PENTANE_DIFFUSIVITY.value)
        return 1 - self._uptake(self.laid.pentane_root, pace)

    def air_share(self, log_multiplier: _Floats) -> _Floats:
        """Share of air, (grid, readings)."""
        model, pace = self.laid.model, np.exp(log_multiplier / 2)
        ahead = np.sqrt(model.oxygen_mol_mspa / model.nitrogen_mol_mspa)
        slow = self._uptake(self.laid.air_root, pace)
        return (1 - OXYGEN_SHARE) * slow + OXYGEN_SHARE * self._uptake(
            self.laid.air_root, pace * ahead
        )

    def _uptake(self, root: _Floats, pace: _Floats) -> _Floats:
        """Mean over the classes, by a table as close as its straight lines: 3e-8."""
        by_class = root[0] / self.laid.radius[0][:, np.newaxis]
        place = pace[:, np.newaxis, np.newaxis] * (by_class * (_STEPS / _END))
        step = np.minimum(place.astype(np.intp), _STEPS - 1)
        value, rise = _table()
        come = value[step] + np.minimum(place - step, 1.0) * rise[step]
        return np.asarray(come.mean(axis=1))


@lru_cache(maxsize=1)
def _table() -> tuple[_Floats, _Floats]:
    value = sphere_uptake(np.linspace(0, _END, _STEPS + 1) ** 2)
    return value[:-1], np.diff(value)
