"""Pentane vapour in air: how much air dilutes it, and how its concentrations are written.

Read first: :data:`CAUTION`, which goes with every number of this module.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.science.constants import ATMOSPHERE_PA, BAROMETER_PA, GAS_CONSTANT, MOLAR_PENTANE
from beadwright.science.trust import Trust, stands

__all__ = [
    "CAUTION",
    "STRICTER_LIMIT",
    "WIDER_LIMIT",
    "DilutionTask",
    "LowerLimit",
    "dilution_air",
    "mg_m3_of",
    "ppm_of",
    "rounded_up",
    "vapour_density",
]

CAUTION = (
    "Calculated, not measured. Not a gas test, not permission to enter or do hot work. At a"
    " detector alarm leave, isolate, follow the site plan. Local code and licensed practice govern."
)

_ROOM_K = (233.15, 373.15)
_IDEAL_GAS = "ideal gas; molar mass of pentane 72.1488 g/mol"


@dataclass(frozen=True, slots=True)
class LowerLimit:
    """A published lower explosive limit: share of the volume, and who published it."""

    share: float
    source: str


STRICTER_LIMIT = LowerLimit(0.011, "IEC 60079-20-1:2010, n-pentane")
"""The default. Isopentane stands there at 1.3 vol %; a blend is taken as its lower part."""
WIDER_LIMIT = LowerLimit(0.015, "NIOSH, IDLH documentation for n-pentane (109-66-0); NFPA 497:2008")


@dataclass(frozen=True, slots=True)
class DilutionTask:
    """What is to be diluted, and how far: kg/s, K, Pa; share of the limit, mixing factor K >= 1.

    A share of 0.10 is where a space counts as hazardous, 0.25 what ventilation of a process is
    held to. K is 1 where air and vapour mix at once, up to 10 where they hardly do.
    """

    emission_kg_s: ArrayLike
    temperature_k: ArrayLike
    pressure_pa: ArrayLike
    share: ArrayLike = 0.10
    mixing: ArrayLike = 1.0
    limit: LowerLimit = STRICTER_LIMIT


@stands(Trust.EXACT, formula="rho = p M / (R T)", source=_IDEAL_GAS)
def vapour_density(temperature_k: ArrayLike, pressure_pa: ArrayLike) -> NDArray[np.float64]:
    r"""Density of undiluted pentane vapour, as if it were an ideal gas.

    .. math:: \rho = \frac{p M}{R T}

    Parameters
    ----------
    temperature_k : array_like, shape (...)
        Temperature of the room, 233.15 to 373.15. [K]
    pressure_pa : array_like, shape (...)
        Atmosphere of the room, 25 000 to 110 000. [Pa]

    Returns
    -------
    density : ndarray, shape (...)
        Mass of a volume of vapour; the inputs broadcast. [kg/m^3]

    Raises
    ------
    OutOfRange
        If a temperature or pressure is outside its range.

    References
    ----------
    .. [1] Ideal gas law; molar mass from the NIST Chemistry WebBook, C109660.
       [read in: a second source that cites it]

    Examples
    --------
    >>> float(vapour_density(298.15, 101_325.0))
    2.949
    """
    temperature, pressure = require_arrays(temperature_k=temperature_k, pressure_pa=pressure_pa)
    require_between(*_ROOM_K, temperature_k=temperature)
    require_between(*BAROMETER_PA, pressure_pa=pressure)
    return np.asarray(pressure * MOLAR_PENTANE / (GAS_CONSTANT * temperature))


@stands(Trust.EXACT, formula="mg/m3 = ppm p M / (R T)", source=_IDEAL_GAS)
def mg_m3_of(
    ppm: ArrayLike, temperature_k: ArrayLike = 298.15, pressure_pa: ArrayLike = ATMOSPHERE_PA
) -> NDArray[np.float64]:
    """Concentration by mass from parts per million of the volume.

    Parameters
    ----------
    ppm : array_like, shape (...)
        Pentane, parts per million of the volume, 0 to 1 000 000. [1]
    temperature_k : array_like, shape (...), optional
        Temperature, 233.15 to 373.15; limits for workplaces are written for 25 °C. [K]
    pressure_pa : array_like, shape (...), optional
        Pressure, 25 000 to 110 000. [Pa]

    Returns
    -------
    concentration_mg_m3 : ndarray, shape (...)
        The same by mass; the inputs broadcast. [mg/m^3]

    Raises
    ------
    OutOfRange
        If a number is outside its range.

    References
    ----------
    .. [1] Ideal gas law. [common practice, no source]
    .. [2] NIOSH, IDLH documentation for n-pentane (109-66-0), May 1994: 1000 ppm is printed as
       2950 mg/m³. [read in: the source]

    Examples
    --------
    >>> float(mg_m3_of(1000.0))
    2949.
    """
    (parts,) = require_arrays(ppm=ppm)
    require_between(0, 1e6, ppm=parts)
    return np.asarray(parts * vapour_density(temperature_k, pressure_pa))


@stands(Trust.EXACT, formula="ppm = mg/m3 R T / (p M)", source=_IDEAL_GAS)
def ppm_of(
    concentration_mg_m3: ArrayLike,
    temperature_k: ArrayLike = 298.15,
    pressure_pa: ArrayLike = ATMOSPHERE_PA,
) -> NDArray[np.float64]:
    """Parts per million of the volume from a concentration by mass.

    Parameters
    ----------
    concentration_mg_m3 : array_like, shape (...)
        Pentane by mass, >= 0. [mg/m^3]
    temperature_k : array_like, shape (...), optional
        Temperature, 233.15 to 373.15. [K]
    pressure_pa : array_like, shape (...), optional
        Pressure, 25 000 to 110 000. [Pa]

    Returns
    -------
    ppm : ndarray, shape (...)
        The same by volume; the inputs broadcast. [1]

    Raises
    ------
    OutOfRange
        If a number is outside its range.

    References
    ----------
    .. [1] Ideal gas law. [common practice, no source]

    Examples
    --------
    >>> float(ppm_of(2949.0))
    1000.0
    """
    (mass,) = require_arrays(concentration_mg_m3=concentration_mg_m3)
    require_at_least(0, concentration_mg_m3=mass)
    return np.asarray(mass / vapour_density(temperature_k, pressure_pa))


@stands(
    Trust.ESTIMATE,
    formula="Q = K E / (f L rho)",
    source="dilution ventilation, steady state; L from IEC 60079-20-1:2010 or NIOSH / NFPA 497",
    cause="how well air and vapour mix is a judgement: K from 1 to 10; the emission is an estimate",
    narrowed_by="measured flow of the extract and its concentration; a smoke test of the mixing",
)
def dilution_air(task: DilutionTask) -> NDArray[np.float64]:
    r"""Air that keeps steadily emitted pentane at a share of its lower explosive limit.

    .. math:: Q = \frac{K E}{f \, L \, \rho}, \qquad \rho = \frac{p M}{R T}

    Parameters
    ----------
    task : DilutionTask, shape (...)
        Emission E >= 0, temperature 233.15 to 373.15 and pressure 25 000 to 110 000 of the room,
        share f above 0 to 0.25, mixing factor K 1 to 10, and the limit L. [kg/s, K, Pa, 1]

    Returns
    -------
    air_m3_s : ndarray, shape (...)
        Fresh air; to be shown rounded up (:func:`rounded_up`), with :data:`CAUTION`. The inputs
        broadcast. [m^3/s]

    Raises
    ------
    OutOfRange
        If a number is outside its range.

    Notes
    -----
    At a tenth of the limit the mixture is only 0.2 % denser than air, so what is diluted does not
    sink; undiluted vapour at its source does. Dilution is no substitute for extract at the low
    places next to the beads, nor the other way round.

    References
    ----------
    .. [1] University of Toledo, industrial ventilation, formulae of chapter X: Q = (G/C) K.
       [read in: the source]
    .. [2] IEC 60079-20-1:2010, 1.1 vol %, and NFPA 497:2008, 1.5 vol %, as tabulated in a public
       library of chemical data; NIOSH, 1.5 vol %. [read in: a second source that cites it]

    Examples
    --------
    1 kg/h at a tenth of 1.5 vol %, at 20 °C, in m³/h; and of the stricter limit:

    >>> given = 1 / 3600, 293.15, 101_325.0
    >>> float(dilution_air(DilutionTask(*given, limit=WIDER_LIMIT)) * 3600)
    222.3
    >>> float(dilution_air(DilutionTask(*given)) * 3600)
    303.1
    """
    emission, share, mixing, density = require_arrays(
        emission_kg_s=task.emission_kg_s,
        share=task.share,
        mixing=task.mixing,
        temperature_k=vapour_density(task.temperature_k, task.pressure_pa),
    )
    require_at_least(0, emission_kg_s=emission)
    require_at_least(0, strict=True, share=share)
    require_between(0, 0.25, share=share)
    require_between(1, 10, mixing=mixing)
    require_between(0.005, 0.05, lower_limit=task.limit.share)
    return np.asarray(mixing * emission / (share * task.limit.share * density))


@stands(Trust.EXACT, formula="the least number of so many digits that is not below", source="rule")
def rounded_up(value: ArrayLike, digits: int = 2) -> NDArray[np.float64]:
    """Round a need up for show, never down.

    Parameters
    ----------
    value : array_like, shape (...)
        Number in any unit, >= 0. [1]
    digits : int, optional
        Digits to be shown, 1 to 6. [1]

    Returns
    -------
    rounded : ndarray, shape (...)
        Not below the value, except by the rounding of binary numbers (one part in 10^12). [1]

    Raises
    ------
    OutOfRange
        If a value is negative or not finite, or the digits are outside 1 to 6.

    References
    ----------
    .. [1] That a need for air is rounded up. [common practice, no source]

    Examples
    --------
    >>> rounded_up([0.0, 222.3, 838.0, 230.0]).tolist()
    [0.0, 230.0, 840.0, 230.0]
    """
    (number,) = require_arrays(value=value)
    require_at_least(0, value=number)
    require_between(1, 6, digits=digits)
    place = np.floor(np.log10(np.where(number > 0, number, 1.0))) - digits + 1
    # Divided by a whole power of ten, not multiplied by its inverse, 57 hundredths are 0.57.
    whole, part = 10.0 ** np.maximum(place, 0), 10.0 ** np.maximum(-place, 0)
    return np.asarray(np.ceil(number / whole * part * (1 - 1e-12)) * whole / part)
