"""The state of ageing beads: air, pentane and pressure inside them, silo by silo.

Read first: :func:`ageing_state`, which takes the series as they are; ``fast`` answers the same
question for thousands of silos.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.ageing.core import diffusion_path
from beadwright.science.ageing.gases import (
    AIR_ACTIVATION,
    LIGHT_KG_M3,
    NITROGEN,
    OXYGEN,
    OXYGEN_SHARE,
    gas_diffusivity,
    water_saturation,
)
from beadwright.science.ageing.loss import (
    DIFFUSIVITY_KELVIN,
    PENTANE_ACTIVATION,
    PENTANE_DIFFUSIVITY,
    pentane_diffusivity,
)
from beadwright.science.ageing.partition import CHI, pentane_pressure
from beadwright.science.ageing.sphere import bead_uptake
from beadwright.science.constants import ATMOSPHERE_PA
from beadwright.science.trust import Parameter, Trust, stands

__all__ = [
    "HANDBOOK_KELVIN",
    "HUMIDITY",
    "AgeingModel",
    "AgeingState",
    "Given",
    "Laid",
    "SiloBeads",
    "ageing_state",
    "size_classes",
]

_Floats = NDArray[np.float64]

HANDBOOK_KELVIN = 298.15
"""Temperature for which the permeabilities stand."""

HUMIDITY = Parameter(
    "φ", 0.8, 0.5, 1.0, "1", "damp beads in a silo, common practice, no source", memory=True
)
"""Of the air between the beads."""

_BY_SILO_AND_TIME = 2
_KELVIN = (253.15, 378.15)
_Kind = TypeVar("_Kind", "Given", "Laid")


@dataclass(frozen=True, slots=True)
class SiloBeads:
    """Beads in silos: one row a silo, its size classes of equal mass side by side.

    ``bead_density_kg_m3`` and ``pentane_per_dry`` (kg per kg of dry polymer, when filled) have
    shape (silos,); ``radius_m`` (silos, classes); ``temperature_k`` (silos,) where it stays, or
    (silos, times).
    """

    bead_density_kg_m3: ArrayLike
    pentane_per_dry: ArrayLike
    radius_m: ArrayLike
    temperature_k: ArrayLike


@dataclass(frozen=True, slots=True)
class AgeingModel:
    """What the physics takes for given until the plant has measured its own.

    ``air_multiplier`` multiplies both permeabilities (from rebound); ``pentane_m2_s`` is the
    diffusivity at 23 °C in a bead of 36 kg/m³ (from a mesh sample); both may be one for each
    silo. ``biot`` is a bead's radius over the thickness of bead that would resist as its skin
    does, taken as one for all gases and sizes; infinite where there is no skin.
    ``humidity`` is that of the air between the beads, ``air_at_start`` the share of
    air that a second pass begins with.
    """

    nitrogen_mol_mspa: float = NITROGEN.value
    oxygen_mol_mspa: float = OXYGEN.value
    air_activation_j_mol: float = AIR_ACTIVATION.value
    air_multiplier: ArrayLike = 1.0
    pentane_m2_s: ArrayLike = PENTANE_DIFFUSIVITY.value
    pentane_activation_j_mol: float = PENTANE_ACTIVATION.value
    chi: float = CHI.value
    isopentane_share: float = 0.0
    biot: float = np.inf
    humidity: float = HUMIDITY.value
    atmosphere_pa: float = ATMOSPHERE_PA
    air_at_start: float = 0.0


@dataclass(frozen=True, slots=True)
class AgeingState:
    """Air as share of the air outside, pentane per dry polymer, and pressure in the cells.

    Each of shape (silos, classes, times). ``pressure_pa`` is absolute: air, pentane and water.
    """

    air_share: _Floats
    pentane_per_dry: _Floats
    pressure_pa: _Floats


@dataclass(frozen=True, slots=True)
class Given:
    """Silos and model, checked and of fitting shapes: (silos,), or two-dimensional."""

    model: AgeingModel
    density: _Floats
    pentane: _Floats
    multiplier: _Floats
    diffusivity: _Floats
    radius: _Floats
    temperature: _Floats

    @classmethod
    def of(cls, silos: SiloBeads, model: AgeingModel) -> Given:
        """Check them."""
        _require_model(model)
        density, content, multiplier, diffusivity = np.broadcast_arrays(
            *(
                np.atleast_1d(it)
                for it in require_arrays(
                    bead_density_kg_m3=silos.bead_density_kg_m3,
                    pentane_per_dry=silos.pentane_per_dry,
                    air_multiplier=model.air_multiplier,
                    pentane_m2_s=model.pentane_m2_s,
                )
            )
        )
        radius, temperature = _shaped(silos, density)
        require_at_least(0, pentane_per_dry=content)
        require_at_least(0, strict=True, radius_m=radius, air_multiplier=multiplier)
        require_between(0, LIGHT_KG_M3, strict=True, bead_density_kg_m3=density)
        require_between(*_KELVIN, temperature_k=temperature)
        return cls(model, density, content, multiplier, diffusivity, radius, temperature)

    def part(self, some: slice) -> Given:
        """A few of the silos."""
        return _part(self, some)

    def lay(self, time_s: ArrayLike) -> Laid:
        """Their diffusion paths."""
        model = self.model
        gas = gas_diffusivity(model.nitrogen_mol_mspa, self.density, HANDBOOK_KELVIN)
        pentane = pentane_diffusivity(
            DIFFUSIVITY_KELVIN, self.density, reference_m2_s=self.diffusivity
        )
        air_path = diffusion_path(
            time_s, self.temperature, model.air_activation_j_mol, HANDBOOK_KELVIN, 1.0
        )
        pentane_path = diffusion_path(
            time_s, self.temperature, model.pentane_activation_j_mol, DIFFUSIVITY_KELVIN
        )
        water = model.humidity * water_saturation(self.temperature)
        return Laid(
            model=model,
            air_root=np.sqrt((gas * self.multiplier)[:, np.newaxis] * air_path),
            pentane_root=np.sqrt(pentane[:, np.newaxis] * pentane_path),
            radius=self.radius,
            density=self.density,
            pentane=self.pentane,
            temperature=self.temperature,
            water=water,
            air=np.maximum(model.atmosphere_pa - water, 0.0),
        )


@dataclass(frozen=True, slots=True)
class Laid:
    """Silos as the series want them: roots of diffusion paths, and what stands outside.

    ``temperature``, ``water`` (vapour in beads and bag, Pa) and ``air`` (dry air between the
    beads, Pa) have shape (silos, times), or (silos, 1) where the temperature stays.
    """

    model: AgeingModel
    air_root: _Floats
    """sqrt(D t) of nitrogen, (silos, times). [m]"""
    pentane_root: _Floats
    """The same of pentane. [m]"""
    radius: _Floats
    density: _Floats
    pentane: _Floats
    temperature: _Floats
    water: _Floats
    air: _Floats

    @classmethod
    def of(cls, silos: SiloBeads, time_s: ArrayLike, model: AgeingModel) -> Laid:
        """Silos checked, and their diffusion paths."""
        return Given.of(silos, model).lay(time_s)

    def part(self, some: slice) -> Laid:
        """A few of the silos."""
        return _part(self, some)

    def state(self) -> AgeingState:
        """What the series themselves say."""
        model = self.model
        square = self.radius[:, :, np.newaxis] ** 2
        nitrogen = self.air_root[:, np.newaxis] ** 2 / square
        oxygen = nitrogen * (model.oxygen_mol_mspa / model.nitrogen_mol_mspa)
        pentane = self.pentane_root[:, np.newaxis] ** 2 / square
        come = (1 - OXYGEN_SHARE) * bead_uptake(nitrogen, model.biot)
        come += OXYGEN_SHARE * bead_uptake(oxygen, model.biot)
        share = model.air_at_start + (1 - model.air_at_start) * come
        content = self.pentane[:, np.newaxis, np.newaxis] * (1 - bead_uptake(pentane, model.biot))
        pressure = pentane_pressure(
            content,
            self.density[:, np.newaxis, np.newaxis],
            self.temperature[:, np.newaxis],
            chi=model.chi,
            isopentane_share=model.isopentane_share,
        )
        pressure = pressure + self.air[:, np.newaxis] * share + self.water[:, np.newaxis]
        return AgeingState(share, content, pressure)


@stands(
    Trust.EXACT,
    formula="a = d/2 exp(σ z), σ² = ln(1 + v²), z at the middle of each class's share",
    source="log-normal distribution of mass over diameter",
)
def size_classes(diameter_m: ArrayLike, spread: float = 0.15, count: int = 20) -> _Floats:
    r"""Radii of classes of equal mass, of beads whose diameters spread log-normally.

    .. math::
        a_k = \frac{d}{2} e^{\sigma z_k}, \qquad \sigma^2 = \ln(1 + v^2), \qquad
        \Phi(z_k) = \frac{k - 1/2}{n}

    Parameters
    ----------
    diameter_m : array_like, shape (silos,)
        Diameter below which half of the mass lies, > 0. [m]
    spread : float, optional
        Coefficient of variation of the diameters, by mass, from 0 to 1. [1]
    count : int, optional
        Classes, >= 1. [1]

    Returns
    -------
    radius_m : ndarray, shape (silos, count)
        Rising. [m]

    Raises
    ------
    OutOfRange
        If a diameter is not above 0, the spread not from 0 to 1, or the count below 1.

    References
    ----------
    .. [1] That bead diameters spread log-normally, by some 15 %. [common practice, no source]

    Examples
    --------
    >>> (size_classes([3e-3], 0.15, 3) * 2000).round(2).tolist()
    [[2.6, 3.0, 3.47]]
    """
    (diameter,) = require_arrays(diameter_m=diameter_m)
    require_at_least(0, strict=True, diameter_m=diameter)
    require_between(0, 1, spread=spread)
    require_at_least(1, count=count)
    seat = ndtri((np.arange(count) + 0.5) / count)
    return np.asarray(
        np.atleast_1d(diameter)[:, np.newaxis] / 2 * np.exp(np.sqrt(np.log1p(spread**2)) * seat)
    )


@stands(
    Trust.ESTIMATE,
    formula="p = p_air [0.79 M(τ_N2) + 0.21 M(τ_O2)] + p_C5(c) + p_H2O, c = c₀ [1 - M(τ_C5)]",
    source="Crank's sphere, one for each gas; Flory-Huggins partition of pentane",
    cause="permeability is known to a factor of three, pentane's diffusivity to one of seven",
    narrowed_by="rebound of beads against age, and a mesh sample weighed over two days",
)
def ageing_state(
    silos: SiloBeads, time_s: ArrayLike, model: AgeingModel | None = None
) -> AgeingState:
    r"""Air, pentane and pressure in the beads of every silo, by the series themselves.

    .. math::
        p = (p_0 - p_w) \left[x_N M\left(\frac{D_N t}{a^2}\right)
            + x_O M\left(\frac{D_O t}{a^2}\right)\right] + p_5(c) + p_w, \qquad
        c = c_0 \left[1 - M\left(\frac{D_5 t}{a^2}\right)\right]

    Parameters
    ----------
    silos : SiloBeads, shape (silos, classes)
        Densities above 0 and below 100, contents >= 0, radii > 0, temperatures from 253.15 to
        378.15. [kg/m^3, 1, m, K]
    time_s : array_like, shape (times,)
        Age of the beads, rising, >= 0. [s]
    model : AgeingModel, optional
        Numbers of the model; the defaults where none is given.

    Returns
    -------
    state : AgeingState, shape (silos, classes, times)
        Share of air, pentane per dry polymer, absolute pressure. [1, 1, Pa]

    Raises
    ------
    OutOfRange
        If a number is outside its range, or shapes do not fit.

    Notes
    -----
    Where temperature changes, each diffusivity is integrated over time. Water is taken to follow
    the air of the bag, as it passes polystyrene a thousand times faster than nitrogen. Pentane
    between the beads is neglected, and each gas is held to diffuse by itself.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., Oxford 1975, equations 6.20, 6.43.
       [read in: a second source that cites it]

    Examples
    --------
    Beads of 3 mm straight after cooling stand under a vacuum of three quarters of an
    atmosphere, and after ten hours press outwards:

    >>> beads = SiloBeads(36.0, 0.05, [[1.5e-3]], 298.15)
    >>> state = ageing_state(beads, [0.0, 36000.0])
    >>> (state.pressure_pa[0, 0] / 1000).round().tolist()
    [25.0, 120.0]
    """
    return Laid.of(silos, time_s, model or AgeingModel()).state()


def _part(whole: _Kind, some: slice) -> _Kind:
    arrays = {it.name: getattr(whole, it.name)[some] for it in fields(whole) if it.name != "model"}
    return replace(whole, **arrays)


def _shaped(silos: SiloBeads, density: _Floats) -> tuple[_Floats, _Floats]:
    """Radii as (silos, classes) and temperatures as (silos, times or 1)."""
    if density.ndim != 1:
        name, wanted = "bead_density_kg_m3", "one for each silo"
        raise OutOfRange(name, f"of shape {density.shape}", valid=wanted)
    count = density.size
    (radius,) = require_arrays(radius_m=silos.radius_m)
    (temperature,) = require_arrays(temperature_k=silos.temperature_k)
    radius = np.atleast_2d(radius)
    if temperature.ndim < _BY_SILO_AND_TIME:
        temperature = np.atleast_1d(temperature)[:, np.newaxis]
    for name, array in (("radius_m", radius), ("temperature_k", temperature)):
        if array.ndim != _BY_SILO_AND_TIME or array.shape[0] not in {1, count}:
            wanted = f"one row for each silo, of which there are {count}"
            raise OutOfRange(name, f"of shape {array.shape}", valid=wanted)
    return (
        np.broadcast_to(radius, (count, radius.shape[1])),
        np.broadcast_to(temperature, (count, temperature.shape[1])),
    )


def _require_model(model: AgeingModel) -> None:
    require_at_least(
        0,
        strict=True,
        nitrogen_mol_mspa=model.nitrogen_mol_mspa,
        oxygen_mol_mspa=model.oxygen_mol_mspa,
        atmosphere_pa=model.atmosphere_pa,
        pentane_m2_s=model.pentane_m2_s,
    )
    require_at_least(0, air_activation_j_mol=model.air_activation_j_mol)
    require_at_least(0, pentane_activation_j_mol=model.pentane_activation_j_mol)
    require_between(0, 1, humidity=model.humidity, air_at_start=model.air_at_start)
    require_between(0, 3, chi=model.chi)
    require_between(0, 1, isopentane_share=model.isopentane_share)
    if model.biot != np.inf:
        require_at_least(0, strict=True, biot=model.biot)
