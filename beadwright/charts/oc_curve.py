"""How likely a plan accepts, over the share of bad pieces: what it protects against, at a look.

Read :class:`OcCurve`, then :func:`picture`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from beadwright.charts.curves import Axis, Curve, Curves, Label, Point
from beadwright.statistics.sampling import (
    DoublePlan,
    Model,
    SinglePlan,
    VariablesPlan,
    acceptance,
    variables_acceptance,
)

__all__ = ["OcCurve", "Promise", "picture"]

_POINTS = 161
_MOST_POINTS = 401
"""Of a lot, whose curve otherwise has a point for every whole piece."""

_HARDLY = 0.005
_HALF = 0.5
_EDGE = 0.7
"""Share of the width beyond which words stand to the left of their point."""


@dataclass(frozen=True, slots=True)
class Promise:
    """A point that the plan was made for."""

    share: float
    chance: float
    """Of acceptance: at least so much at the producer's point, at most at the consumer's."""
    words: str


@dataclass(frozen=True, slots=True)
class OcCurve:
    """What is drawn."""

    plan: SinglePlan | DoublePlan | VariablesPlan
    words: str
    """The plan, as it is said, such as ``50 pieces, at most 1 bad``."""
    lot: int | None = None
    """Pieces in the lot: the curve is then one of this lot, in whole bad pieces."""
    promises: tuple[Promise, ...] = ()
    name: str = "oc-curve"


def picture(of: OcCurve) -> Curves:
    """Give the picture of a plan."""
    shares = _shares(of)
    chances = _chances(of, shares)
    high = float(shares[-1])
    points = tuple(_point(one, high) for one in of.promises)
    return Curves(
        of.name,
        f"How likely a lot is accepted: {of.words}",
        _said(of, shares, chances),
        Axis("Bad pieces in what comes in, %", 0.0, 100 * high),
        Axis("Accepted, of 100 such lots", 0.0, 100.0),
        (_curve(shares, chances),),
        points,
    )


def _curve(shares: np.ndarray, chances: np.ndarray) -> Curve:
    at = int(np.argmin(np.abs(chances - 0.6)))
    label = Label("accepted", 100 * float(shares[at]) * 1.03, 100 * float(chances[at]) + 4)
    return Curve.of(100 * shares, 100 * chances, label=label)


def _point(one: Promise, high: float) -> Point:
    right = one.share < _EDGE * high
    step = 0.018 * 100 * high
    label = Label(
        one.words,
        100 * one.share + (step if right else -step),
        min(97.0, max(5.0, 100 * one.chance + (3 if one.chance < _HALF else 0))),
        "start" if right else "end",
    )
    return Point(100 * one.share, 100 * one.chance, full=False, label=label)


def _model(of: OcCurve) -> Model:
    return Model.PROCESS if of.lot is None else Model.LOT


def _shares(of: OcCurve) -> np.ndarray:
    """Shares from 0 to where hardly a lot is accepted."""
    high = max([0.02, *(1.25 * one.share for one in of.promises)])
    while high < 1 and float(_chances(of, np.array([min(high, 1.0)]))[0]) > _HARDLY:
        high *= 1.15
    high = min(high, 0.999 if isinstance(of.plan, VariablesPlan) else 1.0)
    if of.lot is None or isinstance(of.plan, VariablesPlan):
        return np.linspace(1e-9, high, _POINTS)
    last = int(np.ceil(high * of.lot))
    return np.unique(np.linspace(0, last, min(last + 1, _MOST_POINTS)).round()) / of.lot


def _chances(of: OcCurve, shares: np.ndarray) -> np.ndarray:
    if isinstance(of.plan, VariablesPlan):
        return variables_acceptance(of.plan, np.clip(shares, 1e-9, 1 - 1e-9))
    return acceptance(of.plan, shares, _model(of), of.lot)


def _said(of: OcCurve, shares: np.ndarray, chances: np.ndarray) -> str:
    parts = [f"{of.words}."]
    for chance in (0.95, _HALF, 0.1):
        below = shares[chances >= chance]
        share = float(below[-1]) if len(below) else 0.0
        parts.append(
            f"Accepted at least {100 * chance:.0f} times in 100 up to {_percent(share)} bad pieces."
        )
    return " ".join(parts)


def _percent(share: float) -> str:
    return f"{100 * share:.2g} %"
