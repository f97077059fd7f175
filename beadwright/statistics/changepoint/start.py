"""A start among the indices: each weighed by how well it explains what was read.

Read :class:`Start`, then :func:`weighed`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import require_at_least, require_between

__all__ = ["Doubt", "Kind", "Level", "Profile", "Start", "weighed"]

_Floats = NDArray[np.float64]
Kind = Literal["step", "drift", "point"]
Doubt = Literal["weak", "before the first", "few after", "leaning"]
_FEW_AFTER = 3
_WEAK = 8.0
"""Twice the gain in log likelihood below which a change may be none: with an unknown place it is
passed by chance in some 5 of 100 series of fifty."""

_CALM = 2.0
"""Standard errors that the correlation of neighbours may reach by chance."""


@dataclass(frozen=True, slots=True)
class Level:
    """What the process was before: its mean and standard deviation, known from good days."""

    mean: float
    sigma: float

    def __post_init__(self) -> None:
        """Refuse what is no level."""
        require_at_least(-math.inf, mean=self.mean)
        require_at_least(0, strict=True, sigma=self.sigma)


@dataclass(frozen=True, slots=True)
class Start:
    """When a change began, and between when and when it may have."""

    kind: Kind
    first: int
    """Index of the first value after the change: the likeliest."""
    earliest: int
    latest: int
    """Ends of the set of indices that hold the start with the stated confidence."""
    among: tuple[int, ...]
    """That set; it may have gaps."""
    contain_from: int
    """Index from which to hold: the start lies before it only with what the confidence leaves."""
    confidence: float
    before: float
    after: float
    """Level before, and after; of a drift, where it has come to."""
    rate: float
    """Growth by unit of time of a drift; 0 of a step."""
    gain: float
    """Twice the gain in log likelihood over no change."""
    cautions: tuple[str, ...]
    spread: float | None = None
    """Standard deviation of values about the fit; None of counts."""
    lean: float | None = None
    """Correlation of neighbours about the fit, for which the set was widened; None where it is
    what chance gives."""
    doubts: tuple[Doubt, ...] = ()
    """What each caution is about."""


@dataclass(frozen=True, slots=True)
class Profile:
    """Of each index that may be the first changed: log likelihood, and the levels that fit."""

    kind: Kind
    index: NDArray[np.intp]
    log: _Floats
    none: float
    """Log likelihood of no change."""
    before: _Floats
    after: _Floats
    rate: _Floats
    times: _Floats | None = None
    """Of a drift: when each value was read."""


def weighed(profile: Profile, series: _Floats | None, confidence: float) -> Start:
    """Weigh the indices, and take the heaviest that together reach the confidence.

    Parameters
    ----------
    profile : Profile
        Log likelihood of each index.
    series : ndarray, shape (n,), or None
        The values, where they are normal, to see whether neighbours lean on each other. [1]
    confidence : float
        Of the set, and of what is held. [1]

    Returns
    -------
    start : Start
        The start.

    Raises
    ------
    OutOfRange
        If the confidence is not between 0 and 1.

    Notes
    -----
    Where neighbours lean on each other by r more than chance gives, the log likelihoods count
    for (1 - r) / (1 + r) of what they say, as n such values say no more of a mean than so many
    that do not [1]_. That widens the set; where the start most likely lies stays.

    References
    ----------
    .. [1] G. V. Bayley and J. M. Hammersley, "The effective number of independent observations
       in an autocorrelated time series", Suppl. J. R. Stat. Soc. 8 (1946) 184-197, for neighbours
       of first order and long series. [from memory] For the likelihood of a start: common
       practice, no source.
    """
    require_between(0, 1, strict=True, confidence=confidence)
    left = None if series is None else _left_of(profile, series)
    lean = None if left is None else _lean(left)
    worth = 1.0 if lean is None else (1 - lean) / (1 + lean)
    weight = np.exp((profile.log - profile.log.max()) * worth)
    weight /= weight.sum()
    order = np.argsort(-weight, kind="stable")
    enough = int(np.searchsorted(np.cumsum(weight[order]), confidence - 1e-12)) + 1
    among = np.sort(profile.index[order[:enough]])
    best = int(order[0])
    hold = int(np.argmax(np.cumsum(weight) > 1 - confidence))
    first, contain = int(profile.index[best]), int(profile.index[hold])
    gain = 2 * float(profile.log[best] - profile.none)
    before, after = float(profile.before[best]), float(profile.after[best])
    cautions = dict(
        _cautions(
            gain * worth, contain - int(profile.index[0]), int(profile.index[-1]) - first + 1, lean
        )
    )
    return Start(
        profile.kind,
        first,
        int(among[0]),
        int(among[-1]),
        tuple(int(one) for one in among),
        contain,
        confidence,
        before,
        after,
        float(profile.rate[best]),
        gain,
        tuple(cautions.values()),
        None if left is None else float((left**2).sum() / max(1, len(left) - 3)) ** 0.5,
        lean,
        tuple(cautions),
    )


def _left_of(profile: Profile, series: _Floats) -> _Floats:
    """Give what the likeliest start leaves of the values."""
    best = int(np.argmax(profile.log))
    first, before = int(profile.index[best]), float(profile.before[best])
    times = profile.times
    if times is None:
        fit = np.where(np.arange(len(series)) < first, before, profile.after[best])
    else:
        start = times[first - 1] if first else times[0] - float(np.median(np.diff(times)))
        fit = before + profile.rate[best] * np.maximum(0.0, times - start)
    return np.asarray(series - fit)


def _lean(left: _Floats) -> float | None:
    """Give the correlation of neighbours where it is more than chance gives."""
    spread = float((left**2).sum())
    if len(left) <= 2 * _FEW_AFTER or spread <= 0:
        return None
    lean = float((left[1:] * left[:-1]).sum()) / spread
    return lean if lean > _CALM / math.sqrt(len(left)) else None


def _cautions(
    gain: float, from_start: int, after: int, lean: float | None
) -> Iterator[tuple[Doubt, str]]:
    if gain < _WEAK:
        yield (
            "weak",
            (
                "Hardly a change is to be seen here: chance alone would show as much. Trust a "
                "start only if something else says that there was one."
            ),
        )
    if from_start == 0:
        yield (
            "before the first",
            (
                "The start may lie before the first value: look further back, and hold from there "
                "until you have."
            ),
        )
    if after < _FEW_AFTER:
        yield "few after", f"Only {after} after it: what the level is now is hardly known."
    if lean is not None:
        yield (
            "leaning",
            (
                f"Neighbouring values lean on each other (correlation {lean:.2f}): the set is "
                "widened for it, and may still be too narrow. Hold from further back."
            ),
        )
