"""Charts of measured values in subgroups: means with ranges or standard deviations.

Read :func:`means`. Subgroups may differ in size: every point then has limits of its own.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.statistics.charts.chart import Baseline, Chart, Plotted, Process, judged, kept
from beadwright.statistics.charts.constants import deviation_factor, range_factors
from beadwright.statistics.charts.estimated import rests
from beadwright.statistics.charts.rules import LIMITS, RuleSet
from beadwright.statistics.requirements import refuse, require_series

__all__ = ["means", "subgrouped", "subgroups_process"]

_WIDTH = 3.0

_Floats = NDArray[np.float64]


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
    phase: Literal[1, 2] = 2 if isinstance(basis, Process) else 1
    process = basis if isinstance(basis, Process) else subgroups_process(rows, basis)
    spread = process.spread / np.sqrt(sizes)
    centre = np.full(len(rows), process.level)
    points = np.nanmean(rows, axis=1)
    plotted = Plotted(
        "mean", points, centre, centre - _WIDTH * spread, centre + _WIDTH * spread, spread
    )
    same = sizes.min() == sizes.max()
    of = f"{sizes[0]:g}" if same else f"{sizes.min():g} to {sizes.max():g}, each with own limits"
    said = f"Subgroups of {of}; the spread within them is estimated by {process.by}."
    chart = judged(plotted, process, phase, rules, [said, *rests(process, phase)])
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
