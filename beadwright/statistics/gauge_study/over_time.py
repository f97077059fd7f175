"""A gauge over weeks: what repeats within minutes, from day to day, from run to run.

Read :func:`study_over_time`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_at_least
from beadwright.statistics.gauge_study.crossed import study_array
from beadwright.statistics.requirements import refuse, require_whole

__all__ = ["Level", "TimeStudy", "study_over_time"]


@dataclass(frozen=True, slots=True)
class Level:
    """A pooled standard deviation with its degrees of freedom."""

    sd: float
    dof: int


@dataclass(frozen=True, slots=True)
class TimeStudy:
    """Three levels of scatter, each containing what is left of the one below."""

    within: Level
    """Of repetitions within minutes (level 1)."""
    days: Level
    """Of daily means (level 2)."""
    runs: Level
    """Of means of runs weeks apart (level 3)."""
    runs_by_standard: NDArray[np.float64]
    """The last by check standard, shape (standards,)."""
    repeats: int
    days_in_run: int

    @property
    def day_component(self) -> float:
        """Standard deviation that days alone add; 0 where repetitions explain them."""
        own = self.days.sd**2 - self.within.sd**2 / self.repeats
        return math.sqrt(max(own, 0.0))

    @property
    def run_component(self) -> float:
        """Standard deviation that runs alone add; 0 where days explain them."""
        own = self.runs.sd**2 - self.days.sd**2 / self.days_in_run
        return math.sqrt(max(own, 0.0))

    @property
    def single(self) -> float:
        """Standard deviation of one reading on any day of any run."""
        return math.hypot(self.within.sd, self.day_component, self.run_component)


def study_over_time(means: ArrayLike, deviations: ArrayLike, repeats: int) -> TimeStudy:
    r"""Level-1, level-2 and level-3 standard deviations of a gauge from check standards.

    .. math::
        s_1^2 = \overline{s_{wkl}^2}, \quad
        s_2^2 = \frac{\sum (\bar y_{wkl} - \bar y_{wk})^2}{W K (L - 1)}, \quad
        s_3^2 = \frac{\sum (\bar y_{wk} - \bar y_w)^2}{W (K - 1)}

    Parameters
    ----------
    means : array_like, shape (standards, runs, days)
        Mean of the repetitions on each day, at least two along each, in any unit. [1]
    deviations : array_like, shape (standards, runs, days)
        Standard deviation of the repetitions on each day, in the same unit, >= 0. [1]
    repeats : int
        Repetitions on each day, at least 2. [1]

    Returns
    -------
    study : TimeStudy
        In the unit of the readings.

    Raises
    ------
    OutOfRange
        If the two are not of one shape of three dimensions with at least two each, a number is
        missing or not finite, a deviation is negative, or ``repeats`` is below 2.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 2.4.4, analysis of variability from a
       nested design. [read in: the source]

    Examples
    --------
    >>> study = study_over_time(
    ...     [[[5.0, 5.1], [5.2, 5.2]], [[7.0, 7.0], [7.1, 7.3]]], 0.1 * np.ones((2, 2, 2)), 6
    ... )
    >>> (round(study.within.sd, 3), round(study.days.sd, 3), round(study.runs.sd, 3))
    (0.1, 0.079, 0.125)
    """
    require_whole(2, repeats=repeats)
    array, spread = study_array(means), np.asarray(deviations, dtype=np.float64)
    if spread.shape != array.shape:
        refuse("deviations", f"of shape {spread.shape}", f"of shape {array.shape}, as means")
    require_at_least(0, deviations=spread)
    standards, runs, days = array.shape
    of_runs = array.mean(axis=2)
    by_standard = of_runs.std(axis=1, ddof=1)
    return TimeStudy(
        within=Level(math.sqrt(float((spread**2).mean())), array.size * (repeats - 1)),
        days=Level(
            math.sqrt(float(array.var(axis=2, ddof=1).mean())), standards * runs * (days - 1)
        ),
        runs=Level(math.sqrt(float((by_standard**2).mean())), standards * (runs - 1)),
        runs_by_standard=by_standard,
        repeats=repeats,
        days_in_run=days,
    )
