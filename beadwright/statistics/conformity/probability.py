"""The chance that what was measured lies within its limits.

Read :func:`conformity_probability` first; the rest says what to put into it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, stdtr

from beadwright.errors import require_arrays, require_at_least
from beadwright.statistics.requirements import refuse, require_freedom, require_series

__all__ = [
    "Knowledge",
    "Limits",
    "conformity_probability",
    "lot_mean",
    "posterior",
]


@dataclass(frozen=True, slots=True)
class Limits:
    """What is allowed: from ``lower`` to ``upper``, both included; at least one is finite."""

    lower: float = -math.inf
    upper: float = math.inf

    def __post_init__(self) -> None:
        """Refuse limits between which nothing lies, and limits that are none."""
        if math.isnan(self.lower) or math.isnan(self.upper):
            refuse("lower" if math.isnan(self.lower) else "upper", math.nan, "a number")
        if self.lower == -math.inf and self.upper == math.inf:
            refuse("upper", self.upper, "a finite number where lower is none")
        if not self.lower < self.upper:
            refuse("upper", self.upper, f"a number above lower, {self.lower:g}")

    def hold(self, values: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Whether each value lies within."""
        return (values >= self.lower) & (values <= self.upper)


@dataclass(frozen=True, slots=True)
class Knowledge:
    """What is known of a true value: estimate, standard uncertainty, its degrees of freedom."""

    value: NDArray[np.float64]
    u: NDArray[np.float64]
    dof: NDArray[np.float64]
    """Infinite where the uncertainty is taken as known."""


def conformity_probability(
    value: ArrayLike, u: ArrayLike, limits: Limits, dof: ArrayLike = math.inf
) -> NDArray[np.float64]:
    r"""Chance that the true value lies within its limits, given what was measured.

    .. math::
        p_c = G_\nu\left(\frac{T_U - y}{u}\right) - G_\nu\left(\frac{T_L - y}{u}\right)

    with :math:`G_\nu` the normal distribution function, or Student's where the uncertainty rests
    on few readings.

    Parameters
    ----------
    value : array_like, shape (...)
        Best estimate y of the true value, in any unit. [1]
    u : array_like, shape (...)
        Its standard uncertainty, in the same unit, >= 0. [1]
    limits : Limits
        What is allowed, in the same unit.
    dof : array_like, shape (...), optional
        Degrees of freedom of u, > 0; infinite where u is taken as known. [1]

    Returns
    -------
    probability : ndarray, shape (...)
        From 0 to 1; the inputs broadcast. Without uncertainty 1 within the limits, else 0. [1]

    Raises
    ------
    OutOfRange
        If a value is not finite, an uncertainty is negative or not finite, or the degrees of
        freedom are not above 0.

    Notes
    -----
    Nothing is taken as known beforehand: where the process is, put the estimate through
    :func:`posterior` first. A guide inside the plant: it releases nothing by itself.

    References
    ----------
    .. [1] JCGM 106:2012, "The role of measurement uncertainty in conformity assessment", clause
       7: conformance probability for one and for two limits. [from memory]
    .. [2] JCGM 101:2008, 6.4.9: Student's distribution for what rests on few readings.
       [from memory]

    Examples
    --------
    A breakdown voltage of -5.47 kV, u = 0.05 kV, that must not be above -5.40 kV:

    >>> float(conformity_probability(-5.47, 0.05, Limits(upper=-5.40)))
    0.92
    """
    y, spread, freedom = np.broadcast_arrays(*require_arrays(value=value, u=u, dof=dof))
    require_at_least(-math.inf, value=y)
    require_at_least(0, u=spread)
    require_freedom(freedom)
    known = spread > 0
    safe = np.where(known, spread, 1.0)
    below = (limits.lower - y) / safe
    above = (y - limits.upper) / safe
    within = np.where(
        below > 0,
        _distribution(-below, freedom) - _distribution(above, freedom),
        _distribution(-above, freedom) - _distribution(below, freedom),
    )
    return np.where(known, np.clip(within, 0.0, 1.0), limits.hold(y).astype(np.float64))


