"""What passes through polystyrene, how fast, and what pressure stands behind it.

Read first: :func:`gas_diffusivity`. Permeabilities are in mol/(m s Pa); one barrer is 3.346e-16.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.science.constants import GAS_CONSTANT, SOLID_KG_M3
from beadwright.science.trust import NINE_IN_TEN, Parameter, Trust, stands

__all__ = [
    "AIR_ACTIVATION",
    "AIR_ACTIVATION_SD",
    "BARRER",
    "CARBON_DIOXIDE",
    "LIGHT_KG_M3",
    "NITROGEN",
    "OXYGEN",
    "OXYGEN_SHARE",
    "PERMEABILITY_SPREAD",
    "WATER",
    "arrhenius",
    "gas_diffusivity",
    "pentane_saturation",
    "water_saturation",
]

_Floats = NDArray[np.float64]

LIGHT_KG_M3 = 100.0
"""Density from which a foam is no longer thin walls around gas, and the cell model fails."""

BARRER = 3.346e-16
"""One barrer in mol/(m s Pa)."""

_JUDGED = "judged here, no source"
PERMEABILITY_SPREAD = Parameter("s_P", 0.7, 0.4, 1.0, "1", _JUDGED, memory=True)
"""Standard deviation of the logarithm of a permeability: orientation, wet skins, grade.

Nine in ten lie within a factor of 3.2 either way.
"""

_HANDBOOK = "Brandrup, Immergut, Grulke: Polymer Handbook, 4th ed., permeability of polystyrene"


def _permeability(symbol: str, barrer: float) -> Parameter:
    value = barrer * BARRER
    unit = "mol/(m s Pa)"
    off = float(np.exp(NINE_IN_TEN * PERMEABILITY_SPREAD.value))
    return Parameter(symbol, value, value / off, value * off, unit, _HANDBOOK, memory=True)


NITROGEN = _permeability("P_N2", 0.79)
"""Permeability of polystyrene at 25 °C; the range is that of oriented, wet cell walls."""

OXYGEN = _permeability("P_O2", 2.53)
"""The same for oxygen."""

CARBON_DIOXIDE = _permeability("P_CO2", 10.5)
"""The same for carbon dioxide."""

WATER = _permeability("P_H2O", 1120.0)
"""The same for water: a thousand times nitrogen's, so that vapour in a bead follows the room."""

AIR_ACTIVATION_SD = Parameter("s_E", 5e3, 3e3, 8e3, "J/mol", _JUDGED, memory=True)
"""Standard deviation of that of air, below."""

AIR_ACTIVATION = Parameter(
    "E_air", 30e3, 30e3 - NINE_IN_TEN * AIR_ACTIVATION_SD.value,
    30e3 + NINE_IN_TEN * AIR_ACTIVATION_SD.value, "J/mol", f"{_HANDBOOK}; how far off: {_JUDGED}",
    memory=True,
)  # fmt: skip
"""Activation energy of the permeation of nitrogen and of oxygen; nine in ten lie in its range."""

OXYGEN_SHARE = 0.2095
"""Of dry air, in moles; argon is counted with nitrogen, the slower of the two."""


