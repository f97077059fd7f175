"""Charts where no series is long: many products on one chart, a start, many cavities at once.

Read :func:`standardised`, then :func:`self_starting` and :func:`grouped`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

from beadwright.errors import require_arrays, require_at_least
from beadwright.statistics.charts.chart import Chart, Plotted, Process, judged
from beadwright.statistics.charts.rules import LIMITS, RuleSet
from beadwright.statistics.requirements import refuse, require_series, require_whole
from beadwright.statistics.self_starting import scores

__all__ = ["Grouped", "group_width", "grouped", "self_starting", "standardised"]

_WIDTH = 3.0
_TAIL = 0.0026997960632601866
"""Share of a normal distribution beyond three standard deviations, on both sides."""

_Floats = NDArray[np.float64]


def standardised(
    values: ArrayLike, targets: ArrayLike, spreads: ArrayLike, rules: RuleSet = LIMITS
) -> Chart:
    r"""Chart of values of many products, each less its own target in its own spread.

    .. math:: z_i = (x_i - T_i) / \sigma_i

    Parameters
    ----------
    values : array_like, shape (n,)
        In the order in which they came, in any one unit. [1]
    targets : array_like, shape (n,)
        Target or known mean of the product that each is of, in that unit. [1]
    spreads : array_like, shape (n,)
        Known standard deviation of that product, in that unit, > 0. [1]
    rules : RuleSet, optional
        Asked of the scores.

    Returns
    -------
    chart : Chart
        Of kind score, with limits at three.

    Raises
    ------
    OutOfRange
        If a spread is not above 0, or the rows do not fit each other.

    Notes
    -----
    Only where each product's spread is really known: a spread guessed too small signals all the
    time. A run may change from one product to the next; it is of the process, not of a product.

    References
    ----------
    .. [1] D. J. Wheeler, "Short Run SPC", 1991. [from memory]

    Examples
    --------
    >>> standardised([10.2, 20.8], [10.0, 20.0], [0.1, 0.2]).signalled
    (1,)
    """
    series = require_series(1, values=values)
    _, target, spread = (
        np.broadcast_to(part, series.shape)
        for part in require_arrays(values=series, targets=targets, spreads=spreads)
    )
    require_at_least(0, strict=True, spreads=spread)
    said = "Each value less the target of its product, in that product's own standard deviation."
    return _scored((series - target) / spread, rules, said)


def self_starting(values: ArrayLike, rules: RuleSet = LIMITS) -> Chart:
    """Chart of a start, each value against all before it.

    Parameters
    ----------
    values : array_like, shape (n,)
        In the order in which they came, in any one unit. [1]
    rules : RuleSet, optional
        Asked of the scores.

    Returns
    -------
    chart : Chart
        Of kind score; the first two have none.

    Raises
    ------
    OutOfRange
        If a value is not finite.

    Notes
    -----
    Nothing need be known beforehand. A shift that is not acted on is forgotten: each value that is
    off becomes a part of what the next is compared with.

    References
    ----------
    .. [1] As of :func:`beadwright.statistics.self_starting.scores`. [from memory]

    Examples
    --------
    >>> self_starting([5.0, 5.1, 4.9, 5.0, 5.1, 4.9, 5.0, 5.1, 8.0]).signalled
    (8,)
    """
    series = require_series(1, values=values)
    found = scores(series)
    found[:2] = np.nan
    said = "Each value against all before it: no mean and no spread need be known."
    return _scored(found, rules, said)


@dataclass(frozen=True, slots=True, eq=False)
class Grouped:
    """Many streams on one chart: of each time the one that lies farthest off."""

    chart: Chart
    stream: NDArray[np.int64]
    """Which stream each point is of."""


def group_width(streams: int, tail: float = _TAIL) -> float:
    r"""Width of limits for the farthest of many independent streams, at the risk of one.

    .. math:: z_k = \Phi^{-1}\left(1 - \tfrac12 \left[1 - (1 - \alpha)^{1/k}\right]\right)

    Parameters
    ----------
    streams : int
        How many, at least 1. [1]
    tail : float, optional
        Chance of a false alarm each time, in all of them together. [1]

    Returns
    -------
    width : float
        In standard deviations. [1]

    Raises
    ------
    OutOfRange
        If there is no stream.

    References
    ----------
    .. [1] Šidák's inequality, which is an equality for independent streams. [from memory]

    Examples
    --------
    >>> [round(group_width(k), 3) for k in (2, 3, 4, 6, 8, 12)]
    [3.205, 3.32, 3.399, 3.509, 3.584, 3.689]
    """
    require_whole(1, streams=streams)
    each = -np.expm1(np.log1p(-tail) / streams)
    return float(-ndtri(each / 2))


def grouped(values: ArrayLike, levels: ArrayLike, spreads: ArrayLike) -> Grouped:
    """Chart many streams at once, such as the cavities of a mould: the farthest of each time.

    Parameters
    ----------
    values : array_like, shape (n, streams)
        A row for each time, in any one unit. [1]
    levels : array_like, shape (streams,)
        Known mean of each stream, in that unit. [1]
    spreads : array_like, shape (streams,)
        Known standard deviation of each, in that unit, > 0. [1]

    Returns
    -------
    grouped : Grouped
        With limits that hold the risk of all streams at that of one chart.

    Raises
    ------
    OutOfRange
        If the values are no table, or a spread is not above 0.

    Notes
    -----
    Only the limits are asked: points that follow each other may be of different streams.

    References
    ----------
    .. [1] L. S. Nelson, "Control chart for multiple stream processes", J. Qual. Technol. 18 (1986)
       255-256, of the idea. [from memory]

    Examples
    --------
    >>> found = grouped([[1.0, 2.0], [1.1, 2.9]], [1.0, 2.0], [0.1, 0.2])
    >>> found.chart.signalled, found.stream.tolist()
    ((1,), [0, 1])
    """
    table, level, spread = require_arrays(values=values, levels=levels, spreads=spreads)
    if table.ndim != 2:  # noqa: PLR2004 - a row for each time
        refuse("values", f"of shape {table.shape}", "a row for each time")
    require_at_least(0, strict=True, spreads=spread)
    require_at_least(-np.inf, values=table, levels=level)
    z = (table - level) / spread
    stream = np.abs(z).argmax(axis=1)
    width = group_width(table.shape[1])
    said = (
        f"Of {table.shape[1]} streams the farthest each time; limits at {width:.2f} sigma hold the"
        " risk of all of them at that of one chart."
    )
    return Grouped(_scored(z[np.arange(len(z)), stream], LIMITS, said, width), stream)


def _scored(z: _Floats, rules: RuleSet, said: str, width: float = _WIDTH) -> Chart:
    flat = np.zeros(len(z))
    plotted = Plotted("score", z, flat, flat - width, flat + width, flat + width / _WIDTH)
    return judged(plotted, Process(0.0, 1.0, "scores", len(z), np.inf), 2, rules, [said])
