"""Indices of capability and performance, each with what so many readings prove of it.

Read :func:`capability` first.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtr

from beadwright.errors import require_at_least, require_between
from beadwright.statistics.capability import intervals
from beadwright.statistics.conformity import Limits
from beadwright.statistics.requirements import refuse, require_series

__all__ = [
    "Capability",
    "Index",
    "Stability",
    "Stable",
    "Tolerance",
    "Within",
    "capability",
    "pooled_within",
    "stability_words",
]

_FEW = 50
_WANDERS = 1.25
"""Overall spread over the spread within groups from which the process is said to wander."""


class Stable(StrEnum):
    """What a control chart says."""

    YES = "stable"
    NO = "not stable"
    UNKNOWN = "not known to be stable"


@dataclass(frozen=True, slots=True)
class Stability:
    """The verdict of a control chart, and its grounds in words."""

    verdict: Stable
    grounds: str = ""
    """Such as ``2 of 40 points beyond a limit``."""


@dataclass(frozen=True, slots=True)
class Tolerance(Limits):
    """What the pieces must keep: one limit or both, and the target where there is one."""

    target: float | None = None


@dataclass(frozen=True, slots=True)
class Within:
    """Spread inside subgroups: what is left when the process does not move between them."""

    sigma: float
    dof: float
    """Degrees of freedom it was estimated with."""
    how: str = "pooled within subgroups"


@dataclass(frozen=True, slots=True)
class Index:
    """One index: its estimate, and what the readings prove."""

    name: str
    value: float
    lower: float
    upper: float
    """Between these it lies, with the stated confidence."""
    at_least: float
    """What is proved: with the stated confidence it is no less."""
    exact: bool
    """Whether the interval is exact for a normal distribution, or an approximation."""


@dataclass(frozen=True, slots=True)
class Capability:
    """A process against its limits."""

    count: int
    mean: float
    overall: float
    """Standard deviation of all values."""
    within: Within | None
    confidence: float
    indices: tuple[Index, ...]
    beyond: float
    """Share beyond the limits that a normal distribution of this mean and overall spread has."""
    seen_beyond: int
    """Values beyond the limits."""
    stability: Stability
    cautions: tuple[str, ...]
    """What must be said wherever an index is shown; the gravest first."""

    def index(self, name: str) -> Index | None:
        """Give the index of a name, None where it is not given."""
        return next((one for one in self.indices if one.name == name), None)


def pooled_within(groups: Sequence[ArrayLike]) -> Within:
    r"""Spread within subgroups, pooled.

    .. math:: s_w^2 = \sum_i (n_i - 1) s_i^2 \Big/ \sum_i (n_i - 1)

    Parameters
    ----------
    groups : sequence of array_like, shape (n,)
        Subgroups, such as the pieces of one cycle, in any unit; those of one value are passed
        over. [1]

    Returns
    -------
    within : Within
        Spread and degrees of freedom.

    Raises
    ------
    OutOfRange
        If no group holds two values, or a value is not finite.

    References
    ----------
    .. [1] The pooled variance. [common practice, no source]

    Examples
    --------
    >>> pooled_within([[1, 3], [5, 7]]).sigma
    1.414
    """
    rows = [require_series(1, groups=group) for group in groups]
    freedom = sum(len(row) - 1 for row in rows)
    if freedom == 0:
        refuse("groups", f"{len(rows)} of one value", "at least one group of two values")
    squares = sum(float(((row - row.mean()) ** 2).sum()) for row in rows)
    return Within(math.sqrt(squares / freedom), float(freedom))


def capability(
    values: ArrayLike,
    limits: Tolerance,
    stability: Stability,
    *,
    within: Within | None = None,
    confidence: float = 0.95,
) -> Capability:
    r"""Indices of performance, and of capability where the process is stable.

    .. math::
        P_p = \frac{U - L}{6 s}, \quad
        P_{pk} = \min\left(\frac{U - \bar x}{3 s}, \frac{\bar x - L}{3 s}\right), \quad
        C_{pm} = \frac{U - L}{6 \sqrt{s^2 + (\bar x - T)^2}}

    Pp and Ppk take the spread of all values; Cp and Cpk that within subgroups. The latter say what
    the process could do if it did not move, and are given only if it was not seen to.

    Parameters
    ----------
    values : array_like, shape (n,)
        At least two readings, in any unit. [1]
    limits : Tolerance
        In the same unit.
    stability : Stability
        What a control chart of these values says.
    within : Within, optional
        Spread within subgroups.
    confidence : float, optional
        Of the intervals and of what is proved. [1]

    Returns
    -------
    capability : Capability
        Indices, and the cautions that belong to them.

    Raises
    ------
    OutOfRange
        If there are fewer than two values, no spread, or the confidence is not between 0 and 1.

    Notes
    -----
    Everything here rests on a normal distribution: see
    :func:`~beadwright.statistics.capability.normality.normality`, and
    :func:`~beadwright.statistics.capability.percentiles.percentile_capability` where it is none.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6. [read in: a second source that
       cites it]
    .. [2] A. F. Bissell, "How reliable is your capability index?", Appl. Statist. 39 (1990)
       331-340: the interval of Cpk. [read in: a second source that cites it]
    .. [3] R. A. Boyles, "The Taguchi capability index", J. Qual. Technol. 23 (1991) 17-26: that
       of Cpm. [from memory]

    Examples
    --------
    >>> found = capability([14, 16, 18, 16], Tolerance(8, 20), Stability(Stable.UNKNOWN))
    >>> round(found.index("Ppk").value, 3), round(found.index("Ppk").at_least, 2)
    (0.816, 0.2)
    """
    series = require_series(2, values=values)
    require_between(0, 1, strict=True, confidence=confidence)
    mean, spread = float(series.mean()), float(series.std(ddof=1))
    require_at_least(0, strict=True, spread=spread)
    if within is not None:
        require_at_least(0, strict=True, sigma=within.sigma, dof=within.dof)
    place = intervals.Place(len(series), mean, spread, len(series) - 1.0)
    found = _pair(("Pp", "Ppk"), place, limits, confidence)
    if within is not None and stability.verdict is not Stable.NO:
        inner = intervals.Place(len(series), mean, within.sigma, within.dof)
        found += _pair(("Cp", "Cpk"), inner, limits, confidence)
    if limits.target is not None and not _one_sided(limits):
        width, off = limits.upper - limits.lower, mean - limits.target
        found.append(Index("Cpm", *intervals.target(place, width, off, confidence), exact=False))
    beyond = ndtr((limits.lower - mean) / spread) + ndtr((mean - limits.upper) / spread)
    return Capability(
        len(series),
        mean,
        spread,
        within,
        confidence,
        tuple(found),
        float(beyond),
        int(np.sum(~limits.hold(series))),
        stability,
        _cautions(place, within, stability, limits),
    )


def stability_words(stability: Stability) -> tuple[str, ...]:
    """What must be said beside an index of a process that is not known to be stable.

    Parameters
    ----------
    stability : Stability
        What a control chart says.

    Returns
    -------
    words : tuple of str
        Nothing of a stable process.

    Examples
    --------
    >>> stability_words(Stability(Stable.YES))
    ()
    """
    grounds = f" ({stability.grounds})" if stability.grounds else ""
    if stability.verdict is Stable.NO:
        return (
            (
                f"The process is not stable{grounds}. These figures describe the values that were "
                "read; they say nothing of what it will make. No capability is given."
            ),
        )
    if stability.verdict is Stable.UNKNOWN:
        return (
            (
                f"Nobody has shown that the process is stable{grounds}. Until a control chart "
                "does, these figures describe the values that were read and promise nothing."
            ),
        )
    return ()


def _one_sided(limits: Tolerance) -> bool:
    return not (math.isfinite(limits.lower) and math.isfinite(limits.upper))


def _pair(
    names: tuple[str, str], place: intervals.Place, limits: Tolerance, confidence: float
) -> list[Index]:
    """Both indices by one spread; of one limit only the second."""
    nearest = min(limits.upper - place.mean, place.mean - limits.lower) / (3 * place.spread)
    if _one_sided(limits):
        return [Index(names[1], *intervals.one_limit(place, nearest, confidence), exact=True)]
    width = limits.upper - limits.lower
    return [
        Index(names[0], *intervals.width(place, width, confidence), exact=True),
        Index(names[1], *intervals.nearer(place, nearest, confidence), exact=False),
    ]


def _cautions(
    place: intervals.Place, within: Within | None, stability: Stability, limits: Tolerance
) -> tuple[str, ...]:
    found = list(stability_words(stability))
    if place.count < _FEW:
        found.append(f"Only {place.count} readings: go by what is proved, not by the estimate.")
    if within is not None and place.spread > _WANDERS * within.sigma:
        found.append(
            f"The process moves between subgroups: its overall spread is "
            f"{place.spread / within.sigma:.2f} times that within them. Go by Pp and Ppk."
        )
    if _one_sided(limits):
        found.append("There is one limit only: the distance to it is all that the index tells.")
    found.append(
        "The indices hold for a normal distribution; far in the tail no sample of this size can "
        "show one."
    )
    return tuple(found)
