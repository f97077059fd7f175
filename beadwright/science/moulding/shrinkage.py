"""Shrinkage from the cavity over hours and weeks, and the age at which a dimension may be judged.

Read first: :func:`judging_age`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.science.constants import DAY_S
from beadwright.science.trust import Parameter, Trust, stands

__all__ = [
    "AFTER_SHARE",
    "EXPONENT",
    "MOULD_SHARE",
    "TIME_CONSTANT",
    "ShrinkageCurve",
    "judging_age",
    "remaining_shrinkage",
    "shrinkage",
]

_PRACTICE = "shape moulders' practice"
MOULD_SHARE = Parameter("s_m", 0.0045, 0.003, 0.006, "1", _PRACTICE, memory=True)
AFTER_SHARE = Parameter("s_p", 0.0025, 0.001, 0.004, "1", _PRACTICE, memory=True)
TIME_CONSTANT = Parameter(
    "tau_s", 18 * DAY_S, 5 * DAY_S, 40 * DAY_S, "s", "chosen to settle in weeks", memory=True
)
EXPONENT = Parameter("b", 0.6, 0.4, 1.0, "1", "chosen to settle in weeks", memory=True)

_LONGEST_S = 730 * DAY_S
_MOST = 0.05
_CAUSE = "shrinkage follows bead, density, pentane, cycle and storage, and differs by product"
_NARROWED = "lengths of the product's own blocks at 1 h and 1, 3, 7, 28 and 84 days"


@dataclass(frozen=True, slots=True)
class ShrinkageCurve:
    """Linear shrinkage of one product in one direction. Arrays must fit each other.

    ``mould_share`` is the share of the cavity's length lost by the time the block is out;
    ``after_share`` what follows, negative for a product that grows; ``time_constant_s`` and
    ``exponent`` how it is spread over time (an exponent under 1: quick at first, with a long
    tail).
    """

    mould_share: ArrayLike = MOULD_SHARE.value
    after_share: ArrayLike = AFTER_SHARE.value
    time_constant_s: ArrayLike = TIME_CONSTANT.value
    exponent: ArrayLike = EXPONENT.value


@stands(
    Trust.ESTIMATE,
    formula="s = s_m + s_p [1 - exp(-(t/tau)^b)]",
    source="stretched exponential; our own form",
    cause=_CAUSE,
    narrowed_by=_NARROWED,
)
def shrinkage(time_s: ArrayLike, curve: ShrinkageCurve) -> NDArray[np.float64]:
    r"""Share of the cavity's length by which a block is shorter at an age.

    .. math:: s(t) = s_m + s_p \left[1 - e^{-(t/\tau)^b}\right]

    Parameters
    ----------
    time_s : array_like, shape (...)
        Age since demoulding, from 0 to two years. [s]
    curve : ShrinkageCurve
        The product's parameters.

    Returns
    -------
    shrunk : ndarray, shape (...)
        Relative shrinkage; time and parameters broadcast. [1]

    Raises
    ------
    OutOfRange
        If an argument is not finite or outside its range.

    References
    ----------
    .. [1] That stabilisation of expanded polystyrene often takes 11 to 18 weeks at 23 °C: a
       dissertation of the University of California, Irvine; that it follows the fall of cell
       pressure: an article in an open archive. [read in: a second source that cites it]

    Examples
    --------
    In per cent, at an hour and at 3, 14 and 84 days:

    >>> ages = 3600.0 * np.array([1, 72, 336, 2016])
    >>> (100 * shrinkage(ages, ShrinkageCurve())).round(3).tolist()
    [0.456, 0.522, 0.594, 0.680]
    """
    (time,) = require_arrays(time_s=time_s)
    require_between(0, _LONGEST_S, time_s=time)
    mould, after, tau, exponent = _checked(curve)
    return np.asarray(mould - after * np.expm1(-((time / tau) ** exponent)))


@stands(
    Trust.ESTIMATE,
    formula="s_p exp(-(t/tau)^b)",
    source="stretched exponential; our own form",
    cause=_CAUSE,
    narrowed_by=_NARROWED,
)
def remaining_shrinkage(time_s: ArrayLike, curve: ShrinkageCurve) -> NDArray[np.float64]:
    r"""Share of its length by which a block will still change after an age.

    .. math:: s(\infty) - s(t) = s_p \, e^{-(t/\tau)^b}

    Parameters
    ----------
    time_s : array_like, shape (...)
        Age since demoulding, from 0 to two years. [s]
    curve : ShrinkageCurve
        The product's parameters.

    Returns
    -------
    remaining : ndarray, shape (...)
        Still to come; negative for growth; time and parameters broadcast. [1]

    Raises
    ------
    OutOfRange
        If an argument is not finite or outside its range.

    References
    ----------
    .. [1] As for the shrinkage. [common practice, no source]

    Examples
    --------
    In per cent, at one and at 28 days:

    >>> (100 * remaining_shrinkage([86400.0, 28 * 86400.0], ShrinkageCurve())).round(3).tolist()
    [0.210, 0.068]
    """
    (time,) = require_arrays(time_s=time_s)
    require_between(0, _LONGEST_S, time_s=time)
    _, after, tau, exponent = _checked(curve)
    return np.asarray(after * np.exp(-((time / tau) ** exponent)))


@stands(
    Trust.ESTIMATE,
    formula="t = tau [ln(|s_p| / (f T))]^(1/b)",
    source="stretched exponential solved for time",
    cause=_CAUSE,
    narrowed_by=_NARROWED,
)
def judging_age(
    curve: ShrinkageCurve, tolerance_share: ArrayLike, part: ArrayLike = 0.25
) -> NDArray[np.float64]:
    r"""Age at which what is still to come is a stated part of the tolerance.

    .. math:: t_J = \tau \left[\ln \frac{|s_p|}{f \, T}\right]^{1/b}

    Judged earlier, a block is measured while it moves: gauge it with an offset for its age, or
    wait.

    Parameters
    ----------
    curve : ShrinkageCurve
        The product's parameters.
    tolerance_share : array_like, shape (...)
        Tolerance as a share of the length, above 0 and up to 0.1. [1]
    part : array_like, shape (...), optional
        Part of the tolerance that the remaining change may take up, above 0 and up to 1. [1]

    Returns
    -------
    age_s : ndarray, shape (...)
        0 where so little is to come that any age will do; the inputs broadcast. [s]

    Raises
    ------
    OutOfRange
        If an argument is not finite or outside its range.

    References
    ----------
    .. [1] The curve solved for time. [common practice, no source]

    Examples
    --------
    For a tolerance of 0.8 mm in 305 mm, a quarter of it, in days:

    >>> round(float(judging_age(ShrinkageCurve(), 0.8 / 305)) / 86400, 1)
    29.3
    """
    tolerance, share = require_arrays(tolerance_share=tolerance_share, part=part)
    require_at_least(0, strict=True, tolerance_share=tolerance, part=share)
    require_between(0, 0.1, tolerance_share=tolerance)
    require_between(0, 1, part=share)
    _, after, tau, exponent = _checked(curve)
    left = np.maximum(np.abs(after) / (share * tolerance), 1.0)
    return np.asarray(tau * np.log(left) ** (1 / exponent))


def _checked(curve: ShrinkageCurve) -> list[NDArray[np.float64]]:
    arrays = require_arrays(
        mould_share=curve.mould_share,
        after_share=curve.after_share,
        time_constant_s=curve.time_constant_s,
        exponent=curve.exponent,
    )
    mould, after, tau, exponent = arrays
    require_between(-_MOST, _MOST, mould_share=mould, after_share=after)
    require_between(0, _LONGEST_S, time_constant_s=tau)
    require_at_least(0, strict=True, time_constant_s=tau)
    require_between(0.1, 3, exponent=exponent)
    return arrays
