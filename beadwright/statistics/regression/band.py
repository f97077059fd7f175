"""What a fitted line or curve says at a place, and the points it is fitted to.

Read :class:`Band` first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.statistics.requirements import refuse, require_series

__all__ = ["Band", "require_points"]


@dataclass(frozen=True, slots=True)
class Band:
    """A curve with the band about it, at each x asked for."""

    centre: NDArray[np.float64]
    lower: NDArray[np.float64]
    upper: NDArray[np.float64]


def require_points(
    x: ArrayLike, y: ArrayLike, least: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Points as two rows of one length, or OutOfRange.

    Parameters
    ----------
    x : array_like, shape (n,)
        Where, in any unit. [1]
    y : array_like, shape (n,)
        What was found there. [1]
    least : int
        How many points there must be. [1]

    Returns
    -------
    x, y : ndarray, shape (n,)
        The points. [1]

    Raises
    ------
    OutOfRange
        If there are too few, they differ in number, or one is not finite.
    """
    xs, ys = require_series(least, x=x), require_series(least, y=y)
    if len(xs) != len(ys):
        refuse("y", f"a row of {len(ys)}", f"a row of {len(xs)} numbers, as x")
    return xs, ys
