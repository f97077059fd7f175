"""How far a board or a panel is from square, straight and flat, from what a person measured.

Read first: :func:`squareness`. A form block's interlock and tie spacing have tolerances of their
own, which a plant sets: board standards do not give them.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_at_least, require_enough

__all__ = ["out_of_straight", "squareness", "squareness_of_diagonals", "trueness"]

_LEAST = 3


def squareness(gap_m: ArrayLike, leg_m: ArrayLike) -> NDArray[np.float64]:
    r"""Departure from a right angle, from the gap at the end of a square's leg.

    .. math:: S = g / L

    Parameters
    ----------
    gap_m : array_like, shape (...)
        Gap between the edge and the square where its leg ends, >= 0. [m]
    leg_m : array_like, shape (...)
        Length of the leg along that edge, > 0. [m]

    Returns
    -------
    squareness : ndarray, shape (...)
        Gap for each metre of edge; the inputs broadcast. [1]

    Raises
    ------
    OutOfRange
        If a gap is below 0 or a leg not above 0.

    References
    ----------
    .. [1] ASTM C550-15, 3.2.1: squareness is the lack of deviation from a right angle
       [read in: a second source that cites it]; EN 824, in mm/m [from memory].

    Examples
    --------
    1.5 mm at the end of a leg of 500 mm, 3 mm/m:

    >>> float(squareness(0.0015, 0.5))
    0.003
    """
    gap, leg = _two(gap_m, leg_m)
    require_at_least(0, gap_m=gap)
    require_at_least(0, strict=True, leg_m=leg)
    return np.asarray(gap / leg)


def squareness_of_diagonals(
    first_m: ArrayLike, second_m: ArrayLike, length_m: ArrayLike, width_m: ArrayLike
) -> NDArray[np.float64]:
    r"""Departure from a right angle, from the two diagonals of a face.

    .. math:: S = \frac{|d_1^2 - d_2^2|}{4 L W}

    Parameters
    ----------
    first_m : array_like, shape (...)
        One diagonal, > 0. [m]
    second_m : array_like, shape (...)
        The other, > 0. [m]
    length_m : array_like, shape (...)
        Edge of the face, > 0. [m]
    width_m : array_like, shape (...)
        The other edge, > 0. [m]

    Returns
    -------
    squareness : ndarray, shape (...)
        Cosine of the angle of the corner, which for a small departure is the gap for each metre
        of edge. [1]

    Raises
    ------
    OutOfRange
        If a length is not above 0.

    Notes
    -----
    Exact for a parallelogram, by the law of cosines. A face whose opposite edges differ needs the
    square: equal diagonals do not prove a right angle there.

    References
    ----------
    .. [1] Law of cosines. That a face is checked so: [common practice, no source].

    Examples
    --------
    Diagonals of a face of 4 ft by 16 in that differ by 1/8 in:

    >>> float(squareness_of_diagonals(1.28669, 1.28352, 1.2192, 0.4064))
    0.004111
    """
    first, second, length, width = np.broadcast_arrays(
        *(np.asarray(one, dtype=np.float64) for one in (first_m, second_m, length_m, width_m))
    )
    require_at_least(0, strict=True, first_m=first, second_m=second)
    require_at_least(0, strict=True, length_m=length, width_m=width)
    return np.asarray(np.abs(first**2 - second**2) / (4 * length * width))


def trueness(gap_m: ArrayLike, length_m: ArrayLike) -> NDArray[np.float64]:
    r"""Departure from straightness of an edge, or from flatness of a face, along a straightedge.

    .. math:: T = g_{max} / L

    Parameters
    ----------
    gap_m : array_like, shape (...)
        Largest gap under the straightedge, >= 0. [m]
    length_m : array_like, shape (...)
        Length over which the straightedge lay, > 0. [m]

    Returns
    -------
    trueness : ndarray, shape (...)
        Gap for each metre; the inputs broadcast. [1]

    Raises
    ------
    OutOfRange
        If a gap is below 0 or a length not above 0.

    References
    ----------
    .. [1] ASTM C550-15, 3.2.2: trueness is the lack of deviation from straightness or flatness.
       [read in: a second source that cites it]

    Examples
    --------
    1/32 in over a foot:

    >>> float(trueness(0.03125 * 0.0254, 0.3048))
    0.002604
    """
    gap, length = _two(gap_m, length_m)
    require_at_least(0, gap_m=gap)
    require_at_least(0, strict=True, length_m=length)
    return np.asarray(gap / length)


def out_of_straight(at_m: ArrayLike, height_m: ArrayLike) -> float:
    r"""Largest distance of an edge, or of a line on a face, from the line through its two ends.

    .. math:: g = \max_i \left| z_i - z_1 - (z_n - z_1) \frac{x_i - x_1}{x_n - x_1} \right|

    Parameters
    ----------
    at_m : array_like, shape (n,)
        Where along the edge each height was taken, three places at least, in order. [m]
    height_m : array_like, shape (n,)
        Height there over anything flat. [m]

    Returns
    -------
    distance : float
        For :func:`trueness` as its gap, where the edge bends one way. [m]

    Raises
    ------
    OutOfRange
        If there are fewer than three heights, the places do not rise, or the two do not match.

    References
    ----------
    .. [1] Straightness against a line through the ends. [common practice, no source]

    Examples
    --------
    >>> out_of_straight([0.0, 0.6, 1.2], [0.0010, 0.0025, 0.0010])
    0.0015
    """
    at, height = (np.asarray(one, dtype=np.float64) for one in (at_m, height_m))
    if at.ndim != 1 or at.shape != height.shape:
        argument, valid = "height_m", "one height for each place along the edge"
        raise OutOfRange(argument, height.shape, valid=valid)
    require_enough(_LEAST, "heights", height_m=len(height))
    require_at_least(-np.inf, at_m=at, height_m=height)
    if not np.all(np.diff(at) > 0):
        argument = "at_m"
        raise OutOfRange(argument, float(np.diff(at).min()), valid="rising along the edge")
    chord = height[0] + (height[-1] - height[0]) * (at - at[0]) / (at[-1] - at[0])
    return float(np.max(np.abs(height - chord)))


def _two(one: ArrayLike, other: ArrayLike) -> tuple[NDArray[np.float64], ...]:
    return tuple(
        np.broadcast_arrays(np.asarray(one, dtype=np.float64), np.asarray(other, dtype=np.float64))
    )
