"""Where a series left its level, and whether it stepped away or has been growing since.

Read :func:`change` first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_at_least

__all__ = ["Change", "change"]


@dataclass(frozen=True, slots=True)
class Change:
    """A level, and what became of it."""

    since: int
    """Index of the first value that is not of the old level."""
    before: float
    """The old level."""
    after: float
    """Where the fitted line ends."""
    rate: float
    """Growth by unit of time since then; 0 of a step."""
    spread: float
    """Standard deviation about the fit."""


def change(times: ArrayLike, values: ArrayLike, latest: int) -> Change:
    r"""Least-squares change of a series that is known to have changed: a step, or a slope.

    Of every index c up to ``latest`` a level is fitted with a slope from c on,
    :math:`y = a + b \max(0, t - t_{c-1})`, and with a step, :math:`y = a + d [t \ge t_c]`; the fit
    with the least sum of squares is given.

    Parameters
    ----------
    times : array_like, shape (n,)
        Not decreasing, in any unit. [1]
    values : array_like, shape (n,)
        The series, in any unit. [1]
    latest : int
        Last index at which it may have changed, from 2 to n - 1. [1]

    Returns
    -------
    change : Change
        The best fit.

    Raises
    ------
    OutOfRange
        If a value is not finite, or ``latest`` is below 2.

    References
    ----------
    .. [1] D. V. Hinkley, "Inference about the change-point in a sequence of random variables",
       Biometrika 57 (1970) 1-17, of the step. [from memory] The slope likewise, by the same
       squares. [common practice, no source]

    Examples
    --------
    >>> found = change([0, 1, 2, 3, 4, 5], [0, 0, 0, 1, 2, 3], latest=5)
    >>> (found.since, round(found.rate, 6), round(found.after, 6))
    (3, 1.0, 3.0)
    """
    t, y = np.asarray(times, dtype=np.float64), np.asarray(values, dtype=np.float64)
    require_at_least(-np.inf, times=t, values=y)
    require_at_least(2, latest=latest)
    best: tuple[float, Change] | None = None
    for index in range(2, min(latest, len(y) - 1) + 1):
        slope = np.maximum(0.0, t - t[index - 1])
        step = (np.arange(len(y)) >= index).astype(np.float64)
        for shape, slopes in ((slope, True), (step, False)):
            squares, level, growth = _fit(shape, y)
            if best is None or squares < best[0]:
                spread = (squares / max(1, len(y) - 3)) ** 0.5
                after = level + growth * float(shape[-1])
                rate = growth if slopes else 0.0
                best = squares, Change(index, level, after, rate, spread)
    if best is None:
        return Change(len(y), float(y.mean()), float(y[-1]), 0.0, float(y.std()))
    return best[1]


def _fit(shape: NDArray[np.float64], y: NDArray[np.float64]) -> tuple[float, float, float]:
    """Sum of squares, level and factor of the shape."""
    middle, mean = float(shape.mean()), float(y.mean())
    across = float(((shape - middle) ** 2).sum())
    growth = float(((shape - middle) * (y - mean)).sum()) / across if across > 0 else 0.0
    level = mean - growth * middle
    return float(((y - level - growth * shape) ** 2).sum()), level, growth