@stands(Trust.EXACT, formula="f = exp[-E/R (1/T - 1/T₀)]", source="Arrhenius")
def arrhenius(
    activation_j_mol: ArrayLike, temperature_k: ArrayLike, reference_k: ArrayLike
) -> _Floats:
    r"""How many times faster a process runs than at its reference temperature.

    .. math:: f = \exp\left[-\frac{E}{R} \left(\frac{1}{T} - \frac{1}{T_0}\right)\right]

    Parameters
    ----------
    activation_j_mol : array_like, shape (...)
        Activation energy, >= 0. [J/mol]
    temperature_k : array_like, shape (...)
        Temperature, > 0. [K]
    reference_k : array_like, shape (...)
        Temperature at which the factor is 1, > 0. [K]

    Returns
    -------
    factor : ndarray, shape (...)
        Ratio of the two rates; the inputs broadcast. [1]

    Raises
    ------
    OutOfRange
        If a temperature is not above 0 K, or the activation energy negative.

    References
    ----------
    .. [1] S. Arrhenius, Z. phys. Chem. 4 (1889) 226. [from memory]

    Examples
    --------
    The permeation of air at 10 °C, beside 25 °C:

    >>> float(arrhenius(30e3, 283.15, 298.15))
    0.527
    """
    energy, temperature, reference = require_arrays(
        activation_j_mol=activation_j_mol, temperature_k=temperature_k, reference_k=reference_k
    )
    require_at_least(0, activation_j_mol=energy)
    require_at_least(0, strict=True, temperature_k=temperature, reference_k=reference)
    return np.asarray(np.exp(-energy / GAS_CONSTANT * (1 / temperature - 1 / reference)))


@stands(
    Trust.ESTIMATE,
    formula="D = P R T · 3 ρ_s / [ρ (1 - s)] / (1 - ρ/ρ_s)",
    source="cubic closed cells in series: walls resist, gas stores",
    cause="permeability of thin, oriented, wet cell walls is known to a factor of three",
    narrowed_by="rebound of beads against their age, which fits one multiplier for air",
)
def gas_diffusivity(
    permeability_mol_mspa: ArrayLike,
    bead_density_kg_m3: ArrayLike,
    temperature_k: ArrayLike,
    strut_share: ArrayLike = 0.0,
) -> _Floats:
    r"""Effective diffusivity of a permanent gas in a bead of closed cells.

    .. math:: D = P R T \, \frac{3 \rho_s}{\rho (1 - s)} \, \frac{1}{1 - \rho / \rho_s}

    Parameters
    ----------
    permeability_mol_mspa : array_like, shape (...)
        Permeability of the polymer at this temperature, > 0. [mol/(m s Pa)]
    bead_density_kg_m3 : array_like, shape (...)
        Density of a bead (not of a heap of them), above 0 and below 100. [kg/m^3]
    temperature_k : array_like, shape (...)
        Temperature, > 0. [K]
    strut_share : array_like, shape (...), optional
        Share of the polymer that sits in struts and not in walls, >= 0 and < 1. [1]

    Returns
    -------
    diffusivity_m2_s : ndarray, shape (...)
        Diffusivity of the gas's concentration in the cells; the inputs broadcast. [m^2/s]

    Raises
    ------
    OutOfRange
        If a density is not above 0 and below 100 kg/m³, a permeability or temperature not above
        0, or a strut share not from 0 to below 1.

    Notes
    -----
    Three walls' thickness in a cubic cell's width is ``ρ / ρ_s`` of it: a gas crosses a third of
    that. Stored is the gas in the cells alone, which holds for gases that polystyrene hardly
    dissolves, and not for pentane.

    References
    ----------
    .. [1] Series model of cubic closed cells, derived here. [common practice, no source]

    Examples
    --------
    Nitrogen in a bead of 36 kg/m³ at 25 °C:

    >>> float(gas_diffusivity(0.79 * BARRER, 36.0, 298.15)) * 1e11
    5.94
    """
    permeability, density, temperature, struts = require_arrays(
        permeability_mol_mspa=permeability_mol_mspa,
        bead_density_kg_m3=bead_density_kg_m3,
        temperature_k=temperature_k,
        strut_share=strut_share,
    )
    require_at_least(0, strict=True, permeability_mol_mspa=permeability)
    require_between(0, LIGHT_KG_M3, strict=True, bead_density_kg_m3=density)
    require_at_least(0, strict=True, temperature_k=temperature)
    require_between(0, np.nextafter(1.0, 0.0), strut_share=struts)
    walls = 3 * SOLID_KG_M3 / (density * (1 - struts))
    return np.asarray(
        permeability * GAS_CONSTANT * temperature * walls / (1 - density / SOLID_KG_M3)
    )


