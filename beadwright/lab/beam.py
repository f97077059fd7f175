"""A foam strip in bending: force to stress, deflection to strain, for each way of loading.

All follows from the theory of a slender, elastic beam on two supports; shear is left out, which
on a span of ten depths hides some 3 % of the modulus of a foam. Read first: :class:`Beam`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_at_least

__all__ = [
    "Beam",
    "Loading",
    "bending_force",
    "bending_strain",
    "bending_stress",
    "large_deflection",
    "loading_rate",
]


class Loading(StrEnum):
    """Where the load comes on, between the supports."""

    CENTRE = "centre"
    QUARTERS = "quarter points"
    THIRDS = "third points"

    @property
    def arm(self) -> float:
        """Distance from a support to the nearest load, as a share of the span."""
        return {"centre": 1 / 2, "quarter points": 1 / 4, "third points": 1 / 3}[self.value]


@dataclass(frozen=True, slots=True)
class Beam:
    """A strip on its supports, SI."""

    span_m: float
    """Between the supports."""
    width_m: float
    depth_m: float
    """Along the load."""
    loading: Loading = Loading.CENTRE
    deflection_at: Literal["mid-span", "loading point"] = "mid-span"
    """Where deflection is measured; the crosshead's travel is that of the loading points."""

    def __post_init__(self) -> None:
        """Refuse a dimension that is none."""
        require_at_least(
            0, strict=True, span_m=self.span_m, width_m=self.width_m, depth_m=self.depth_m
        )

    @property
    def strain_per_deflection(self) -> float:
        """Strain of the outer fibre by one metre of deflection, 1/m."""
        share = self.loading.arm
        if self.deflection_at == "mid-span":
            factor = 12 / (3 - 4 * share**2)
        else:
            factor = 3 / (share * (3 - 4 * share))
        return factor * self.depth_m / self.span_m**2

    @property
    def stress_per_force(self) -> float:
        """Stress of the outer fibre by one newton of the whole load, Pa/N."""
        return 3 * self.loading.arm * self.span_m / (self.width_m * self.depth_m**2)


def bending_stress(force_n: ArrayLike, beam: Beam) -> NDArray[np.float64]:
    r"""Stress in the outer fibre between the loads.

    .. math::
        S = \frac{3 P a}{b d^2}: \qquad \frac{3 P L}{2 b d^2} \text{ (centre)}, \quad
        \frac{3 P L}{4 b d^2} \text{ (quarter points)}, \quad \frac{P L}{b d^2}
        \text{ (third points)}

    Parameters
    ----------
    force_n : array_like, shape (...)
        The whole load P. [N]
    beam : Beam
        The strip on its supports.

    Returns
    -------
    stress_pa : ndarray, shape (...)
        Stress, of the sign of the force. [Pa]

    References
    ----------
    .. [1] ASTM C203-05a (2017), 1.1.1 and 1.1.2: the places of the loads; method II has them at
       the quarter points. [read in: a second source that cites it]
    .. [2] The formulas, by beam theory. [from memory]

    Examples
    --------
    4 in wide and 1 in deep on 10 in, 9.333 lbf at the centre, is 35 psi:

    >>> strip = Beam(span_m=0.254, width_m=0.1016, depth_m=0.0254)
    >>> round(float(bending_stress(9.3333 * 4.448222, strip)) / 6894.757, 3)
    35.000
    """
    return np.asarray(force_n, dtype=np.float64) * beam.stress_per_force


def bending_force(stress_pa: ArrayLike, beam: Beam) -> NDArray[np.float64]:
    r"""Load that brings the outer fibre to a stress: :func:`bending_stress` turned round.

    .. math:: P = \frac{S b d^2}{3 a}

    Parameters
    ----------
    stress_pa : array_like, shape (...)
        Stress S. [Pa]
    beam : Beam
        The strip on its supports.

    Returns
    -------
    force_n : ndarray, shape (...)
        The whole load. [N]

    References
    ----------
    .. [1] As :func:`bending_stress`. [from memory]

    Examples
    --------
    >>> strip = Beam(span_m=0.254, width_m=0.0762, depth_m=0.0254)
    >>> round(float(bending_force(35 * 6894.757, strip)) / 4.448222, 3)
    7.000
    """
    return np.asarray(stress_pa, dtype=np.float64) / beam.stress_per_force


