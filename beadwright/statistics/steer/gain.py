r"""What an act does: the effect of one unit of a knob, learnt from recorded acts.

Read first: :func:`learnt_gain`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import signal

from beadwright.errors import require_at_least, require_between, require_series

__all__ = ["Gain", "combined_gain", "learnt_gain"]

_ACTS = 5
_LOWEST, _HIGHEST = 1 / 1.5, 3.0


@dataclass(frozen=True, slots=True)
class Gain:
    """Change of the deviation for one unit of the knob, and how well it is known."""

    value: float
    u: float
    acts: int
    """Acts it was learnt from; 0 where it is assumed."""
    doubtful: bool = False
    """Whether the acts say something far from what is assumed."""


def learnt_gain(
    runs: Sequence[tuple[ArrayLike, ArrayLike]], *, weight: float, delay: int = 0
) -> Gain | None:
    r"""Learn the gain from how the deviation moved after acts.

    .. math:: w_t = g\, v_t + a_t, \qquad
              w = \frac{1 - B}{1 - (1 - \lambda) B}\, e, \qquad
              v = \frac{1 - B}{1 - (1 - \lambda) B}\, x_{t-d}

    with x the sum of the changes made before sample t. Both are filtered so that the errors left
    are independent, then fitted by least squares; every run has a level of its own.

    Parameters
    ----------
    runs : sequence of two array_like, each of shape (n,)
        Deviations as sampled, and the change of the knob between each sample and the next, 0 where
        nobody acted. [1]
    weight : float
        :math:`\lambda` of the disturbance, from 0 to 1. [1]
    delay : int
        Samples that pass before an act is seen. [1]

    Returns
    -------
    gain : Gain or None
        With its standard uncertainty; None where no act has come to be seen, or as many levels as
        samples are to be fitted. [1]

    Raises
    ------
    OutOfRange
        If a number is not finite, or an argument lies outside its range.

    References
    ----------
    .. [1] G. E. P. Box, G. M. Jenkins, Time Series Analysis, chapter 11, transfer functions
       [from memory].

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> act = np.where(np.arange(400) % 40 == 20, rng.choice([-2.0, 2.0], 400), 0.0)
    >>> moved = np.concatenate(([0.0], np.cumsum(act)[:-1]))
    >>> e = -0.0125 * moved + rng.normal(0, 0.005, 400)
    >>> found = learnt_gain([(e, act)], weight=0.1)
    >>> round(found.value, 3), found.acts
    (-0.012, 10)
    """
    require_between(0, 1, weight=weight)
    require_at_least(0, delay=delay)
    left, right = [1.0, -1.0], [1.0, weight - 1.0]
    responses: list[NDArray[np.float64]] = []
    causes: list[NDArray[np.float64]] = []
    seen = 0
    for deviations, changes in runs:
        e, c = require_series(deviations=deviations, changes=changes)
        require_between(-np.inf, np.inf, strict=True, deviations=e, changes=c)
        moved = np.concatenate((np.zeros(1 + delay), np.cumsum(c)))[: e.size]
        level = (1.0 - weight) ** np.arange(e.size)
        away = level / float(level @ level)
        w, v = (signal.lfilter(left, right, one) for one in (e, moved))
        responses.append(w - float(level @ w) * away)
        causes.append(v - float(level @ v) * away)
        seen += int(np.count_nonzero(c[: max(e.size - 1 - delay, 0)]))
    w, v = (np.concatenate(one) if one else np.zeros(0) for one in (responses, causes))
    free, square = w.size - len(runs) - 1, float(v @ v)
    if seen == 0 or free < 1 or square == 0:
        return None
    gain = float(v @ w) / square
    over = w - gain * v
    return Gain(gain, float(np.sqrt(float(over @ over) / free / square)), seen)


def combined_gain(assumed: Gain, learnt: Gain | None) -> Gain:
    """Combine what is assumed with what was learnt, by inverse variances.

    Fewer than five acts say too little. The answer stays within a factor of 3 above and of 1.5
    below what is assumed, since a gain taken too small makes every act too large.

    Parameters
    ----------
    assumed : Gain
        From physics or from a trial. [1]
    learnt : Gain or None
        From acts. [1]

    Returns
    -------
    gain : Gain
        The weighted mean; the assumed one where too little was learnt. ``doubtful`` where the acts
        say something beyond these factors. [1]

    Raises
    ------
    OutOfRange
        If an uncertainty is not above 0.

    Notes
    -----
    The five acts and the two factors are ours. [common practice, no source]

    Examples
    --------
    >>> combined_gain(Gain(-0.0125, 0.004, 0), Gain(-0.0085, 0.004, 6)).value
    -0.0105
    """
    if learnt is None or learnt.acts < _ACTS:
        return assumed
    require_at_least(0, strict=True, u_assumed=assumed.u, u_learnt=learnt.u)
    a, b = assumed.u**-2, learnt.u**-2
    ratio = (a + b * learnt.value / assumed.value) / (a + b)
    kept = float(np.clip(ratio, _LOWEST, _HIGHEST))
    return Gain(kept * assumed.value, float((a + b) ** -0.5), learnt.acts, kept != ratio)
