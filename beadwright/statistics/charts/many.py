"""Many charts at once: limits and signals of thousands of series, as arrays.

Read :func:`many_individuals`. A plant that re-reads its record has a chart for each characteristic
of each station; what has to be drawn is only the few that are looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_at_least
from beadwright.statistics.charts.rules import LIMITS, RuleSet, found
from beadwright.statistics.ranges import mean_range
from beadwright.statistics.requirements import refuse, require_whole

__all__ = ["ManyCharts", "many_individuals"]

_BLOCK = 48_000
"""Values that are worked on at once: they and their marks stay in a core's own memory."""

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class ManyCharts:
    """Limits of many charts of single values, and where their rules signal."""

    level: _Floats
    spread: _Floats
    """Of each chart, by its moving ranges."""
    chart: NDArray[np.int64]
    rule: NDArray[np.int64]
    at: NDArray[np.int64]
    """Of each signal: its chart, its rule by the place in the set, the point that completes it."""
    side: NDArray[np.int8]
    """1 above, -1 below, 1 where the rule has no side."""

    def of(self, chart: int) -> list[tuple[int, int]]:
        """Rule and point of each signal of one chart."""
        low, high = np.searchsorted(self.chart, [chart, chart + 1])
        return list(zip(self.rule[low:high].tolist(), self.at[low:high].tolist(), strict=True))


def many_individuals(values: ArrayLike, rules: RuleSet = LIMITS, workers: int = 1) -> ManyCharts:
    """Limits and signals of many series of single values.

    Parameters
    ----------
    values : array_like, shape (charts, n)
        A row for each series, in the order in which they came, each in its own unit; NaN where a
        value is missing. [1]
    rules : RuleSet, optional
        Asked of every series.
    workers : int, optional
        Threads, at least 1. [1]

    Returns
    -------
    charts : ManyCharts
        Limits lie three spreads from the level; signals in the order of charts.

    Raises
    ------
    OutOfRange
        If the values are no rows of two at least.

    References
    ----------
    .. [1] As of :func:`beadwright.statistics.charts.variables.individuals`. [read in: a second
       source that cites it]

    Examples
    --------
    >>> many_individuals([[1.0, 2.0, 1.0, 2.0, 1.0, 9.0, 1.0, 2.0, 1.0, 2.0, 1.0, 2.0]]).of(0)
    [(0, 5)]
    """
    x = np.asarray(values, dtype=np.float64)
    if x.ndim != 2 or x.shape[1] < 2:  # noqa: PLR2004 - rows with a moving range
        refuse("values", f"of shape {x.shape}", "rows of two values at least")
    require_whole(1, workers=workers)
    require_at_least(1, charts=len(x))
    step = max(1, _BLOCK // x.shape[1])
    starts = range(0, len(x), step)

    def one(start: int) -> tuple[_Floats, _Floats, NDArray[np.int64], NDArray[np.int8]]:
        return _block(x[start : start + step], start, rules)

    if workers == 1:
        parts = [one(start) for start in starts]
    else:
        with ThreadPoolExecutor(workers) as pool:
            parts = list(pool.map(one, starts))
    return _joined(parts)


def _block(
    x: _Floats, start: int, rules: RuleSet
) -> tuple[_Floats, _Floats, NDArray[np.int64], NDArray[np.int8]]:
    steps = np.abs(np.diff(x, axis=1))
    gaps = bool(np.isnan(x).any())
    mean = np.nanmean if gaps else np.mean
    level, spread = mean(x, axis=1), mean(steps, axis=1) / mean_range(2)
    z = x - level[:, None]
    with np.errstate(invalid="ignore", divide="ignore"):
        z /= spread[:, None]
    sides = found(z, rules)
    rule, chart, at = np.nonzero(sides)
    return level, spread, np.stack((chart + start, rule, at)), sides[rule, chart, at]


def _joined(
    parts: Sequence[tuple[_Floats, _Floats, NDArray[np.int64], NDArray[np.int8]]],
) -> ManyCharts:
    level, spread = (np.concatenate([part[i] for part in parts]) for i in (0, 1))
    where = np.concatenate([part[2] for part in parts], axis=1)
    side = np.concatenate([part[3] for part in parts])
    order = np.lexsort((where[1], where[2], where[0]))
    return ManyCharts(level, spread, where[0][order], where[1][order], where[2][order], side[order])
