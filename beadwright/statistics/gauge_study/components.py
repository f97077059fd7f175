"""Variances worked out from mean squares, and how well they are known.

Read :func:`component` first.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.special import chdtri, fdtri

from beadwright.errors import require_between

__all__ = ["Component", "Row", "Term", "component", "distinct"]


@dataclass(frozen=True, slots=True)
class Row:
    """One line of an analysis of variance; ``f`` and ``p`` are None where nothing is tested."""

    source: str
    dof: int
    squares: float
    f: float | None = None
    p: float | None = None

    @property
    def mean_square(self) -> float:
        """Squares by degree of freedom."""
        return self.squares / self.dof


@dataclass(frozen=True, slots=True)
class Term:
    """A mean square in a sum: its factor, its value, its degrees of freedom."""

    factor: float
    mean_square: float
    dof: int


@dataclass(frozen=True, slots=True)
class Component:
    """A variance, with the interval in which it lies; never below 0."""

    variance: float
    lower: float
    upper: float
    estimate: float
    """As it came out: below 0 where the scatter hides what was looked for."""

    @property
    def sd(self) -> float:
        """Standard deviation."""
        return math.sqrt(self.variance)

    @property
    def sd_interval(self) -> tuple[float, float]:
        """The interval, of the standard deviation."""
        return math.sqrt(self.lower), math.sqrt(self.upper)


def component(terms: Sequence[Term], confidence: float = 0.95) -> Component:
    r"""A variance that is a sum of mean squares, with its interval by modified large samples.

    .. math::
        L = \hat\theta - \sqrt{\sum_+ G_q^2 c_q^2 M_q^2 + \sum_- H_r^2 c_r^2 M_r^2
        + \sum_+ \sum_- G_{qr} |c_q c_r| M_q M_r}

        G_q = 1 - \frac{\nu_q}{\chi^2_{1 - \alpha/2}}, \quad
        H_q = \frac{\nu_q}{\chi^2_{\alpha/2}} - 1, \quad
        G_{qr} = \frac{(F - 1)^2 - G_q^2 F^2 - H_r^2}{F}

    with :math:`F` the upper point of the distribution of :math:`M_q / M_r`; the upper end
    likewise with G and H changed over and the lower point. For one mean square alone it is the
    exact interval.

    Parameters
    ----------
    terms : sequence of Term
        Mean squares with their factors.
    confidence : float, optional
        Of the interval. [1]

    Returns
    -------
    component : Component
        In the unit of the mean squares.

    Raises
    ------
    OutOfRange
        If the confidence is not between 0 and 1.

    Notes
    -----
    Satterthwaite's interval for such sums falls short where factors differ in sign; this one
    does not.

    References
    ----------
    .. [1] R. K. Burdick, C. M. Borror and D. C. Montgomery, "Design and Analysis of Gauge R&R
       Studies", SIAM 2005: intervals by modified large samples. [from memory]
    .. [2] N. Ting, R. K. Burdick, F. A. Graybill, S. Jeyaratnam and T.-F. C. Lu, "Confidence
       intervals on linear combinations of variance components", J. Statist. Comput. Simul. 35
       (1990) 135-143. [from memory]

    Examples
    --------
    >>> found = component([Term(1 / 9, 9.82, 9), Term(-1 / 9, 0.04, 78)])
    >>> (round(found.variance, 3), round(found.lower, 3), round(found.upper, 3))
    (1.087, 0.512, 3.632)
    """
    require_between(0, 1, strict=True, confidence=confidence)
    tail = (1 - confidence) / 2
    estimate = sum(term.factor * term.mean_square for term in terms)
    below, above = _distance(terms, tail, upward=False), _distance(terms, tail, upward=True)
    return Component(
        max(estimate, 0.0), max(estimate - below, 0.0), max(estimate + above, 0.0), estimate
    )


def distinct(part: float, gauge: float) -> float:
    r"""Classes of parts that a gauge tells apart.

    .. math:: \lfloor 1.41\, \sigma_p / \sigma_g \rfloor

    Parameters
    ----------
    part : float
        Standard deviation between parts, >= 0. [1]
    gauge : float
        Standard deviation of measuring, in the same unit, >= 0. [1]

    Returns
    -------
    classes : float
        A whole number, or infinite where measuring does not scatter. [1]

    References
    ----------
    .. [1] AIAG, "Measurement Systems Analysis", 4th ed., 2010: number of distinct categories.
       [read in: a second source that cites it]

    Examples
    --------
    >>> distinct(1.042327, 0.302373)
    4.0
    """
    return float(math.floor(1.41 * part / gauge)) if gauge > 0 else math.inf


def _distance(terms: Sequence[Term], tail: float, *, upward: bool) -> float:
    """From the estimate to the lower or the upper end."""
    total = 0.0
    for one in terms:
        own = one.factor * one.mean_square
        total += (_reach(one, tail, upward=upward == (one.factor > 0)) * own) ** 2
        if one.factor <= 0:
            continue
        for other in terms:
            if other.factor < 0:
                cross = abs(own * other.factor * other.mean_square)
                total += _together(one, other, tail, upward=upward) * cross
    return math.sqrt(max(total, 0.0))


def _reach(term: Term, tail: float, *, upward: bool) -> float:
    """How far a mean square reaches to one side, as a share of itself."""
    if upward:
        return term.dof / float(chdtri(term.dof, 1 - tail)) - 1
    return 1 - term.dof / float(chdtri(term.dof, tail))


def _together(one: Term, other: Term, tail: float, *, upward: bool) -> float:
    """What two mean squares of different sign do together; exact where only they differ."""
    quantile = float(fdtri(one.dof, other.dof, tail if upward else 1 - tail))
    own = _reach(one, tail, upward=upward)
    against = _reach(other, tail, upward=not upward)
    return ((quantile - 1) ** 2 - (own * quantile) ** 2 - against**2) / quantile
