"""What a guard band makes of results that meet their limit: accepted, too near to it, or unknown.

Read :func:`held_against`. A value that misses its limit misses it by any rule: nothing here lets a
result through that the limit alone stops.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from beadwright.plant.bounds import LimitInForce
from beadwright.plant.decision_rule import is_counted
from beadwright.plant.pieces import Value

__all__ = ["FIGURES", "Compare", "Stand", "held_against", "settled"]

FIGURES = 12
"""Significant figures compared: below these lies rounding of the arithmetic, not of the scale."""

_OF_MARGINS = FIGURES - 2
"""The same of a margin, which is a difference and has lost some."""

Compare = Callable[[LimitInForce, float], tuple[bool, float, str]]
"""Whether a value meets a limit, by which margin, and what else is to be known."""


class Stand(NamedTuple):
    """A figure beside its limit; in SI."""

    value: float
    u: float | None
    met: bool
    margin: float
    warning: str
    guard: float | None = None
    """Width of the guard band; None by simple acceptance, or where u is not known."""
    unsure: bool = False
    """Whether it meets the limit, and nobody can say that it does by its guard band."""


def held_against(
    limit: LimitInForce, values: Sequence[Value], figure: tuple[float, float | None],
    compare: Compare,
) -> Stand:  # fmt: skip
    """Hold the statistic of some values, with its uncertainty, against a limit by its rule.

    The guard band is k u of what is compared: of each piece that of its own value, of a mean that
    of the mean. What is counted has no uncertainty of measurement, and no guard band.
    """
    plain = _plain(limit, figure, compare)
    if not limit.rule.guarded or is_counted(limit.characteristic):
        return plain
    if limit.statistic == "mean":
        u = figure[1] if all(_known(one) is not None for one in values) else None
        return _guarded(limit, plain, u)
    pieces = [
        _guarded(limit, _plain(limit, (settled(one.si), one.u_si), compare), _known(one))
        for one in values
    ]
    if not plain.met:
        return plain
    near = [one for one in pieces if one.guard is not None]
    worst = min(near, key=lambda one: one.margin - (one.guard or 0.0), default=plain)
    if near and not worst.met:
        return worst
    return plain._replace(unsure=True) if len(near) < len(pieces) else worst


def _plain(limit: LimitInForce, figure: tuple[float, float | None], compare: Compare) -> Stand:
    met, margin, warning = compare(limit, figure[0])
    return Stand(*figure, met, margin, warning)


def _known(one: Value) -> float | None:
    """Give a value's uncertainty; None where nothing is known of it, or not of every part."""
    return None if one.partly else one.u_si


def _guarded(limit: LimitInForce, plain: Stand, u: float | None) -> Stand:
    if u is None:
        return plain._replace(unsure=plain.met)
    guard = float(limit.rule.k) * u
    inside = settled(plain.margin, _OF_MARGINS) >= settled(guard, _OF_MARGINS)
    return plain._replace(u=u, met=plain.met and inside, guard=guard)


def settled(value: float, figures: int = FIGURES) -> float:
    """Give a value without the rounding of the arithmetic."""
    return float(f"{value:.{figures}g}")
