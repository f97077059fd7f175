"""Many tests at once: what is left of each when one has looked at all.

Read :func:`holm` first. The rate of false discoveries is the scientific library's.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_between
from beadwright.statistics.requirements import require_series

__all__ = ["holm"]


def holm(probabilities: ArrayLike) -> NDArray[np.float64]:
    """Probabilities of single tests, corrected for their number by Holm's steps.

    Parameters
    ----------
    probabilities : array_like, shape (n,)
        One of each test, from 0 to 1. [1]

    Returns
    -------
    corrected : ndarray, shape (n,)
        In the same order. [1]

    Raises
    ------
    OutOfRange
        If one is not between 0 and 1.

    References
    ----------
    .. [1] S. Holm, Scand. J. Statist. 6 (1979) 65-70. [from memory]

    Examples
    --------
    >>> holm([0.01, 0.04, 0.03]).round(3).tolist()
    [0.03, 0.06, 0.06]
    """
    single = require_series(1, probabilities=probabilities)
    require_between(0, 1, probabilities=single)
    order = np.argsort(single)
    stepped = single[order] * (len(single) - np.arange(len(single)))
    corrected = np.empty_like(single)
    corrected[order] = np.minimum(1.0, np.maximum.accumulate(stepped))
    return corrected
