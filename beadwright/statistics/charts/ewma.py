"""Exponentially weighted moving average: the chart, its run length, and its design.

Read :class:`Ewma`, then :func:`ewma`. Limits are exact for every point: at first an average knows
little of the past, and lies closer to the target than later on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq, minimize_scalar
from scipy.signal import lfilter

from beadwright.errors import require_at_least, require_between
from beadwright.statistics.charts.chart import Baseline, Chart, Plotted, Process, judged
from beadwright.statistics.charts.rules import LIMITS
from beadwright.statistics.charts.run_length import RunLength, gathered, profile, quadrature
from beadwright.statistics.charts.variables import individuals_process
from beadwright.statistics.requirements import refuse, require_series

__all__ = ["Ewma", "averages", "ewma", "ewma_against", "ewma_for", "ewma_run_length"]

_NODES = 90
_SETTLED = 1e-13
_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Ewma:
    """Design of a chart of weighted averages."""

    weight: float = 0.2
    """λ, of the newest value; above 0, at most 1."""
    width: float = 2.962
    """L, distance of the limits in standard deviations of the average."""
    exact: bool = True
    """Limits of each point by its own variance; else those that it has in the long run."""

    def __post_init__(self) -> None:
        """Refuse a weight or width that cannot be."""
        require_between(0, 1, weight=self.weight)
        require_at_least(0, strict=True, weight=self.weight, width=self.width)

    def half(self, count: int) -> _Floats:
        """Distance of each limit from the centre, in standard deviations of a value.

        >>> [round(x, 4) for x in Ewma(0.3, 3.0).half(2).tolist()]
        [0.9, 1.0986]
        """
        rest = (1 - self.weight) ** (2 * np.arange(1, count + 1)) if self.exact else 0.0
        one = self.weight / (2 - self.weight) * (1 - rest) * np.ones(count)
        return np.asarray(self.width * np.sqrt(one))


def averages(values: ArrayLike, weight: float, start: float) -> _Floats:
    r"""Weighted averages of a series.

    .. math:: z_i = \lambda x_i + (1 - \lambda) z_{i-1}

    Parameters
    ----------
    values : array_like, shape (..., n)
        In the order in which they came, in any one unit. [1]
    weight : float
        λ, above 0, at most 1. [1]
    start : float
        z before the first value. [1]

    Returns
    -------
    averages : ndarray, shape (..., n)
        In the unit of the values. [1]

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4. [read in: a second source that
       cites it]

    Examples
    --------
    >>> averages([52.0, 47.0], 0.3, 50.0).tolist()
    [50.6, 49.52]
    """
    x = np.asarray(values, dtype=np.float64)
    require_between(0, 1, weight=weight)
    before = np.full((*x.shape[:-1], 1), (1 - weight) * start)
    return np.asarray(lfilter([weight], [1.0, weight - 1.0], x, axis=-1, zi=before)[0])


def ewma(
    values: ArrayLike, basis: Process | Baseline | None = None, design: Ewma | None = None
) -> Chart:
    r"""Chart of exponentially weighted averages.

    .. math:: \mu_0 \pm L \sigma \sqrt{\frac{\lambda}{2 - \lambda}
       \left[1 - (1 - \lambda)^{2 i}\right]}

    Parameters
    ----------
    values : array_like, shape (n,)
        Independent values, or subgroup means, in the order in which they came, in any one unit.
        [1]
    basis : Process or Baseline, optional
        Level and spread that were kept (phase 2), or how to estimate them (phase 1), as for single
        values.
    design : Ewma, optional
        Weight and width; about 500 points in control where none is given.

    Returns
    -------
    chart : Chart
        Of kind weighted average.

    Raises
    ------
    OutOfRange
        As :func:`beadwright.statistics.charts.variables.individuals` does.

    References
    ----------
    .. [1] S. W. Roberts, "Control chart tests based on geometric moving averages", Technometrics 1
       (1959) 239-250. [from memory]

    Examples
    --------
    >>> chart = ewma([52.0, 47.0, 53.0], Process(50.0, 2.0539, "given", 0, 1e9), Ewma(0.3, 3.0))
    >>> round(float(chart.upper[0]), 4), round(float(chart.points[2]), 3)
    (51.8485, 50.564)
    """
    series = require_series(1, values=values)
    asked = design or Ewma()
    kept = basis if isinstance(basis, Process) else individuals_process(series, basis)
    half = asked.half(len(series))
    centre = np.full(len(series), kept.level)
    points = averages(series, asked.weight, kept.level)
    plotted = Plotted(
        "weighted average", points, centre, centre - kept.spread * half,
        centre + kept.spread * half, kept.spread * half / asked.width,
    )  # fmt: skip
    kind = "exact for every point" if asked.exact else "those of the long run"
    said = f"Averages with weight {asked.weight:g}; limits at {asked.width:g} sigma, {kind}."
    return judged(plotted, kept, 2 if isinstance(basis, Process) else 1, LIMITS, [said])


def ewma_run_length(design: Ewma, shift: ArrayLike = 0.0) -> RunLength:
    r"""Run length of a chart of weighted averages of independent normal values.

    .. math:: f_i(y) = \frac{1}{\lambda} \int_{-h_{i-1}}^{h_{i-1}} f_{i-1}(x)\,
       \phi\left(\frac{y - (1 - \lambda) x}{\lambda} - \delta_i\right) dx

    Parameters
    ----------
    design : Ewma
        Weight, width and kind of limits.
    shift : array_like, shape (...), optional
        Of the mean, in standard deviations of a value: one number, or one for each point of which
        the last holds on. [1]

    Returns
    -------
    length : RunLength
        Its mean, spread and percentiles.

    Raises
    ------
    OutOfRange
        If the shift is not finite.

    References
    ----------
    .. [1] S. V. Crowder, "A simple method for studying run-length distributions of exponentially
       weighted moving average charts", Technometrics 29 (1987) 401-407. [read in: a second source
       that cites it]
    .. [2] J. M. Lucas and M. S. Saccucci, "Exponentially weighted moving average control schemes:
       properties and enhancements", Technometrics 32 (1990) 1-12. [read in: a second source that
       cites it]

    Examples
    --------
    >>> round(ewma_run_length(Ewma(0.2, 2.962, exact=False), 1.0).mean, 1)
    10.5
    """
    shifts = profile(shift)
    settles = 1
    if design.exact and design.weight < 1:
        settles = math.ceil(math.log(_SETTLED) / (2 * math.log1p(-design.weight)))
    return gathered(_steps(design, shifts, settles), max(len(shifts), settles))


def _steps(design: Ewma, shifts: _Floats, settles: int) -> Iterator[float]:
    """Chance of no signal, point by point; limits and shift hold on after a while."""
    weight = design.weight
    halves = design.half(settles)
    count = max(_NODES, math.ceil(10 * float(halves[-1]) / weight) if weight < 1 else 0)
    nodes, weights = quadrature(count)
    before, density, kernel = np.zeros(1), np.ones(1), np.empty((0, 0))
    for point in range(10**9):
        if point < max(settles, len(shifts)) + 1:
            half = float(halves[min(point, settles - 1)])
            here = nodes * half
            delta = float(shifts[min(point, len(shifts) - 1)])
            z = (here[:, None] - (1 - weight) * before[None, :]) / weight - delta
            kernel = np.exp(-(z**2) / 2) / (weight * math.sqrt(2 * math.pi))
            before, area = here, weights * half
        density = area * (kernel @ density)
        yield float(density.sum())


def ewma_for(weight: float, in_control: float, *, exact: bool = True) -> Ewma:
    """Give the design of one weight that runs so long in control.

    Parameters
    ----------
    weight : float
        λ, above 0, at most 1. [1]
    in_control : float
        Average run length that is wanted, at least 5. [1]
    exact : bool, optional
        Whether limits are exact for every point.

    Returns
    -------
    design : Ewma
        With its width.

    Raises
    ------
    OutOfRange
        If the weight cannot be, or the run length is below 5 or beyond reach.

    References
    ----------
    .. [1] As of :func:`ewma_run_length`. [read in: a second source that cites it]

    Examples
    --------
    >>> round(ewma_for(0.1, 500.0, exact=False).width, 3)
    2.814
    """
    require_at_least(5, in_control=in_control)

    def off(width: float) -> float:
        return math.log(ewma_run_length(Ewma(weight, width, exact)).mean / in_control)

    low, high = 0.3, 5.5
    if off(low) > 0 or off(high) < 0:
        refuse("in_control", in_control, "a run length within reach of widths from 0.3 to 5.5")
    return Ewma(weight, float(brentq(off, low, high, xtol=1e-7)), exact)


def ewma_against(shift: float, in_control: float) -> Ewma:
    """Give the design that finds one shift soonest, of those that run so long in control.

    Parameters
    ----------
    shift : float
        That is to be found, in standard deviations of a value, > 0. [1]
    in_control : float
        Average run length that is wanted without a shift, at least 5. [1]

    Returns
    -------
    design : Ewma
        Weight and width, with limits of the long run.

    Raises
    ------
    OutOfRange
        If the shift is not above 0, or as :func:`ewma_for` does.

    References
    ----------
    .. [1] S. V. Crowder, "Design of exponentially weighted moving average schemes", J. Qual.
       Technol. 21 (1989) 155-162. [from memory]

    Examples
    --------
    >>> round(ewma_against(1.0, 370.0).weight, 2)
    0.14
    """
    require_at_least(0, strict=True, shift=shift)

    def delay(logit: float) -> float:
        weight = 1 / (1 + math.exp(-logit))
        design = ewma_for(weight, in_control, exact=False)
        return ewma_run_length(design, shift).mean

    best = minimize_scalar(delay, bounds=(-3.5, 3.5), method="bounded", options={"xatol": 0.02})
    return ewma_for(round(1 / (1 + math.exp(-float(best.x))), 3), in_control, exact=False)