def posterior(
    value: ArrayLike, u: ArrayLike, prior_value: ArrayLike, prior_u: ArrayLike
) -> Knowledge:
    r"""A reading and what was known before it, as one estimate.

    .. math::
        y' = \frac{y / u^2 + y_0 / u_0^2}{1 / u^2 + 1 / u_0^2}, \qquad
        \frac{1}{u'^2} = \frac{1}{u^2} + \frac{1}{u_0^2}

    Parameters
    ----------
    value : array_like, shape (...)
        What was read, in any unit. [1]
    u : array_like, shape (...)
        Standard uncertainty of the reading, in the same unit, > 0. [1]
    prior_value : array_like, shape (...)
        Best estimate before, as of the process that made the thing. [1]
    prior_u : array_like, shape (...)
        Its standard uncertainty: the process's standard deviation, > 0. [1]

    Returns
    -------
    knowledge : Knowledge, shape (...)
        Estimate and standard uncertainty; the inputs broadcast.

    Raises
    ------
    OutOfRange
        If a value is not finite, or an uncertainty not a finite number above 0.

    Notes
    -----
    Both are taken as normal. A prior from a process that has since moved pulls a bad reading
    towards the good old mean: use it only while the chart of that process is in control.

    References
    ----------
    .. [1] JCGM 106:2012, annex A and clause 7: normal prior, normal likelihood. [from memory]

    Examples
    --------
    >>> known = posterior(22.0, 0.3, 21.0, 0.4)
    >>> (float(known.value), float(known.u))
    (21.64, 0.24)
    """
    y, spread, y0, spread0 = np.broadcast_arrays(
        *require_arrays(value=value, u=u, prior_value=prior_value, prior_u=prior_u)
    )
    require_at_least(-math.inf, value=y, prior_value=y0)
    require_at_least(0, strict=True, u=spread, prior_u=spread0)
    share = spread0**2 / (spread**2 + spread0**2)
    joint = spread * spread0 / np.hypot(spread, spread0)
    return Knowledge(y0 + share * (y - y0), joint, np.full(joint.shape, math.inf))


def lot_mean(readings: ArrayLike, u_shared: float = 0.0, spread: float | None = None) -> Knowledge:
    r"""Mean of a lot, from the readings on a sample of it.

    .. math::
        u^2 = \frac{s^2}{n} + u_c^2, \qquad \nu = (n - 1) \frac{u^4}{(s^2 / n)^2}

    What scatters from reading to reading averages away; what all readings share, as an
    instrument's calibration, does not.

    Parameters
    ----------
    readings : array_like, shape (n,)
        One reading of each specimen, in any unit. [1]
    u_shared : float, optional
        Standard uncertainty common to all of them, in the same unit, >= 0. [1]
    spread : float, optional
        Standard deviation between specimens where it is known from many lots, > 0; else it is
        taken from these readings. [1]

    Returns
    -------
    knowledge : Knowledge, shape ()
        Mean, standard uncertainty, effective degrees of freedom (infinite where ``spread`` is
        given).

    Raises
    ------
    OutOfRange
        If a reading is not finite, there is one alone and no ``spread``, ``u_shared`` is negative
        or ``spread`` not above 0.

    References
    ----------
    .. [1] JCGM 100:2008, 4.2.3 (mean of n), 5.1.2 (sum), G.4.1 (effective degrees of freedom).
       [from memory]

    Examples
    --------
    >>> mean = lot_mean([21.2, 21.6, 21.4, 21.8, 21.5], u_shared=0.1)
    >>> (float(mean.value), round(float(mean.u), 4), round(float(mean.dof), 1))
    (21.5, 0.1414, 16.0)
    """
    values = require_series(1, readings=readings)
    require_at_least(0, u_shared=u_shared)
    count = len(values)
    if spread is not None:
        require_at_least(0, strict=True, spread=spread)
        random, freedom = spread**2 / count, math.inf
    elif count == 1:
        refuse("readings", "one number", "two numbers or more where no spread is given")
    else:
        random, freedom = float(values.var(ddof=1)) / count, float(count - 1)
    variance = random + u_shared**2
    dof = freedom * (variance / random) ** 2 if random > 0 else math.inf
    return Knowledge(
        np.asarray(values.mean()), np.asarray(math.sqrt(variance)), np.asarray(dof, np.float64)
    )


def _distribution(z: NDArray[np.float64], dof: NDArray[np.float64]) -> NDArray[np.float64]:
    """Normal distribution function, or Student's where the degrees of freedom are finite."""
    finite = np.isfinite(dof)
    return np.asarray(np.where(finite, stdtr(np.where(finite, dof, 1.0), z), ndtr(z)))
