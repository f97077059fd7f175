"""A straight line whose prior is the literature and whose data are the plant's own.

Read first: :func:`fit_line`. Intercept and slope have a normal prior, the noise a log-normal one;
for each noise on a grid the posterior is exact, and the grid is weighed by how well it explains
the data. So a plant that tests more evenly than thought does not make the slope look better known.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr

from beadwright.errors import OutOfRange, require_arrays, require_at_least
from beadwright.science.trust import Trust, stands

__all__ = ["Line", "LinePrior", "chance_below_on", "fit_line", "moments_on"]

_NODES = 201
_REACH = 4.0  # standard deviations of the log noise, either way


@dataclass(frozen=True, slots=True)
class LinePrior:
    """What is thought of y = intercept + slope x before a test, with standard uncertainties.

    ``noise`` is the median of the standard deviation of a single y, ``noise_spread`` the standard
    deviation of its logarithm.
    """

    intercept: float
    u_intercept: float
    slope: float
    u_slope: float
    noise: float
    noise_spread: float = 0.4


@dataclass(frozen=True, slots=True)
class Line:
    """The posterior: for each noise its weight, the line's mean (k, 2) and covariance (k, 2, 2)."""

    noises: NDArray[np.float64]
    weights: NDArray[np.float64]
    means: NDArray[np.float64]
    covariances: NDArray[np.float64]

    @property
    def mean(self) -> NDArray[np.float64]:
        """Intercept and slope, shape (2,)."""
        return np.asarray(self.weights @ self.means)

    @property
    def covariance(self) -> NDArray[np.float64]:
        """Covariance of intercept and slope, shape (2, 2)."""
        apart = self.means - self.mean
        outer = apart[:, :, None] * apart[:, None, :]
        return np.asarray(np.einsum("k,kij->ij", self.weights, self.covariances + outer))

    @property
    def noise(self) -> float:
        """Root mean square of the noise of a single value."""
        return float(np.sqrt(self.weights @ self.noises**2))


@stands(
    Trust.EXACT,
    formula="normal prior and likelihood for each noise, summed over a grid of noises",
    source="Bayesian linear regression",
)
def fit_line(prior: LinePrior, x: ArrayLike, y: ArrayLike) -> Line:
    r"""Posterior of a line.

    .. math::
        A_\sigma = P_0 + X^T X / \sigma^2, \qquad
        \delta_\sigma = A_\sigma^{-1} X^T r / \sigma^2, \qquad
        w_\sigma \propto p(\sigma) \, \sigma^{-n} |A_\sigma|^{-1/2}
        \exp \left( -\frac{r^T r}{2 \sigma^2} + \frac{\delta_\sigma^T A_\sigma \delta_\sigma}{2}
        \right)

    where r is what y has beyond the prior's line.

    Parameters
    ----------
    prior : LinePrior
        What is thought beforehand.
    x : array_like, shape (n,)
        Where each value was taken; none at all gives the prior back. [1]
    y : array_like, shape (n,)
        The values. [1]

    Returns
    -------
    line : Line
        The posterior.

    Raises
    ------
    OutOfRange
        If x and y are not two rows of one length, a number is not finite, or an uncertainty of
        the prior not above 0.

    References
    ----------
    .. [1] A. Gelman et al., "Bayesian Data Analysis", 3rd ed., 14.8, regression with an
       informative prior. [from memory]

    Examples
    --------
    Ten values at one x say nothing of the slope:

    >>> line = fit_line(LinePrior(132, 12, 9.5, 1.5, 8), [0.0] * 10, [124.0] * 10)
    >>> round(float(line.mean[1]), 6), round(float(line.covariance[1, 1]) ** 0.5, 6)
    (9.5, 1.5)
    """
    xs, ys = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    if xs.ndim != 1 or xs.shape != ys.shape:
        argument = "y"
        raise OutOfRange(argument, f"of shape {ys.shape}", valid=f"a row as x, {xs.shape}")
    if len(xs):
        require_at_least(-np.inf, x=xs, y=ys)
    require_at_least(
        0,
        strict=True,
        u_intercept=prior.u_intercept,
        u_slope=prior.u_slope,
        noise=prior.noise,
        noise_spread=prior.noise_spread,
    )
    steps = np.linspace(-_REACH, _REACH, _NODES)
    sigma = prior.noise * np.exp(prior.noise_spread * steps)
    design = np.stack([np.ones_like(xs), xs], axis=1)
    rest = ys - prior.intercept - prior.slope * xs
    precision = np.diag([prior.u_intercept**-2.0, prior.u_slope**-2.0])
    a = precision + (design.T @ design) / sigma[:, None, None] ** 2
    pull = (design.T @ rest) / sigma[:, None] ** 2
    covariance = np.linalg.inv(a)
    shift = np.einsum("kij,kj->ki", covariance, pull)
    log = -(steps**2) / 2 - len(xs) * np.log(sigma) - np.log(np.linalg.det(a)) / 2
    log += np.einsum("ki,ki->k", shift, pull) / 2 - rest @ rest / (2 * sigma**2)
    weight = np.exp(log - log.max())
    means = shift + np.array([prior.intercept, prior.slope])
    return Line(sigma, np.asarray(weight / weight.sum()), means, np.asarray(covariance, np.float64))


