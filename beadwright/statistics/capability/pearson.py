"""Quantiles of Pearson's family: any skewness and kurtosis that can be.

Read :func:`pearson_quantile` first.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import betaincinv, gammainccinv, gammaincinv, ndtri, stdtrit

from beadwright.errors import require_between
from beadwright.statistics.requirements import refuse

__all__ = ["pearson_quantile"]

_Floats = NDArray[np.float64]
_SMALL = 1e-7
_POINTS = 16_001
_DEEP = 80.0
"""Natural logarithm by which a density may fall from its peak and still count."""


def pearson_quantile(share: ArrayLike, skewness: float, kurtosis: float) -> NDArray[np.float64]:
    r"""Quantiles of Pearson's distribution of mean 0 and standard deviation 1.

    .. math::
        \frac{f'}{f} = -\frac{x + c_1}{c_0 + c_1 x + c_2 x^2}

    Parameters
    ----------
    share : array_like, shape (...)
        Of values below, between 0 and 1. [1]
    skewness : float
        Third standardised moment. [1]
    kurtosis : float
        Fourth, 3 of a normal distribution; above its square of the skewness plus 1. [1]

    Returns
    -------
    quantile : ndarray, shape (...)
        In standard deviations from the mean. [1]

    Raises
    ------
    OutOfRange
        If a share is not between 0 and 1, or no distribution has such moments.

    References
    ----------
    .. [1] J. A. Clements, "Process capability calculations for non-normal distributions", Quality
       Progress, September 1989, 95-100: Pearson's curves for capability. [from memory]
    .. [2] N. L. Johnson, S. Kotz and N. Balakrishnan, "Continuous univariate distributions", vol.
       1, 2nd ed., 1994, chapter 12: the types. [from memory]

    Examples
    --------
    >>> pearson_quantile([0.00135, 0.5, 0.99865], 0.0, 3.0).round(3).tolist()
    [-3.0, 0.0, 3.0]
    """
    shares = np.asarray(share, dtype=np.float64)
    require_between(0, 1, strict=True, share=shares)
    if not (math.isfinite(skewness) and kurtosis > skewness**2 + 1 + _SMALL):
        refuse("kurtosis", kurtosis, f"above {skewness**2 + 1:g}, the least with this skewness")
    if skewness < 0:
        return np.negative(_skewed(1 - shares, -skewness, kurtosis))
    return _skewed(shares, skewness, kurtosis)


def _skewed(shares: _Floats, skewness: float, kurtosis: float) -> _Floats:
    if skewness < _SMALL:
        return _symmetric(shares, kurtosis)
    square = skewness**2
    if abs(2 * kurtosis - 3 * square - 6) < _SMALL:  # type III: gamma
        shape = 4 / square
        return np.asarray((gammaincinv(shape, shares) - shape) / math.sqrt(shape))
    scale = 10 * kurtosis - 12 * square - 18
    if abs(scale) < _SMALL:
        scale = _SMALL
    c0 = (4 * kurtosis - 3 * square) / scale
    c1 = skewness * (kurtosis + 3) / scale
    c2 = (2 * kurtosis - 3 * square - 6) / scale
    kappa = c1**2 / (4 * c0 * c2)
    if abs(kappa - 1) < _SMALL:  # type V, between IV and VI: inverse gamma
        root, shape = -c1 / (2 * c2), 1 / c2 - 1
        return np.asarray(root - (root + c1) / c2 / gammainccinv(shape, shares))
    if 0 < kappa < 1:
        return _fourth(shares, (c0, c1, c2))
    return _with_roots(shares, (c0, c1, c2))


def _symmetric(shares: _Floats, kurtosis: float) -> _Floats:
    if abs(kurtosis - 3) < _SMALL:
        return np.asarray(ndtri(shares))
    if kurtosis > 3:  # noqa: PLR2004 - that of a normal distribution; type VII: Student's t
        dof = 4 + 6 / (kurtosis - 3)
        return np.asarray(stdtrit(dof, shares) * math.sqrt((dof - 2) / dof))
    power = 3 * (kurtosis - 1) / (2 * (3 - kurtosis))  # type II: both parameters of a beta
    return np.asarray((2 * betaincinv(power, power, shares) - 1) * math.sqrt(2 * power + 1))


def _with_roots(shares: _Floats, c: tuple[float, float, float]) -> _Floats:
    """Types I (beta) and VI (beta of the second kind): the quadratic has real roots."""
    c0, c1, c2 = c
    root = math.sqrt(c1**2 - 4 * c0 * c2)
    one, other = sorted(((-c1 - root) / (2 * c2), (-c1 + root) / (2 * c2)))
    at_one = -(one + c1) / (c2 * (one - other))
    at_other = -(other + c1) / (c2 * (other - one))
    if one < 0 < other:
        y = np.asarray(betaincinv(at_one + 1, at_other + 1, shares))
        return np.asarray(one + (other - one) * y)
    y = np.asarray(betaincinv(at_other + 1, -at_one - at_other - 1, shares))
    return np.asarray(other + (other - one) * y / (1 - y))


def _fourth(shares: _Floats, c: tuple[float, float, float]) -> _Floats:
    """Type IV, by quadrature over the angle whose tangent the value is."""
    c0, c1, c2 = c
    middle = -c1 / (2 * c2)
    width = math.sqrt(c0 / c2 - middle**2)
    power = 1 / (2 * c2)
    lean = (middle + c1) / (c2 * width)

    def log_density(angle: _Floats) -> _Floats:
        return np.asarray((2 * power - 2) * np.log(np.cos(angle)) - lean * angle)

    edge = math.pi / 2
    angles = np.linspace(-edge, edge, _POINTS)[1:-1]
    for _ in range(3):  # closer about the peak each time
        height = log_density(angles)
        kept = angles[height > height.max() - _DEEP]
        step = angles[1] - angles[0]
        low, high = max(-edge, kept[0] - step), min(edge, kept[-1] + step)
        angles = np.linspace(low, high, _POINTS)[1:-1]
    height = log_density(angles)
    density = np.exp(height - height.max())
    total = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2)])
    found = np.interp(shares, total / total[-1], angles)
    return np.asarray(middle + width * np.tan(found))
