"""Charts of single measured values, with their moving ranges.

Read :func:`individuals`; subgroups are in ``subgroups`` beside this.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

from beadwright.statistics.charts.chart import Baseline, Chart, Plotted, Process, judged, kept
from beadwright.statistics.charts.constants import deviation_factor
from beadwright.statistics.charts.estimated import rests
from beadwright.statistics.charts.rules import LIMITS, RuleSet
from beadwright.statistics.ranges import mean_range, range_spread
from beadwright.statistics.requirements import refuse, require_series

__all__ = [
    "individuals",
    "individuals_process",
    "single_factors",
]

_WIDTH = 3.0
_MEDIAN_RANGE = math.sqrt(2) * float(ndtri(0.75))
"""Median range of two standard normal values: 0.95387."""

_Floats = NDArray[np.float64]


def individuals(
    values: ArrayLike, basis: Process | Baseline | None = None, rules: RuleSet = LIMITS
) -> Chart:
    r"""Chart of single values, with the chart of their moving ranges beside it.

    .. math:: \bar x \pm 3 \hat\sigma, \quad \hat\sigma = \overline{MR} / d_2(2)

    Parameters
    ----------
    values : array_like, shape (m,)
        Independent values in the order in which they came, in any one unit. [1]
    basis : Process or Baseline, optional
        Limits that were kept (phase 2), or how to estimate them from these values (phase 1): by
        ``moving range``, ``median moving range`` or ``deviation``.
    rules : RuleSet, optional
        Asked of the single values; of the moving ranges only the limits are.

    Returns
    -------
    chart : Chart
        Of kind individuals, with ``beside`` of kind moving range.

    Raises
    ------
    OutOfRange
        If there are fewer than two values to estimate from, one is not finite, they do not vary,
        or a point is left out without a cause.

    Notes
    -----
    Of an autocorrelated series the moving range sees only a part of the spread, and the chart
    drowns in false alarms: see :mod:`beadwright.statistics.charts.wandering`.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2. [read in: a second source that
       cites it]

    Examples
    --------
    >>> chart = individuals([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
    >>> round(float(chart.upper[0]), 4), round(float(chart.lower[0]), 4), chart.signals
    (55.8024, 45.8176, ())
    """
    series = require_series(1, values=values)
    given, phase = _basis(basis)
    process = given if isinstance(given, Process) else individuals_process(series, given)
    plain = np.full(len(series), process.spread)
    centre = np.full(len(series), process.level)
    plotted = Plotted(
        "individuals", series, centre, centre - _WIDTH * plain, centre + _WIDTH * plain, plain
    )
    said = f"Single values; their spread is estimated by {process.by}."
    chart = judged(plotted, process, phase, rules, [said, *rests(process, phase)])
    return replace(chart, beside=_moving(series, process, phase))


def individuals_process(values: ArrayLike, baseline: Baseline | None = None) -> Process:
    """Level and spread of single values.

    Parameters
    ----------
    values : array_like, shape (m,)
        In the order in which they came, in any one unit. [1]
    baseline : Baseline, optional
        What is left out, and the way: ``moving range`` (the first), ``median moving range`` or
        ``deviation``.

    Returns
    -------
    process : Process
        A moving range over a point that is left out is left out too.

    Raises
    ------
    OutOfRange
        As :func:`individuals` does.

    References
    ----------
    .. [1] J. D. Cryer and T. P. Ryan, "The estimation of sigma for an X chart: MR/d2 or S/c4?",
       J. Qual. Technol. 22 (1990) 187-192, of the moving range's degrees of freedom. [from memory]

    Examples
    --------
    >>> round(individuals_process([1.0, 3.0, 2.0, 4.0]).spread, 4)
    1.477
    """
    series, asked = require_series(1, values=values), baseline or Baseline()
    good = kept(len(series), asked)
    by = asked.by or "moving range"
    used = series[good]
    if len(used) < 2:  # noqa: PLR2004 - one value has no spread
        refuse("values", f"{len(used)} to estimate from", "at least 2")
    ranges = np.abs(np.diff(series))[good[1:] & good[:-1]]
    if by == "deviation":
        spread = float(used.std(ddof=1)) / deviation_factor(len(used))
        freedom = float(len(used) - 1)
    elif by in {"moving range", "median moving range"}:
        if not len(ranges):
            refuse("values", "no two in a row", "with a moving range at least")
        half = by.startswith("median")
        spread = float(np.median(ranges)) / _MEDIAN_RANGE if half else _mean_moving(ranges)
        freedom = _moving_freedom(len(ranges)) * (0.37 / 0.605 if half else 1.0)
    else:
        refuse("by", repr(by), "'moving range', 'median moving range' or 'deviation'")
    if not spread > 0:
        refuse("values", "without spread", "values that vary")
    return Process(float(used.mean()), spread, by, len(used), freedom, asked.left_out)


def _mean_moving(ranges: _Floats) -> float:
    return float(ranges.mean()) / mean_range(2)


def _moving_freedom(ranges: int) -> float:
    """Degrees of freedom of a mean moving range: its variance is (0.826 m - 1.08) / (m - 1)^2."""
    m = ranges + 1
    return max(1.0, (m - 1) ** 2 / (2 * (0.826 * m - 1.082)) if m > 2 else 1.0)  # noqa: PLR2004 - holds from two ranges on


def _moving(series: _Floats, process: Process, phase: Literal[1, 2]) -> Chart:
    ranges = np.full(len(series), np.nan)
    ranges[1:] = np.abs(np.diff(series))
    if phase == 1:  # over a point that is left out there is no range
        out = [one.at for one in process.left_out]
        ranges[[index for at in out for index in (at, at + 1) if index < len(series)]] = np.nan
    centre = np.full(len(series), mean_range(2) * process.spread)
    spread = np.full(len(series), range_spread(2) * process.spread)
    lower = np.maximum(0.0, centre - _WIDTH * spread)
    plotted = Plotted("moving range", ranges, centre, lower, centre + _WIDTH * spread, spread)
    return judged(plotted, replace(process, left_out=()), phase, LIMITS)


def single_factors(ranges_by: str = "moving range") -> tuple[float, float]:
    """Factors of an individuals chart: of its limits, and of the moving range's upper one.

    Parameters
    ----------
    ranges_by : {"moving range", "median moving range"}
        Which moving range the factors multiply.

    Returns
    -------
    of_values, of_ranges : float
        Distance of a limit by the moving range, and the upper limit of ranges by it. [1]

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2. [read in: a second source that
       cites it]

    Examples
    --------
    >>> [round(x, 3) for x in single_factors()]
    [2.659, 3.267]
    """
    by = _MEDIAN_RANGE if ranges_by.startswith("median") else mean_range(2)
    return _WIDTH / by, (mean_range(2) + _WIDTH * range_spread(2)) / by


def _basis(basis: Process | Baseline | None) -> tuple[Process | Baseline, Literal[1, 2]]:
    if isinstance(basis, Process):
        return basis, 2
    return basis or Baseline(), 1
