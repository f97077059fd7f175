"""How far judgements agree beyond what chance alone gives.

Read :func:`cohen_kappa` first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, ndtri

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.statistics.requirements import refuse, require_where

__all__ = ["Kappa", "cohen_kappa", "fleiss_kappa"]


@dataclass(frozen=True, slots=True)
class Kappa:
    """Agreement beyond chance: 1 of full agreement, 0 of none, below 0 of contradiction."""

    value: float
    u: float
    """Standard error."""
    lower: float
    upper: float
    z: float
    """Value by its standard error if there were no agreement beyond chance."""
    p: float
    """Chance of as much or more agreement if there were none beyond chance, to either side."""
    agreed: float
    """Share of agreement as it was seen."""


def cohen_kappa(table: ArrayLike, confidence: float = 0.95) -> Kappa:
    r"""Agreement of two judges, or of one with the truth, from their table.

    .. math::
        \kappa = \frac{p_o - p_e}{1 - p_e}, \quad p_o = \sum_i p_{ii}, \quad
        p_e = \sum_i p_{i \cdot} p_{\cdot i}

    Parameters
    ----------
    table : array_like, shape (k, k)
        Pieces by the first judge's class (row) and the second's (column), >= 0. [1]
    confidence : float, optional
        Of the interval. [1]

    Returns
    -------
    kappa : Kappa
        With the standard error of Fleiss, Cohen and Everitt.

    Raises
    ------
    OutOfRange
        If the table is not square with two classes at least, a count is negative or not finite,
        it is empty, or both judges use one and the same class only: then chance explains all.

    Notes
    -----
    The same agreement gives a small value where nearly all pieces are of one class: look at the
    shares as well.

    References
    ----------
    .. [1] J. Cohen, "A coefficient of agreement for nominal scales", Educ. Psychol. Meas. 20
       (1960) 37-46. [from memory]
    .. [2] J. L. Fleiss, J. Cohen and B. S. Everitt, "Large sample standard errors of kappa and
       weighted kappa", Psychol. Bull. 72 (1969) 323-327. [from memory]

    Examples
    --------
    >>> found = cohen_kappa([[20, 5], [10, 15]])
    >>> (round(found.value, 4), round(found.u, 4))
    (0.4, 0.127)
    """
    counts = _square(table)
    require_between(0, 1, strict=True, confidence=confidence)
    total = float(counts.sum())
    p = counts / total
    rows, columns, seen = p.sum(axis=1), p.sum(axis=0), float(np.trace(p))
    chance = float(rows @ columns)
    if chance >= 1:
        refuse("table", "of one class", "of two classes at least that were used")
    value = (seen - chance) / (1 - chance)
    away = 1 - value
    diagonal = np.diagonal(p)
    own = float((diagonal * (1 - (rows + columns) * away) ** 2).sum())
    mixed = p * (columns[:, None] + rows[None, :]) ** 2
    other = away**2 * float(mixed.sum() - np.trace(mixed))
    variance = own + other - (value - chance * away) ** 2
    none = chance + chance**2 - float((rows * columns * (rows + columns)).sum())
    scale = math.sqrt(total) * (1 - chance)
    u, u_none = math.sqrt(max(variance, 0.0)) / scale, math.sqrt(max(none, 0.0)) / scale
    return _kappa(value, u, u_none, seen, confidence)


def fleiss_kappa(counts: ArrayLike, confidence: float = 0.95) -> Kappa:
    r"""Agreement of several judges on several pieces.

    .. math::
        \kappa = \frac{\bar P - \bar P_e}{1 - \bar P_e}, \quad
        P_i = \frac{\sum_j n_{ij}^2 - n}{n (n - 1)}, \quad \bar P_e = \sum_j p_j^2

    Parameters
    ----------
    counts : array_like, shape (pieces, k)
        How many judgements put the piece into the class; as many for every piece, two at least.
        [1]
    confidence : float, optional
        Of the interval. [1]

    Returns
    -------
    kappa : Kappa
        With the standard error from leaving out one piece after the other.

    Raises
    ------
    OutOfRange
        If there are fewer than two pieces or classes, a count is negative or not finite, pieces
        were judged differently often or once only, or one class alone was used.

    References
    ----------
    .. [1] J. L. Fleiss, "Measuring nominal scale agreement among many raters", Psychol. Bull. 76
       (1971) 378-382; z by J. L. Fleiss, J. C. M. Nee and J. R. Landis, Psychol. Bull. 86 (1979)
       974-977. [from memory]

    Examples
    --------
    >>> round(fleiss_kappa([[0, 3], [3, 0], [1, 2], [3, 0]]).value, 4)
    0.6571
    """
    (table,) = require_arrays(counts=counts)
    require_between(0, 1, strict=True, confidence=confidence)
    if table.ndim != 2 or min(table.shape) < 2:  # noqa: PLR2004 - pieces and classes
        refuse("counts", f"of shape {table.shape}", "of two pieces and two classes at least")
    require_at_least(0, counts=table)
    sums = table.sum(axis=1)
    judged = float(sums[0])
    if judged < 2:  # noqa: PLR2004 - one judgement agrees with nothing
        refuse("counts", f"{judged:g} judgements of a piece", "two judgements at least of each")
    same = np.broadcast_to((sums == judged)[:, None], table.shape)
    require_where(same, f"one of {judged:g} judgements, as of the first piece", counts=table)
    value, agreed = _fleiss(table, judged)
    if math.isnan(value):
        refuse("counts", "of one class", "of two classes at least that were used")
    pieces = len(table)
    p = table.sum(axis=0) / table.sum()
    spread = float((p * (1 - p)).sum())
    none = spread**2 - float((p * (1 - p) * (1 - 2 * p)).sum())
    u_none = math.sqrt(2 / (pieces * judged * (judged - 1)) * max(none, 0.0)) / spread
    without = [_fleiss(np.delete(table, i, axis=0), judged)[0] for i in range(pieces)]
    left = np.array([one for one in without if not math.isnan(one)])
    u = (
        math.sqrt((pieces - 1) / pieces * float(((left - left.mean()) ** 2).sum()))
        if len(left)
        else math.nan
    )
    return _kappa(value, u, u_none, agreed, confidence)


def _square(table: ArrayLike) -> NDArray[np.float64]:
    (counts,) = require_arrays(table=table)
    if counts.ndim != 2 or counts.shape[0] != counts.shape[1] or len(counts) < 2:  # noqa: PLR2004
        refuse("table", f"of shape {counts.shape}", "square, of two classes at least")
    require_at_least(0, table=counts)
    if counts.sum() == 0:
        refuse("table", "empty", "a table with at least one piece")
    return counts


def _fleiss(table: NDArray[np.float64], judged: float) -> tuple[float, float]:
    """Value and share of agreement; no number where one class alone was used."""
    p = table.sum(axis=0) / table.sum()
    agreed = float((((table**2).sum(axis=1) - judged) / (judged * (judged - 1))).mean())
    chance = float((p**2).sum())
    return ((agreed - chance) / (1 - chance) if chance < 1 else math.nan), agreed


def _kappa(value: float, u: float, u_none: float, agreed: float, confidence: float) -> Kappa:
    reach = float(ndtri((1 + confidence) / 2)) * u
    z = value / u_none if u_none > 0 else math.copysign(math.inf, value)
    lower, upper = max(value - reach, -1.0), min(value + reach, 1.0)
    return Kappa(value, u, lower, upper, z, 2 * float(ndtr(-abs(z))), agreed)
