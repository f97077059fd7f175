"""Several characteristics at once: Hotelling's T², and which characteristic a signal is of.

Read :func:`together`, then :func:`t_squared`. Mass and density of a block go together; a pair that
does not may lie inside both its charts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import beta, chi2
from scipy.stats import f as variance_ratio

from beadwright.errors import require_between
from beadwright.statistics.charts.chart import Baseline, Chart, LeftOut, Plotted, Process, judged
from beadwright.statistics.charts.chart import kept as used_of
from beadwright.statistics.charts.rules import LIMITS
from beadwright.statistics.requirements import refuse

__all__ = ["Together", "t_squared", "t_squared_limit", "t_squared_parts", "together"]

_TAIL = 0.0026997960632601866
_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Together:
    """How several characteristics lie, and how they go together."""

    level: _Floats
    covariance: _Floats
    """Of single values; of subgroups the one within them."""
    used: int
    """Points or subgroups that it rests on."""
    size: int
    """Values in a subgroup; 1 of single values."""
    by: str
    left_out: tuple[LeftOut, ...] = ()


def together(values: ArrayLike, baseline: Baseline | None = None) -> Together:
    r"""Level and covariance of several characteristics.

    .. math:: S = \frac{V^T V}{2 (m - 1)}, \quad v_i = x_{i+1} - x_i

    of single values, by successive differences; of subgroups the mean of their covariances.

    Parameters
    ----------
    values : array_like, shape (m, p) or (m, n, p)
        A row for each point, or rows of subgroups; each characteristic in its own unit. [1]
    baseline : Baseline, optional
        What is left out; of single values also the way, ``successive differences`` (the first,
        which a step does not widen) or ``deviation``.

    Returns
    -------
    together : Together
        To be kept for phase 2.

    Raises
    ------
    OutOfRange
        If there are too few points, a value is not finite, or characteristics repeat each other.

    References
    ----------
    .. [1] J. H. Sullivan and W. H. Woodall, "A comparison of multivariate control charts for
       individual observations", J. Qual. Technol. 28 (1996) 398-408. [from memory]
    """
    table = _table(values)
    asked = baseline or Baseline()
    good = used_of(len(table), asked)
    by = asked.by or ("within" if table.shape[1] > 1 else "successive differences")
    some = table[good]
    m, size, p = some.shape
    if m * size - (m if size > 1 else 0) <= p + 1:
        refuse("values", f"{m} points", f"more, for {p} characteristics")
    level = some.mean(axis=(0, 1))
    if size > 1:
        about = some - some.mean(axis=1, keepdims=True)
        covariance = np.einsum("mni,mnj->ij", about, about) / (m * (size - 1))
    elif by == "successive differences":
        steps = np.diff(table[:, 0], axis=0)[good[1:] & good[:-1]]
        covariance = steps.T @ steps / (2 * len(steps))
    elif by == "deviation":
        covariance = np.cov(some[:, 0].T).reshape(p, p)
    else:
        refuse("by", repr(by), "'successive differences' or 'deviation'")
    if np.linalg.matrix_rank(covariance) < p:
        refuse("values", "characteristics that repeat each other", "characteristics of their own")
    return Together(level, covariance, m, size, by, asked.left_out)


def t_squared(values: ArrayLike, basis: Together | Baseline | None = None) -> Chart:
    r"""Chart of several characteristics at once.

    .. math:: T_i^2 = n (\bar x_i - \bar{\bar x})^T S^{-1} (\bar x_i - \bar{\bar x})

    Parameters
    ----------
    values : array_like, shape (m, p) or (m, n, p)
        As of :func:`together`. [1]
    basis : Together or Baseline, optional
        What was kept (phase 2), or how to estimate it (phase 1).

    Returns
    -------
    chart : Chart
        Of kind t squared, with an upper limit only; at most 0.27 % beyond it.

    Raises
    ------
    OutOfRange
        As :func:`together` does.

    References
    ----------
    .. [1] T. P. Ryan, "Statistical Methods for Quality Improvement", chapter 9. [from memory]
    .. [2] N. D. Tracy, J. C. Young and R. L. Mason, "Multivariate control charts for individual
       observations", J. Qual. Technol. 24 (1992) 88-95. [from memory]
    """
    phase: Literal[1, 2] = 2 if isinstance(basis, Together) else 1
    kept = basis if isinstance(basis, Together) else together(values, basis)
    points = _distance(_table(values).mean(axis=1) - kept.level, kept) * kept.size
    limit = t_squared_limit(kept, phase)
    flat, p = np.ones(len(points)), float(len(kept.level))
    plotted = Plotted("t squared", points, flat * p, flat * 0.0, flat * limit, flat * limit / 3)
    own = Process(p, 1.0, kept.by, kept.used, float(kept.used), kept.left_out)
    said = f"{p:g} characteristics at once, with the covariance {_way(kept)}."
    return judged(plotted, own, phase, LIMITS, [said])


def t_squared_limit(kept: Together, phase: Literal[1, 2], tail: float = _TAIL) -> float:
    r"""Upper limit of T².

    .. math:: \frac{p (m \mp 1)(n - 1)}{mn - m - p + 1} F_{1-\alpha}(p, mn - m - p + 1), \quad
       \frac{(m-1)^2}{m} B_{1-\alpha}\left(\tfrac p2, \tfrac{m-p-1}2\right), \quad
       \frac{p (m+1)(m-1)}{m^2 - mp} F_{1-\alpha}(p, m - p)

    of subgroups, in phase 1 with minus and in phase 2 with plus; of single values in phase 1, and
    in phase 2. By successive differences :math:`\chi^2_p` in phase 1, and in phase 2 as if they had
    :math:`2 (m-1)^2 / (3m - 4)` degrees of freedom.

    Parameters
    ----------
    kept : Together
        What the chart rests on.
    phase : {1, 2}
        Whether it was estimated from the points that are judged. [1]
    tail : float, optional
        Chance beyond the limit. [1]

    Returns
    -------
    limit : float
        Of T². [1]

    Raises
    ------
    OutOfRange
        If the chance is not between 0 and 1.

    References
    ----------
    .. [1] As of :func:`t_squared`. [from memory]
    .. [2] J. D. Williams, W. H. Woodall, J. B. Birch and J. H. Sullivan, "Distribution of
       Hotelling's T2 statistic based on the successive differences estimator", J. Qual. Technol. 38
       (2006) 217-229, of chi square. [from memory]
    .. [3] F. W. Scholz and T. J. Tosch, "Small sample uni- and multivariate control charts for
       means", Proc. Amer. Statist. Assoc., Quality and Productivity Section (1994) 17-22, of
       successive differences. [from memory]
    """
    require_between(0, 1, strict=True, tail=tail)
    m, n, p = kept.used, kept.size, len(kept.level)
    if n > 1:
        rest = m * n - m - p + 1
        side = 1 if phase == 2 else -1  # noqa: PLR2004 - the second phase
        return float(p * (m + side) * (n - 1) / rest * variance_ratio.isf(tail, p, rest))
    apart = kept.by == "deviation"
    if phase == 1:
        if apart:
            return float((m - 1) ** 2 / m * beta.isf(tail, p / 2, (m - p - 1) / 2))
        return float(chi2.isf(tail, p))
    free = m - 1 if apart else 2 * (m - 1) ** 2 / (3 * m - 4)
    wide = (m + 1) / m * p * free / (free - p + 1)
    return float(wide * variance_ratio.isf(tail, p, free - p + 1))


def t_squared_parts(values: ArrayLike, kept: Together) -> _Floats:
    """What each characteristic adds to T² beyond the others: where to look first.

    Parameters
    ----------
    values : array_like, shape (m, p) or (m, n, p)
        As of :func:`together`. [1]
    kept : Together
        What the chart rests on.

    Returns
    -------
    parts : ndarray, shape (m, p)
        T² less what it would be without that characteristic. [1]

    References
    ----------
    .. [1] G. C. Runger, F. B. Alt and D. C. Montgomery, "Contributors to a multivariate statistical
       process control signal", Commun. Statist. Theory Meth. 25 (1996) 2203-2213. [from memory]
    """
    off = _table(values).mean(axis=1) - kept.level
    whole = _distance(off, kept)
    p = len(kept.level)
    parts = np.empty((len(off), p))
    for one in range(p):
        rest = [other for other in range(p) if other != one]
        part = off[:, rest]
        inverse = np.linalg.inv(kept.covariance[np.ix_(rest, rest)]) if rest else np.zeros((0, 0))
        parts[:, one] = whole - np.einsum("mi,ij,mj->m", part, inverse, part)
    return kept.size * parts


def _distance(off: _Floats, kept: Together) -> _Floats:
    return np.asarray(np.einsum("mi,mi->m", off, np.linalg.solve(kept.covariance, off.T).T))


def _table(values: ArrayLike) -> _Floats:
    table = np.asarray(values, dtype=np.float64)
    if table.ndim == 2:  # noqa: PLR2004 - single values
        table = table[:, None, :]
    if table.ndim != 3 or not table.size or not np.isfinite(table).all():  # noqa: PLR2004 - points, values, characteristics
        refuse("values", f"of shape {table.shape}", "rows of finite numbers, or rows of subgroups")
    return table


def _way(kept: Together) -> str:
    return f"within subgroups of {kept.size}" if kept.size > 1 else f"of {kept.by}"
