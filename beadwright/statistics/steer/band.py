r"""The dead-band: how often it asks for an adjustment, what it adds to the scatter, what it costs.

Model: an integrated moving average. The forecast of the deviation moves by :math:`\lambda a_t`
each sample, :math:`a_t` independent of standard deviation :math:`\sigma`. An adjustment that takes
the forecast back to zero is made when it leaves :math:`\pm L`. Read first: :func:`band_at`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy import optimize, stats

from beadwright.errors import require_at_least, require_between

__all__ = ["Band", "band_at", "cheapest_band", "interval_and_excess"]

_NODES = 96
_WIDEST = 30.0
_NARROWEST = 1e-3


@dataclass(frozen=True, slots=True)
class Band:
    """A dead-band and what follows of it."""

    half_width: float
    """Forecast beyond which an adjustment is made, in the unit of the deviation."""
    interval: float
    """Average number of samples from one adjustment to the next."""
    variance: float
    """Of the deviation under it, in the unit squared."""
    weight: float
    """Weight of the newest deviation in the forecast."""
    sigma: float
    """Standard deviation of the one-step forecast error."""
    delay: int
    """Samples before an adjustment is seen."""

    @property
    def inflation(self) -> float:
        """How much larger the standard deviation is than under an adjustment at every sample."""
        least = self.sigma**2 * (1 + self.delay * self.weight**2)
        return float(np.sqrt(self.variance / least)) - 1.0


@lru_cache(maxsize=4096)
def interval_and_excess(reduced: float) -> tuple[float, float]:
    r"""Average adjustment interval and mean square of a unit random walk reset at a band.

    .. math:: T(x) = 1 + \int_{-h}^{h} \varphi(y - x)\, T(y)\, dy, \qquad
              S(x) = x^2 + \int_{-h}^{h} \varphi(y - x)\, S(y)\, dy, \qquad
              g = S(0) / T(0)

    Parameters
    ----------
    reduced : float
        Half width of the band over the walk's step, :math:`h = L / (\lambda \sigma)`, from 0 to
        30. [1]

    Returns
    -------
    interval : float
        :math:`T(0)`, samples between adjustments. [1]
    excess : float
        :math:`g`, mean square of the walk, in squares of its step. [1]

    Raises
    ------
    OutOfRange
        If ``reduced`` lies outside.

    Notes
    -----
    Solved at the nodes of a Gauss-Legendre rule. For a wide band
    :math:`T \to (h + 0.5826)^2`, the constant being :math:`-\zeta(1/2)/\sqrt{2\pi}`.

    References
    ----------
    .. [1] G. E. P. Box, A. Luceño, Statistical Control by Monitoring and Feedback Adjustment,
       Wiley, 1997 [from memory].
    .. [2] D. Siegmund, Sequential Analysis, Springer, 1985, for the constant [from memory].

    Examples
    --------
    >>> [round(float(one), 3) for one in interval_and_excess(3.0)]
    [13.086, 1.878]
    """
    require_between(0, _WIDEST, reduced=reduced)
    if reduced == 0:
        return 1.0, 0.0
    nodes, weights = np.polynomial.legendre.leggauss(_NODES)
    at, by = reduced * nodes, reduced * weights
    kernel = stats.norm.pdf(at[:, None] - at[None, :]) * by
    from_zero = stats.norm.pdf(at) * by
    solved = np.linalg.solve(np.eye(_NODES) - kernel, np.column_stack((np.ones(_NODES), at**2)))
    interval, squares = from_zero @ solved
    return 1.0 + float(interval), float(squares) / (1.0 + float(interval))


def band_at(half_width: float, *, weight: float, sigma: float, delay: int = 0) -> Band:
    r"""Give what a dead-band does: interval between adjustments, and variance of the deviation.

    .. math:: \sigma_y^2 = \sigma^2 \{1 + d \lambda^2 + \lambda^2 g(L / \lambda \sigma)\}

    Parameters
    ----------
    half_width : float
        Forecast beyond which an adjustment is made, >= 0. [1]
    weight : float
        :math:`\lambda`, weight of the newest deviation, above 0 up to 1. [1]
    sigma : float
        Standard deviation of the one-step forecast error, > 0. [1]
    delay : int
        :math:`d`, samples that pass before an adjustment is seen. [1]

    Returns
    -------
    band : Band
        The band with its figures. [1]

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    References
    ----------
    .. [1] G. E. P. Box, A. Luceño, 1997, as in :func:`interval_and_excess` [from memory].

    Examples
    --------
    >>> round(band_at(0.6, weight=0.2, sigma=1.0).inflation, 4)
    0.0369
    """
    require_at_least(0, half_width=half_width, delay=delay)
    require_at_least(0, strict=True, sigma=sigma)
    require_between(1e-6, 1, weight=weight)
    interval, excess = interval_and_excess(min(half_width / (weight * sigma), _WIDEST))
    variance = sigma**2 * (1 + weight**2 * (delay + excess))
    return Band(half_width, interval, variance, weight, sigma, delay)


def cheapest_band(
    *, weight: float, sigma: float, adjustment: float, square: float, delay: int = 0
) -> Band:
    r"""Choose the band that costs least: adjustments against deviation.

    .. math:: C(L) = \frac{C_A}{T(h)} + C_Q \lambda^2 \sigma^2 g(h)

    Parameters
    ----------
    weight : float
        Weight of the newest deviation in the forecast, above 0 up to 1. [1]
    sigma : float
        Standard deviation of the one-step forecast error, > 0. [1]
    adjustment : float
        Cost of one adjustment, in money, >= 0. [1]
    square : float
        Cost of one unit squared of deviation during one sample, in the same money, > 0. [1]
    delay : int
        Samples that pass before an adjustment is seen. [1]

    Returns
    -------
    band : Band
        The cheapest; of half width 0 where an adjustment costs nothing. [1]

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    References
    ----------
    .. [1] G. E. P. Box, A. Luceño, 1997, as in :func:`interval_and_excess` [from memory].

    Examples
    --------
    An adjustment that costs as much as eight samples off by one standard deviation:

    >>> round(cheapest_band(weight=0.2, sigma=1.0, adjustment=8.0, square=1.0).half_width, 2)
    1.06
    """
    require_at_least(0, adjustment=adjustment)
    require_at_least(0, strict=True, square=square, sigma=sigma)
    require_between(1e-6, 1, weight=weight)
    if adjustment == 0:
        return band_at(0.0, weight=weight, sigma=sigma, delay=delay)
    each = square * (weight * sigma) ** 2

    def cost(log_h: float) -> float:
        interval, excess = interval_and_excess(float(np.exp(log_h)))
        return adjustment / interval + each * excess

    ends = (float(np.log(_NARROWEST)), float(np.log(_WIDEST)))
    found = optimize.minimize_scalar(cost, bounds=ends, method="bounded")
    return band_at(float(np.exp(found.x)) * weight * sigma, weight=weight, sigma=sigma, delay=delay)
