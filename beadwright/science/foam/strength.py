"""Strength from density: compressive at 10 % and flexural, as it is thought before a test.

Read first: :data:`COMPRESSIVE`. Fused foam is meant: no relation here knows how well beads fused,
and bending suffers from it first.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_between
from beadwright.science.foam.line import LinePrior
from beadwright.science.foam.relation import Relation
from beadwright.science.trust import Trust, stands

__all__ = ["COMPRESSIVE", "FLEXURAL", "annex_compressive", "safe_modulus"]

COMPRESSIVE = Relation(
    "compressive strength at 10 %",
    "Pa",
    # Four lines of the literature give 129 to 135 kPa at 21.6 kg/m³, slopes of 8.7 to 10.1; data
    # sheets of form-block foam lie lower, so that a plant may differ by more than they do.
    LinePrior(132e3, 15e3, 9.5e3, 1.5e3, 8e3),
    "EN 13163 annex and a geofoam guide, from memory; lines through ASTM D6817 and a data sheet",
)
"""Compressive strength at 10 % strain."""

FLEXURAL = Relation(
    "flexural strength",
    "Pa",
    LinePrior(260e3, 40e3, 12e3, 2.5e3, 20e3),
    "lines through ASTM D6817 and a data sheet",
)
"""Flexural strength of well fused foam."""

_ANNEX_LOW, _ANNEX_HIGH = 11.0, 46.0
_MODULUS_LOW, _MODULUS_HIGH = 12.0, 40.0


@stands(
    Trust.ESTIMATE,
    formula="σ10 = 10.0 ρ - 81.0 kPa",
    source="EN 13163, informative annex, from memory",
    cause="one line for all makers' foams, and nobody here has read it in the standard",
    narrowed_by="the plant's own compression tests with the density of each specimen",
)
def annex_compressive(density_kg_m3: ArrayLike) -> NDArray[np.float64]:
    r"""Mean compressive stress at 10 % strain by the European annex.

    .. math:: \sigma_{10} = 10.0 \rho - 81.0 \quad \text{(kPa)}

    Parameters
    ----------
    density_kg_m3 : array_like, shape (...)
        Foam density, 11 to 46. [kg/m^3]

    Returns
    -------
    stress_pa : ndarray, shape (...)
        Mean of many boards. [Pa]

    Raises
    ------
    OutOfRange
        If a density lies outside 11 to 46 kg/m³.

    References
    ----------
    .. [1] EN 13163:2012, informative annex on density relations. [from memory]

    Examples
    --------
    >>> float(annex_compressive(20.0))
    119000.0
    """
    (density,) = require_arrays(density_kg_m3=density_kg_m3)
    require_between(_ANNEX_LOW, _ANNEX_HIGH, density_kg_m3=density)
    return np.asarray((10.0 * density - 81.0) * 1e3)


@stands(
    Trust.ESTIMATE,
    formula="E = 0.45 ρ - 3 MPa",
    source="a conference article on geofoam, after Horvath",
    cause="a line meant to lie below most foams",
    narrowed_by="load-deflection curves of the plant's own compression tests",
)
def safe_modulus(density_kg_m3: ArrayLike) -> NDArray[np.float64]:
    r"""Initial tangent modulus in compression, by a line meant to be safe.

    .. math:: E = 0.45 \rho - 3 \quad \text{(MPa)}

    Parameters
    ----------
    density_kg_m3 : array_like, shape (...)
        Foam density, 12 to 40. [kg/m^3]

    Returns
    -------
    modulus_pa : ndarray, shape (...)
        Modulus. [Pa]

    Raises
    ------
    OutOfRange
        If a density lies outside 12 to 40 kg/m³.

    References
    ----------
    .. [1] J. S. Horvath's line, quoted in a conference article on polystyrene in civil
       engineering. [read in: a second source that cites it]

    Examples
    --------
    >>> float(safe_modulus(20.0))
    6000000.0
    """
    (density,) = require_arrays(density_kg_m3=density_kg_m3)
    require_between(_MODULUS_LOW, _MODULUS_HIGH, density_kg_m3=density)
    return np.asarray((0.45 * density - 3.0) * 1e6)
