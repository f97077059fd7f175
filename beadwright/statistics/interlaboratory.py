"""Several laboratories on one material: how far results agree within one and between them.

Read :func:`interlaboratory` first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import fdtri, stdtrit

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.statistics.outliers import Grubbs, grubbs
from beadwright.statistics.requirements import refuse, require_where, require_whole

__all__ = [
    "Cochran",
    "Interlaboratory",
    "Laboratory",
    "cochran_critical",
    "critical_difference",
    "h_critical",
    "interlaboratory",
    "k_critical",
]

_LIMIT = 2.8
"""Of a difference of two results, in standard deviations: 1.96 √2, rounded up by the standards."""


@dataclass(frozen=True, slots=True)
class Laboratory:
    """One laboratory's results against the others'."""

    mean: float
    sd: float
    h: float
    """Its mean from the mean of all, in standard deviations of means."""
    k: float
    """Its standard deviation by the pooled one."""
    unlike: bool
    """Whether h is beyond its critical value."""
    uneven: bool
    """Whether k is beyond its critical value."""
    step: float
    """What all its figures are multiples of, as they were written."""
    coarse: bool
    """Whether it rounds ten times more coarsely than another, and by half the scatter or more."""


@dataclass(frozen=True, slots=True)
class Cochran:
    """Whether the largest variance belongs to the others."""

    laboratory: int
    statistic: float
    """Its share of all variances."""
    critical: float
    flagged: bool


@dataclass(frozen=True, slots=True)
class Interlaboratory:
    """Precision of a method by a study; standard deviations in the unit of the results."""

    mean: float
    mean_sd: float
    """Between the means of laboratories."""
    repeatability_sd: float
    between_sd: float
    """What laboratories alone add; 0 where repeating explains it."""
    reproducibility_sd: float
    repeatability_limit: float
    """Two results of one laboratory differ by more once in twenty times."""
    reproducibility_limit: float
    """Two results of two laboratories differ by more once in twenty times."""
    laboratories: tuple[Laboratory, ...]
    h_critical: float
    k_critical: float
    cochran: Cochran
    grubbs: Grubbs
    """Of the means of laboratories."""


def h_critical(laboratories: int, risk: float = 0.005) -> float:
    r"""How far one laboratory's mean may lie from the others, in their standard deviations.

    .. math::
        h = \frac{(p - 1)\, t}{\sqrt{p (t^2 + p - 2)}}, \qquad t = t_{1 - \alpha / 2;\, p - 2}

    Parameters
    ----------
    laboratories : int
        How many p took part, at least 3. [1]
    risk : float, optional
        Chance of marking a given laboratory though all are alike: 0.5 % by ASTM E691. [1]

    Returns
    -------
    critical : float
        To be compared with the size of h. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than three laboratories, or the risk is not between 0 and 1.

    References
    ----------
    .. [1] ASTM E691, consistency statistics; ISO 5725-2, Mandel's h. [read in: a second source
       that cites it]

    Examples
    --------
    >>> h_critical(8)
    2.152492
    """
    require_whole(3, laboratories=laboratories)
    require_between(0, 1, strict=True, risk=risk)
    p = laboratories
    t = float(stdtrit(p - 2, 1 - risk / 2))
    return (p - 1) * t / math.sqrt(p * (t * t + p - 2))


def k_critical(laboratories: int, replicates: int, risk: float = 0.005) -> float:
    r"""How much more than the others one laboratory may scatter.

    .. math::
        k = \sqrt{\frac{p}{1 + (p - 1) / F}}, \qquad F = F_{1 - \alpha;\, n - 1,\, (p - 1)(n - 1)}

    Parameters
    ----------
    laboratories : int
        How many p took part, at least 2. [1]
    replicates : int
        Results n of each, at least 2. [1]
    risk : float, optional
        Chance of marking a given laboratory though all are alike: 0.5 % by ASTM E691. [1]

    Returns
    -------
    critical : float
        To be compared with k. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than two laboratories or results, or the risk is not between 0 and 1.

    References
    ----------
    .. [1] ASTM E691, consistency statistics; ISO 5725-2, Mandel's k. [read in: a second source
       that cites it]

    Examples
    --------
    >>> k_critical(8, 3)
    2.06084
    """
    require_whole(2, laboratories=laboratories, replicates=replicates)
    require_between(0, 1, strict=True, risk=risk)
    return math.sqrt(laboratories * _largest_share(laboratories, replicates, risk))


def cochran_critical(laboratories: int, replicates: int, risk: float = 0.05) -> float:
    r"""Largest share of all variances that one laboratory may have.

    .. math::
        C = \frac{1}{1 + (p - 1) / F}, \qquad F = F_{1 - \alpha / p;\, n - 1,\, (p - 1)(n - 1)}

    Parameters
    ----------
    laboratories : int
        How many p took part, at least 2. [1]
    replicates : int
        Results n of each, at least 2. [1]
    risk : float, optional
        Chance of marking any laboratory though all are alike. [1]

    Returns
    -------
    critical : float
        From 1/p to 1. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than two laboratories or results, or the risk is not between 0 and 1.

    References
    ----------
    .. [1] ISO 5725-2, Cochran's test. [read in: a second source that cites it]

    Examples
    --------
    >>> cochran_critical(8, 3)
    0.5156875
    """
    require_whole(2, laboratories=laboratories, replicates=replicates)
    require_between(0, 1, strict=True, risk=risk)
    return _largest_share(laboratories, replicates, risk / laboratories)


def interlaboratory(
    values: ArrayLike, *, consistency_risk: float = 0.005, outlier_risk: float = 0.05
) -> Interlaboratory:
    r"""Repeatability and reproducibility of a method on one material.

    .. math::
        s_r^2 = \overline{s_i^2}, \qquad
        s_R^2 = \max\left(s_r^2,\; s_{\bar x}^2 + s_r^2 \frac{n - 1}{n}\right), \qquad
        h_i = \frac{\bar x_i - \bar{\bar x}}{s_{\bar x}}, \qquad k_i = \frac{s_i}{s_r}

    Parameters
    ----------
    values : array_like, shape (p, n)
        Results: laboratories by replicates, at least 3 by 2, in any unit. [1]
    consistency_risk : float, optional
        Of h and k, each laboratory by itself: 0.5 % by ASTM E691. [1]
    outlier_risk : float, optional
        Of Cochran's and Grubbs' tests, all laboratories together. [1]

    Returns
    -------
    study : Interlaboratory
        In the unit of the results; laboratories in the order given. Nobody is left out: what is
        marked is looked into, at the laboratory.

    Raises
    ------
    OutOfRange
        If the results are not of that shape, one is missing or not finite, or a risk is not
        between 0 and 1.

    Notes
    -----
    A laboratory that scatters far more than the others raises the repeatability of all. One that
    rounds coarsely scatters less, or more, than it does: give results as they were read, before
    any conversion, or the rounding cannot be seen.

    References
    ----------
    .. [1] ASTM E691, "Conducting an interlaboratory study to determine the precision of a test
       method". [read in: a second source that cites it]
    .. [2] ISO 5725-2, "Basic method for the determination of repeatability and reproducibility".
       [from memory]

    Examples
    --------
    >>> study = interlaboratory([[21.3, 21.5], [21.4, 21.2], [21.9, 22.0]])
    >>> (round(study.repeatability_sd, 4), round(study.reproducibility_sd, 4))
    (0.1225, 0.3606)
    """
    results = _checked(values)
    labs, replicates = results.shape
    h_limit = h_critical(labs, consistency_risk)
    k_limit = k_critical(labs, replicates, consistency_risk)
    means, sds = results.mean(axis=1), results.std(axis=1, ddof=1)
    mean_sd, pooled = float(means.std(ddof=1)), math.sqrt(float((sds**2).mean()))
    between = max(mean_sd**2 - pooled**2 / replicates, 0.0)
    reproducibility = math.sqrt(between + pooled**2)
    steps = [_step(row) for row in results]
    laboratories = tuple(
        _laboratory(
            (float(mean), float(sd), step),
            (float(means.mean()), mean_sd, pooled, min(steps)),
            (h_limit, k_limit),
        )
        for mean, sd, step in zip(means, sds, steps, strict=True)
    )
    return Interlaboratory(
        mean=float(means.mean()),
        mean_sd=mean_sd,
        repeatability_sd=pooled,
        between_sd=math.sqrt(between),
        reproducibility_sd=reproducibility,
        repeatability_limit=_LIMIT * pooled,
        reproducibility_limit=_LIMIT * reproducibility,
        laboratories=laboratories,
        h_critical=h_limit,
        k_critical=k_limit,
        cochran=_cochran(sds, cochran_critical(labs, replicates, outlier_risk)),
        grubbs=grubbs(means, outlier_risk),
    )


def critical_difference(
    repeatability_sd: float, reproducibility_sd: float, first: int, second: int
) -> float:
    r"""Largest difference of two laboratories' means that the method's precision explains.

    .. math::
        CD = 2.8 \sqrt{s_R^2 - s_r^2 \left(1 - \frac{1}{2 n_1} - \frac{1}{2 n_2}\right)}

    Parameters
    ----------
    repeatability_sd : float
        Of the method, in any unit, >= 0. [1]
    reproducibility_sd : float
        Of the method, in the same unit, not below that of repeatability. [1]
    first : int
        Results in the first laboratory's mean, at least 1. [1]
    second : int
        Results in the second's, at least 1. [1]

    Returns
    -------
    difference : float
        Exceeded once in twenty times by two sound laboratories. [1]

    Raises
    ------
    OutOfRange
        If a standard deviation is negative or not finite, the second below the first, or a number
        of results below 1.

    References
    ----------
    .. [1] ISO 5725-6:1994, 4.2.2: critical difference between means of two laboratories. [from
       memory]

    Examples
    --------
    >>> critical_difference(1.484e-4, 1.696e-4, 1, 1) / 2.8
    1.696e-4
    """
    require_at_least(0, repeatability_sd=repeatability_sd)
    require_at_least(repeatability_sd, reproducibility_sd=reproducibility_sd)
    require_whole(1, first=first, second=second)
    shared = repeatability_sd**2 * (1 - 1 / (2 * first) - 1 / (2 * second))
    return _LIMIT * math.sqrt(reproducibility_sd**2 - shared)


def _largest_share(laboratories: int, replicates: int, risk: float) -> float:
    """Share of all variances that one given laboratory exceeds at a risk, all being alike."""
    others = laboratories - 1
    f = float(fdtri(replicates - 1, others * (replicates - 1), 1 - risk))
    return 1 / (1 + others / f)


def _checked(values: ArrayLike) -> NDArray[np.float64]:
    (results,) = require_arrays(values=values)
    if results.ndim != 2 or results.shape[0] < 3 or results.shape[1] < 2:  # noqa: PLR2004
        wanted = "of laboratories by replicates, at least 3 by 2"
        refuse("values", f"of shape {results.shape}", wanted)
    require_where(np.isfinite(results), "a finite number: as many of each", values=results)
    return results


def _laboratory(
    own: tuple[float, float, float],
    all_of: tuple[float, float, float, float],
    limits: tuple[float, float],
) -> Laboratory:
    """One laboratory from its mean, scatter and step, and those of all."""
    mean, sd, step = own
    grand, mean_sd, pooled, finest = all_of
    h = (mean - grand) / mean_sd if mean_sd > 0 else 0.0
    k = sd / pooled if pooled > 0 else 0.0
    coarser = step > 9 * finest  # ten times, but for the last bit
    return Laboratory(
        mean=mean,
        sd=sd,
        h=h,
        k=k,
        unlike=abs(h) > limits[0],
        uneven=k > limits[1],
        step=step,
        coarse=coarser and step >= pooled / 2,
    )


def _step(row: NDArray[np.float64]) -> float:
    """The largest power of ten that all figures are multiples of, as they are written."""
    exponents = [Decimal(repr(value)).normalize().as_tuple().exponent for value in row.tolist()]
    return float(10.0 ** min(e for e in exponents if isinstance(e, int)))


def _cochran(sds: NDArray[np.float64], critical: float) -> Cochran:
    variances = sds**2
    total = float(variances.sum())
    index = int(variances.argmax())
    statistic = float(variances[index]) / total if total > 0 else 0.0
    return Cochran(index, statistic, critical, statistic > critical)
