"""A small step of the mean that lasts to the end of a series, told from values that hang together.

Read :func:`lasting_step`. A step makes neighbours alike, and values that hang together wander off
for a while: each is taken for the other unless both are in the model.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.interpolate import RegularGridInterpolator

from beadwright.statistics.charts.rules import Rule
from beadwright.statistics.charts.series_model import fitted
from beadwright.statistics.requirements import refuse, require_series

__all__ = ["BETWEEN", "LASTING", "LEAST", "LastingStep", "chance_of_step", "lasting_step"]

LEAST = 25
"""Values from which a step is asked for."""

BETWEEN = 1000
"""Points between two false signals: the price of asking. Our choice."""

LASTING = Rule("Lasting step", "a step of the mean that lasts to the end", "step", 1, 1)

_SIDE = 5
"""Points on either side of a step at least."""
_ROUNDS = 3
_LARGEST = 0.97
_COUNTS = (25.0, 30.0, 40.0, 60.0, 80.0, 120.0)
_CORRELATIONS = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95)
_BOUNDS = (
    (9.9, 11.3, 13.5, 14.8, 18.0, 19.8, 24.9, 31.5, 42.6, 54.6, 63.0),
    (9.3, 10.9, 12.5, 14.2, 16.1, 18.6, 21.2, 27.2, 33.7, 45.1, 52.3),
    (9.0, 10.1, 11.6, 12.7, 14.2, 15.2, 17.1, 20.1, 25.0, 34.5, 41.5),
    (8.2, 9.1, 10.0, 10.6, 11.5, 12.2, 13.4, 14.7, 17.7, 23.6, 29.5),
    (7.8, 8.7, 9.2, 9.7, 10.2, 10.8, 11.7, 12.8, 14.7, 18.2, 23.2),
    (7.2, 7.9, 8.3, 8.6, 9.0, 9.5, 10.1, 10.9, 12.4, 14.4, 16.8),
)
"""Ratios that AR(1) series without a step pass once in :data:`BETWEEN` points, by count and
correlation: 15,000 simulated series each, worked through as here."""

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LastingStep:
    """The likeliest step of a series, and whether it is more than chance and wandering give."""

    at: int
    """Index of the first value after it."""
    before: float
    after: float
    correlation: float
    """Of neighbours about the two levels; 0 where it is none, or negative."""
    ratio: float
    """Gain in squares by the step over the square that is left, as an F of one step."""
    bound: float
    """What the ratio passes by chance once in :data:`BETWEEN` points."""
    better: bool
    """Whether a step explains the values better than any model of values that hang together."""

    @property
    def found(self) -> bool:
        """Whether it is a signal."""
        return self.ratio > self.bound and self.better


def lasting_step(values: ArrayLike) -> LastingStep:
    r"""Give the likeliest lasting step, with the correlation of neighbours taken out.

    .. math:: F = \max_k \frac{RSS_0 - RSS_k}{RSS_k / (n - 3)}

    of :math:`x_i - \varphi x_{i-1}`, where :math:`\varphi` is the correlation about the two levels
    of the likeliest step, less its bias; step and correlation are found by turns. The bound is
    taken at the correlation plus one standard error, so that one which came out small by chance
    does not make a step.

    Parameters
    ----------
    values : array_like, shape (n,)
        In the order in which they came, in any one unit; at least 25. [1]

    Returns
    -------
    step : LastingStep
        A signal where its ratio passes the bound, and the step explains the values better, by
        Schwarz's criterion, than AR(1), ARMA(1,1) and IMA(1,1) do.

    Raises
    ------
    OutOfRange
        If there are fewer than 25 values, one is not finite, or they do not vary.

    Notes
    -----
    Simulated false signals and power stand in docs/control_charts.md. A level that wanders freely
    is taken for a step more often than the price says: it is not asked of cups.

    References
    ----------
    .. [1] D. W. K. Andrews, "Tests for parameter instability and structural change with unknown
       change point", Econometrica 61 (1993) 821-856, of the greatest of many F. [from memory]
    .. [2] J. H. Sullivan and W. H. Woodall, "A control chart for preliminary analysis of individual
       observations", J. Qual. Technol. 28 (1996) 265-278, of its use in phase 1. [from memory]
    .. [3] F. H. C. Marriott and J. A. Pope, "Bias in the estimation of autocorrelations",
       Biometrika 41 (1954) 390-402, of the bias with one mean. [from memory]

    Examples
    --------
    >>> values = [0.3, -0.8, 1.1, -0.2, 0.6, -1.0, 0.1, 0.9, -0.5, -0.1, 0.7, -0.6, 0.2] * 3
    >>> step = lasting_step([one + 1.5 * (at >= 20) for at, one in enumerate(values)])
    >>> step.at, step.found
    (20, True)
    """
    x = require_series(LEAST, values=values)
    if not x.std() > 0:
        refuse("values", "without spread", "values that vary")
    phi = 0.0
    for _ in range(_ROUNDS):
        at, _, _ = _likeliest(x, phi)
        phi = _correlation(x, at)
    at, gain, rest = _likeliest(x, phi)
    n = len(x)
    ratio = gain / (rest / (n - 3)) if rest > 0 else math.inf
    bound = _bound(n, phi)
    better = ratio > bound and _better(x, rest, phi)
    return LastingStep(at, float(x[:at].mean()), float(x[at:].mean()), phi, ratio, bound, better)


def chance_of_step(points: int) -> float:
    """Chance that so many points without a step give a signal.

    Parameters
    ----------
    points : int
        Of the series. [1]

    Returns
    -------
    chance : float
        At one false signal in :data:`BETWEEN` points. [1]

    Examples
    --------
    >>> round(chance_of_step(60), 3)
    0.058
    """
    return float(1 - (1 - 1 / BETWEEN) ** points)


def _likeliest(x: _Floats, phi: float) -> tuple[int, float, float]:
    """Give where the step is likeliest, its gain in squares, and the squares left."""
    n, own = len(x), math.sqrt(1 - phi**2)
    y = np.concatenate(([x[0] * own], x[1:] - phi * x[:-1]))
    ones = np.concatenate(([own], np.full(n - 1, 1 - phi)))
    k = np.arange(_SIDE, n - _SIDE + 1)
    # A step at k, less φ of the value before, is 1 there and 1 - φ from then on.
    behind = np.concatenate((np.cumsum(y[::-1])[::-1], [0.0]))[k + 1]
    later = (1 - phi) * (n - k - 1)
    with_y, with_ones = y[k] + (1 - phi) * behind, (1 - phi) * (1 + later)
    square, all_ones, mean = 1 + (1 - phi) * later, float(ones @ ones), float(ones @ y)
    left = square - with_ones**2 / all_ones
    gain = (with_y - with_ones * mean / all_ones) ** 2 / left
    best = int(gain.argmax())
    none = float(y @ y) - mean**2 / all_ones
    return int(k[best]), float(gain[best]), max(0.0, none - float(gain[best]))


def _correlation(x: _Floats, at: int) -> float:
    """Correlation of neighbours about two levels; two means are worth twice the bias of one."""
    about = np.concatenate((x[:at] - x[:at].mean(), x[at:] - x[at:].mean()))
    square = float(about @ about)
    if not square > 0:
        return 0.0
    r = float(about[1:] @ about[:-1]) / square
    return min(max(r + (2 + 4 * r) / len(x), 0.0), _LARGEST)


def _bound(count: int, phi: float) -> float:
    error = math.sqrt((1 - phi**2) / count) if phi else 0.0
    known = RegularGridInterpolator((_COUNTS, _CORRELATIONS), np.array(_BOUNDS))
    where = (min(max(count, _COUNTS[0]), _COUNTS[-1]), min(phi + error, _CORRELATIONS[-1]))
    return float(known([where])[0])


def _better(x: _Floats, rest: float, phi: float) -> bool:
    """Whether a step beats every model without one, both by the values after the first."""
    n = len(x)
    free = 4 + (1 if phi else 0)  # two levels, the place of the step, the spread; and φ
    step = n * (math.log(2 * math.pi * rest / n) + 1) - math.log(1 - phi**2) if rest > 0 else -1e9
    other = min(model.information for model in fitted(x)) * n / (n - 1)
    return step + free * math.log(n) < other
