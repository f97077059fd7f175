"""Which cups to take next, so that a steaming trial tells the grade's parameters.

Read first: :func:`propose_trial`.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_between
from beadwright.science.expansion.curve import LONGEST_S, SteamingCurve
from beadwright.science.expansion.slopes import in_fit_scale, log_ratio_slopes
from beadwright.science.trust import Trust, stands

__all__ = ["CAUTION", "TrialProposal", "propose_trial"]

CAUTION = (
    "Over-steamed beads collapse and may lump: keep them out of the silos, count them as scrap. "
    "Steam scalds: take cups only where the machine is made for it."
)

_Array = NDArray[np.float64]
_STEP_S = 5.0
_FIRST_S = 10.0
_SLOWEST = 1e-4
_VAGUE = 1.0  # sd of ln parameter before any cup: a factor of 2.7 either way
_SCENARIOS = ((1.0, 1.0), (1.0, 0.5), (1.0, 2.0), (0.7, 1.0), (1.4, 1.0))


@dataclass(frozen=True, slots=True)
class TrialProposal:
    """Times at which to take cups from one over-steam run, and what they would bring."""

    time_s: tuple[float, ...]
    before: tuple[float, ...]
    """Relative standard uncertainty of ceiling, time constant, collapse rate from the old cups."""
    after: tuple[float, ...]
    """The same with the new cups, in the worst of several plausible curves."""
    enough: bool
    """Whether all three come under the wanted uncertainty."""

    @property
    def words(self) -> str:
        """What to do, in one sentence."""
        if not self.time_s:
            return "No further cup is needed: the trial tells all three parameters."
        times = ", ".join(
            f"{time:g}" if count == 1 else f"{time:g} ({count} cups)"
            for time, count in sorted(Counter(self.time_s).items())
        )
        run = (
            "Steam one charge on past its usual stop, pressure held, and take a cup at "
            f"{times} s after steam on."
        )
        short = " Even so the trial would not tell them all: steam longer, or repeat the cups."
        return run if self.enough else run + short


@dataclass(frozen=True, slots=True)
class _Information:
    """Slopes of every candidate cup under every scenario: (scenarios, candidates, 3)."""

    slopes: _Array
    old: _Array  # (scenarios, 3, 3)


@stands(
    Trust.ESTIMATE,
    formula="greedy choice of times that lowers the worst expected uncertainty most",
    source="optimal design of experiments, about a guessed curve",
    cause="planned on a guess of the curve it is to find",
    narrowed_by="the run itself: fit it, and propose again",
)
def propose_trial(
    done_s: ArrayLike,
    guess: SteamingCurve,
    *,
    spread: float = 0.02,
    longest_s: float = 480.0,
    wanted: float = 0.10,
) -> TrialProposal:
    """Times of the cups that would let a trial tell all three parameters of a grade.

    Looks at the guessed curve and at neighbours with half and twice its collapse rate and a
    shorter and longer time constant, and adds one cup after another where it lowers the worst
    expected uncertainty most, up to eight. Some of the times come to lie well past the minimum:
    that is the over-steam run.

    Parameters
    ----------
    done_s : array_like, shape (n,)
        Times of the cups already taken. [s]
    guess : SteamingCurve
        One curve to plan with, such as a fit's working curve.
    spread : float, optional
        Relative standard deviation of one cup, above 0 and below 1. [1]
    longest_s : float, optional
        Longest steaming that the plant is ready to do, 60 to 600. [s]
    wanted : float, optional
        Relative standard uncertainty to come under, above 0 and below 1. [1]

    Returns
    -------
    proposal : TrialProposal
        Times, and the uncertainty expected before and after.

    Raises
    ------
    OutOfRange
        If a time, the spread, the longest steaming or the wish is outside its range.

    References
    ----------
    .. [1] A. C. Atkinson and A. N. Donev, "Optimum Experimental Designs", Oxford, 1992: local
       designs for non-linear models. [from memory]

    Examples
    --------
    A trial that stopped at 60 s needs cups far beyond it:

    >>> plan = propose_trial([10.0, 15, 20, 30, 40, 50, 60], SteamingCurve())
    >>> plan.enough, max(plan.time_s) > 300
    (True, True)
    """
    (done,) = require_arrays(done_s=done_s)
    require_between(0, LONGEST_S, done_s=done)
    require_between(0, 1, strict=True, spread=spread, wanted=wanted)
    require_between(60, LONGEST_S, longest_s=longest_s)
    candidates = np.arange(_FIRST_S, longest_s + _STEP_S / 2, _STEP_S)
    known = _information(np.ravel(done), candidates, guess, spread)
    before = _worst(known.old)
    current, chosen = known.old, list[float]()
    while _worst(current).max() > wanted and len(chosen) < 8:  # noqa: PLR2004 - said above
        with_each = current[:, None] + known.slopes[..., :, None] * known.slopes[..., None, :]
        variances = np.linalg.inv(with_each).diagonal(axis1=-2, axis2=-1)
        pick = int(variances.max(axis=(0, 2)).argmin())
        chosen.append(float(candidates[pick]))
        current = with_each[:, pick]
    after = _worst(current)
    return TrialProposal(
        tuple(sorted(chosen)),
        tuple(float(u) for u in before),
        tuple(float(u) for u in after),
        bool(after.max() <= wanted),
    )


def _information(
    done: _Array, candidates: _Array, guess: SteamingCurve, spread: float
) -> _Information:
    slopes, old = [], []
    for longer, faster in _SCENARIOS:
        at = in_fit_scale(guess)
        at[1] += np.log(longer)
        at[2] = max(at[2], _SLOWEST) * faster
        relative = np.array([1.0, 1.0, at[2]]) / spread
        slopes.append(log_ratio_slopes(candidates, at)[1][:, :3] * relative)
        taken = log_ratio_slopes(done, at)[1][:, :3] * relative
        old.append(taken.T @ taken + np.eye(3) / _VAGUE**2)
    return _Information(np.array(slopes), np.array(old))


def _worst(information: _Array) -> _Array:
    """Largest standard deviation of each parameter over the scenarios."""
    variances = np.linalg.inv(information).diagonal(axis1=-2, axis2=-1)
    return np.asarray(np.sqrt(variances.max(axis=0)))
