"""Plans for pieces that pass or fail, and how likely each accepts a lot.

Read :func:`acceptance` first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import bdtr, betaln, gammaln, pdtr, xlog1py, xlogy

from beadwright.errors import require_at_least, require_between
from beadwright.statistics.requirements import refuse, require_whole

__all__ = [
    "DoublePlan",
    "Model",
    "SinglePlan",
    "acceptance",
    "exactly",
    "second_sample",
    "zero_failures",
]

_Floats = NDArray[np.float64]


class Model(StrEnum):
    """How the number of bad pieces in a sample is distributed."""

    LOT = "hypergeometric"
    """One lot of a stated size (type A): the share is of this lot."""
    PROCESS = "binomial"
    """Pieces from a process (type B): the share is of what it makes."""
    COUNTS = "poisson"
    """Nonconformities counted, several of which may be on one piece: the share is per piece."""


@dataclass(frozen=True, slots=True)
class SinglePlan:
    """Look at n pieces; accept at Ac bad ones or fewer."""

    size: int
    accept: int
    reject: int | None = None
    """Re, where it is more than Ac + 1: between them the lot is accepted, and the next is
    inspected more. None is Ac + 1."""

    def __post_init__(self) -> None:
        """Refuse a plan that cannot be meant."""
        require_whole(1, size=self.size)
        require_whole(0, accept=self.accept)
        if self.reject is not None:
            require_whole(self.accept + 1, reject=self.reject)

    @property
    def refused_from(self) -> int:
        """Give the number of bad pieces from which the lot is not accepted."""
        return self.accept + 1 if self.reject is None else self.reject

    @property
    def sizes(self) -> tuple[int, ...]:
        """Give how many pieces each sample takes."""
        return (self.size,)


@dataclass(frozen=True, slots=True)
class DoublePlan:
    """Look at a first sample; if it leaves the matter open, at a second one."""

    first: int
    first_accept: int
    first_reject: int
    second: int
    accept: int
    """Ac of both samples together; one more is not accepted."""

    def __post_init__(self) -> None:
        """Refuse a plan that cannot be meant."""
        require_whole(1, first=self.first, second=self.second)
        require_whole(0, first_accept=self.first_accept)
        require_whole(self.first_accept + 2, first_reject=self.first_reject)
        require_whole(self.first_accept + 1, accept=self.accept)
        if self.first_reject > self.accept + 1:
            refuse("first_reject", self.first_reject, f"at most Ac + 1, {self.accept + 1}")

    @property
    def sizes(self) -> tuple[int, ...]:
        """Give how many pieces each sample takes."""
        return (self.first, self.second)


@dataclass(frozen=True, slots=True)
class _Source:
    """Where the bad pieces come from: share, and the lot where it is one."""

    share: _Floats
    model: Model
    lot: int


def acceptance(
    plan: SinglePlan | DoublePlan,
    share: ArrayLike,
    model: Model = Model.PROCESS,
    lot: int | None = None,
) -> _Floats:
    r"""Probability that a plan accepts: the operating characteristic.

    .. math::
        P_a = P(d \le Ac), \qquad
        P_a = P(d_1 \le Ac_1)
            + \sum_{j = Ac_1 + 1}^{Re_1 - 1} P(d_1 = j) \, P(d_2 \le Ac_2 - j)

    of a single and of a double plan.

    Parameters
    ----------
    plan : SinglePlan or DoublePlan
        What is done.
    share : array_like, shape (...)
        Share of bad pieces, or nonconformities per piece, >= 0. [1]
    model : Model, optional
        Binomial, hypergeometric or Poisson.
    lot : int, optional
        Pieces in the lot, for the hypergeometric: the share is taken of it to the nearest whole
        piece. [1]

    Returns
    -------
    probability : ndarray, shape (...)
        From 0 to 1. [1]

    Raises
    ------
    OutOfRange
        If a share is out of range, the lot is missing, or smaller than the plan's samples.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.2.3.2 (single) and 6.2.4 (double).
       [read in: a second source that cites it]

    Examples
    --------
    >>> float(acceptance(SinglePlan(52, 3), 0.03))
    0.930
    """
    source = _source(plan, share, model, lot)
    if isinstance(plan, SinglePlan):
        return _at_most(plan.refused_from - 1, plan.size, source, drawn=(0, 0))
    found = _at_most(plan.first_accept, plan.first, source, drawn=(0, 0))
    for bad in range(plan.first_accept + 1, plan.first_reject):
        rest = _at_most(plan.accept - bad, plan.second, source, drawn=(plan.first, bad))
        found = found + _just(bad, plan.first, source, drawn=(0, 0)) * rest
    return found


def second_sample(
    plan: DoublePlan, share: ArrayLike, model: Model = Model.PROCESS, lot: int | None = None
) -> _Floats:
    """Probability that a double plan needs its second sample.

    Parameters
    ----------
    plan : DoublePlan
        What is done.
    share : array_like, shape (...)
        Share of bad pieces, >= 0. [1]
    model : Model, optional
        As in :func:`acceptance`.
    lot : int, optional
        As in :func:`acceptance`. [1]

    Returns
    -------
    probability : ndarray, shape (...)
        From 0 to 1. [1]

    Raises
    ------
    OutOfRange
        As in :func:`acceptance`.

    Examples
    --------
    >>> float(second_sample(DoublePlan(80, 2, 5, 80, 6), 0.03))
    0.339
    """
    source = _source(plan, share, model, lot)
    below = _at_most(plan.first_reject - 1, plan.first, source, drawn=(0, 0))
    return below - _at_most(plan.first_accept, plan.first, source, drawn=(0, 0))


def exactly(
    bad: int, size: int, share: ArrayLike, model: Model = Model.PROCESS, lot: int | None = None
) -> _Floats:
    """Probability of just so many bad pieces in a sample.

    Parameters
    ----------
    bad : int
        How many, >= 0. [1]
    size : int
        Pieces in the sample, at least 1. [1]
    share : array_like, shape (...)
        Share of bad pieces, >= 0. [1]
    model : Model, optional
        As in :func:`acceptance`.
    lot : int, optional
        As in :func:`acceptance`. [1]

    Returns
    -------
    probability : ndarray, shape (...)
        From 0 to 1. [1]

    Raises
    ------
    OutOfRange
        As in :func:`acceptance`.

    Examples
    --------
    >>> float(exactly(0, 22, 0.1))
    0.0985
    """
    require_whole(0, bad=bad)
    return _just(bad, size, _source(SinglePlan(size, 0), share, model, lot), drawn=(0, 0))


def zero_failures(confidence: float, reliability: float) -> int:
    r"""Pieces to test, all of which must pass, to show a share of good ones with a confidence.

    .. math:: n = \lceil \ln(1 - C) / \ln R \rceil

    Parameters
    ----------
    confidence : float
        C, between 0 and 1. [1]
    reliability : float
        R, the share of good pieces that is shown, between 0 and 1. [1]

    Returns
    -------
    size : int
        n. [1]

    Raises
    ------
    OutOfRange
        If a share is not between 0 and 1.

    References
    ----------
    .. [1] The binomial distribution with no failure. [common practice, no source]

    Examples
    --------
    >>> zero_failures(0.95, 0.90)
    29
    """
    require_between(0, 1, strict=True, confidence=confidence, reliability=reliability)
    exact = math.log1p(-confidence) / math.log(reliability)
    return max(1, math.ceil(exact - 1e-9))


def _source(
    plan: SinglePlan | DoublePlan, share: ArrayLike, model: Model, lot: int | None
) -> _Source:
    shares = np.asarray(share, dtype=np.float64)
    if model is Model.COUNTS:
        require_at_least(0, share=shares)
    else:
        require_between(0, 1, share=shares)
    if model is not Model.LOT:
        return _Source(shares, model, 0)
    if lot is None:
        refuse("lot", lot, "the number of pieces in the lot, for the hypergeometric")
    require_whole(1, lot=lot)
    if sum(plan.sizes) > lot:
        refuse("lot", lot, f"at least the {sum(plan.sizes)} pieces that the plan takes")
    return _Source(shares, model, lot)


def _just(bad: int, size: int, source: _Source, drawn: tuple[int, int]) -> _Floats:
    """Probability of just ``bad``, after ``drawn`` pieces of which some were bad."""
    share = source.share
    if source.model is Model.COUNTS:
        mean = size * share
        return np.asarray(np.exp(xlogy(bad, mean) - mean - gammaln(bad + 1)))
    if source.model is Model.PROCESS:
        if bad > size:
            return np.zeros_like(share)
        ways = -math.log(size + 1) - float(betaln(size - bad + 1, bad + 1))
        return np.asarray(np.exp(ways + xlogy(bad, share) + xlog1py(size - bad, -share)))
    taken, taken_bad = drawn
    left = source.lot - taken
    return _of_a_lot(bad, size, (left, np.rint(source.lot * share) - taken_bad))


def _at_most(bad: int, size: int, source: _Source, drawn: tuple[int, int]) -> _Floats:
    if bad < 0:
        return np.zeros_like(source.share)
    if source.model is Model.COUNTS:
        return np.asarray(pdtr(bad, size * source.share))
    if source.model is Model.PROCESS:
        return (
            np.asarray(bdtr(bad, size, source.share)) if bad < size else np.ones_like(source.share)
        )
    total = np.zeros_like(source.share)
    for one in range(min(bad, size) + 1):
        total = total + _just(one, size, source, drawn)
    return np.minimum(total, 1.0)


def _of_a_lot(bad: int, size: int, lot: tuple[int, _Floats]) -> _Floats:
    """Hypergeometric probability: ``lot`` is how many are left, and how many of them are bad."""
    whole, wrong = lot
    if bad > size:
        return np.zeros_like(wrong)
    right = whole - wrong
    can = (wrong >= bad) & (right >= size - bad)
    safe_wrong, safe_right = np.where(can, wrong, bad), np.where(can, right, size - bad)
    log = (
        -np.log(safe_wrong + 1) - betaln(safe_wrong - bad + 1, bad + 1)
        - np.log(safe_right + 1) - betaln(safe_right - size + bad + 1, size - bad + 1)
        + math.log(whole + 1) + float(betaln(whole - size + 1, size + 1))
    )  # fmt: skip
    return np.where(can, np.exp(log), 0.0)