def bending_strain(deflection_m: ArrayLike, beam: Beam) -> NDArray[np.float64]:
    r"""Strain of the outer fibre between the loads.

    .. math::
        \epsilon = \frac{k D d}{L^2}, \qquad k = \frac{12}{3 - 4 (a/L)^2}
        \text{ (mid-span)}, \quad k = \frac{3}{(a/L) (3 - 4 a/L)} \text{ (loading point)}

    so that k at mid-span is 6 (centre), 4.36 (quarter points) and 4.70 (third points), and at a
    loading point 6, 6 and 5.40.

    Parameters
    ----------
    deflection_m : array_like, shape (...)
        Deflection D where ``beam.deflection_at`` says. [m]
    beam : Beam
        The strip on its supports.

    Returns
    -------
    strain : ndarray, shape (...)
        Strain. [1]

    References
    ----------
    .. [1] ASTM C203-05a (2017): 6 and 4.36, and third points by ASTM D6272; all derived again
       from beam theory. [from memory]

    Examples
    --------
    >>> quarters = Beam(0.254, 0.1016, 0.0254, Loading.QUARTERS)
    >>> round(float(bending_strain(0.01, quarters)) * 0.254**2 / (0.01 * 0.0254), 2)
    4.36
    """
    return np.asarray(deflection_m, dtype=np.float64) * beam.strain_per_deflection


def loading_rate(strain_rate: float, beam: Beam) -> float:
    r"""Rate of the crosshead that strains the outer fibre at a rate.

    .. math:: R = \frac{Z L^2}{6 d} \text{ (centre and quarter points)}

    Parameters
    ----------
    strain_rate : float
        Strain by time Z. [1/s]
    beam : Beam
        The strip on its supports; the crosshead moves with the loading points.

    Returns
    -------
    rate_m_s : float
        The crosshead's. [m/s]

    References
    ----------
    .. [1] ASTM C203-05a (2017), for methods I and II. [from memory]

    Examples
    --------
    At 0.1 a minute, 1 in deep on 10 in: 1.667 in a minute.

    >>> round(loading_rate(0.1 / 60, Beam(0.254, 0.1016, 0.0254)) * 60 / 0.0254, 3)
    1.667
    """
    moved = Beam(beam.span_m, beam.width_m, beam.depth_m, beam.loading, "loading point")
    return strain_rate / moved.strain_per_deflection


def large_deflection(deflection_m: ArrayLike, beam: Beam) -> NDArray[np.float64]:
    r"""By what the plain stress is to be multiplied where a strip loaded at its centre sags far.

    .. math:: 1 + 6 \left( \frac{D}{L} \right)^2 - 3 \frac{D d}{L^2}

    The supports push square to the sagging strip, so inwards too; that push bends it further.

    Parameters
    ----------
    deflection_m : array_like, shape (...)
        Deflection D at mid-span, >= 0. [m]
    beam : Beam
        The strip, loaded at its centre.

    Returns
    -------
    factor : ndarray, shape (...)
        1 where it does not sag. [1]

    Raises
    ------
    OutOfRange
        If the strip is not loaded at its centre, or a deflection is below 0.

    Notes
    -----
    For supports without friction: within 0.5 % of the exact elastic line up to 15 % of the span.
    ASTM D790 writes 4 in place of 3 [from memory]. Neither stands in what was read of ASTM C203,
    so the plain stress stays the result and this stands beside it.

    References
    ----------
    .. [1] ISO 178, large deflections. [from memory]
    .. [2] ASTM D790-17, 5.1.2: beyond 10 % of the span. [read in: a second source that cites it]

    Examples
    --------
    >>> round(float(large_deflection(0.0254, Beam(0.254, 0.1016, 0.0127))), 4)
    1.0450
    """
    if beam.loading is not Loading.CENTRE:
        name, valid = "loading", "a load at the centre"
        raise OutOfRange(name, beam.loading.value, valid=valid)
    share = np.asarray(deflection_m, dtype=np.float64) / beam.span_m
    require_at_least(0, deflection_m=share)
    return np.asarray(1 + 6 * share**2 - 3 * share * beam.depth_m / beam.span_m)
