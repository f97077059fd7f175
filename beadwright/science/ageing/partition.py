"""Pentane in a bead: how much is dissolved in its walls, how much is vapour.

Contents are kg of pentane per kg of dry polymer (``per_dry``). Read first:
:func:`pentane_pressure`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.science.ageing.gases import LIGHT_KG_M3, pentane_saturation
from beadwright.science.constants import GAS_CONSTANT, MOLAR_PENTANE, SOLID_KG_M3
from beadwright.science.trust import Parameter, Trust, stands

__all__ = [
    "CHI",
    "LIQUID_PENTANE",
    "MOLAR_PENTANE",
    "dissolved_activity",
    "dissolved_ratio",
    "pentane_pressure",
    "saturated_ratio",
    "vapour_to_dissolved",
]

_Floats = NDArray[np.float64]

_SETTLED = 1e-15
_ATHERMAL = 0.5
"""Interaction up to which polymer and liquid mix in every ratio."""

LIQUID_PENTANE = Parameter(
    "ρ_5", 621.0, 614.0, 626.0, "kg/m^3", "reference equations of state at 25 °C, both isomers"
)
"""Density of liquid pentane."""

CHI = Parameter(
    "χ", 1.0, 0.9, 1.4, "1", "interaction of polystyrene and n-pentane at 25 °C", memory=True
)
"""Flory-Huggins interaction of pentane with polystyrene."""


@stands(
    Trust.EXACT,
    formula="a = φ exp[(1-φ) + χ(1-φ)²], φ = s/(1+s)",
    source="Flory, Principles of Polymer Chemistry, 1953, chapter XII",
)
def dissolved_activity(volume_ratio: ArrayLike, chi: ArrayLike = CHI.value) -> _Floats:
    r"""Activity of a liquid dissolved in a polymer of long chains.

    .. math::
        a = \phi \, e^{(1 - \phi) + \chi (1 - \phi)^2}, \qquad \phi = \frac{s}{1 + s}

    Parameters
    ----------
    volume_ratio : array_like, shape (...)
        Volume of the liquid over that of the polymer, s >= 0. [1]
    chi : array_like, shape (...), optional
        Interaction, from 0 to 3. [1]

    Returns
    -------
    activity : ndarray, shape (...)
        Vapour pressure over that of the pure liquid, never above 1: what the polymer cannot
        hold stands beside it as liquid. [1]

    Raises
    ------
    OutOfRange
        If a ratio is negative or an interaction not from 0 to 3.

    References
    ----------
    .. [1] P. J. Flory, "Principles of Polymer Chemistry", Ithaca 1953, chapter XII.
       [from memory]

    Examples
    --------
    A trace of it obeys Henry's law with the factor exp(1 + χ):

    >>> float(dissolved_activity(1e-9, 1.0)) * 1e9
    7.389
    """
    ratio, interaction = require_arrays(volume_ratio=volume_ratio, chi=chi)
    require_at_least(0, volume_ratio=ratio)
    require_between(0, 3, chi=interaction)
    free = np.where(ratio < saturated_ratio(interaction), _activity(ratio, interaction), 1.0)
    return np.minimum(free, 1.0)


@stands(
    Trust.EXACT,
    formula="s at which φ exp[(1-φ) + χ(1-φ)²] first reaches 1",
    source="Flory, Principles of Polymer Chemistry, 1953, chapter XII",
)
def saturated_ratio(chi: ArrayLike) -> _Floats:
    """Most of a liquid that a polymer dissolves, as volume of liquid over that of polymer.

    Parameters
    ----------
    chi : array_like, shape (...)
        Interaction, from 0 to 3. [1]

    Returns
    -------
    ratio : ndarray, shape (...)
        Infinite where the interaction is not above 1/2. [1]

    Raises
    ------
    OutOfRange
        If an interaction is not from 0 to 3.

    Examples
    --------
    >>> saturated_ratio([0.5, 1.0, 1.4]).round(3).tolist()
    [inf, 0.462, 0.193]
    """
    (interaction,) = require_arrays(chi=chi)
    require_between(0, 3, chi=interaction)
    # The activity rises up to φ = 1/(2χ), where it is above 1: halve below that.
    top = 1 / (2 * np.maximum(interaction, _ATHERMAL))
    low, high = np.zeros_like(top), top
    for _ in range(60):
        middle = (low + high) / 2
        below = np.log(middle) + (1 - middle) + interaction * (1 - middle) ** 2 < 0
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    bounded = interaction > _ATHERMAL
    return np.where(bounded, low / (1 - np.where(bounded, low, 0.0)), np.inf)


@stands(
    Trust.EXACT,
    formula="b = p_sat V_g M / (R T) · ρ_s / ρ_5, V_g = 1/ρ - 1/ρ_s",
    source="ideal gas in the cells",
)
def vapour_to_dissolved(
    bead_density_kg_m3: ArrayLike, temperature_k: ArrayLike, isopentane_share: ArrayLike = 0.0
) -> _Floats:
    r"""What the cells hold as saturated vapour, as volume of liquid over that of polymer.

    .. math::
        b = \frac{p_\mathrm{sat} V_g M}{R T} \, \frac{\rho_s}{\rho_5}, \qquad
        V_g = \frac{1}{\rho} - \frac{1}{\rho_s}

    Parameters
    ----------
    bead_density_kg_m3 : array_like, shape (...)
        Density of a bead, above 0 and below 100. [kg/m^3]
    temperature_k : array_like, shape (...)
        Temperature, from 253.15 to 378.15. [K]
    isopentane_share : array_like, shape (...), optional
        Share of isopentane in the pentane, from 0 to 1. [1]

    Returns
    -------
    ratio : ndarray, shape (...)
        The inputs broadcast. [1]

    Raises
    ------
    OutOfRange
        If a density is not above 0 and below 100 kg/m³, or a temperature outside its range.

    References
    ----------
    .. [1] The ideal gas; pentane at 25 °C deviates by 3 %. [from memory]

    Examples
    --------
    >>> float(vapour_to_dissolved(36.0, 298.15))
    0.0902
    """
    density, temperature, share = require_arrays(
        bead_density_kg_m3=bead_density_kg_m3,
        temperature_k=temperature_k,
        isopentane_share=isopentane_share,
    )
    require_between(0, LIGHT_KG_M3, strict=True, bead_density_kg_m3=density)
    room = (1 / density - 1 / SOLID_KG_M3) * MOLAR_PENTANE / (GAS_CONSTANT * temperature)
    held = pentane_saturation(temperature, share) * room
    return np.asarray(held * SOLID_KG_M3 / LIQUID_PENTANE.value)


@stands(
    Trust.ESTIMATE,
    formula="c = c_dissolved(p) + p V_g M/(R T), p = a p_sat",
    source="Flory-Huggins partition between the walls and the cells of a bead",
    cause="the interaction of pentane and polystyrene (0.9 to 1.4) is from memory",
    narrowed_by="sorption measured on the plant's own grade, or the rebound of fresh beads",
)
def pentane_pressure(
    pentane_per_dry: ArrayLike,
    bead_density_kg_m3: ArrayLike,
    temperature_k: ArrayLike,
    *,
    chi: ArrayLike = CHI.value,
    isopentane_share: ArrayLike = 0.0,
) -> _Floats:
    r"""Pressure of pentane in the cells of a bead that holds so much of it in all.

    .. math::
        c \, \frac{\rho_s}{\rho_5} = s + b \, a(s), \qquad p = a(s) \, p_\mathrm{sat}(T)

    with activity a of :func:`dissolved_activity` and b of :func:`vapour_to_dissolved`.

    Parameters
    ----------
    pentane_per_dry : array_like, shape (...)
        Pentane per dry polymer, >= 0. [kg/kg]
    bead_density_kg_m3 : array_like, shape (...)
        Density of a bead, above 0 and below 100. [kg/m^3]
    temperature_k : array_like, shape (...)
        Temperature, from 253.15 to 378.15. [K]
    chi : array_like, shape (...), optional
        Interaction, from 0 to 3. [1]
    isopentane_share : array_like, shape (...), optional
        Share of isopentane in the pentane, from 0 to 1. [1]

    Returns
    -------
    pressure_pa : ndarray, shape (...)
        At most the vapour pressure of the liquid; the inputs broadcast. [Pa]

    Raises
    ------
    OutOfRange
        If a content is negative, a density not above 0 and below 100 kg/m³, or a temperature,
        an interaction or a share outside its range.

    References
    ----------
    .. [1] P. J. Flory, "Principles of Polymer Chemistry", Ithaca 1953, chapter XII.
       [from memory]

    Examples
    --------
    A bead of 36 kg/m³ with 5 % of pentane at 25 °C has some 22 kPa of it, in kPa:

    >>> round(float(pentane_pressure(0.05, 36.0, 298.15)) / 1000, 1)
    22.5
    """
    content, density, temperature, interaction, share = np.broadcast_arrays(
        *require_arrays(
            pentane_per_dry=pentane_per_dry,
            bead_density_kg_m3=bead_density_kg_m3,
            temperature_k=temperature_k,
            chi=chi,
            isopentane_share=isopentane_share,
        )
    )
    require_at_least(0, pentane_per_dry=content)
    require_between(0, 3, chi=interaction)
    vapour = vapour_to_dissolved(density, temperature, share)
    ratio = dissolved_ratio(content * SOLID_KG_M3 / LIQUID_PENTANE.value, vapour, interaction)
    return dissolved_activity(ratio, interaction) * pentane_saturation(temperature, share)


@stands(
    Trust.EXACT,
    formula="s + b a(s) = u, by Newton's method from below",
    source="Flory, Principles of Polymer Chemistry, 1953, chapter XII",
)
def dissolved_ratio(total: ArrayLike, vapour: ArrayLike, chi: ArrayLike = CHI.value) -> _Floats:
    r"""How much of a liquid is dissolved, of all that a bead's walls and cells hold.

    .. math:: s + b \, a(s) = u

    Parameters
    ----------
    total : array_like, shape (...)
        All of it, as volume of liquid over that of polymer, u >= 0. [1]
    vapour : array_like, shape (...)
        What the cells hold when saturated, on the same scale, b >= 0. [1]
    chi : array_like, shape (...), optional
        Interaction, from 0 to 3. [1]

    Returns
    -------
    ratio : ndarray, shape (...)
        Volume of dissolved liquid over that of polymer, at most the saturated ratio. [1]

    Raises
    ------
    OutOfRange
        If a number is negative, or an interaction not from 0 to 3.

    References
    ----------
    .. [1] P. J. Flory, "Principles of Polymer Chemistry", Ithaca 1953, chapter XII.
       [from memory]

    Examples
    --------
    Without cells all is dissolved:

    >>> dissolved_ratio(0.08, [0.0, 0.1]).round(3).tolist()
    [0.08, 0.05]
    """
    all_of_it, gas, interaction = np.broadcast_arrays(
        *require_arrays(total=total, vapour=vapour, chi=chi)
    )
    require_at_least(0, total=all_of_it, vapour=gas)
    require_between(0, 3, chi=interaction)
    limit = saturated_ratio(interaction)
    ratio = np.minimum(all_of_it / (1 + gas * np.exp(1 + interaction)), limit)
    # The activity bends down all the way, so that Newton's steps come up from below.
    for _ in range(60):
        activity, slope = _activity_and_slope(ratio, interaction)
        new = ratio + (all_of_it - ratio - gas * activity) / (1 + gas * slope)
        new = np.minimum(np.maximum(new, ratio), limit)
        if np.all(new - ratio <= _SETTLED * new):
            break
        ratio = new
    return np.asarray(ratio)


def _activity(ratio: _Floats, chi: _Floats) -> _Floats:
    rest = 1 / (1 + ratio)
    return np.asarray((1 - rest) * np.exp(rest + chi * rest**2))


def _activity_and_slope(ratio: _Floats, chi: _Floats) -> tuple[_Floats, _Floats]:
    """Activity, and its rise with the volume ratio."""
    rest = 1 / (1 + ratio)
    boost = np.exp(rest + chi * rest**2)
    share = 1 - rest
    return share * boost, rest**2 * boost * (1 - share - 2 * chi * share * rest)
