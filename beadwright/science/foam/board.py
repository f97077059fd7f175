"""The certified reference board of expanded polystyrene: for a heat-flow meter, not for product.

Read first: :func:`reference_board_conductivity`. Its density is far above a form block's.
"""

from __future__ import annotations

from dataclasses import dataclass

from numpy.typing import ArrayLike

from beadwright.errors import require_arrays, require_between
from beadwright.science.trust import Banded, Trust, stands

__all__ = ["REFERENCE_BOARD", "ReferenceBoard", "reference_board_conductivity"]


@dataclass(frozen=True, slots=True)
class ReferenceBoard:
    """A board's range, its equation's coefficients, and its expanded uncertainty as a share."""

    name: str
    low_kg_m3: float
    high_kg_m3: float
    coldest_k: float
    warmest_k: float
    constant: float
    per_kg_m3: float
    per_k: float
    expanded: float


REFERENCE_BOARD = ReferenceBoard(
    "NIST SRM 1453", 37.4, 45.8, 281.0, 313.0, 6.3054e-4, -4.1993e-5, 1.1650e-4, 0.015
)
"""The range was read in the certifier's abstract; coefficients and uncertainty are from memory."""


@stands(
    Trust.ESTIMATE,
    formula="λ = 6.3054e-4 - 4.1993e-5 ρ + 1.1650e-4 T",
    source="NIST SRM 1453, coefficients from memory; its range as published",
    cause="the certificate's own uncertainty of 1.5 %; its equation was not read there",
    narrowed_by="the certificate that came with the plant's board",
)
def reference_board_conductivity(density_kg_m3: ArrayLike, mean_temperature_k: ArrayLike) -> Banded:
    r"""Conductivity of the certified reference board, inside its certified range only.

    .. math:: \lambda = 6.3054 \cdot 10^{-4} - 4.1993 \cdot 10^{-5} \rho + 1.1650 \cdot 10^{-4} T

    Parameters
    ----------
    density_kg_m3 : array_like, shape (...)
        Density of the board, 37.4 to 45.8. [kg/m^3]
    mean_temperature_k : array_like, shape (...)
        Mean temperature, 281 to 313. [K]

    Returns
    -------
    conductivity : Banded, shape (...)
        Conductivity and its expanded uncertainty either way. [W/(m K)]

    Raises
    ------
    OutOfRange
        If density or temperature lie outside the certified range: the equation says nothing
        of product.

    References
    ----------
    .. [1] R. R. Zarr, "Expanded Polystyrene Board as a Standard Reference Material for Thermal
       Resistance Measurement Systems", ASTM STP 1320 (1997): range [read in: the source];
       coefficients [from memory].

    Examples
    --------
    >>> float(reference_board_conductivity(40.0, 297.15).value)
    0.03357
    """
    board = REFERENCE_BOARD
    density, temperature = require_arrays(
        density_kg_m3=density_kg_m3, mean_temperature_k=mean_temperature_k
    )
    require_between(board.low_kg_m3, board.high_kg_m3, density_kg_m3=density)
    require_between(board.coldest_k, board.warmest_k, mean_temperature_k=temperature)
    value = board.constant + board.per_kg_m3 * density + board.per_k * temperature
    return Banded.of(value, value * (1 - board.expanded), value * (1 + board.expanded))
