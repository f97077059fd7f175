"""Charts of measured values: singly with moving ranges, or in subgroups with ranges or s.

Read :func:`individuals`, then :func:`means`. Subgroups may differ in size: every point then has
limits of its own.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

from beadwright.statistics.charts.chart import Baseline, Chart, Plotted, Process, judged, kept
from beadwright.statistics.charts.constants import deviation_factor, range_factors
from beadwright.statistics.charts.rules import LIMITS, RuleSet
from beadwright.statistics.ranges import mean_range, range_spread
from beadwright.statistics.requirements import refuse, require_series

__all__ = [
    "individuals",
    "individuals_process",
    "means",
    "single_factors",
    "subgrouped",
    "subgroups_process",
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
    chart = judged(plotted, process, phase, rules, [said])
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


def means(
    subgroups: ArrayLike, basis: Process | Baseline | None = None, rules: RuleSet = LIMITS
) -> Chart:
    r"""Chart of subgroup means, with the chart of their ranges or standard deviations beside it.

    .. math:: \bar{\bar x} \pm 3 \hat\sigma / \sqrt{n_i}

    Parameters
    ----------
    subgroups : array_like, shape (m, n)
        A row for each subgroup, in any one unit; NaN fills the rows of smaller ones, see
        :func:`subgrouped`. [1]
    basis : Process or Baseline, optional
        Limits that were kept (phase 2), or how to estimate them from these subgroups (phase 1): by
        ``deviation`` or ``range``.
    rules : RuleSet, optional
        Asked of the means, and of the spread those that hold there.

    Returns
    -------
    chart : Chart
        Of kind mean, with ``beside`` of kind deviation or range.

    Raises
    ------
    OutOfRange
        If a subgroup is empty, none has two values, they do not vary, or a subgroup is left out
        without a cause.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.1. [read in: a second source that
       cites it]

    Examples
    --------
    >>> chart = means([[9.0, 11.0], [10.0, 12.0], [8.0, 10.0]], Baseline(by="range"))
    >>> round(float(chart.upper[0]), 2), chart.beside.kind
    (13.76, 'range')
    """
    rows, sizes = _rows(subgroups)
    given, phase = _basis(basis)
    process = given if isinstance(given, Process) else subgroups_process(rows, given)
    spread = process.spread / np.sqrt(sizes)
    centre = np.full(len(rows), process.level)
    points = np.nanmean(rows, axis=1)
    plotted = Plotted(
        "mean", points, centre, centre - _WIDTH * spread, centre + _WIDTH * spread, spread
    )
    same = sizes.min() == sizes.max()
    of = f"{sizes[0]:g}" if same else f"{sizes.min():g} to {sizes.max():g}, each with own limits"
    said = f"Subgroups of {of}; the spread within them is estimated by {process.by}."
    chart = judged(plotted, process, phase, rules, [said])
    return replace(chart, beside=_within(rows, sizes, process, phase, rules))


def subgroups_process(subgroups: ArrayLike, baseline: Baseline | None = None) -> Process:
    r"""Level and spread of subgrouped values.

    .. math::
        \hat\sigma = \frac{\sum h_i s_i / c_4(n_i)}{\sum h_i}, \quad
        h_i = \frac{c_4^2(n_i)}{1 - c_4^2(n_i)}

    and likewise of ranges with :math:`d_2` and :math:`h_i = d_2^2 / d_3^2`. Where all subgroups
    are of one size this is the mean of s over :math:`c_4`, or the mean range over :math:`d_2`.

    Parameters
    ----------
    subgroups : array_like, shape (m, n)
        As of :func:`means`. [1]
    baseline : Baseline, optional
        What is left out, and the way: ``deviation`` (the first) or ``range``.

    Returns
    -------
    process : Process
        Level and spread of single values within a subgroup.

    Raises
    ------
    OutOfRange
        As :func:`means` does.

    References
    ----------
    .. [1] I. W. Burr, "Control charts for measurements with varying sample sizes", J. Qual.
       Technol. 1 (1969) 163-167. [from memory]

    Examples
    --------
    >>> round(subgroups_process([[9.0, 11.0], [10.0, 12.0]]).spread, 4)
    1.7725
    """
    rows, sizes = _rows(subgroups)
    asked = baseline or Baseline()
    good = kept(len(rows), asked)
    by = asked.by or "deviation"
    if by not in {"deviation", "range"}:
        refuse("by", repr(by), "'deviation' or 'range'")
    use = good & (sizes > 1)
    if not use.any():
        refuse("subgroups", "of one value each", "with two values in one of them at least")
    mean, about = _spread_factors(sizes[use], by)
    weight = (mean / about) ** 2
    spread = float((weight * _spreads(rows, by)[use] / mean).sum() / weight.sum())
    if not spread > 0:
        refuse("subgroups", "without spread", "values that vary within a subgroup")
    level = float(np.nansum(rows[good]) / sizes[good].sum())
    freedom = float(weight.sum()) / 2
    return Process(level, spread, by, int(good.sum()), freedom, asked.left_out)


def subgrouped(values: ArrayLike, subgroup: ArrayLike) -> _Floats:
    """Put values into subgroups by the number of the subgroup that each belongs to.

    Parameters
    ----------
    values : array_like, shape (k,)
        In any one unit. [1]
    subgroup : array_like, shape (k,)
        Number of each value's subgroup; equal numbers stand next to each other. [1]

    Returns
    -------
    subgroups : ndarray, shape (m, n)
        A row for each subgroup in the order in which they came, filled up with NaN. [1]

    Raises
    ------
    OutOfRange
        If the two differ in length, or a value is not finite.

    Examples
    --------
    >>> subgrouped([1.0, 2.0, 3.0], [7, 7, 8]).tolist()
    [[1.0, 2.0], [3.0, nan]]
    """
    series, of = require_series(1, values=values), require_series(1, subgroup=subgroup)
    if len(series) != len(of):
        refuse("subgroup", f"a row of {len(of)}", f"a row of {len(series)}")
    starts = np.concatenate(([0], np.flatnonzero(np.diff(of)) + 1, [len(of)]))
    sizes = np.diff(starts)
    rows = np.full((len(sizes), int(sizes.max())), np.nan)
    for row, start, size in zip(rows, starts.tolist(), sizes.tolist(), strict=False):
        row[:size] = series[start : start + size]
    return rows


def _within(
    rows: _Floats, sizes: _Floats, process: Process, phase: Literal[1, 2], rules: RuleSet
) -> Chart:
    by: Literal["deviation", "range"] = "range" if process.by == "range" else "deviation"
    factor, about = _spread_factors(sizes, by)
    centre, spread = factor * process.spread, about * process.spread
    lower = np.maximum(0.0, centre - _WIDTH * spread)
    points = _spreads(rows, by)
    plotted = Plotted(by, points, centre, lower, centre + _WIDTH * spread, spread)
    return judged(plotted, process, phase, rules)


def _spread_factors(sizes: _Floats, by: str) -> tuple[_Floats, _Floats]:
    """Mean and standard deviation of range or s, by the spread of single values."""
    if by == "range":
        return range_factors(sizes)
    c4 = np.array([deviation_factor(int(n)) if n > 1 else np.nan for n in sizes.tolist()])
    return c4, np.sqrt(1 - c4**2)


def _spreads(rows: _Floats, by: str) -> _Floats:
    sizes = np.isfinite(rows).sum(axis=1)
    found = np.full(len(rows), np.nan)
    use = sizes > 1
    if use.any():
        some = rows[use]
        wide = np.nanmax(some, axis=1) - np.nanmin(some, axis=1)
        found[use] = wide if by == "range" else np.nanstd(some, axis=1, ddof=1)
    return found


def _rows(subgroups: ArrayLike) -> tuple[_Floats, _Floats]:
    rows = np.asarray(subgroups, dtype=np.float64)
    if rows.ndim != 2 or not rows.size:  # noqa: PLR2004 - a table has two sides
        refuse("subgroups", f"of shape {rows.shape}", "rows of values")
    sizes = np.isfinite(rows).sum(axis=1).astype(np.float64)
    if not sizes.all():
        empty = int(np.flatnonzero(sizes == 0)[0])
        refuse("subgroups", f"empty in row {empty}", "of at least one value each")
    if np.isinf(rows).any():
        refuse("subgroups", "infinite", "finite numbers, or NaN where there is none")
    return rows, sizes


def _basis(basis: Process | Baseline | None) -> tuple[Process | Baseline, Literal[1, 2]]:
    if isinstance(basis, Process):
        return basis, 2
    return basis or Baseline(), 1
