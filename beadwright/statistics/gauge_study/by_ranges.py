"""The average and range method: a crossed study as it is worked out by hand.

Read :func:`range_study`. It cannot see that a person reads some parts otherwise than others do;
:func:`beadwright.statistics.gauge_study.crossed_study` can.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beadwright.statistics.gauge_study.components import distinct
from beadwright.statistics.gauge_study.crossed import study_array
from beadwright.statistics.ranges import grouped_mean_range, mean_range

__all__ = ["RangeStudy", "range_study"]


@dataclass(frozen=True, slots=True)
class RangeStudy:
    """Standard deviations by ranges, in the unit of the readings."""

    mean_range: float
    """Of the trials of one person on one part."""
    difference: float
    """Between the largest and the smallest mean of a person."""
    part_range: float
    """Between the largest and the smallest mean of a part."""
    repeatability: float
    reproducibility: float
    gauge: float
    part: float
    total: float
    share: float
    """Gauge by total."""
    distinct: float
    factors: tuple[float, float, float]
    """K1, K2, K3, by which the ranges were multiplied."""


def range_study(values: ArrayLike) -> RangeStudy:
    r"""Crossed study by averages and ranges.

    .. math::
        EV = \bar{\bar R} K_1, \quad AV = \sqrt{(\bar X_{diff} K_2)^2 - \frac{EV^2}{p r}}, \quad
        PV = R_p K_3, \quad GRR^2 = EV^2 + AV^2

    with :math:`K_1 = 1 / d_2(r)`, :math:`K_2 = 1 / d_2^*(o, 1)`, :math:`K_3 = 1 / d_2^*(p, 1)`.

    Parameters
    ----------
    values : array_like, shape (p, o, r)
        Readings: parts by people by trials, at least two of each, in any unit. [1]

    Returns
    -------
    study : RangeStudy
        In the unit of the readings.

    Raises
    ------
    OutOfRange
        If the readings are not of three dimensions with at least two each, or one is missing or
        not finite.

    References
    ----------
    .. [1] AIAG, "Measurement Systems Analysis", 4th ed., 2010: average and range method. [read in:
       a second source that cites it]

    Examples
    --------
    >>> study = range_study(
    ...     [[[1.0, 1.1], [1.1, 1.2]], [[2.0, 2.1], [2.0, 2.2]], [[3.1, 3.0], [3.2, 3.1]]]
    ... )
    >>> (round(study.repeatability, 3), round(study.reproducibility, 3))
    (0.103, 0.0)
    """
    array = study_array(values)
    parts, people, trials = array.shape
    factors = (
        1 / mean_range(trials),
        1 / grouped_mean_range(people, 1),
        1 / grouped_mean_range(parts, 1),
    )
    inner = float(np.ptp(array, axis=2).mean())
    difference = float(np.ptp(array.mean(axis=(0, 2))))
    part_range = float(np.ptp(array.mean(axis=(1, 2))))
    repeatability = inner * factors[0]
    squared = (difference * factors[1]) ** 2 - repeatability**2 / (parts * trials)
    reproducibility = math.sqrt(max(squared, 0.0))
    gauge = math.hypot(repeatability, reproducibility)
    part = part_range * factors[2]
    total = math.hypot(gauge, part)
    return RangeStudy(
        mean_range=inner,
        difference=difference,
        part_range=part_range,
        repeatability=repeatability,
        reproducibility=reproducibility,
        gauge=gauge,
        part=part,
        total=total,
        share=gauge / total if total > 0 else 0.0,
        distinct=distinct(part, gauge),
        factors=factors,
    )
