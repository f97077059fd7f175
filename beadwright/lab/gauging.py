"""A block gauged hot at the press: what it will likely measure once it is a day old.

Read first: :func:`size_after_a_day`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from beadwright.errors import require_at_least
from beadwright.lab.density import Estimate

__all__ = ["size_after_a_day"]


def size_after_a_day(
    hot_m: ArrayLike, offset_m: ArrayLike, *, u_hot_m: ArrayLike = 0.0, u_offset_m: ArrayLike = 0.0
) -> Estimate:
    r"""Estimate of a dimension 24 h after moulding, from the block gauged hot.

    .. math:: L_{24} = L_{hot} - \Delta, \qquad u^2(L_{24}) = u^2(L_{hot}) + u^2(\Delta)

    Parameters
    ----------
    hot_m : array_like, shape (...)
        Dimension as gauged at the press, > 0. [m]
    offset_m : array_like, shape (...)
        What blocks of this mould lose from the press to 24 h, by the plant's own gauging of the
        same blocks twice, >= 0. [m]
    u_hot_m : array_like, shape (...), optional
        Standard uncertainty of the gauging, >= 0. [m]
    u_offset_m : array_like, shape (...), optional
        Standard uncertainty of the offset, block-to-block spread included, >= 0. [m]

    Returns
    -------
    size : Estimate, shape (...)
        Dimension at 24 h and its standard uncertainty. [m]

    Raises
    ------
    OutOfRange
        If the dimension is not above 0, or any other input is negative or not finite.

    Notes
    -----
    An estimate to warn by, no measurement: a block is judged by what it measures after 24 h. One
    offset holds for one mould, one density and one time after opening.

    References
    ----------
    .. [1] [common practice, no source]. Propagation: JCGM 100:2008, 5.1.2 [from memory].

    Examples
    --------
    48.16 in hot, of a mould whose blocks lose 0.12 in, is 48.04 in, which is 1.22022 m:

    >>> float(size_after_a_day(48.16 * 0.0254, 0.12 * 0.0254).value)
    1.220216
    """
    hot, offset, u_hot, u_offset = np.broadcast_arrays(
        *(np.asarray(one, dtype=np.float64) for one in (hot_m, offset_m, u_hot_m, u_offset_m))
    )
    require_at_least(0, strict=True, hot_m=hot)
    require_at_least(0, offset_m=offset, u_hot_m=u_hot, u_offset_m=u_offset)
    return Estimate(np.asarray(hot - offset), np.hypot(u_hot, u_offset))
