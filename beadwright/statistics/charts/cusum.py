"""Cumulative sums: the chart, its run length, and its design.

Read :class:`Cusum`, then :func:`cusum`. The sums themselves, for a series that is standardised
already, are in :mod:`beadwright.statistics.cusum`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq
from scipy.sparse import csr_array
from scipy.special import ndtr

from beadwright.errors import require_at_least, require_between
from beadwright.statistics.charts.chart import Baseline, Chart, Plotted, Process, judged
from beadwright.statistics.charts.rules import LIMITS
from beadwright.statistics.charts.run_length import RunLength, gathered, profile, quadrature
from beadwright.statistics.charts.variables import individuals_process
from beadwright.statistics.requirements import refuse, require_series

__all__ = ["Cusum", "cusum", "cusum_for", "cusum_run_length", "one_sided_run_length", "sums"]

_NODES = 90
_NEVER = 1e8
_CELLS = 60
"""Steps from 0 to the bound, of each sum, where both are followed at once."""
_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Cusum:
    """Design of a chart of cumulative sums, in standard deviations of a value."""

    slack: float = 0.5
    """k, half the shift that is to be found soonest, >= 0."""
    bound: float = 5.0
    """h, beyond which a sum signals, > 0."""
    head_start: float = 0.0
    """Where the sums begin, by the bound: 0.5 is the fast initial response."""

    def __post_init__(self) -> None:
        """Refuse a design that cannot be."""
        require_at_least(0, slack=self.slack)
        require_at_least(0, strict=True, bound=self.bound)
        require_between(0, 0.999, head_start=self.head_start)


def sums(scores: ArrayLike, design: Cusum) -> tuple[_Floats, _Floats]:
    r"""Upward and downward sums of standardised values, of one series or of many at once.

    .. math:: C^+_i = \max(0, C^+_{i-1} + z_i - k), \quad C^-_i = \max(0, C^-_{i-1} - z_i - k)

    Parameters
    ----------
    scores : array_like, shape (..., n)
        Standardised values, in the order in which they came. [1]
    design : Cusum
        With k and the head start.

    Returns
    -------
    upward, downward : ndarray, shape (..., n)
        Both sums. [1]

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3, tabular form. [read in: a
       second source that cites it]

    Examples
    --------
    >>> sums([1.0, 2.0, -1.0], Cusum(0.5, 5.0))[0].tolist()
    [0.5, 2.0, 0.5]
    """
    z = np.asarray(scores, dtype=np.float64)
    first = design.head_start * design.bound
    # max(0, c + z - k) is a walk less the lowest that it has come to, or the start if lower.
    found = []
    for way in (1.0, -1.0):
        walk = first + np.cumsum(way * z - design.slack, axis=-1)
        lowest = np.minimum(0.0, np.minimum.accumulate(walk, axis=-1))
        found.append(walk - lowest)
    return found[0], found[1]


def cusum(
    values: ArrayLike, basis: Process | Baseline | None = None, design: Cusum | None = None
) -> Chart:
    """Chart of cumulative sums: the upward one above the centre line, the downward one below.

    Parameters
    ----------
    values : array_like, shape (n,)
        Independent values, or subgroup means, in the order in which they came, in any one unit.
        [1]
    basis : Process or Baseline, optional
        Target and spread that were kept (phase 2), or how to estimate them (phase 1), as for
        single values.
    design : Cusum, optional
        Slack, bound and head start; about 465 points in control where none is given.

    Returns
    -------
    chart : Chart
        Of kind cumulative sum, in standard deviations; its points are the larger of both sums, the
        downward one with a minus sign.

    Raises
    ------
    OutOfRange
        As :func:`beadwright.statistics.charts.variables.individuals` does.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3. [read in: a second source that
       cites it]
    .. [2] J. M. Lucas and R. B. Crosier, "Fast initial response for CUSUM quality-control schemes",
       Technometrics 24 (1982) 199-205. [from memory]

    Examples
    --------
    >>> chart = cusum([1.0, 2.0, 3.0, 3.0], Process(0.0, 1.0, "given", 0, 1e9))
    >>> chart.points.tolist(), chart.signals[0].at
    ([0.5, 2.0, 4.5, 7.0], 3)
    """
    series = require_series(1, values=values)
    asked = design or Cusum()
    kept = basis if isinstance(basis, Process) else individuals_process(series, basis)
    up, down = sums((series - kept.level) / kept.spread, asked)
    points = np.where(up >= down, up, -down)
    centre, bound = np.zeros(len(series)), np.full(len(series), asked.bound)
    plotted = Plotted("cumulative sum", points, centre, -bound, bound, bound / 3)
    head = f", begun at {asked.head_start:g} of the bound" if asked.head_start else ""
    said = (
        f"Sums beyond a slack of {asked.slack:g} sigma, with bounds at {asked.bound:g} sigma{head}."
    )
    chart = judged(plotted, kept, 2 if isinstance(basis, Process) else 1, LIMITS, [said])
    since = [_since(signal.at, up if signal.side == "above" else down) for signal in chart.signals]
    told = tuple(
        replace(one, points=tuple(range(first, one.at + 1)))
        for one, first in zip(chart.signals, since, strict=True)
    )
    return replace(chart, signals=told)


def _since(at: int, one: _Floats) -> int:
    """First point since the sum was last 0: where the change seems to begin."""
    zeros = np.flatnonzero(one[:at] <= 0)
    return int(zeros[-1]) + 1 if len(zeros) else 0


def one_sided_run_length(design: Cusum, shift: ArrayLike = 0.0) -> RunLength:
    r"""Run length of the upward sum alone.

    .. math:: f_i(y) = p_{i-1} \phi(y + k - \delta) + \int_0^h f_{i-1}(x) \phi(y - x + k - \delta)
       dx, \quad p_i = p_{i-1} \Phi(k - \delta) + \int_0^h f_{i-1}(x) \Phi(k - x - \delta) dx

    Parameters
    ----------
    design : Cusum
        Slack, bound and head start.
    shift : array_like, shape (...), optional
        Of the mean, in standard deviations: one number, or one for each point of which the last
        holds on. [1]

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
    .. [1] E. S. Page, "Continuous inspection schemes", Biometrika 41 (1954) 100-115. [read in: a
       second source that cites it]

    Examples
    --------
    >>> round(one_sided_run_length(Cusum(0.5, 4.0)).mean, 1)
    335.4
    """
    shifts = profile(shift)
    return gathered(_one_side(design, shifts), len(shifts))


def _one_side(design: Cusum, shifts: _Floats) -> Iterator[float]:
    nodes, weights = quadrature(max(_NODES, math.ceil(12 * design.bound)))
    y = np.concatenate(([0.0], (nodes + 1) * design.bound / 2))
    area = np.concatenate(([0.0], weights * design.bound / 2))
    held, x = np.ones(1), np.array([design.head_start * design.bound])
    kernel = np.empty((0, 0))
    for point in range(10**9):
        if point < max(2, len(shifts)):
            away = design.slack - float(shifts[min(point, len(shifts) - 1)])
            z = y[:, None] + away - x[None, :]
            kernel = area[:, None] * np.exp(-(z**2) / 2) / math.sqrt(2 * math.pi)
            kernel[0] = ndtr(z[0])
            x = y
        held = kernel @ held
        yield float(held.sum())


def cusum_run_length(design: Cusum, shift: ArrayLike = 0.0) -> RunLength:
    r"""Run length of both sums together.

    .. math:: \frac{1}{L} = \frac{1}{L^+} + \frac{1}{L^-}

    without a head start; with one, :math:`L = (L^+_s L^- + L^-_s L^+ - L^+ L^-) / (L^+ + L^-)`.

    Parameters
    ----------
    design : Cusum
        Slack, bound and head start.
    shift : array_like, shape (...), optional
        Of the mean, in standard deviations: one number, or one for each point of which the last
        holds on. [1]

    Returns
    -------
    length : RunLength
        Its mean by the integral equations where the shift is one number. Spread and percentiles
        (and the mean of a changing shift) are those of a chain that follows both sums in steps.

    Raises
    ------
    OutOfRange
        If the shift is not finite.

    References
    ----------
    .. [1] J. M. Lucas and R. B. Crosier, "Fast initial response for CUSUM quality-control schemes",
       Technometrics 24 (1982) 199-205. [read in: a second source that cites it]
    .. [2] D. Brook and D. A. Evans, "An approach to the probability distribution of CUSUM run
       length", Biometrika 59 (1972) 539-549, of the chain. [from memory]

    Examples
    --------
    >>> round(cusum_run_length(Cusum(0.5, 5.0)).mean, 1)
    465.4
    """
    shifts = profile(shift)
    chain = gathered(_both(design, shifts), len(shifts))
    return chain if len(shifts) > 1 else replace(chain, mean=_mean_length(design, float(shifts[0])))


def _mean_length(design: Cusum, shift: float) -> float:
    plain = replace(design, head_start=0.0)
    up, down = (one_sided_run_length(plain, way * shift).mean for way in (1, -1))
    if not design.head_start:
        return 1 / (1 / up + 1 / down)
    above, below = (one_sided_run_length(design, way * shift).mean for way in (1, -1))
    if max(up, down) > _NEVER:  # the other side never signals: its part would be lost in rounding
        return min(above, below)
    return (above * down + below * up - up * down) / (up + down)


def _both(design: Cusum, shifts: _Floats) -> Iterator[float]:
    """Chance of no signal, point by point, of a chain that follows both sums in steps."""
    step = design.bound / (_CELLS + 0.5)
    pairs, index = _reached(design, step)
    held = np.zeros(len(pairs))
    at = design.head_start * design.bound / step
    low = int(at)
    for cell, share in ((low, 1 - (at - low)), (low + 1, at - low)):
        if share > 0:
            held[index[cell, cell]] += share
    matrix = csr_array((1, 1))
    for point in range(10**9):
        if point < len(shifts):
            matrix = _moves(design, step, pairs, index, float(shifts[point]))
        held = matrix @ held
        yield float(held.sum())


def _increments(design: Cusum, step: float) -> tuple[_Floats, NDArray[np.int64]]:
    """Where a value parts into steps of both sums, and the steps of each part."""
    whole = np.arange(-_CELLS - 2, _CELLS + 2) + 0.5
    edges = np.unique(np.concatenate((design.slack + whole * step, -design.slack - whole * step)))
    middles = np.concatenate(([edges[0] - 1], (edges[1:] + edges[:-1]) / 2, [edges[-1] + 1]))
    both = np.stack((middles - design.slack, -middles - design.slack))
    return edges, np.round(both / step).astype(np.int64)


def _reached(design: Cusum, step: float) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pairs of sums, in steps, that can be reached from the start, and the number of each."""
    _, moves = _increments(design, step)
    index = np.full((_CELLS + 2, _CELLS + 2), -1, dtype=np.int64)
    low = int(design.head_start * design.bound / step)
    front = np.array([[low, low], [low + 1, low + 1]] if design.head_start else [[0, 0]])
    pairs = [front]
    index[front[:, 0], front[:, 1]] = np.arange(len(front))
    count = len(front)
    while len(front):
        after = np.maximum(0, front[:, :, None] + moves[None, :, :])
        inside = (after <= _CELLS).all(axis=1)
        codes = np.unique((after[:, 0] * (_CELLS + 2) + after[:, 1])[inside])
        front = np.stack(np.divmod(codes, _CELLS + 2), axis=1)
        front = front[index[front[:, 0], front[:, 1]] < 0]
        index[front[:, 0], front[:, 1]] = np.arange(count, count + len(front))
        count += len(front)
        pairs.append(front)
    return np.concatenate(pairs), index


