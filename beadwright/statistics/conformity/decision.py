"""Whether to accept what was measured: the rule a plant has chosen, and the risk it takes by it.

Read :func:`guarded_acceptance` first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri, stdtrit

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.statistics.conformity.probability import Limits, conformity_probability
from beadwright.statistics.requirements import refuse, require_freedom, require_where

__all__ = [
    "Acceptance",
    "Decision",
    "acceptance_limits",
    "guard_band",
    "guarded_acceptance",
    "simple_acceptance",
]


@dataclass(frozen=True, slots=True)
class Acceptance:
    """What a reading must lie between to be accepted, ends included; arrays as the uncertainty."""

    lower: NDArray[np.float64]
    upper: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Decision:
    """What a rule says of each reading, and the chance that it is wrong about it."""

    rule: str
    """``simple acceptance`` or ``guarded acceptance``."""
    accepted: NDArray[np.bool_]
    acceptance: Acceptance
    probability: NDArray[np.float64]
    """That the true value conforms."""
    consumer_risk: NDArray[np.float64]
    """Where accepted: that it does not conform after all; 0 where rejected."""
    producer_risk: NDArray[np.float64]
    """Where rejected: that it conforms after all; 0 where accepted."""


def guard_band(u: ArrayLike, risk: float, dof: ArrayLike = math.inf) -> NDArray[np.float64]:
    r"""Width of the guard band at which a reading on its inner edge is wrong with a given chance.

    .. math:: w = u \, G_\nu^{-1}(1 - \alpha)

    Parameters
    ----------
    u : array_like, shape (...)
        Standard uncertainty, in any unit, >= 0. [1]
    risk : float
        Largest chance of accepting what does not conform, above 0, at most 0.5. [1]
    dof : array_like, shape (...), optional
        Degrees of freedom of u, > 0. [1]

    Returns
    -------
    width : ndarray, shape (...)
        In the unit of ``u``; the inputs broadcast. [1]

    Raises
    ------
    OutOfRange
        If an uncertainty is negative or not finite, or the risk or the degrees of freedom lie
        outside their range.

    Notes
    -----
    One limit alone: with two limits close together the other one adds to the risk.

    References
    ----------
    .. [1] JCGM 106:2012, 8.3.2 and table 1: guard bands for one reading; 2 u gives 2.3 %, 1.645 u
       gives 5 %. [from memory]

    Examples
    --------
    >>> float(guard_band(1.0, 0.05))
    1.645
    """
    spread, freedom = np.broadcast_arrays(*require_arrays(u=u, dof=dof))
    require_at_least(0, u=spread)
    require_between(0, 0.5, risk=risk)
    if risk == 0:
        refuse("risk", risk, "a number above 0 and at most 0.5")
    require_freedom(freedom)
    finite = np.isfinite(freedom)
    student = stdtrit(np.where(finite, freedom, 1.0), 1 - risk)
    return np.asarray(spread * np.where(finite, student, -ndtri(risk)))


def acceptance_limits(limits: Limits, guard: ArrayLike) -> Acceptance:
    r"""Limits drawn in by a guard band: :math:`A_L = T_L + w`, :math:`A_U = T_U - w`.

    Parameters
    ----------
    limits : Limits
        What is allowed, in any unit.
    guard : array_like, shape (...)
        Width w in the same unit; below 0 the limits are widened, for a rule that rejects only
        what surely fails. [1]

    Returns
    -------
    acceptance : Acceptance, shape (...)
        What is accepted, in the unit of the limits.

    Raises
    ------
    OutOfRange
        If a guard band is not finite, or leaves nothing between the limits: then no reading with
        this uncertainty can ever be accepted.

    References
    ----------
    .. [1] JCGM 106:2012, 8.3.2 (guarded acceptance) and 8.3.3 (guarded rejection). [from memory]

    Examples
    --------
    >>> float(acceptance_limits(Limits(lower=0.0, upper=2.0), 0.5).upper)
    1.5
    """
    (width,) = require_arrays(guard=guard)
    require_at_least(-math.inf, guard=width)
    room = (limits.upper - limits.lower) / 2
    require_where(width <= room, f"at most half the distance of the limits, {room:g}", guard=width)
    return Acceptance(limits.lower + width, limits.upper - width)


def simple_acceptance(
    value: ArrayLike, u: ArrayLike, limits: Limits, dof: ArrayLike = math.inf
) -> Decision:
    """Accept what was read within the limits: buyer and maker share the risk.

    Parameters
    ----------
    value : array_like, shape (...)
        What was read, in any unit. [1]
    u : array_like, shape (...)
        Standard uncertainty, in the same unit, >= 0. [1]
    limits : Limits
        What is allowed, in the same unit.
    dof : array_like, shape (...), optional
        Degrees of freedom of u, > 0. [1]

    Returns
    -------
    decision : Decision, shape (...)
        Each reading's verdict, with its risks.

    Raises
    ------
    OutOfRange
        As in :func:`conformity_probability`.

    Notes
    -----
    At a limit the risk is one half. Sensible only where the uncertainty is agreed to be small.

    References
    ----------
    .. [1] JCGM 106:2012, 8.2: decision rules based on simple acceptance. [from memory]

    Examples
    --------
    >>> decision = simple_acceptance([1.9, 2.1], 0.1, Limits(upper=2.0))
    >>> decision.accepted.tolist()
    [True, False]
    """
    return _decide("simple acceptance", (value, u, dof), limits, 0.0)


def guarded_acceptance(
    value: ArrayLike,
    u: ArrayLike,
    limits: Limits,
    *,
    multiple: float = 2.0,
    dof: ArrayLike = math.inf,
) -> Decision:
    r"""Accept only what was read within the limits by more than a guard band :math:`w = k u`.

    Parameters
    ----------
    value : array_like, shape (...)
        What was read, in any unit. [1]
    u : array_like, shape (...)
        Standard uncertainty, in the same unit, >= 0. [1]
    limits : Limits
        What is allowed, in the same unit.
    multiple : float, optional
        Width k of the guard band in standard uncertainties: 2 is the expanded uncertainty;
        below 0 reject only what fails by more than the band. [1]
    dof : array_like, shape (...), optional
        Degrees of freedom of u, > 0; they bear on the probability, not on the band. [1]

    Returns
    -------
    decision : Decision, shape (...)
        Each reading's verdict, with its risks.

    Raises
    ------
    OutOfRange
        As in :func:`conformity_probability` and :func:`acceptance_limits`.

    Notes
    -----
    With k = 2 and one limit an accepted thing fails with a chance of 2.3 % at most.

    References
    ----------
    .. [1] JCGM 106:2012, 8.3: decision rules with guard bands, w = rU, r = 1, U = 2u. [from memory]

    Examples
    --------
    >>> decision = guarded_acceptance([1.75, 1.9], 0.1, Limits(upper=2.0))
    >>> decision.accepted.tolist()
    [True, False]
    """
    require_at_least(-math.inf, multiple=multiple)
    return _decide("guarded acceptance", (value, u, dof), limits, multiple)


def _decide(
    rule: str, reading: tuple[ArrayLike, ArrayLike, ArrayLike], limits: Limits, multiple: float
) -> Decision:
    value, u, dof = reading
    probability = conformity_probability(value, u, limits, dof)
    y, spread = np.broadcast_arrays(*require_arrays(value=value, u=u))
    acceptance = acceptance_limits(limits, multiple * spread)
    accepted = np.broadcast_to((y >= acceptance.lower) & (y <= acceptance.upper), probability.shape)
    return Decision(
        rule,
        accepted,
        acceptance,
        probability,
        consumer_risk=np.where(accepted, 1 - probability, 0.0),
        producer_risk=np.where(accepted, 0.0, probability),
    )