@stands(
    Trust.EXACT,
    formula="log₁₀(p/bar) = A - B/(T + C), of each isomer, weighed by its share",
    source="Antoine equation, constants of the NIST Chemistry WebBook; Raoult's law for the blend",
)
def pentane_saturation(temperature_k: ArrayLike, isopentane_share: ArrayLike = 0.0) -> _Floats:
    r"""Vapour pressure of liquid pentane.

    .. math:: \log_{10} \frac{p}{\mathrm{bar}} = A - \frac{B}{T + C}

    Parameters
    ----------
    temperature_k : array_like, shape (...)
        Temperature, from 253.15 to 378.15. [K]
    isopentane_share : array_like, shape (...), optional
        Share of isopentane in the pentane, from 0 to 1; the rest is n-pentane. [1]

    Returns
    -------
    pressure_pa : ndarray, shape (...)
        Within 0.6 % (n-pentane) and 2 % (isopentane) of the reference equations of state over
        the whole range, within 0.4 % up to 50 °C. [Pa]

    Raises
    ------
    OutOfRange
        If a temperature is outside the range, or the share not from 0 to 1.

    References
    ----------
    .. [1] NIST Chemistry WebBook, SRD 69, Antoine constants of n-pentane (268.8 to 341.4 K) and
       of 2-methylbutane. [from memory]

    Examples
    --------
    n-pentane and isopentane at 25 °C, in kPa:

    >>> (pentane_saturation(298.15, [0.0, 1.0]) / 1000).round(1).tolist()
    [68.3, 91.8]
    """
    temperature, share = require_arrays(
        temperature_k=temperature_k, isopentane_share=isopentane_share
    )
    require_between(253.15, 378.15, temperature_k=temperature)
    require_between(0, 1, isopentane_share=share)
    ten = np.log(10)
    normal = 1e5 * np.exp(ten * (3.9892 - 1070.617 / (temperature - 40.454)))
    iso = 1e5 * np.exp(ten * (3.90935 - 1018.516 / (temperature - 40.081)))
    return np.asarray(normal + share * (iso - normal))


_IF97 = (
    (0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5,
     -0.32325550322333e7, 0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6,
     -0.23855557567849, 0.65017534844798e3)
)  # fmt: skip


@stands(
    Trust.EXACT,
    formula="p/MPa = [2C / (-B + √(B² - 4AC))]⁴",
    source="IAPWS-IF97, equation 30",
)
def water_saturation(temperature_k: ArrayLike) -> _Floats:
    r"""Vapour pressure of water.

    .. math:: \frac{p}{\mathrm{MPa}} = \left[\frac{2 C}{-B + \sqrt{B^2 - 4 A C}}\right]^4

    Parameters
    ----------
    temperature_k : array_like, shape (...)
        Temperature, from 253.15 to 647.096; below 273.15 that of supercooled water. [K]

    Returns
    -------
    pressure_pa : ndarray, shape (...)
        Saturation pressure. [Pa]

    Raises
    ------
    OutOfRange
        If a temperature is outside the range.

    References
    ----------
    .. [1] IAPWS R7-97(2012), equation 30 and its ten constants. [from memory]

    Examples
    --------
    The standard's own table has 3.53658941e-3 MPa at 300 K:

    >>> float(water_saturation(300.0))
    3536.58941
    """
    (temperature,) = require_arrays(temperature_k=temperature_k)
    require_between(253.15, 647.096, temperature_k=temperature)
    n = _IF97
    theta = temperature + n[8] / (temperature - n[9])
    a = theta**2 + n[0] * theta + n[1]
    b = n[2] * theta**2 + n[3] * theta + n[4]
    c = n[5] * theta**2 + n[6] * theta + n[7]
    return np.asarray(1e6 * (2 * c / (-b + np.sqrt(b**2 - 4 * a * c))) ** 4)
