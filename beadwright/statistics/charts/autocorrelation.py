"""Whether values hang together with those before them, and what that does to a chart.

Read :func:`autocorrelation`, then :func:`wandering_run_length`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq
from scipy.special import ndtr
from scipy.stats import chi2

from beadwright.errors import require_at_least, require_between
from beadwright.statistics.charts.run_length import RunLength, gathered, profile, quadrature
from beadwright.statistics.requirements import refuse, require_series

__all__ = [
    "Autocorrelation",
    "autocorrelation",
    "averages_widening",
    "residual_run_length",
    "wandering_run_length",
    "wandering_width",
]

_BAND = 1.959963984540054
_NODES = 120
_LEAST = 8
"""Values below which nothing is said of their order: common practice, no source."""

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Autocorrelation:
    """How values hang together with those before them."""

    lags: tuple[float, ...]
    """Correlation with the value one, two, … before."""
    band: float
    """Either way of 0, within which it is chance at 95 %."""
    z: float
    """Of the mean square successive difference; above 0 where neighbours are alike."""
    joint: float
    """Chance of so large correlations, of all these lags together, if there were none."""
    count: int

    @property
    def first(self) -> float:
        """Correlation with the value before."""
        return self.lags[0]

    @property
    def found(self) -> bool:
        """Whether values hang together beyond chance: the first lag, or all together at 1 %."""
        return abs(self.first) > self.band or self.joint < 0.01  # noqa: PLR2004 - one per cent

    def __str__(self) -> str:
        """Return one sentence."""
        verdict = "beyond" if abs(self.first) > self.band else "within"
        return (
            f"Correlation with the value before is {self.first:.2f}, {verdict} the"
            f" ±{self.band:.2f} that chance allows in {self.count} values."
        )


def autocorrelation(values: ArrayLike, lags: int = 6) -> Autocorrelation:
    r"""Correlation of a series with itself, some values later, and whether it is chance.

    .. math:: r_k = \frac{\sum (x_i - \bar x)(x_{i+k} - \bar x)}{\sum (x_i - \bar x)^2}, \quad
       C = 1 - \frac{\sum (x_{i+1} - x_i)^2}{2 \sum (x_i - \bar x)^2}, \quad
       z = C / \sqrt{\frac{n - 2}{n^2 - 1}}

    Parameters
    ----------
    values : array_like, shape (n,)
        In the order in which they came, in any one unit. [1]
    lags : int, optional
        How many lags, as far as a quarter of the values. [1]

    Returns
    -------
    autocorrelation : Autocorrelation
        With the band of chance.

    Raises
    ------
    OutOfRange
        If there are fewer than eight values, one is not finite, or they do not vary.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.4.4.6. [read in: a second source that
       cites it]
    .. [2] G. M. Ljung and G. E. P. Box, "On a measure of lack of fit in time series models",
       Biometrika 65 (1978) 297-303, of all lags together. [from memory]
    .. [3] J. von Neumann, "Distribution of the ratio of the mean square successive difference to
       the variance", Ann. Math. Statist. 12 (1941) 367-395, of z. [from memory]

    Examples
    --------
    >>> autocorrelation([1, 2, 3, 4, 5, 6, 5, 4, 3, 2, 1, 2]).found
    True
    """
    series = require_series(_LEAST, values=values)
    n = len(series)
    about = series - series.mean()
    square = float(about @ about)
    if not square > 0:
        refuse("values", "without spread", "values that vary")
    most = max(1, min(lags, n // 4))
    r = tuple(float(about[:-k] @ about[k:]) / square for k in range(1, most + 1))
    c = 1 - float((np.diff(series) ** 2).sum()) / (2 * square)
    q = n * (n + 2) * sum(one**2 / (n - k) for k, one in enumerate(r, start=1))
    z = c / math.sqrt((n - 2) / (n**2 - 1))
    return Autocorrelation(r, _BAND / math.sqrt(n), z, float(chi2.sf(q, most)), n)


def averages_widening(correlation: float, weight: float) -> float:
    r"""How much wider limits of weighted averages must be where neighbours are correlated.

    .. math:: \sqrt{\frac{1 + \varphi (1 - \lambda)}{1 - \varphi (1 - \lambda)}}

    Parameters
    ----------
    correlation : float
        φ, with the value before, above -1 and below 1. [1]
    weight : float
        λ, above 0, at most 1. [1]

    Returns
    -------
    factor : float
        On limits that hold for independent values of the same standard deviation. [1]

    Raises
    ------
    OutOfRange
        If either cannot be.

    References
    ----------
    .. [1] W. Schmid, "On EWMA charts for time series", Frontiers in Statistical Quality Control 5
       (1997) 115-137. [from memory]

    Examples
    --------
    >>> round(averages_widening(0.5, 0.2), 3)
    1.528
    """
    require_between(-1, 1, strict=True, correlation=correlation)
    require_between(0, 1, weight=weight)
    part = correlation * (1 - weight)
    return math.sqrt((1 + part) / (1 - part))


def wandering_run_length(
    correlation: float, width: float = 3.0, shift: ArrayLike = 0.0
) -> RunLength:
    r"""Run length of single values that follow an AR(1) process, against limits that stand still.

    .. math:: x_i - \mu = \varphi (x_{i-1} - \mu) + e_i

    Parameters
    ----------
    correlation : float
        φ, above -1 and below 1. [1]
    width : float, optional
        Distance of the limits from the mean, in standard deviations of the series, > 0. Limits
        from the mean moving range lie at 3 √(1 - φ). [1]
    shift : array_like, shape (...), optional
        Of the mean, in standard deviations of the series: one number, or one for each point of
        which the last holds on. [1]

    Returns
    -------
    length : RunLength
        Its mean, spread and percentiles; the first value is one of the process as it always is.

    Raises
    ------
    OutOfRange
        If the correlation, width or shift cannot be.

    References
    ----------
    .. [1] H. Kramer and W. Schmid, "The influence of parameter estimation on the ARL of Shewhart
       type charts for time series", Statistical Papers 41 (2000) 173-196. [read in: a second
       source that cites it]

    Examples
    --------
    >>> round(wandering_run_length(0.5, 3 * 0.5**0.5).mean, 1)
    34.2
    """
    require_between(-1, 1, strict=True, correlation=correlation)
    require_at_least(0, strict=True, width=width)
    shifts = profile(shift)
    return gathered(_wander(correlation, width, shifts), len(shifts))


def _wander(correlation: float, width: float, shifts: _Floats) -> Iterator[float]:
    own = math.sqrt(1 - correlation**2)
    count = max(_NODES, math.ceil(12 * width / own))
    nodes, weights = quadrature(count)
    nodes, weights = nodes * width, weights * width
    held, kernel = np.empty(0), np.empty((0, 0))
    for point in range(10**9):
        now = float(shifts[min(point, len(shifts) - 1)])
        if point == 0:
            held = weights * np.exp(-((nodes - now) ** 2) / 2) / math.sqrt(2 * math.pi)
        else:
            if point <= len(shifts):
                before = float(shifts[min(point - 1, len(shifts) - 1)])
                mean = now + correlation * (nodes[None, :] - before)
                z = (nodes[:, None] - mean) / own
                kernel = weights[:, None] * np.exp(-(z**2) / 2) / (own * math.sqrt(2 * math.pi))
            held = kernel @ held
        yield float(held.sum())


def wandering_width(correlation: float, in_control: float) -> float:
    """Width of limits at which an AR(1) series runs so long in control.

    Parameters
    ----------
    correlation : float
        φ, above -1 and below 1; taken to four decimals. [1]
    in_control : float
        Average run length that is wanted, at least 2. [1]

    Returns
    -------
    width : float
        In standard deviations of the series. [1]

    Raises
    ------
    OutOfRange
        If the correlation cannot be, or the run length is below 2.

    References
    ----------
    .. [1] As of :func:`wandering_run_length`. [read in: a second source that cites it]

    Examples
    --------
    >>> round(wandering_width(0.5, 370.4), 3)
    2.978
    """
    require_between(-1, 1, strict=True, correlation=correlation)
    require_at_least(2, in_control=in_control)
    return _width(round(correlation, 4), in_control)


@lru_cache(maxsize=4096)
def _width(correlation: float, in_control: float) -> float:
    def off(width: float) -> float:
        return math.log(wandering_run_length(correlation, width).mean / in_control)

    return float(brentq(off, 0.3, 5.5, xtol=1e-7))


def residual_run_length(correlation: float, width: float, shift: float) -> RunLength:
    r"""Run length of the residuals of an AR(1) series, after a step of its mean.

    The first residual sees all of the step, :math:`\delta / \sqrt{1 - \varphi^2}`, all later ones
    the share :math:`1 - \varphi` of it.

    Parameters
    ----------
    correlation : float
        φ, above -1 and below 1. [1]
    width : float
        Distance of the limits, in standard deviations of a residual, > 0. [1]
    shift : float
        δ, step of the mean in standard deviations of the series. [1]

    Returns
    -------
    length : RunLength
        From the step on.

    Raises
    ------
    OutOfRange
        If the correlation, width or shift cannot be.

    References
    ----------
    .. [1] D. G. Wardell, H. Moskowitz and R. D. Plante, "Run-length distributions of special-cause
       control charts for correlated processes", Technometrics 36 (1994) 3-17. [from memory]

    Examples
    --------
    >>> round(residual_run_length(0.0, 3.0, 1.0).mean, 2)
    43.89
    """
    require_between(-1, 1, strict=True, correlation=correlation)
    require_at_least(0, strict=True, width=width)
    first = shift / math.sqrt(1 - correlation**2)
    inside = [float(ndtr(width - mean) - ndtr(-width - mean))
              for mean in (first, first * (1 - correlation))]  # fmt: skip

    def steps() -> Iterator[float]:
        left = inside[0]
        while True:
            yield left
            left *= inside[1]

    return gathered(steps(), 2)
