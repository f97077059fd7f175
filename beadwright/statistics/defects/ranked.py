"""Kinds of defects, the greatest loss first, with intervals that hold for all at once.

Read :func:`pareto` first.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from scipy.special import chdtri
from scipy.stats import binom

from beadwright.errors import require_at_least, require_between
from beadwright.statistics.defects.corrected import holm
from beadwright.statistics.requirements import refuse, require_whole

__all__ = ["Cause", "Pareto", "pareto"]

_LEAST_CAUSES = 2
_HALF = 0.5


@dataclass(frozen=True, slots=True)
class Cause:
    """One kind of defect among all."""

    name: str
    count: int
    share: float
    """Of all defects."""
    lower: float
    upper: float
    """Between these all shares lie at once, with the stated confidence."""
    loss: float
    """Count times what one such defect costs, or the count."""
    loss_share: float
    running: float
    """Share of the loss of this cause and of those before it."""


@dataclass(frozen=True, slots=True)
class Pareto:
    """Kinds of defects, the greatest loss first."""

    causes: tuple[Cause, ...]
    total: int
    confidence: float
    surely_first: bool
    """Whether the most frequent kind is surely more frequent than each other one."""
    not_surely_behind: tuple[str, ...]
    """Kinds that may be as frequent as it."""
    words: tuple[str, ...]


def pareto(
    counts: Mapping[str, int],
    cost: Mapping[str, float] | None = None,
    *,
    confidence: float = 0.95,
) -> Pareto:
    r"""Kinds of defects by what they lose, with intervals that hold for all shares at once.

    .. math::
        \frac{A + 2 n_i \pm \sqrt{A (A + 4 n_i (N - n_i) / N)}}{2 (N + A)}, \qquad
        A = \chi^2_{1; \alpha / k}

    Parameters
    ----------
    counts : mapping
        Defects of each kind. [1]
    cost : mapping, optional
        What one defect of each kind loses: money, mass or time; else each counts one. [1]
    confidence : float, optional
        Of all intervals together. [1]

    Returns
    -------
    pareto : Pareto
        The kinds, and whether the most frequent one is surely so.

    Raises
    ------
    OutOfRange
        If there are fewer than two kinds, nothing was counted, a count is not whole, a cost is
        missing or below 0, or the confidence is not between 0 and 1.

    References
    ----------
    .. [1] L. A. Goodman, "On simultaneous confidence intervals for multinomial proportions",
       Technometrics 7 (1965) 247-254. [read in: a second source that cites it]

    Examples
    --------
    >>> found = pareto({"tie missing": 31, "poor fusion": 12, "dent": 9})
    >>> [one.name for one in found.causes], found.surely_first
    (['tie missing', 'poor fusion', 'dent'], True)
    """
    require_between(0, 1, strict=True, confidence=confidence)
    if len(counts) < _LEAST_CAUSES:
        refuse("counts", f"{len(counts)} of kinds", f"at least {_LEAST_CAUSES} kinds of defect")
    require_whole(0, **{f"counts of {name}": count for name, count in counts.items()})
    total = sum(counts.values())
    require_whole(1, counts=total)
    losses = {name: count * _cost(cost, name) for name, count in counts.items()}
    whole = sum(losses.values()) or 1.0
    alone = float(chdtri(1, (1 - confidence) / len(counts)))
    found, running = [], 0.0
    for name in sorted(counts, key=lambda one: (-losses[one], -counts[one], one)):
        running += losses[name] / whole
        count = counts[name]
        lower, upper = _goodman(count, total, alone)
        found.append(
            Cause(
                name, count, count / total, lower, upper, losses[name], losses[name] / whole,
                min(1.0, running),
            )
        )  # fmt: skip
    behind = _not_surely_behind(counts, 1 - confidence)
    words = _pareto_words(found, total, behind, weighed=cost is not None)
    return Pareto(tuple(found), total, confidence, not behind, behind, words)


def _goodman(count: int, total: int, alone: float) -> tuple[float, float]:
    root = math.sqrt(alone * (alone + 4 * count * (total - count) / total))
    middle, whole = alone + 2 * count, 2 * (total + alone)
    return max(0.0, (middle - root) / whole), min(1.0, (middle + root) / whole)


def _cost(cost: Mapping[str, float] | None, name: str) -> float:
    if cost is None:
        return 1.0
    if name not in cost:
        refuse("cost", f"without {name}", "what a defect of every kind loses")
    each = float(cost[name])
    require_at_least(0, cost=each)
    return each


def _not_surely_behind(counts: Mapping[str, int], level: float) -> tuple[str, ...]:
    """Kinds that may be as frequent as the most frequent, by exact two-sided tests and Holm."""
    first = max(counts, key=lambda one: counts[one])
    others = [name for name in counts if name != first]
    top = counts[first]
    single = [min(1.0, 2 * float(binom.sf(top - 1, top + counts[name], _HALF))) for name in others]
    return tuple(name for name, one in zip(others, holm(single), strict=True) if one >= level)


def _pareto_words(
    causes: Sequence[Cause], total: int, behind: tuple[str, ...], *, weighed: bool
) -> tuple[str, ...]:
    first = max(causes, key=lambda one: one.count)
    low, high = (100 * one for one in (first.lower, first.upper))
    found = [f"{first.name}: {first.count} of {total} defects, {low:.0f} to {high:.0f} in 100."]
    if behind:
        found.append(f"That it comes first is not sure: {', '.join(behind)} may be as frequent.")
    else:
        found.append("It is surely the most frequent.")
    if weighed and causes[0].name != first.name:
        part = 100 * causes[0].loss_share
        found.append(f"By what is lost {causes[0].name} comes first: {part:.0f} in 100.")
    half = next(at for at, one in enumerate(causes, 1) if one.running >= _HALF)
    kinds = "One kind makes" if half == 1 else f"The first {half} kinds make"
    found.append(f"{kinds} {100 * causes[half - 1].running:.0f} in 100 of the loss.")
    return tuple(found)
