"""A start among the indices: each weighed by how well it explains what was read.

Read :class:`Start`, then :func:`weighed`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import require_at_least, require_between

__all__ = ["Kind", "Level", "Profile", "Start", "weighed"]

_Floats = NDArray[np.float64]
Kind = Literal["step", "drift"]
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
    """
    require_between(0, 1, strict=True, confidence=confidence)
    weight = np.exp(profile.log - profile.log.max())
    weight /= weight.sum()
    order = np.argsort(-weight, kind="stable")
    enough = int(np.searchsorted(np.cumsum(weight[order]), confidence - 1e-12)) + 1
    among = np.sort(profile.index[order[:enough]])
    best = int(order[0])
    hold = int(np.argmax(np.cumsum(weight) > 1 - confidence))
    first, contain = int(profile.index[best]), int(profile.index[hold])
    gain = 2 * float(profile.log[best] - profile.none)
    before, after = float(profile.before[best]), float(profile.after[best])
    fitted = None
    if series is not None and profile.kind == "step":
        fitted = series - np.where(np.arange(len(series)) < first, before, after)
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
        _cautions(
            gain, contain - int(profile.index[0]), int(profile.index[-1]) - first + 1, fitted
        ),
    )


def _cautions(
    gain: float, from_start: int, after: int, residuals: _Floats | None
) -> tuple[str, ...]:
    found = []
    if gain < _WEAK:
        found.append(
            "Hardly a change is to be seen here: chance alone would show as much. Trust a start "
            "only if something else says that there was one."
        )
    if from_start == 0:
        found.append(
            "The start may lie before the first value: look further back, and hold from there "
            "until you have."
        )
    if after < _FEW_AFTER:
        found.append(f"Only {after} after it: what the level is now is hardly known.")
    if residuals is not None and len(residuals) > 2 * _FEW_AFTER:
        spread = float((residuals**2).sum())
        lean = float((residuals[1:] * residuals[:-1]).sum()) / spread if spread > 0 else 0.0
        if lean > _CALM / math.sqrt(len(residuals)):
            found.append(
                "Neighbouring values lean on each other: the set is narrower than it should be. "
                "Hold from further back."
            )
    return tuple(found)
