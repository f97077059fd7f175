"""What may be declared or labelled, by the results of tests.

Read :func:`declared_value` first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beadwright.errors import require_at_least
from beadwright.statistics.requirements import refuse, require_series
from beadwright.statistics.tolerance.intervals import Side, tolerance_interval

__all__ = ["Declared", "LabelJudgement", "declared_value", "judge_label"]

_ASKED = 10
"""Results that EN 13172 asks for before a value is declared. [from memory]"""
_LABEL_SHARE = 0.9
"""No specimen more than 10 % below its label: 16 CFR 460.8."""


@dataclass(frozen=True, slots=True)
class Declared:
    """A value to declare, and what it rests on."""

    value: float
    """Rounded to the safe side."""
    exact: float
    """The same, not rounded."""
    side: Side
    fractile: float
    confidence: float
    count: int
    mean: float
    spread: float
    factor: float
    enough: bool
    """Whether there are the ten results that the method asks for."""


@dataclass(frozen=True, slots=True)
class LabelJudgement:
    """Whether a labelled resistance may stand, specimen by specimen and for what will be made."""

    floor: float
    """What no specimen may fall below: 90 % of the label."""
    below: tuple[int, ...]
    """Indices of specimens that do."""
    bound: float | None
    """What nearly all pieces reach, by a lower tolerance bound; None of a single specimen."""
    tested_meet: bool
    made_meet: bool | None
    largest: float
    """The largest label that these specimens bear by both."""


def declared_value(
    values: ArrayLike,
    worse: Side,
    step: float,
    *,
    fractile: float = 0.90,
    confidence: float = 0.90,
) -> Declared:
    r"""Declared conductivity or resistance: :math:`\bar\lambda + k s` or :math:`\bar R - k s`.

    Parameters
    ----------
    values : array_like, shape (n,)
        Results of at least two specimens, in any unit. [1]
    worse : Side
        Which way a value is worse: upper of a conductivity, lower of a resistance.
    step : float
        To which the declared value is rounded, to the worse side, in the same unit: 0.001 of a
        conductivity in W/(m K), 0.05 of a resistance in m² K/W. [1]
    fractile : float, optional
        Share of what is made that is no worse: 0.9, or 0.5 for a declared mean. [1]
    confidence : float, optional
        With which that is held. [1]

    Returns
    -------
    declared : Declared
        In the unit of the values.

    Raises
    ------
    OutOfRange
        If there are fewer than two values or one is not finite, the step is not above 0, a share
        is not between 0 and 1, or ``worse`` is both sides.

    Notes
    -----
    Fewer than ten results are worked out and marked: the method asks for ten. Values of
    different thickness, density or mean temperature do not belong in one row.

    References
    ----------
    .. [1] EN 13163, annex A, and EN 13172, annex F: declared 90/90 value, k by number of
       results, rounding. [from memory]
    .. [2] ISO 10456:2007: fractile 90 % or 50 %, confidence 90 %. [from memory]

    Examples
    --------
    >>> results = [0.0338, 0.0341, 0.0340, 0.0343, 0.0339, 0.0342, 0.0340, 0.0341, 0.0339, 0.0340]
    >>> declared = declared_value(results, Side.UPPER, 0.001)
    >>> (round(declared.factor, 2), round(declared.exact, 5), declared.value)
    (2.07, 0.03434, 0.035)
    """
    if worse is Side.BOTH:
        refuse("worse", worse, "lower or upper")
    require_at_least(0, strict=True, step=step)
    interval = tolerance_interval(values, fractile, confidence, worse)
    exact = interval.upper if worse is Side.UPPER else interval.lower
    # A value that is a whole number of steps but for the last bit is not moved a step further.
    steps, slack = exact / step, 1e-9
    whole = math.ceil(steps - slack) if worse is Side.UPPER else math.floor(steps + slack)
    digits = max(0, 9 - math.floor(math.log10(step)))
    return Declared(
        value=round(whole * step, digits),
        exact=exact,
        side=worse,
        fractile=fractile,
        confidence=confidence,
        count=interval.count,
        mean=interval.mean,
        spread=interval.spread,
        factor=interval.factor or 0.0,
        enough=interval.count >= _ASKED,
    )


def judge_label(
    values: ArrayLike, label: float, *, coverage: float = 0.99, confidence: float = 0.95
) -> LabelJudgement:
    r"""Whether specimens bear a labelled resistance: none more than 10 % below it.

    The rule speaks of each specimen sold, not of a mean. Of what was tested each is looked at; of
    what was not, a lower tolerance bound must reach :math:`0.9 R`.

    Parameters
    ----------
    values : array_like, shape (n,)
        Resistances of specimens of the labelled thickness, > 0, in any unit. [1]
    label : float
        Labelled resistance R, in the same unit, > 0. [1]
    coverage : float, optional
        Share of all pieces that the bound must hold. [1]
    confidence : float, optional
        With which that is held. [1]

    Returns
    -------
    judgement : LabelJudgement
        By the specimens tested and for what is made.

    Raises
    ------
    OutOfRange
        If a value or the label is not a finite number above 0, or a share not between 0 and 1.

    Notes
    -----
    Coverage and confidence are ours: the rule names none.

    References
    ----------
    .. [1] 16 CFR 460.8: "no individual specimen of the insulation you sell can have an R-value
       more than 10% below the R-value shown in a label". [read in: a second source that cites it]

    Examples
    --------
    >>> judgement = judge_label([4.02, 3.95, 4.06, 3.98, 4.01], label=4.0)
    >>> (judgement.tested_meet, judgement.made_meet, round(judgement.bound, 3))
    (True, True, 3.765)
    """
    sample = require_series(1, values=values)
    require_at_least(0, strict=True, values=sample, label=label)
    floor = _LABEL_SHARE * label
    bound = None
    if len(sample) > 1:
        bound = tolerance_interval(sample, coverage, confidence, Side.LOWER).lower
    least = float(sample.min()) if bound is None else min(bound, float(sample.min()))
    below = tuple(int(i) for i in np.flatnonzero(sample < floor * (1 - 1e-12)))
    return LabelJudgement(
        floor=floor,
        below=below,
        bound=bound,
        tested_meet=not below,
        made_meet=None if bound is None else bound >= floor * (1 - 1e-12),
        largest=max(least, 0.0) / _LABEL_SHARE,
    )
