"""Where a go/no-go gauge turns, and how sharply, from how often it accepts known pieces.

Read :func:`fit_jig`. What it then lets through is
:func:`beadwright.statistics.conformity.global_risks`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import log_ndtr, ndtr

from beadwright.errors import require_at_least
from beadwright.statistics.requirements import refuse, require_series, require_where

__all__ = ["Jig", "fit_jig"]

_STEPS = 60


@dataclass(frozen=True, slots=True)
class Jig:
    """A gauge that accepts or rejects: where it does so as often as not, and its spread."""

    turning_point: float
    u_turning_point: float
    spread: float
    """Standard deviation of where it turns."""
    u_spread: float
    accepts_above: bool
    """Whether it accepts what is larger, or what is smaller."""

    def accepts(self, value: ArrayLike) -> NDArray[np.float64]:
        """Chance of accepting a piece of this size."""
        z = (np.asarray(value, dtype=np.float64) - self.turning_point) / self.spread
        return np.asarray(ndtr(z if self.accepts_above else -z))


def fit_jig(sizes: ArrayLike, accepted: ArrayLike, trials: ArrayLike) -> Jig:
    r"""Turning point and spread of a go/no-go gauge, by maximum likelihood.

    .. math:: P(\text{accepted} \mid x) = \Phi\left(\pm \frac{x - A}{\sigma}\right)

    Parameters
    ----------
    sizes : array_like, shape (n,)
        Pieces of known size x, in any unit; at least three. [1]
    accepted : array_like, shape (n,)
        How often each was accepted, >= 0. [1]
    trials : array_like, shape (n,) or ()
        How often each was tried, >= 1. [1]

    Returns
    -------
    jig : Jig
        In the unit of the sizes; its bias is the turning point less the limit.

    Raises
    ------
    OutOfRange
        If the rows do not fit, a number is not finite, a piece was accepted more often than
        tried, all or none were accepted, or the accepted and the rejected are parted by one
        size: then the spread cannot be told, and pieces nearer the limit are needed.

    Notes
    -----
    Normal spread, trials by themselves. Choose pieces of which some are accepted sometimes.

    References
    ----------
    .. [1] D. J. Finney, "Probit Analysis", 3rd ed., 1971: maximum likelihood. [from memory]

    Examples
    --------
    >>> jig = fit_jig([-1.0, 0.0, 1.0, 2.0], [20, 16, 4, 0], 20)
    >>> (round(jig.turning_point, 2), round(jig.spread, 2), jig.accepts_above)
    (0.5, 0.55, False)
    """
    x, k, n = _checked(sizes, accepted, trials)
    centre, scale = float(np.average(x, weights=n)), float(np.ptp(x))
    t = (x - centre) / scale
    share = float(((k / n - k.sum() / n.sum()) * n * t).sum())
    beta, information = np.array([0.0, math.copysign(1.0, share)]), np.eye(2)
    design = np.stack([np.ones_like(t), t], axis=1)
    for _ in range(_STEPS):
        z = design @ beta
        density = np.exp(-(z**2) / 2 - math.log(math.sqrt(2 * math.pi)))
        tails = np.exp(log_ndtr(z) + log_ndtr(-z))
        information = design.T @ (design * (n * density**2 / tails)[:, None])
        step = np.linalg.solve(information, design.T @ ((k - n * ndtr(z)) * density / tails))
        # A whole step may leave the region where the sum of squares is a good stand-in.
        beta = beta + step * min(1.0, 2.0 / float(np.abs(step).max()))
        if float(np.abs(step).max()) < 1e-12 * (1 + float(np.abs(beta).max())):
            break
    covariance = np.linalg.inv(information)
    point, spread = -beta[0] / beta[1], 1 / abs(beta[1])
    slope = np.array([-1 / beta[1], beta[0] / beta[1] ** 2])
    return Jig(
        turning_point=centre + scale * float(point),
        u_turning_point=scale * math.sqrt(float(slope @ covariance @ slope)),
        spread=scale * float(spread),
        u_spread=scale * float(spread) ** 2 * math.sqrt(float(covariance[1, 1])),
        accepts_above=bool(beta[1] > 0),
    )


def _checked(
    sizes: ArrayLike, accepted: ArrayLike, trials: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    x, k = require_series(3, sizes=sizes), require_series(3, accepted=accepted)
    n = np.asarray(trials, dtype=np.float64)
    n = np.full(x.shape, float(n)) if n.ndim == 0 else require_series(3, trials=n)
    if not len(x) == len(k) == len(n):
        refuse("accepted", f"a row of {len(k)}", f"a row of {len(x)} numbers, as sizes")
    require_at_least(1, trials=n)
    require_at_least(0, accepted=k)
    require_where(k <= n, "at most as often as it was tried", accepted=k)
    if k.sum() in (0, n.sum()):
        refuse("accepted", "all or none", "some accepted and some rejected")
    taken, left = x[k > 0], x[k < n]
    if taken.min() >= left.max() or taken.max() <= left.min():
        wanted = "some accepted and rejected both, or mixed: take pieces nearer the limit"
        refuse("accepted", "parted by one size", wanted)
    return x, k, n
