"""How fast pentane leaves a bead, until the plant has weighed a sample of its own.

Read first: :func:`pentane_diffusivity`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.science.ageing.gases import LIGHT_KG_M3, arrhenius
from beadwright.science.ageing.partition import CHI, vapour_to_dissolved
from beadwright.science.trust import NINE_IN_TEN, Parameter, Trust, stands

__all__ = [
    "DIFFUSIVITY_DENSITY",
    "DIFFUSIVITY_KELVIN",
    "PENTANE_ACTIVATION",
    "PENTANE_ACTIVATION_SD",
    "PENTANE_DIFFUSIVITY",
    "PENTANE_SPREAD",
    "pentane_diffusivity",
]

_Floats = NDArray[np.float64]

_BOARDS = (
    "worked out here from the time in which moulded boards came within 1 % of their final "
    "conductivity, 23 d at 23 °C and 5 d at 70 °C: Simpson et al. 2020, "
    "doi 10.1177/0262489320934263"
)
_JUDGED = "judged here, no source"
PENTANE_SPREAD = Parameter("s_5", 1.2, 0.8, 1.6, "1", _JUDGED, memory=True)
"""Standard deviation of the logarithm of pentane's diffusivity, before a sample was weighed.

Nine in ten lie within a factor of 7.2 either way.
"""

_OFF = float(np.exp(NINE_IN_TEN * PENTANE_SPREAD.value))
PENTANE_DIFFUSIVITY = Parameter(
    "D_5", 2.3e-13, 2.3e-13 / _OFF, 2.3e-13 * _OFF, "m^2/s",
    f"{_BOARDS}; how far off: {_JUDGED}", derived=True,
)  # fmt: skip
"""Effective diffusivity of pentane in a bead at 23 °C; one source and two plausible arguments.

The source states neither; nine in ten lie in its range.
"""

PENTANE_ACTIVATION_SD = Parameter("s_E5", 10e3, 5e3, 15e3, "J/mol", _JUDGED, memory=True)
"""Standard deviation of the activation energy, below."""

PENTANE_ACTIVATION = Parameter(
    "E_5", 27.4e3, 27.4e3 - NINE_IN_TEN * PENTANE_ACTIVATION_SD.value,
    27.4e3 + NINE_IN_TEN * PENTANE_ACTIVATION_SD.value, "J/mol",
    f"{_BOARDS}; how far off: {_JUDGED}", derived=True,
)  # fmt: skip
"""Apparent activation energy of the loss of pentane; nine in ten lie in its range."""

DIFFUSIVITY_KELVIN = 296.15
DIFFUSIVITY_DENSITY = 36.0
"""Bead density for which the default is taken; the source does not tell its own."""


@stands(
    Trust.ESTIMATE,
    formula="D = D₀ exp[-E/R (1/T - 1/T₀)] · ρ₀² S(ρ₀) / [ρ² S(ρ)]",
    source=_BOARDS,
    cause="one source for its size and its temperature; seven times either way",
    narrowed_by="a mesh sample weighed at 1, 4, 8, 24 and 48 hours",
)
def pentane_diffusivity(
    temperature_k: ArrayLike,
    bead_density_kg_m3: ArrayLike = DIFFUSIVITY_DENSITY,
    *,
    reference_m2_s: ArrayLike = PENTANE_DIFFUSIVITY.value,
    activation_j_mol: ArrayLike = PENTANE_ACTIVATION.value,
) -> _Floats:
    r"""Effective diffusivity of pentane in a bead.

    .. math::
        D = D_0 \, e^{-\frac{E}{R} (1/T - 1/T_0)} \, \frac{\rho_0^2 S(\rho_0)}{\rho^2 S(\rho)},
        \qquad S(\rho) = \frac{V_g M}{R T_0}
            + \frac{\rho_5}{\rho_s} \frac{1}{e^{1 + \chi} p_\mathrm{sat}}

    Parameters
    ----------
    temperature_k : array_like, shape (...)
        Temperature, > 0. [K]
    bead_density_kg_m3 : array_like, shape (...), optional
        Density of a bead, above 0 and below 100. A denser bead has thicker walls and dissolves
        more: pentane leaves it more slowly. [kg/m^3]
    reference_m2_s : array_like, shape (...), optional
        Diffusivity at 23 °C in a bead of 36 kg/m³, > 0. [m^2/s]
    activation_j_mol : array_like, shape (...), optional
        Activation energy, >= 0. [J/mol]

    Returns
    -------
    diffusivity_m2_s : ndarray, shape (...)
        Diffusivity of the whole content, dissolved and vapour; the inputs broadcast. [m^2/s]

    Raises
    ------
    OutOfRange
        If a temperature or the reference is not above 0, the density not above 0 and below
        100 kg/m³, or the activation energy negative.

    Notes
    -----
    The density's part is the series model of :func:`~beadwright.science.ageing.gas_diffusivity`
    with the walls' own store S beside the cells', at 23 °C and little pentane.

    References
    ----------
    .. [1] A. Simpson et al., Cellular Polymers (2020), doi 10.1177/0262489320934263, times at
       23 °C and 70 °C, from which the default is derived. [read in: a second source that cites it]

    Examples
    --------
    At 70 °C, in 1e-12 m²/s:

    >>> round(float(pentane_diffusivity(343.15)) * 1e12, 2)
    1.06
    """
    temperature, density, reference, energy = require_arrays(
        temperature_k=temperature_k,
        bead_density_kg_m3=bead_density_kg_m3,
        reference_m2_s=reference_m2_s,
        activation_j_mol=activation_j_mol,
    )
    require_between(0, LIGHT_KG_M3, strict=True, bead_density_kg_m3=density)
    require_at_least(0, strict=True, reference_m2_s=reference)
    hotter = arrhenius(energy, temperature, DIFFUSIVITY_KELVIN)
    lighter = _resistance(np.asarray(DIFFUSIVITY_DENSITY)) / _resistance(density)
    return np.asarray(reference * hotter * lighter)


def _resistance(density: _Floats) -> _Floats:
    """Walls times store of a bead of this density, up to a factor common to all."""
    vapour = vapour_to_dissolved(density, DIFFUSIVITY_KELVIN)
    return np.asarray(density**2 * (vapour + np.exp(-1 - CHI.value)))
