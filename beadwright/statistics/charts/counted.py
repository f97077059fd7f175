"""Counts as a chart needs them: how they vary, which limits they ask for, and exact limits.

Read :func:`counts_process`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import bdtr, gammaincc
from scipy.stats import chi2

from beadwright.errors import require_arrays, require_at_least
from beadwright.statistics.charts.chart import Baseline, Process, kept
from beadwright.statistics.ranges import mean_range
from beadwright.statistics.requirements import refuse, require_series

__all__ = [
    "Dispersion",
    "counting_spread",
    "counts_process",
    "dispersion",
    "exact_limits",
    "require_counts",
]

_WIDTH = 3.0
_TAIL = 0.0013498980316300946
"""Share of a normal distribution beyond three standard deviations, on one side."""

_FEW_DEFECTIVES, _FEW_DEFECTS = 5.0, 9.0
"""Mean counts below which limits are exact: common practice, no source."""

_SURE = 0.001
"""Chance of so large a dispersion below which counts are held to vary more than chance allows."""

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Dispersion:
    """How far counts vary, beside what chance alone gives."""

    ratio: float
    """Sum of squared standardised counts by its degrees of freedom: about 1 of chance alone."""
    p: float
    """Chance of so large a ratio if there were nothing but chance."""
    point_to_point: float
    """Standard deviation of standardised counts, from the moving ranges."""


def dispersion(counted: ArrayLike, inspected: ArrayLike, law: str = "poisson") -> Dispersion:
    r"""Tell whether counts vary more than chance allows.

    .. math:: \sum z_i^2 \sim \chi^2_{m - 1}, \quad z_i = (x_i - \hat x_i) / \sigma_i

    Parameters
    ----------
    counted : array_like, shape (m,)
        Counts. [1]
    inspected : array_like, shape (m,)
        Pieces or units, each time or one number for all, > 0. [1]
    law : {"poisson", "binomial"}
        Defects, or defectives of the pieces inspected.

    Returns
    -------
    dispersion : Dispersion
        With the chance of so large a ratio.

    Raises
    ------
    OutOfRange
        If there are fewer than two counts or none is above 0.

    References
    ----------
    .. [1] R. A. Fisher, "Statistical Methods for Research Workers", 1925, index of dispersion.
       [from memory]

    Examples
    --------
    >>> round(dispersion([10, 30, 10, 30], 1).ratio, 2)
    6.67
    """
    x, n = require_counts(counted, inspected, law)
    if len(x) < 2 or not x.sum() > 0:  # noqa: PLR2004 - one count has no spread
        refuse("counted", "too few", "two counts at least, not all 0")
    level = float(x.sum() / n.sum())
    z = (x / n - level) / np.maximum(counting_spread(level, n, law), 1e-300)
    square = float((z**2).sum())
    p = float(chi2.sf(square, len(x) - 1))
    return Dispersion(square / (len(x) - 1), p, float(np.abs(np.diff(z)).mean()) / mean_range(2))


def counts_process(
    counted: ArrayLike, inspected: ArrayLike, law: str = "poisson", baseline: Baseline | None = None
) -> Process:
    """Level of counts, and which limits they ask for.

    Parameters
    ----------
    counted : array_like, shape (m,)
        Counts. [1]
    inspected : array_like, shape (m,)
        Pieces or units, each time or one number for all, > 0. [1]
    law : {"poisson", "binomial"}
        Defects, or defectives of the pieces inspected.
    baseline : Baseline, optional
        What is left out, and the way: ``sigma``, ``exact`` or ``point to point``.

    Returns
    -------
    process : Process
        ``by`` says the way; the spread is 1 unless the counts vary more than chance allows.

    Raises
    ------
    OutOfRange
        If the counts cannot be, or the way is none of the three.

    References
    ----------
    .. [1] As of :func:`proportions`. [from memory]

    Examples
    --------
    >>> counts_process([1, 0, 2, 1], 1).by
    'exact'
    """
    x, n = require_counts(counted, inspected, law)
    asked = baseline or Baseline()
    good = kept(len(x), asked)
    if not good.any():
        refuse("counted", "nothing to estimate from", "one point at least")
    level = float(x[good].sum() / n[good].sum())
    own = (level, x[good], n[good], law)
    by = asked.by or _way(*own)
    if by not in {"sigma", "exact", "point to point"}:
        refuse("by", repr(by), "'sigma', 'exact' or 'point to point'")
    spread = dispersion(*own[1:]).point_to_point if by == "point to point" else 1.0
    return Process(level, spread, by, int(good.sum()), float(good.sum() - 1), asked.left_out)


def _beyond_chance(level: float, x: _Floats, n: _Floats, law: str) -> bool:
    """Whether counts vary too much even without the points beyond three sigma: one event is none.

    How widely they vary is then told by the moving ranges of all of them, which an event moves
    little.
    """
    inside = np.abs(x / n - level) <= _WIDTH * counting_spread(level, n, law)
    if inside.sum() < 2 or not x[inside].sum() > 0:  # noqa: PLR2004 - one count has no spread
        return False
    some = dispersion(x[inside], n[inside], law)
    return some.p < _SURE and dispersion(x, n, law).point_to_point > 1


def _way(level: float, x: _Floats, n: _Floats, law: str) -> str:
    if _beyond_chance(level, x, n, law):
        return "point to point"
    few = _FEW_DEFECTIVES if law == "binomial" else _FEW_DEFECTS
    least = float(n.min()) * (min(level, 1 - level) if law == "binomial" else level)
    return "exact" if least < few else "sigma"


def exact_limits(
    level: float, inspected: ArrayLike, law: str = "poisson", tail: float = _TAIL
) -> tuple[_Floats, _Floats]:
    """Smallest and largest count that no signal is given for, at most a tail beyond either.

    Parameters
    ----------
    level : float
        Mean rate or proportion, >= 0. [1]
    inspected : array_like, shape (m,)
        Pieces or units, > 0. [1]
    law : {"poisson", "binomial"}
        Defects, or defectives of the pieces inspected.
    tail : float, optional
        Chance that is allowed beyond each limit. [1]

    Returns
    -------
    least, most : ndarray, shape (m,)
        Counts; a count below the first or above the second signals. [1]

    References
    ----------
    .. [1] The distribution functions themselves. [common practice, no source]

    Examples
    --------
    >>> [float(x[0]) for x in exact_limits(16.0, [1.0])]
    [5.0, 29.0]
    """
    (n,) = require_arrays(inspected=np.atleast_1d(np.asarray(inspected, dtype=np.float64)))
    reach = float((level * n).max())
    top = int(reach + 12 * reach**0.5 + 40)
    k = np.arange(top + 1, dtype=np.float64)[:, None]
    if law == "binomial":
        below = np.where(k < n, bdtr(np.minimum(k, n), n.astype(np.int64), level), 1.0)
    else:
        below = gammaincc(k + 1, level * n)
    least = (below <= tail).sum(axis=0)
    most = (1 - below > tail).sum(axis=0)
    return least.astype(np.float64), most.astype(np.float64)


def require_counts(counted: ArrayLike, inspected: ArrayLike, law: str) -> tuple[_Floats, _Floats]:
    """Counts and what was inspected as rows of one length, or OutOfRange.

    Parameters
    ----------
    counted : array_like, shape (m,)
        Counts. [1]
    inspected : array_like, shape (m,)
        Pieces or units, each time or one number for all, > 0. [1]
    law : {"poisson", "binomial"}
        Defects, or defectives of the pieces inspected.

    Returns
    -------
    counted, inspected : ndarray, shape (m,)
        As numbers. [1]

    Raises
    ------
    OutOfRange
        If a count is negative, not whole, or above the pieces inspected.
    """
    x = require_series(1, counted=counted)
    require_at_least(0, counted=x)
    require_at_least(0, strict=True, inspected=inspected)
    sizes = np.asarray(inspected, dtype=np.float64)
    if sizes.ndim and sizes.shape != x.shape:
        refuse("inspected", f"of shape {sizes.shape}", f"one, or {len(x)} numbers")
    n = np.broadcast_to(sizes, x.shape).astype(np.float64)
    if (x != np.round(x)).any():
        refuse("counted", "not whole", "whole numbers")
    if law not in {"binomial", "poisson"}:
        refuse("law", repr(law), "'binomial' or 'poisson'")
    if law == "binomial" and (x > n).any():
        refuse("counted", "above the pieces inspected", "at most the pieces inspected")
    return x, n


def counting_spread(level: float, inspected: ArrayLike, law: str) -> _Floats:
    r"""Standard deviation of a share or a rate by chance alone.

    .. math:: \sqrt{p (1 - p) / n}, \quad \sqrt{u / n}

    Parameters
    ----------
    level : float
        Mean proportion or rate. [1]
    inspected : array_like, shape (m,)
        Pieces or units. [1]
    law : {"poisson", "binomial"}
        Defects, or defectives of the pieces inspected.

    Returns
    -------
    spread : ndarray, shape (m,)
        Of each point. [1]

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.3. [read in: a second source that
       cites it]
    """
    n = np.asarray(inspected, dtype=np.float64)
    variance = level * (1 - level) if law == "binomial" else level
    return np.sqrt(variance / n)
