"""A specimen before and after: water taken up, and how its dimensions changed.

Read first: :func:`water_absorption` and :func:`dimensional_change`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_at_least
from beadwright.lab.density import Estimate

__all__ = ["WATER", "Change", "Immersed", "dimensional_change", "water_absorption"]

WATER = 1000.0
"""Density of water that the method reckons with, kg/m³; at 23 °C it has 997.5 (IAPWS-95)."""


@dataclass(frozen=True, slots=True)
class Immersed:
    """A specimen weighed before and after immersion: kg and m³, with standard uncertainties."""

    before_kg: ArrayLike
    after_kg: ArrayLike
    volume_m3: ArrayLike
    u_mass_kg: ArrayLike = 0.0
    """Of each of the two weighings, how well the surface was dried included."""
    u_volume_m3: ArrayLike = 0.0


@dataclass(frozen=True, slots=True)
class Change:
    """How a specimen's dimensions changed, as shares of what each was."""

    each: NDArray[np.float64]
    """Of each dimension, with its sign: below 0 it shrank."""
    worst: float
    """That of the largest size, with its sign; the first of equals."""
    dimension: int
    """Number of that dimension, from 0."""


def water_absorption(specimen: Immersed, water_kg_m3: float = WATER) -> Estimate:
    r"""Water taken up by immersion, as a share of the specimen's volume.

    .. math:: W = \frac{m_1 - m_0}{\rho_w V}, \qquad
              u^2(W) = \frac{2 u^2(m)}{\rho_w^2 V^2} + \left(\frac{W u(V)}{V}\right)^2

    Parameters
    ----------
    specimen : Immersed, shape (...)
        Masses, volume > 0, uncertainties >= 0. [kg, m^3]
    water_kg_m3 : float, optional
        Density of water, > 0. [kg/m^3]

    Returns
    -------
    absorbed : Estimate, shape (...)
        Share of the volume and its standard uncertainty. Below 0 the specimen lost mass: it was
        not dry before. [1]

    Raises
    ------
    OutOfRange
        If a mass, volume or density is not above 0, or an uncertainty is negative.

    Notes
    -----
    ASTM C272 itself reports per cent by mass; the limits for insulation boards are per cent by
    volume. The two differ by the foam's density: do not compare one with a limit of the other.

    References
    ----------
    .. [1] ASTM C578, absorption by total immersion for 24 h; EN 12087, 28 d. [from memory]
       ASTM C272, by mass. [read in: a second source that cites it]

    Examples
    --------
    A board of 12 by 12 by 1 in, 51.0 g before and 98.2 g after:

    >>> wet = water_absorption(Immersed(0.0510, 0.0982, 0.3048**2 * 0.0254))
    >>> float(wet.value)
    0.02
    """
    before, after, volume, u_mass, u_volume = np.broadcast_arrays(
        *(
            np.asarray(one, dtype=np.float64)
            for one in (
                specimen.before_kg, specimen.after_kg, specimen.volume_m3, specimen.u_mass_kg,
                specimen.u_volume_m3,
            )
        )
    )  # fmt: skip
    require_at_least(0, strict=True, before_kg=before, after_kg=after, volume_m3=volume)
    require_at_least(0, strict=True, water_kg_m3=water_kg_m3)
    require_at_least(0, u_mass_kg=u_mass, u_volume_m3=u_volume)
    share = (after - before) / (water_kg_m3 * volume)
    u = np.hypot(np.sqrt(2) * u_mass / (water_kg_m3 * volume), share * u_volume / volume)
    return Estimate(np.asarray(share), np.asarray(u))


def dimensional_change(before_m: ArrayLike, after_m: ArrayLike) -> Change:
    r"""Change of each dimension of one specimen, and the worst of them.

    .. math:: \varepsilon_i = (l_{i,1} - l_{i,0}) / l_{i,0}

    Parameters
    ----------
    before_m : array_like, shape (n,)
        Dimensions before exposure, > 0: length, width, thickness. [m]
    after_m : array_like, shape (n,)
        The same after. [m]

    Returns
    -------
    change : Change
        The largest size decides, whichever way it went.

    Raises
    ------
    OutOfRange
        If the two do not match, or a dimension is not above 0.

    References
    ----------
    .. [1] ASTM D2126, per cent of each axis; EN 1603 and EN 1604, the same of a board. That the
       worst axis decides: ASTM C578. [from memory]

    Examples
    --------
    >>> change = dimensional_change([0.1, 0.1, 0.025], [0.0991, 0.1004, 0.0251])
    >>> change.worst, change.dimension
    (-0.009, 0)
    """
    before, after = (np.asarray(one, dtype=np.float64) for one in (before_m, after_m))
    if before.ndim != 1 or before.shape != after.shape or not len(before):
        argument, valid = "after_m", "as many dimensions as before, one at least"
        raise OutOfRange(argument, after.shape, valid=valid)
    require_at_least(0, strict=True, before_m=before, after_m=after)
    each = after / before - 1
    number = int(np.argmax(np.abs(each)))
    return Change(each, float(each[number]), number)
