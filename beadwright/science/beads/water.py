"""Water that a fresh block still holds, learnt from blocks weighed wet and again dry.

Read first: :func:`learn_water`. A share is per kg of dry foam. What was lost between the two
weighings counts, be it water or pentane: the share takes a block from the one state to the other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least
from beadwright.science.trust import Parameter, Trust, stands

__all__ = [
    "WATER_AT_PRESS",
    "WATER_SPREAD",
    "WaterPrior",
    "WaterShares",
    "learn_water",
    "water_in_foam",
]

WATER_AT_PRESS = Parameter("w", 0.04, 0.02, 0.06, "1", "common practice, no source", memory=True)
"""Water in a block at the press, per kg of dry foam."""

WATER_SPREAD = Parameter("s_w", 0.008, 0.003, 0.015, "1", "common practice, no source", memory=True)
"""Standard deviation of that share from block to block of one mould."""

_PRIOR_DOF = 4  # the prior's spread is worth about four blocks


@dataclass(frozen=True, slots=True)
class WaterPrior:
    """What is thought of a group's share before a pair is weighed."""

    mean: float = WATER_AT_PRESS.value
    u_mean: float = (WATER_AT_PRESS.high - WATER_AT_PRESS.low) / 4
    """The range is taken as two standard uncertainties either way."""
    spread: float = WATER_SPREAD.value


@dataclass(frozen=True, slots=True)
class WaterShares:
    """What pairs of weighings say, one value a group: arrays of shape (groups,).

    ``u_share`` is that of the group's mean, ``u_next`` that of the next single block's share,
    the spread from block to block included.
    """

    group: NDArray[np.int64]
    count: NDArray[np.int64]
    share: NDArray[np.float64]
    u_share: NDArray[np.float64]
    u_next: NDArray[np.float64]
    dof: NDArray[np.float64]


@stands(
    Trust.ESTIMATE,
    formula="w = (m_wet - m_dry) / (m_dry - m_ties); normal with conjugate prior, by group",
    source="Bayesian mean and variance of a normal, the plant's own pairs of weighings",
    cause="blocks differ, and before pairs are weighed the share is a rule of thumb",
    narrowed_by="pairs of one product, mould and age weighed wet and again dry",
)
def learn_water(
    wet_kg: ArrayLike,
    dry_kg: ArrayLike,
    tie_kg: ArrayLike,
    group: ArrayLike,
    prior: WaterPrior | None = None,
) -> WaterShares:
    r"""Water share of each group of blocks, from pairs of weighings.

    .. math::
        w_i = \frac{m_{\text{wet},i} - m_{\text{dry},i}}{m_{\text{dry},i} - m_{\text{ties},i}},
        \qquad
        \bar w_n = \frac{\kappa_0 w_0 + \sum w_i}{\kappa_0 + n}

    A group of few pairs stays near the prior, one of many goes its own way.

    Parameters
    ----------
    wet_kg : array_like, shape (n,)
        Each block wet, ties included. [kg]
    dry_kg : array_like, shape (n,)
        The same block dry, ties included. [kg]
    tie_kg : array_like, shape (n,) or ()
        Its ties, >= 0 and less than it weighs dry. [kg]
    group : array_like, shape (n,)
        A whole number for each product, mould and age: blocks of one number are alike. [1]
    prior : WaterPrior, optional
        What is thought beforehand, of every group alike.

    Returns
    -------
    shares : WaterShares, shape (groups,)
        One share for each number in ``group``, in rising order. [1]

    Raises
    ------
    OutOfRange
        If there is no pair, shapes differ, a mass is negative or not finite, or ties weigh
        all that a dry block does.

    Notes
    -----
    The prior is a normal-inverse-gamma one: its mean weighs (spread / u_mean)² blocks, its
    spread four degrees of freedom. A dry block that weighs more than it did wet gives a share
    below 0: it is a slip, and shows as one.

    References
    ----------
    .. [1] A. Gelman et al., "Bayesian Data Analysis", 3rd ed., 3.3, normal with conjugate
       prior. [from memory]

    Examples
    --------
    Three blocks of one mould; the first group's share moves from 4 % towards their 5 %:

    >>> found = learn_water([3.100, 3.102, 3.098], [3.032, 3.034, 3.030], 1.672, [1, 1, 1])
    >>> round(float(found.share[0]), 3)
    0.048
    """
    before = prior or WaterPrior()
    wet, dry, tie, groups = require_arrays(wet_kg=wet_kg, dry_kg=dry_kg, tie_kg=tie_kg, group=group)
    wet, dry, tie, groups = (np.atleast_1d(a) for a in np.broadcast_arrays(wet, dry, tie, groups))
    if wet.ndim != 1:
        argument = "wet_kg"
        raise OutOfRange(argument, f"of shape {wet.shape}", valid="a row of numbers")
    require_at_least(0, wet_kg=wet, dry_kg=dry, tie_kg=tie)
    require_at_least(-np.inf, group=groups)
    require_at_least(0, strict=True, dry_less_tie_kg=dry - tie)
    require_at_least(0, strict=True, u_mean=before.u_mean, spread=before.spread)
    return _posterior((wet - dry) / (dry - tie), groups.astype(np.int64), before)


