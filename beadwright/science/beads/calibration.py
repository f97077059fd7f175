"""What a plant's own weighings say of its packing, its products' foam volume and its tie lots.

Read first: :func:`through_origin`, which the others ask; a straight line that must pass through
nothing, because no foam weighs nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.constants import SOLID_KG_M3
from beadwright.science.trust import Trust, stands

__all__ = ["ThroughOrigin", "foam_volume", "packing_of_cups", "through_origin", "tie_lot_mass"]

_FEWEST = 2


@dataclass(frozen=True, slots=True)
class ThroughOrigin:
    """A fitted ratio y/x: its value, standard uncertainty, and the scatter about it.

    ``scatter`` is the standard deviation of y where x is 1, growing with x as the fit was told;
    ``u`` holds what is common to all points too, which no number of points makes smaller.
    """

    slope: float
    u: float
    scatter: float
    count: int
    dof: int


@stands(
    Trust.EXACT,
    formula="b = Σ x^(1-p) y / Σ x^(2-p), Var(y) = s² x^p",
    source="weighted least squares through the origin",
)
def through_origin(
    x: ArrayLike,
    y: ArrayLike,
    *,
    power: Literal[0, 1, 2] = 0,
    u_x: float = 0.0,
    u_common_y: float = 0.0,
) -> ThroughOrigin:
    r"""Slope of a line through the origin, by weighted least squares.

    .. math::
        b = \frac{\sum x^{1-p} y}{\sum x^{2-p} - (1-p)\, u_x^2 \sum x^{-p}}, \qquad
        u^2(b) = \frac{s^2}{\sum x^{2-p}}
                 + \left( u_c \frac{\sum x^{1-p}}{\sum x^{2-p}} \right)^2

    The term in :math:`u_x` undoes, to first order, what errors in x do to the slope.

    Parameters
    ----------
    x : array_like, shape (n,)
        At least two values, > 0. [1]
    y : array_like, shape (n,)
        As many values, >= 0. [1]
    power : {0, 1, 2}, optional
        p in Var(y) = s² x^p: 0 where y scatters alike everywhere, 1 for sums of x like parts,
        2 where it scatters by a share (the mean of ratios). [1]
    u_x : float, optional
        Standard uncertainty of each x, independent, >= 0. [1]
    u_common_y : float, optional
        Standard uncertainty of an error that all y share (one tie lot's mass), >= 0. [1]

    Returns
    -------
    fit : ThroughOrigin
        Slope in the unit of y over that of x.

    Raises
    ------
    OutOfRange
        If there are fewer than two points, shapes differ, an x is not above 0, or a y or an
        uncertainty is negative or not finite.

    References
    ----------
    .. [1] W. A. Fuller, "Measurement Error Models" (1987), 1.1, attenuation. [from memory]
    .. [2] W. G. Cochran, "Sampling Techniques", 3rd ed., 6.7, ratio estimators as weighted
       regressions. [from memory]

    Examples
    --------
    The ratio of sums, with what scatters about it:

    >>> fit = through_origin([10, 20, 20], [27.1, 53.9, 54.0], power=1)
    >>> float(fit.slope)
    2.70
    """
    xs, ys = _points(x, y)
    require_at_least(0, strict=True, x=xs)
    require_at_least(0, y=ys, u_x=u_x, u_common_y=u_common_y)
    base = float(np.sum(xs ** (2.0 - power)))
    bias = (1 - power) * u_x**2 * float(np.sum(xs ** float(-power)))
    if bias >= base:
        argument = "u_x"
        raise OutOfRange(argument, u_x, valid="small against x")
    slope = float(np.sum(xs ** (1.0 - power) * ys)) / (base - bias)
    dof = len(xs) - 1
    scatter2 = float(np.sum((ys - slope * xs) ** 2 / xs**power)) / dof
    common = u_common_y * float(np.sum(xs ** (1.0 - power))) / base
    u = float(np.hypot(np.sqrt(scatter2 / base), common))
    return ThroughOrigin(slope, u, float(np.sqrt(scatter2)), len(xs), dof)


@stands(
    Trust.EXACT,
    formula="φ = mean of ρ_bulk / ρ_bead",
    source="definition of the packing share, the plant's own cups",
)
def packing_of_cups(bulk_density_kg_m3: ArrayLike, bead_density_kg_m3: ArrayLike) -> ThroughOrigin:
    """Share of a heap that is bead, of one grade, from cups whose beads' volume was measured.

    Parameters
    ----------
    bulk_density_kg_m3 : array_like, shape (n,)
        Bulk density of each cup, > 0; ten cups or more. [kg/m^3]
    bead_density_kg_m3 : array_like, shape (n,)
        Density of the beads of that cup, by displacement, above its bulk density. [kg/m^3]

    Returns
    -------
    packing : ThroughOrigin
        The share, its uncertainty, and the scatter from cup to cup. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than two cups, shapes differ, or a density is out of range.

    References
    ----------
    .. [1] Ten cups, mean and standard deviation. [common practice, no source]

    Examples
    --------
    >>> fit = packing_of_cups([21.5, 21.7, 21.6], [36.0, 36.0, 36.0])
    >>> float(fit.slope)
    0.600
    """
    names = ("bulk_density_kg_m3", "bead_density_kg_m3")
    bulk, bead = _points(bulk_density_kg_m3, bead_density_kg_m3, names=names)
    require_between(0, SOLID_KG_M3, strict=True, bulk_density_kg_m3=bulk, bead_density_kg_m3=bead)
    return through_origin(bead, bulk, power=2)


@stands(
    Trust.EXACT,
    formula="m_foam = V ρ, through the origin",
    source="conservation of mass, the plant's own blocks",
)
def foam_volume(
    foam_mass_kg: ArrayLike,
    density_kg_m3: ArrayLike,
    *,
    u_density_kg_m3: float = 0.0,
    u_ties_kg: float = 0.0,
) -> ThroughOrigin:
    """Foam volume of a product, from blocks that were weighed and then cut.

    Parameters
    ----------
    foam_mass_kg : array_like, shape (n,)
        Dry foam of each block: its mass less its ties and water, > 0; 20 blocks or more. [kg]
    density_kg_m3 : array_like, shape (n,)
        Dry density of what was cut from that block, > 0. [kg/m^3]
    u_density_kg_m3 : float, optional
        Standard uncertainty of one such density, >= 0. [kg/m^3]
    u_ties_kg : float, optional
        Standard uncertainty of the ties of a block where all blocks hold one tie lot, >= 0. [kg]

    Returns
    -------
    volume : ThroughOrigin
        The volume, its uncertainty, and the scatter of the foam mass. [m^3]

    Raises
    ------
    OutOfRange
        If there are fewer than two blocks, shapes differ, or a mass, density or uncertainty is
        out of range.

    Notes
    -----
    Skins are denser than the core: cut samples with their skins on, over the whole thickness,
    or the volume comes out too large.

    References
    ----------
    .. [1] Conservation of mass. [common practice, no source]

    Examples
    --------
    >>> fit = foam_volume([1.410, 1.429, 1.448], [21.34, 21.63, 21.91])
    >>> round(float(fit.slope), 4)
    0.0661
    """
    mass, density = _points(foam_mass_kg, density_kg_m3, names=("foam_mass_kg", "density_kg_m3"))
    require_at_least(0, strict=True, foam_mass_kg=mass)
    require_between(0, SOLID_KG_M3, strict=True, density_kg_m3=density)
    require_at_least(0, u_density_kg_m3=u_density_kg_m3, u_ties_kg=u_ties_kg)
    return through_origin(density, mass, u_x=u_density_kg_m3, u_common_y=u_ties_kg)


@stands(
    Trust.EXACT,
    formula="m = Σ M / Σ n, s² = Σ (M - n m)² / n / (k - 1)",
    source="ratio of sums, the plant's own weighings",
)
def tie_lot_mass(count: ArrayLike, mass_kg: ArrayLike) -> ThroughOrigin:
    """Mass of one tie of a lot, from weighings of a handful at a time.

    Parameters
    ----------
    count : array_like, shape (n,)
        Ties in each weighing, > 0; two weighings or more. [1]
    mass_kg : array_like, shape (n,)
        Their mass, > 0. [kg]

    Returns
    -------
    tie : ThroughOrigin
        Mass of one tie and its uncertainty; ``scatter`` is the spread from tie to tie. [kg]

    Raises
    ------
    OutOfRange
        If there are fewer than two weighings, shapes differ, or a number is not above 0.

    Notes
    -----
    The balance's own error is common to all and is not in ``u``: add it.

    References
    ----------
    .. [1] W. G. Cochran, "Sampling Techniques", 3rd ed., 6.7. [from memory]

    Examples
    --------
    >>> float(tie_lot_mass([10, 10, 20], [2.71, 2.69, 5.40]).slope)
    0.270
    """
    number, mass = _points(count, mass_kg, names=("count", "mass_kg"))
    require_at_least(0, strict=True, count=number, mass_kg=mass)
    return through_origin(number, mass, power=1)


def _points(
    x: ArrayLike, y: ArrayLike, *, names: tuple[str, str] = ("x", "y")
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return two rows of numbers of one length, at least two."""
    xs, ys = require_arrays(**dict(zip(names, (x, y), strict=True)))
    for name, array in zip(names, (xs, ys), strict=True):
        if array.ndim != 1 or len(array) < _FEWEST:
            shape = f"of shape {array.shape}"
            raise OutOfRange(name, shape, valid=f"a row of at least {_FEWEST} numbers")
    if len(xs) != len(ys):
        raise OutOfRange(names[1], f"of shape {ys.shape}", valid=f"of shape {xs.shape}")
    return xs, ys
