"""Thermal conductivity from density, for white beads and, apart from them, for grey ones.

Read first: :func:`conductivity_relation`. Two constants are remembered of one published line and
not which of them is the mean: the prior lies between them and holds both, until the plant has
measured.
"""

from __future__ import annotations

from enum import Enum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_between
from beadwright.science.constants import ZERO_CELSIUS_K
from beadwright.science.foam.line import LinePrior
from beadwright.science.foam.relation import CONDUCTION, RADIATION, Bead, Relation
from beadwright.science.trust import Parameter, Trust, stands

__all__ = [
    "GREY_AT_10_C",
    "PER_KELVIN",
    "AnnexLine",
    "annex_conductivity",
    "conductivity_relation",
]

PER_KELVIN = Parameter(
    "dλ/dT",
    1.6e-4,
    1.2e-4,
    2.1e-4,
    "W/(m K^2)",
    "a national laboratory's fit at 32 kg/m³ (1.37e-4), data sheets at 14 and 22 kg/m³",
)
"""How conductivity rises with mean temperature, near room temperature."""

GREY_AT_10_C = Parameter(
    "λ", 0.0310, 0.0295, 0.0335, "W/(m K)", "common practice, no source", memory=True
)
"""Conductivity of grey foam of 21.6 kg/m³ at 10 °C."""

_REFERENCE_K = 283.15
_COLDEST_K, _WARMEST_K = ZERO_CELSIUS_K, 318.15
_ANNEX_LOW, _ANNEX_HIGH = 8.0, 55.0


class AnnexLine(Enum):
    """The two constants remembered of the European annex; which one is the mean is not known."""

    LOWER = 0.025314
    UPPER = 0.0271742


@stands(
    Trust.ESTIMATE,
    formula="λ = constant + 5.1743e-5 ρ + 0.173606 / ρ",
    source="EN 13163, informative annex, from memory",
    cause="which of the two constants is the mean is not known, and they are 5 % apart",
    narrowed_by="the plant's own heat-flow-meter tests with the density of each specimen",
)
def annex_conductivity(density_kg_m3: ArrayLike, line: AnnexLine) -> NDArray[np.float64]:
    r"""Conductivity of white foam at 10 °C by the European annex, by one of its two lines.

    .. math:: \lambda = \lambda_0 + 5.1743 \cdot 10^{-5} \rho + \frac{0.173606}{\rho}

    Parameters
    ----------
    density_kg_m3 : array_like, shape (...)
        Foam density, 8 to 55. [kg/m^3]
    line : AnnexLine
        Which constant; there is no default, because the mean is in doubt.

    Returns
    -------
    conductivity_w_mk : ndarray, shape (...)
        Conductivity at a mean temperature of 10 °C. [W/(m K)]

    Raises
    ------
    OutOfRange
        If a density lies outside 8 to 55 kg/m³.

    References
    ----------
    .. [1] EN 13163:2012, informative annex on density relations. [from memory]

    Examples
    --------
    >>> float(annex_conductivity(20.0, AnnexLine.LOWER))
    0.03503
    """
    (density,) = require_arrays(density_kg_m3=density_kg_m3)
    require_between(_ANNEX_LOW, _ANNEX_HIGH, density_kg_m3=density)
    return np.asarray(line.value + CONDUCTION * density + RADIATION / density)


@stands(
    Trust.ESTIMATE,
    formula="white: a + b (5.1743e-5 ρ + 0.173606 / ρ); grey: a + b ρ; both + dλ/dT (T - 10 °C)",
    source="EN 13163 annex and the trade, from memory",
    cause="the literature's level is in doubt by 5 %, and grey foam's by more",
    narrowed_by="the plant's own heat-flow-meter tests at this mean temperature",
)
def conductivity_relation(bead: Bead, mean_temperature_k: float) -> Relation:
    """What is thought of conductivity against density, at the mean temperature of the tests.

    Parameters
    ----------
    bead : Bead
        White, or grey (infrared-absorbing): each has its own coefficients.
    mean_temperature_k : float
        Mean temperature of the tests, 273.15 to 318.15. [K]

    Returns
    -------
    relation : Relation
        For :func:`fit_relation`.

    Raises
    ------
    OutOfRange
        If the temperature lies outside 273.15 to 318.15 K.

    Notes
    -----
    In white foam the slope multiplies the annex's own shape, 1 being the annex. Grey foam
    stops radiation, so that its density matters less and the white shape is not its shape.

    Examples
    --------
    Between the annex's two lines at 10 °C:

    >>> round(conductivity_relation(Bead.WHITE, 283.15).prior.intercept, 4)
    0.0354
    """
    require_between(_COLDEST_K, _WARMEST_K, mean_temperature_k=mean_temperature_k)
    warmer = mean_temperature_k - _REFERENCE_K
    rise = PER_KELVIN.value * warmer
    # The range is taken as two standard uncertainties either way.
    u_rise = (PER_KELVIN.high - PER_KELVIN.low) / 4 * abs(warmer)
    if bead is Bead.GREY:
        u = (GREY_AT_10_C.high - GREY_AT_10_C.low) / 4
        level = GREY_AT_10_C.value + rise
        prior = LinePrior(level, float(np.hypot(u, u_rise)), -1.2e-4, 1.0e-4, 4e-4)
        return Relation("conductivity", "W/(m K)", prior, GREY_AT_10_C.source, bead=bead)
    ends = [float(annex_conductivity(21.6, line)) for line in AnnexLine]
    level = sum(ends) / 2 + rise
    u = 0.6 * (max(ends) - min(ends))
    return Relation(
        "conductivity",
        "W/(m K)",
        LinePrior(level, float(np.hypot(u, u_rise)), 1.0, 0.25, 5e-4),
        "EN 13163, informative annex, from memory: between its two lines",
        shape="radiation",
        bead=bead,
    )