def _moves(
    design: Cusum, step: float, pairs: NDArray[np.int64], index: NDArray[np.int64], shift: float
) -> csr_array:
    edges, moves = _increments(design, step)
    chance = np.diff(ndtr(np.concatenate(([-np.inf], edges, [np.inf])) - shift))
    after = np.maximum(0, pairs[:, :, None] + moves[None, :, :])
    inside = (after <= _CELLS).all(axis=1)
    origin, part = np.nonzero(inside)
    target = index[after[origin, 0, part], after[origin, 1, part]]
    return csr_array((chance[part], (target, origin)), shape=(len(pairs), len(pairs)))


def cusum_for(slack: float, in_control: float, head_start: float = 0.0) -> Cusum:
    """Give the design of one slack that runs so long in control.

    Parameters
    ----------
    slack : float
        k, half the shift that is to be found soonest, > 0. [1]
    in_control : float
        Average run length that is wanted, at least 5. [1]
    head_start : float, optional
        Where the sums begin, by the bound. [1]

    Returns
    -------
    design : Cusum
        With its bound.

    Raises
    ------
    OutOfRange
        If the slack is not above 0, or the run length below 5 or beyond reach.

    References
    ----------
    .. [1] As of :func:`cusum_run_length`. [read in: a second source that cites it]

    Examples
    --------
    >>> round(cusum_for(0.5, 370.0).bound, 3)
    4.774
    """
    require_at_least(0, strict=True, slack=slack)
    require_at_least(5, in_control=in_control)

    def off(bound: float) -> float:
        return math.log(_mean_length(Cusum(slack, bound, head_start), 0.0) / in_control)

    low, high = 0.05, 12 / slack
    if off(low) > 0:
        refuse("in_control", in_control, "a run length within reach of this slack")
    while off(high / 2) > 0:
        high /= 2
    return Cusum(slack, float(brentq(off, low, high, xtol=1e-7)), head_start)