@stands(
    Trust.EXACT,
    formula="mean and variance of the mixture over the noises",
    source="law of total variance",
)
def moments_on(
    line: Line, x: ArrayLike, *, u_x: ArrayLike = 0.0, single: bool = True
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean and standard uncertainty of a value on a line.

    Parameters
    ----------
    line : Line
        The posterior.
    x : array_like, shape (...)
        Where. [1]
    u_x : array_like, shape (...), optional
        Standard uncertainty of x, >= 0. [1]
    single : bool, optional
        Whether of a single value, its noise included, or of the mean of very many.

    Returns
    -------
    mean, u : ndarray, shape (...)
        The value and its standard uncertainty. [1]

    Raises
    ------
    OutOfRange
        If x is not finite or an uncertainty negative.

    Examples
    --------
    The mean of very many, before a test, is as uncertain as the prior:

    >>> line = fit_line(LinePrior(132, 12, 9.5, 1.5, 8), [], [])
    >>> [round(float(v), 6) for v in moments_on(line, 0.0, single=False)]
    [132.0, 12.0]
    """
    means, variances = _mixture(line, x, u_x, single=single)
    mean = means @ line.weights
    spread = (variances + (means - mean[..., None]) ** 2) @ line.weights
    return np.asarray(mean), np.sqrt(spread)


@stands(
    Trust.EXACT,
    formula="Σ w Φ((limit - mean) / sd), over the noises",
    source="normal distribution, mixed over the noises",
)
def chance_below_on(
    line: Line, x: ArrayLike, limit: ArrayLike, *, u_x: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Chance that a single value on a line comes out below a limit.

    Parameters
    ----------
    line : Line
        The posterior.
    x : array_like, shape (...)
        Where. [1]
    limit : array_like, shape (...)
        The limit. [1]
    u_x : array_like, shape (...), optional
        Standard uncertainty of x, >= 0. [1]

    Returns
    -------
    chance : ndarray, shape (...)
        Between 0 and 1. [1]

    Raises
    ------
    OutOfRange
        If x or the limit is not finite, or an uncertainty negative.

    Examples
    --------
    >>> line = fit_line(LinePrior(132, 12, 9.5, 1.5, 8), [], [])
    >>> round(float(chance_below_on(line, 0.0, 132.0)), 6)
    0.5
    """
    at, bound, u = require_arrays(x=x, limit=limit, u_x=u_x)
    require_at_least(-np.inf, limit=bound)
    means, variances = _mixture(line, at, u, single=True)
    return np.asarray(ndtr((bound[..., None] - means) / np.sqrt(variances)) @ line.weights)


def _mixture(
    line: Line, x: ArrayLike, u_x: ArrayLike, *, single: bool
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean and variance at each x, the noises along the last axis."""
    at, u = require_arrays(x=x, u_x=u_x)
    require_at_least(-np.inf, x=at)
    require_at_least(0, u_x=u)
    a, b = line.means.T
    c = line.covariances
    along = at[..., None]
    variance = c[:, 0, 0] + 2 * along * c[:, 0, 1] + along**2 * c[:, 1, 1]
    variance = variance + (b**2 + c[:, 1, 1]) * u[..., None] ** 2
    return a + b * along, variance + (line.noises**2 if single else 0.0)
