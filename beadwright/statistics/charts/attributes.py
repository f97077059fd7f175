"""Charts of counts: defectives of the pieces inspected, and defects on the units inspected.

Read :func:`proportions`. Limits are three standard deviations where the counts are large enough,
and exact probability limits where they are not: a normal limit there lies where nothing can be,
or signals far too often. Where the counts vary more than chance allows, the limits go by the
spread that is seen from point to point.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import binom, poisson

from beadwright.errors import require_at_least, require_between
from beadwright.statistics.charts.chart import Baseline, Chart, Kind, Plotted, Process, judged
from beadwright.statistics.charts.counted import (
    counting_spread,
    counts_process,
    exact_limits,
    require_counts,
)
from beadwright.statistics.charts.rules import LIMITS, RuleSet
from beadwright.statistics.charts.run_length import RunLength, geometric
from beadwright.statistics.requirements import refuse

__all__ = [
    "counts",
    "counts_run_length",
    "defectives",
    "proportions",
    "rates",
]

_WIDTH = 3.0
_ALIKE = 1e-9
_Floats = NDArray[np.float64]
_Law = Literal["binomial", "poisson"]
_LAWS: dict[Kind, _Law] = {"p": "binomial", "np": "binomial", "c": "poisson", "u": "poisson"}


def proportions(
    counted: ArrayLike,
    inspected: ArrayLike,
    basis: Process | Baseline | None = None,
    rules: RuleSet = LIMITS,
) -> Chart:
    r"""Chart of the share of defectives (p), each point with limits by its own number inspected.

    .. math:: \bar p \pm 3 \sqrt{\bar p (1 - \bar p) / n_i}

    Parameters
    ----------
    counted : array_like, shape (m,)
        Defective pieces. [1]
    inspected : array_like, shape (m,)
        Pieces inspected, each time or one number for all, > 0. [1]
    basis : Process or Baseline, optional
        Limits that were kept (phase 2), or how to estimate them (phase 1): by ``sigma``,
        ``exact``, ``point to point``, or as the counts ask where it is empty.
    rules : RuleSet, optional
        Asked of the points as far as they hold there.

    Returns
    -------
    chart : Chart
        Of kind p.

    Raises
    ------
    OutOfRange
        If a count is negative, not whole, or above the pieces inspected.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.3.2. [read in: a second source that
       cites it]
    .. [2] D. B. Laney, "Improved control charts for attributes", Qual. Eng. 14 (2002) 531-537, of
       limits by the spread from point to point. [from memory]

    Examples
    --------
    >>> chart = proportions([12, 15, 8, 10, 4], 50)
    >>> round(float(chart.centre[0]), 3), round(float(chart.upper[0]), 4)
    (0.196, 0.3644)
    """
    return _chart("p", (counted, inspected), basis, rules)


def defectives(
    counted: ArrayLike,
    inspected: float,
    basis: Process | Baseline | None = None,
    rules: RuleSet = LIMITS,
) -> Chart:
    r"""Chart of the number of defectives (np), of one number inspected each time.

    .. math:: n \bar p \pm 3 \sqrt{n \bar p (1 - \bar p)}

    Parameters
    ----------
    counted : array_like, shape (m,)
        Defective pieces. [1]
    inspected : float
        Pieces inspected each time, > 0. [1]
    basis : Process or Baseline, optional
        As of :func:`proportions`.
    rules : RuleSet, optional
        As of :func:`proportions`.

    Returns
    -------
    chart : Chart
        Of kind np.

    Raises
    ------
    OutOfRange
        As :func:`proportions` does.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.3.2. [read in: a second source that
       cites it]

    Examples
    --------
    >>> round(float(defectives([12, 15, 8, 10, 4], 50).upper[0]), 2)
    18.22
    """
    return _chart("np", (counted, inspected), basis, rules)


def counts(
    counted: ArrayLike, basis: Process | Baseline | None = None, rules: RuleSet = LIMITS
) -> Chart:
    r"""Chart of the number of defects (c), on one unit or the same number of units each time.

    .. math:: \bar c \pm 3 \sqrt{\bar c}

    Parameters
    ----------
    counted : array_like, shape (m,)
        Defects. [1]
    basis : Process or Baseline, optional
        As of :func:`proportions`.
    rules : RuleSet, optional
        As of :func:`proportions`.

    Returns
    -------
    chart : Chart
        Of kind c.

    Raises
    ------
    OutOfRange
        If a count is negative or not whole.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.3.1. [read in: a second source that
       cites it]

    Examples
    --------
    >>> chart = counts([16, 14, 18, 16])
    >>> float(chart.lower[0]), float(chart.upper[0])
    (4.0, 28.0)
    """
    return _chart("c", (counted, 1.0), basis, rules)


def rates(
    counted: ArrayLike,
    units: ArrayLike,
    basis: Process | Baseline | None = None,
    rules: RuleSet = LIMITS,
) -> Chart:
    r"""Chart of defects by unit (u), each point with limits by its own number of units.

    .. math:: \bar u \pm 3 \sqrt{\bar u / n_i}

    Parameters
    ----------
    counted : array_like, shape (m,)
        Defects. [1]
    units : array_like, shape (m,)
        Units, lengths or areas inspected, > 0. [1]
    basis : Process or Baseline, optional
        As of :func:`proportions`.
    rules : RuleSet, optional
        As of :func:`proportions`.

    Returns
    -------
    chart : Chart
        Of kind u.

    Raises
    ------
    OutOfRange
        If a count is negative or not whole.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.3.1. [read in: a second source that
       cites it]

    Examples
    --------
    >>> round(float(rates([40, 36, 44], [2.0, 2.0, 2.0]).upper[0]), 3)
    29.487
    """
    return _chart("u", (counted, units), basis, rules)


def _chart(
    kind: Kind,
    given: tuple[ArrayLike, ArrayLike],
    basis: Process | Baseline | None,
    rules: RuleSet,
) -> Chart:
    law = _LAWS[kind]
    x, n = require_counts(*given, law)
    phase: Literal[1, 2] = 2 if isinstance(basis, Process) else 1
    process = basis if isinstance(basis, Process) else counts_process(x, n, law, basis)
    spread = np.maximum(process.spread * counting_spread(process.level, n, law), 1e-300)
    centre = np.full(len(x), process.level)
    if process.by == "exact":
        least, most = exact_limits(process.level, n, law)
        lower, upper = least / n, most / n
    else:
        lower, upper = np.maximum(0.0, centre - _WIDTH * spread), centre + _WIDTH * spread
        if law == "binomial":
            upper = np.minimum(1.0, upper)
    scale = n if kind == "np" else np.ones(len(n))
    parts = (x / n, centre, lower, upper, spread)
    plotted = Plotted(kind, *(part * scale for part in parts))
    return judged(plotted, process, phase, rules, [_said(kind, n, process)])


def _said(kind: Kind, n: _Floats, process: Process) -> str:
    what = {"p": "Shares of defectives", "np": "Numbers of defectives", "c": "Numbers of defects",
            "u": "Defects by unit"}[kind]  # fmt: skip
    own = "; each point has limits by its own number inspected" if n.min() < n.max() else ""
    how = {
        "sigma": "limits are three standard deviations",
        "exact": "the counts are small, so limits are exact: at most 0.135 % beyond each",
        "point to point": (
            f"the counts vary {process.spread:.3g} times as widely from point to point as chance"
            " alone gives, and the limits go by that"
        ),
    }[process.by]
    return f"{what}{own}; {how}."


def counts_run_length(chart: Chart, level: float, point: int = -1) -> RunLength:
    """Run length of a chart of counts by its limits, at any true proportion or rate.

    Parameters
    ----------
    chart : Chart
        Of kind p, np, c or u.
    level : float
        True proportion of defectives, or defects by unit, >= 0. [1]
    point : int, optional
        The point whose limits and number inspected hold; the last where none is given. [1]

    Returns
    -------
    length : RunLength
        By the exact binomial or Poisson distribution.

    Raises
    ------
    OutOfRange
        If the chart is of no such kind, the level cannot be, or no count is beyond the limits.

    References
    ----------
    .. [1] The distribution functions themselves. [common practice, no source]

    Examples
    --------
    >>> chart = counts([16, 14, 18, 16])
    >>> round(counts_run_length(chart, 16.0).mean), round(counts_run_length(chart, 24.0).mean, 1)
    (438, 5.6)
    """
    if chart.kind not in _LAWS:
        refuse("chart", chart.kind, "one of kind p, np, c or u")
    law = _LAWS[chart.kind]
    require_at_least(0, level=level)
    if law == "binomial":
        require_between(0, 1, level=level)
    n = _inspected(chart, point)
    scale = 1.0 if chart.kind in {"np", "c"} else n
    # A count exactly at a limit does not signal; limits carry rounding of their own.
    low = np.ceil(float(chart.lower[point]) * scale - _ALIKE)
    high = np.floor(float(chart.upper[point]) * scale + _ALIKE)
    if law == "binomial":
        inside = binom.cdf(high, n, level) - binom.cdf(low - 1, n, level)
    else:
        inside = poisson.cdf(high, level * n) - poisson.cdf(low - 1, level * n)
    return geometric(max(0.0, 1 - float(inside)))


def _inspected(chart: Chart, point: int) -> float:
    """Pieces or units of a point, from the spread of its share or rate."""
    level, law = chart.process.level, _LAWS[chart.kind]
    if chart.kind == "np":
        return float(round(float(chart.centre[point]) / level))
    if chart.kind == "c":
        return 1.0
    one = float(chart.spread[point]) / chart.process.spread
    n = float(counting_spread(level, 1.0, law)) ** 2 / one**2
    return float(round(n)) if law == "binomial" else n
