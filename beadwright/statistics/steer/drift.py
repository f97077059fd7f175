r"""Whether a series wanders, and how fast: exact test of no drift, and the forecast's weight.

Read first: :func:`no_drift_chance`, then :func:`fit_drift`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import integrate, optimize, signal

from beadwright.errors import OutOfRange, require_series

__all__ = ["Drift", "fit_drift", "no_drift_chance"]

_LEAST = 5
USUAL_WEIGHT, USUAL_SPREAD = 0.2, 0.1
"""Weight of the newest sample in industrial series, and how far it differs from one to the next:
0.1 to 0.3, G. E. P. Box and A. Luceño, 1997 [from memory]."""


@dataclass(frozen=True, slots=True)
class Drift:
    """How a series wanders: an integrated moving average, fitted to one or several runs."""

    weight: float
    """Weight of the newest deviation, drawn towards the usual by what this fit leaves open."""
    u_weight: float
    fitted: float
    """The weight that least squares gives alone."""
    sigma: float
    """Standard deviation of the one-step forecast error, by the weight that was fitted."""
    samples: int
    no_drift: float
    """Chance of a wander as large as this, or larger, where there is none."""


def no_drift_chance(runs: Sequence[ArrayLike]) -> float:
    r"""Give the chance of so much wander in series that do not wander but scatter about levels.

    .. math:: \eta = \frac{\sum_j n_j^{-1} \sum_t S_{jt}^2}{\sum_j \sum_t (e_{jt} - \bar e_j)^2},
              \qquad S_{jt} = \sum_{i \le t} (e_{ji} - \bar e_j)

    Each run has a level of its own. Against a random walk of the level this is the locally best
    invariant test. With one run, :math:`\eta / n` times n is the statistic of Kwiatkowski and
    others without lags; here its chance is exact for the number of samples at hand.

    Parameters
    ----------
    runs : sequence of array_like, each of shape (n,)
        Deviations in order; a run with fewer than three samples says nothing. [1]

    Returns
    -------
    chance : float
        From 0 to 1; 1 where no run says anything. [1]

    Raises
    ------
    OutOfRange
        If a number is not finite.

    Notes
    -----
    The sums of squares are quadratic forms in independent normals with the weights
    :math:`1 / (4 n \sin^2(\pi k / 2 n))` and 1, so the chance is that a weighted sum of squared
    normals lies above zero: Imhof's integral.

    References
    ----------
    .. [1] D. Kwiatkowski, P. C. B. Phillips, P. Schmidt, Y. Shin, Journal of Econometrics 54,
       1992, 159-178, table 1 [from memory].
    .. [2] J. P. Imhof, Biometrika 48, 1961, 419-426 [from memory].

    Examples
    --------
    >>> level = np.tile([1.0, -1.0], 20)
    >>> no_drift_chance([level]) > 0.99, no_drift_chance([np.linspace(-1, 1, 40)]) < 0.001
    (True, True)
    """
    squares, walk = 0.0, 0.0
    weights: list[NDArray[np.float64]] = []
    for run in runs:
        (e,) = require_series(deviations=run)
        if not np.isfinite(e).all():
            name = "deviations"
            raise OutOfRange(name, float("nan"), valid="finite numbers")
        if e.size < 3:  # noqa: PLR2004 - two samples have one difference, and no order
            continue
        off = e - e.mean()
        squares += float(np.sum(off**2))
        walk += float(np.sum(np.cumsum(off) ** 2)) / e.size
        k = np.arange(1, e.size)
        weights.append(1 / (4 * e.size * np.sin(np.pi * k / (2 * e.size)) ** 2))
    if not weights or squares == 0:
        return 1.0
    return _above_zero(np.concatenate(weights) - walk / squares)


def _above_zero(weights: NDArray[np.float64]) -> float:
    """Chance that a weighted sum of independent squared normals is above zero, by Imhof."""
    scale = float(np.max(np.abs(weights)))
    if scale == 0:
        return 0.0
    lam = weights / scale

    def integrand(u: float) -> float:
        angle = 0.5 * float(np.sum(np.arctan(lam * u)))
        shrinks = float(np.exp(-0.25 * np.sum(np.log1p((lam * u) ** 2))))
        return float(np.sin(angle)) * shrinks / u

    # Substituted, so that the long tail of few samples is covered too.
    total, _ = integrate.quad(
        lambda x: integrand(x / (1 - x)) / (1 - x) ** 2, 0, 1, limit=500, epsabs=1e-9
    )
    return float(np.clip(0.5 + total / np.pi, 0.0, 1.0))


def fit_drift(runs: Sequence[ArrayLike]) -> Drift:
    r"""Fit the weight of the newest deviation by the least sum of squares of one-step forecasts.

    .. math:: f_{t+1} = f_t + \lambda (e_t - f_t), \qquad
              \min_\lambda \sum (e_t - f_t)^2

    Every run begins at a level of its own, which is fitted with it. The weight is then drawn
    towards the usual one by inverse variances.

    Parameters
    ----------
    runs : sequence of array_like, each of shape (n,)
        Deviations in order, as they would be had nobody adjusted. [1]

    Returns
    -------
    drift : Drift
        Weight, scatter, and the chance of so much wander where there is none. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than 5 samples beyond one a run, a number is not finite, or nothing
        scatters.

    Notes
    -----
    The large-sample variance of the fitted weight is :math:`\lambda (2 - \lambda) / n`; at the
    edge 0 it is taken of a weight of 0.05.

    References
    ----------
    .. [1] G. E. P. Box, G. M. Jenkins, Time Series Analysis, section 7.2, IMA(0,1,1)
       [from memory].

    Examples
    --------
    >>> rng = np.random.default_rng(3)
    >>> a = rng.normal(size=4000)
    >>> wander = a + 0.3 * (np.cumsum(a) - a)
    >>> round(fit_drift([wander]).weight, 1)
    0.3
    """
    series = [require_series(deviations=run)[0] for run in runs]
    count = sum(max(one.size - 1, 0) for one in series)
    flat = np.concatenate(series) if series else np.zeros(0)
    if count < _LEAST:
        valid = f"{_LEAST} samples or more beyond the first of each run"
        name = "deviations"
        raise OutOfRange(name, f"{count} samples", valid=valid)
    if not np.isfinite(flat).all() or all(np.ptp(one) == 0 for one in series):
        name = "deviations"
        raise OutOfRange(name, "without scatter", valid="finite, scattering numbers")
    found = optimize.minimize_scalar(
        lambda weight: _squares(series, weight), bounds=(0.0, 1.0), method="bounded"
    )
    fitted = float(found.x) if found.fun < _squares(series, 0.0) else 0.0
    sigma = float(np.sqrt(_squares(series, fitted) / count))
    about = max(fitted, 0.05)
    own, usual = about * (2 - about) / count, USUAL_SPREAD**2
    weight = (fitted / own + USUAL_WEIGHT / usual) / (1 / own + 1 / usual)
    u = float(np.sqrt(1 / (1 / own + 1 / usual)))
    return Drift(float(weight), u, fitted, sigma, int(flat.size), no_drift_chance(series))


def _squares(series: Sequence[NDArray[np.float64]], weight: float) -> float:
    """Sum of squared one-step errors, each run's first level fitted."""
    total = 0.0
    for e in series:
        # Errors from a first level 0, and what one unit of first level changes in them.
        base = signal.lfilter([1.0, -1.0], [1.0, weight - 1.0], e)
        base[0] = e[0]
        unit = (1.0 - weight) ** np.arange(e.size)
        level = float(base @ unit) / float(unit @ unit)
        total += float(np.sum((base - level * unit) ** 2))
    return total
