"""When a rate of counts, or a share of bad pieces, stepped.

Read :func:`count_start` first.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import xlogy

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.statistics.changepoint.start import Profile, Start, weighed
from beadwright.statistics.requirements import require_series, require_where

__all__ = ["count_start", "share_start"]

_Floats = NDArray[np.float64]
_Log = Callable[[_Floats, _Floats, "_Floats | float"], _Floats]


def count_start(
    counts: ArrayLike,
    of: ArrayLike = 1.0,
    *,
    before: float | None = None,
    confidence: float = 0.95,
) -> Start:
    r"""Start of a step in a rate of counts (Poisson), such as defects per piece.

    .. math:: \log L_k = \sum_{\text{both}} c \log (c / m) - c

    with c the count and m the pieces of each side.

    Parameters
    ----------
    counts : array_like, shape (n,)
        How many were counted, in order, >= 0. [1]
    of : array_like, shape (n,), optional
        On how many pieces, in how many hours, each, above 0. [1]
    before : float, optional
        The rate before, where it is known, above 0. [1]
    confidence : float, optional
        As in :func:`~beadwright.statistics.changepoint.means.step_start`. [1]

    Returns
    -------
    start : Start
        As in :func:`~beadwright.statistics.changepoint.means.step_start`; the levels are rates.

    Raises
    ------
    OutOfRange
        If there are fewer than two counts, or a number is out of range.

    References
    ----------
    .. [1] A. E. Raftery and V. E. Akman, "Bayesian analysis of a Poisson process with a
       change-point", Biometrika 73 (1986) 85-89. [from memory]

    Examples
    --------
    >>> count_start([1, 0, 2, 1, 1, 0, 5, 6, 4, 7]).first
    6
    """
    number, size = _counted(counts, of)
    if before is not None:
        require_at_least(0, strict=True, before=before)

    def log(count: _Floats, pieces: _Floats, rate: _Floats | float) -> _Floats:
        return np.asarray(xlogy(count, rate) - np.asarray(rate) * pieces)

    return _of_counts(number, size, log, before, confidence)


def share_start(
    bad: ArrayLike,
    of: ArrayLike,
    *,
    before: float | None = None,
    confidence: float = 0.95,
) -> Start:
    """Start of a step in a share of bad pieces (binomial).

    Parameters
    ----------
    bad : array_like, shape (n,)
        Bad pieces, in order, >= 0. [1]
    of : array_like, shape (n,)
        Of how many, each. [1]
    before : float, optional
        The share before, where it is known, between 0 and 1. [1]
    confidence : float, optional
        As in :func:`~beadwright.statistics.changepoint.means.step_start`. [1]

    Returns
    -------
    start : Start
        As in :func:`~beadwright.statistics.changepoint.means.step_start`; the levels are shares.

    Raises
    ------
    OutOfRange
        If there are fewer than two numbers, or one is out of range.

    References
    ----------
    .. [1] J. J. Pignatiello and T. R. Samuel, "Identifying the time of a step-change in the
       process fraction nonconforming", Qual. Eng. 13 (2001) 357-365. [from memory]

    Examples
    --------
    >>> share_start([0, 1, 0, 0, 1, 4, 5, 3], 50).first
    5
    """
    number, size = _counted(bad, of)
    require_where(number <= size, "at most as many as there were", bad=number)
    if before is not None:
        require_between(0, 1, strict=True, before=before)

    def log(count: _Floats, pieces: _Floats, rate: _Floats | float) -> _Floats:
        return np.asarray(xlogy(count, rate) + xlogy(pieces - count, 1 - np.asarray(rate)))

    return _of_counts(number, size, log, before, confidence)


def _of_counts(
    number: _Floats,
    size: _Floats,
    log: _Log,
    before: float | None,
    confidence: float,
) -> Start:
    k = np.arange(0 if before is not None else 1, len(number))
    count, pieces = (np.concatenate([[0.0], np.cumsum(row)]) for row in (number, size))
    after_count, after_pieces = count[-1] - count[k], pieces[-1] - pieces[k]
    after = after_count / after_pieces
    gained = log(after_count, after_pieces, after)
    if before is not None:
        level = np.full(len(k), before)
        gained = gained - log(after_count, after_pieces, before)
        none = 0.0
    else:
        level = count[k] / pieces[k]
        gained = gained + log(count[k], pieces[k], level)
        none = float(log(count[-1:], pieces[-1:], count[-1:] / pieces[-1:])[0])
    profile = Profile("step", k, gained, none, level, after, np.zeros(len(k)))
    return weighed(profile, None, confidence)


def _counted(counts: ArrayLike, of: ArrayLike) -> tuple[_Floats, _Floats]:
    number, size = require_arrays(counts=counts, of=of)
    number = require_series(2, counts=number)
    size = np.broadcast_to(size, number.shape).astype(np.float64)
    require_at_least(0, counts=number)
    require_at_least(0, strict=True, of=size)
    return number, size