@stands(
    Trust.EXACT,
    formula="m_h = w (m_wet - m_ties) / (1 + w)",
    source="definition of the share; law of propagation",
)
def water_in_foam(
    wet_kg: ArrayLike, tie_kg: ArrayLike, share: ArrayLike, u_share: ArrayLike = 0.0
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""Water in a wet block, for :class:`lab.BlockWeighing` to take off.

    .. math::
        m_h = \frac{w}{1 + w} (m_\text{wet} - m_\text{ties}), \qquad
        u(m_h) = \frac{u(w)}{(1 + w)^2} (m_\text{wet} - m_\text{ties})

    Parameters
    ----------
    wet_kg : array_like, shape (...)
        The block as weighed, ties included, >= 0. [kg]
    tie_kg : array_like, shape (...)
        Its ties, >= 0 and at most as much. [kg]
    share : array_like, shape (...)
        Water per kg of dry foam, >= 0. [1]
    u_share : array_like, shape (...), optional
        Its standard uncertainty, >= 0: ``u_next`` of :class:`WaterShares` for one block. [1]

    Returns
    -------
    water_kg, u_water_kg : ndarray, shape (...)
        Mass of water and its standard uncertainty. [kg]

    Raises
    ------
    OutOfRange
        If a number is negative or not finite, or the ties weigh more than the block.

    References
    ----------
    .. [1] JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 5.1.2.
       [from memory]

    Examples
    --------
    >>> water, u = water_in_foam(3.2386, 1.5876, 0.04, 0.01)
    >>> round(float(water), 4), round(float(u), 4)
    (0.0635, 0.0153)
    """
    wet, tie, water, u = require_arrays(wet_kg=wet_kg, tie_kg=tie_kg, share=share, u_share=u_share)
    require_at_least(0, wet_kg=wet, tie_kg=tie, share=water, u_share=u)
    foam = wet - tie
    require_at_least(0, wet_less_tie_kg=foam)
    return np.asarray(foam * water / (1 + water)), np.asarray(foam * u / (1 + water) ** 2)


def _posterior(
    shares: NDArray[np.float64], groups: NDArray[np.int64], prior: WaterPrior
) -> WaterShares:
    names, place = np.unique(groups, return_inverse=True)
    count = np.bincount(place)
    mean = np.bincount(place, shares) / count
    squares = np.bincount(place, (shares - mean[place]) ** 2)
    weight = (prior.spread / prior.u_mean) ** 2
    dof = _PRIOR_DOF + count
    middle = (weight * prior.mean + count * mean) / (weight + count)
    moved = weight * count / (weight + count) * (mean - prior.mean) ** 2
    variance = (prior.spread**2 * (_PRIOR_DOF - 2) + squares + moved) / (dof - 2)
    return WaterShares(
        names,
        count,
        middle,
        np.sqrt(variance / (weight + count)),
        np.sqrt(variance * (1 + 1 / (weight + count))),
        dof.astype(np.float64),
    )
