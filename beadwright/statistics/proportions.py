"""A share of counted things, and between which shares it may lie.

Read :func:`proportion` first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy.special import betaincinv, ndtri

from beadwright.errors import require_between
from beadwright.statistics.requirements import refuse, require_whole

__all__ = ["Proportion", "proportion", "wilson"]


@dataclass(frozen=True, slots=True)
class Proportion:
    """So many of so many, and the interval of the share that they stand for."""

    count: int
    of: int
    share: float
    lower: float
    upper: float


def proportion(count: int, of: int, confidence: float = 0.95) -> Proportion:
    r"""A share with the interval of Clopper and Pearson: never too narrow.

    .. math::
        L = B_{\alpha/2}(x, n - x + 1), \qquad U = B_{1 - \alpha/2}(x + 1, n - x)

    Parameters
    ----------
    count : int
        How many x were so, >= 0. [1]
    of : int
        Of how many n, at least 1. [1]
    confidence : float, optional
        Of the interval, at least. [1]

    Returns
    -------
    proportion : Proportion
        Share and interval, from 0 to 1.

    Raises
    ------
    OutOfRange
        If a number is not whole or below its least, more were so than there were, or the
        confidence is not between 0 and 1.

    References
    ----------
    .. [1] C. J. Clopper and E. S. Pearson, "The use of confidence or fiducial limits illustrated
       in the case of the binomial", Biometrika 26 (1934) 404-413. [from memory]

    Examples
    --------
    >>> found = proportion(42, 50)
    >>> (found.share, round(found.lower, 3), round(found.upper, 3))
    (0.84, 0.709, 0.928)
    """
    _require_counts(count, of, confidence)
    tail = (1 - confidence) / 2
    lower = float(betaincinv(count, of - count + 1, tail)) if count > 0 else 0.0
    upper = float(betaincinv(count + 1, of - count, 1 - tail)) if count < of else 1.0
    return Proportion(count, of, count / of, lower, upper)


def wilson(count: int, of: int, confidence: float = 0.95) -> Proportion:
    r"""A share with the interval of Wilson: right on the average, for pictures.

    .. math::
        \frac{\hat p + z^2 / 2n \pm z \sqrt{\hat p (1 - \hat p) / n + z^2 / 4 n^2}}{1 + z^2 / n}

    Parameters
    ----------
    count : int
        How many were so, >= 0. [1]
    of : int
        Of how many n, at least 1. [1]
    confidence : float, optional
        Of the interval, about. [1]

    Returns
    -------
    proportion : Proportion
        Share and interval, from 0 to 1.

    Raises
    ------
    OutOfRange
        As in :func:`proportion`.

    References
    ----------
    .. [1] E. B. Wilson, "Probable inference, the law of succession, and statistical inference",
       J. Amer. Statist. Assoc. 22 (1927) 209-212. [from memory]

    Examples
    --------
    >>> found = wilson(81, 263)
    >>> (round(found.lower, 4), round(found.upper, 4))
    (0.2553, 0.3662)
    """
    _require_counts(count, of, confidence)
    z, share = float(ndtri((1 + confidence) / 2)), count / of
    middle = share + z * z / (2 * of)
    half = z * math.sqrt(share * (1 - share) / of + z * z / (4 * of * of))
    whole = 1 + z * z / of
    lower = 0.0 if count == 0 else (middle - half) / whole
    upper = 1.0 if count == of else (middle + half) / whole
    return Proportion(count, of, share, lower, upper)


def _require_counts(count: int, of: int, confidence: float) -> None:
    require_whole(0, count=count)
    require_whole(1, of=of)
    if count > of:
        refuse("count", count, f"at most {of}, as there were")
    require_between(0, 1, strict=True, confidence=confidence)
