"""The greatest rate or lift that a lot's strength supports: only ever less than the manual's.

Read first: :func:`greatest_rate`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from beadwright.errors import require_at_least
from beadwright.science.constants import GRAVITY_M_S2
from beadwright.science.pour.mix import FOOT_M, Element, Pour, counts_as_liquid
from beadwright.science.pour.panel import NARROWED, Strip, supported_pressure
from beadwright.science.pour.pressure import (
    CAUTION,
    FASTEST_FT_H,
    HIGHEST_M,
    PUMP_SURGE,
    SLOW_FT_H,
    TALL_FT,
    lateral_pressure,
    rate_equation,
)
from beadwright.science.trust import Trust, stands

__all__ = ["LiftLimit", "Panel", "RateLimit", "Reason", "Weaker", "greatest_lift", "greatest_rate"]

_FT_H = FOOT_M / 3600
_TALL_M = TALL_FT * FOOT_M
_CAUSE = (
    "short-term strength of bars at 23 °C stands for a panel that is held for hours, in any "
    "weather, with cut edges and joints"
)


class Reason(StrEnum):
    """What a limit rests on."""

    HYDROSTATIC = "hydrostatic"
    """The full head is supported: the rate does not matter to this model."""
    RATE = "rate"
    """The rate formula reaches what is supported."""
    FAST = "fast"
    """The formula is still under what is supported at 15 ft/h; beyond, the full head acts."""
    FLOOR = "floor"
    """The least design pressure is more than is supported: no rate helps, a lower lift does."""
    TALL = "tall"
    """A wall over 14 ft: the formula gives too much at any rate; a lower lift helps."""
    LIQUID = "liquid"
    """The mix or its placing counts as liquid and the full head is too much, at any rate."""


class Weaker(StrEnum):
    """Which part of the panel sets the pressure that it supports."""

    FOAM = "foam"
    TIE = "tie"


_WORDS = {
    Reason.HYDROSTATIC: "The full head of this lift is supported, so the rate does not matter here",
    Reason.RATE: "At this rate the formula's pressure is all that the panel supports",
    Reason.FAST: "Above 15 ft/h the full head acts, which is more than the panel supports",
    Reason.FLOOR: "The least design pressure is more than the panel supports: lower the lift",
    Reason.TALL: "Over 14 ft the formula gives too much at any rate: lower the lift",
    Reason.LIQUID: (
        "Slump, vibration or placing make the full head act, which is more than the panel "
        "supports: lower the lift or change the mix"
    ),
}

_SAME = "Here the full head acts at every rate, so that pouring slower changes nothing"


@dataclass(frozen=True, slots=True)
class Panel:
    """A lot's panel: strip, measured flexural strength, stated safety factor; one, not several.

    ``strength_pa`` is what the lot's specimens support, with whatever allowance for their spread
    the asker makes. Where ``tie_strength_n``, the pull that a tie bears, is given with
    ``tie_area_m2``, the panel that hangs on it, the weaker of foam and tie counts.
    """

    strip: Strip
    strength_pa: float
    safety_factor: float
    tie_strength_n: float | None = None
    tie_area_m2: float | None = None


@dataclass(frozen=True, slots=True)
class RateLimit:
    """A rate to discuss with the engineer of record."""

    rate_m_s: float | None
    """The lower of the manual's rate and what is supported; None where no rate is."""
    supported_m_s: float | None
    """What the panel supports by this model; infinite where the rate does not matter."""
    reason: Reason
    supported_pa: float
    pressure_pa: float | None
    """Lateral pressure at ``rate_m_s``."""
    lowered: bool
    """Whether it is less than the manual's rate."""
    rate_matters: bool
    weaker: Weaker = Weaker.FOAM

    @property
    def words(self) -> str:
        """Reason and caution, to stand wherever the rate is shown."""
        same = "" if self.rate_matters else f"{_SAME}. "
        return f"{_WORDS[self.reason]}. {same}{CAUTION}"


@dataclass(frozen=True, slots=True)
class LiftLimit:
    """A height of fresh concrete to discuss with the engineer of record."""

    height_m: float | None
    """None where this model sets no limit at the pour's rate."""
    reason: Reason
    supported_pa: float
    weaker: Weaker = Weaker.FOAM

    @property
    def words(self) -> str:
        """Height and caution, to stand wherever the height is shown."""
        if self.height_m is None:
            return f"At this rate the formula sets no limit to the lift. {CAUTION}"
        down = math.floor(self.height_m * 100 * (1 + 1e-9)) / 100  # a most is never rounded up
        return f"Not more than {down:.2f} m of fresh concrete at once. {CAUTION}"


@stands(
    Trust.ESTIMATE,
    formula="lateral pressure solved for the rate at what the panel supports, at most the manual's",
    source="ACI 347R-14, 4.2.2, and beam theory",
    cause=_CAUSE,
    narrowed_by=NARROWED,
)
def greatest_rate(pour: Pour, panel: Panel, manual_rate_m_s: float) -> RateLimit:
    """Greatest placement rate that a lot's strength supports, never above the manual's.

    The lateral pressure never falls as the rate rises, so there is one greatest rate; it is
    solved from the formula. Where floor and head coincide, or the mix counts as liquid, the rate
    makes no difference, and the answer says so.

    Parameters
    ----------
    pour : Pour
        One placement; its own rate is not used.
    panel : Panel
        Strip, measured strength and safety factor.
    manual_rate_m_s : float
        Rate of rise that the installation manual allows, > 0. [m/s]

    Returns
    -------
    limit : RateLimit
        Rate, reason, and what it rests on; `words` carries the caution. [m/s]

    Raises
    ------
    OutOfRange
        If a number is not finite or outside its range.

    Notes
    -----
    An aid to discussion with the engineer of record: see ``CAUTION``. Two-way action, shear at the
    flange, tie pull-out and alignment at the base are not in this model.

    References
    ----------
    .. [1] ACI 347R-14, 4.2.2.1. [read in: a second source that cites it]

    Examples
    --------
    A 9 ft wall at 70 °F; 2 5/8 in. panels on ties 8 in. apart; 400 kPa with a factor of 2; the
    manual says 5 ft/h:

    >>> from beadwright.science.pour.mix import Mix
    >>> pour = Pour(Mix(2402.77, 0.15), 2.7432, 0.0, 294.261, 1.2)
    >>> limit = greatest_rate(pour, Panel(Strip(0.2032, 0.066675), 400e3, 2.0), 5 * 0.3048 / 3600)
    >>> limit.reason.value, round(limit.rate_m_s * 3600 / 0.3048, 2), limit.lowered
    ('rate', 4.66, True)
    """
    require_at_least(0, strict=True, manual_rate_m_s=manual_rate_m_s)
    supported, weaker = _carried(panel)
    still = lateral_pressure(replace(pour, rate_m_s=0.0))
    rate, reason = _solve(pour, supported)
    advised = None if rate is None else min(rate, manual_rate_m_s)
    if advised is None:
        pressure = None
    else:
        pressure = float(lateral_pressure(replace(pour, rate_m_s=advised)).pressure_pa)
    return RateLimit(
        advised,
        rate,
        reason,
        supported,
        pressure,
        advised is None or advised < manual_rate_m_s,
        bool(still.rate_matters),
        weaker,
    )


@stands(
    Trust.ESTIMATE,
    formula="lateral pressure solved for the height at what the panel supports",
    source="ACI 347R-14, 4.2.2, and beam theory",
    cause=_CAUSE,
    narrowed_by=NARROWED,
)
def greatest_lift(pour: Pour, panel: Panel) -> LiftLimit:
    """Greatest height of fresh concrete that a lot's strength supports at the pour's rate.

    Parameters
    ----------
    pour : Pour
        One placement; its own height is not used.
    panel : Panel
        Strip, measured strength and safety factor.

    Returns
    -------
    limit : LiftLimit
        Height and reason; `words` carries the caution. [m]

    Raises
    ------
    OutOfRange
        If a number is not finite or outside its range.

    Notes
    -----
    Fresh means not yet stiff: a lift that follows early counts with the one below it. See
    ``CAUTION``.

    References
    ----------
    .. [1] ACI 347R-14, 4.2.2.1. [read in: a second source that cites it]

    Examples
    --------
    >>> from beadwright.science.pour.mix import Mix
    >>> pour = Pour(Mix(2402.77, 0.15), 2.7432, 4 * 0.3048 / 3600, 294.261, 1.2)
    >>> lift = greatest_lift(pour, Panel(Strip(0.2032, 0.066675), 300e3, 2.0))
    >>> round(lift.height_m, 2), lift.reason.value
    (1.14, 'hydrostatic')
    """
    supported, weaker = _carried(panel)
    weight = float(np.asarray(pour.mix.density_kg_m3)) * GRAVITY_M_S2
    surge = PUMP_SURGE if pour.from_base else 1.0
    by_head = supported / weight / surge
    if float(lateral_pressure(replace(pour, height_m=HIGHEST_M)).pressure_pa) <= supported:
        return LiftLimit(None, Reason.RATE, supported, weaker)
    low = float(lateral_pressure(replace(pour, height_m=_TALL_M)).pressure_pa) <= supported
    if low and by_head < _TALL_M:
        return LiftLimit(_TALL_M, Reason.TALL, supported, weaker)
    return LiftLimit(by_head, Reason.HYDROSTATIC, supported, weaker)


def _carried(panel: Panel) -> tuple[float, Weaker]:
    """Pressure that the weaker of foam and tie supports at the stated factor, and which it is."""
    foam = float(supported_pressure(panel.strength_pa, panel.safety_factor, panel.strip))
    if panel.tie_strength_n is None:
        return foam, Weaker.FOAM
    area = math.nan if panel.tie_area_m2 is None else panel.tie_area_m2
    require_at_least(0, strict=True, tie_strength_n=panel.tie_strength_n, tie_area_m2=area)
    tie = panel.tie_strength_n / panel.safety_factor / area
    return (tie, Weaker.TIE) if tie < foam else (foam, Weaker.FOAM)


def _solve(pour: Pour, supported: float) -> tuple[float | None, Reason]:
    """The greatest supported rate in m/s, infinite where none limits, and why."""
    supported *= 1 + 1e-9  # what equals a limit is within it, whatever the rounding
    still = lateral_pressure(replace(pour, rate_m_s=0.0))
    liquid = counts_as_liquid(pour) or pour.from_base
    head = float(still.pressure_pa) if liquid else float(still.head_pa)
    if head <= supported:
        return math.inf, Reason.HYDROSTATIC
    blocked = {
        Reason.LIQUID: liquid,
        Reason.FLOOR: float(still.floor_pa) > supported,
        Reason.TALL: float(still.pressure_pa) > supported,
    }
    for reason, holds in blocked.items():
        if holds:
            return None, reason
    return _by_formula(pour, supported)


def _by_formula(pour: Pour, supported: float) -> tuple[float, Reason]:
    """Each equation is a straight line in the rate: two points of it give its greatest rate."""
    slow = _along(pour, supported, (0.0, 1.0))
    if pour.element is Element.COLUMN or slow < SLOW_FT_H * _FT_H:
        return slow, Reason.RATE
    quick = _along(pour, supported, (SLOW_FT_H, FASTEST_FT_H))
    fastest = FASTEST_FT_H * _FT_H
    return (quick, Reason.RATE) if quick < fastest else (fastest, Reason.FAST)


def _along(pour: Pour, supported: float, between_ft_h: tuple[float, float]) -> float:
    """Where the straight line through two rates of one equation reaches what is supported."""
    one, other = (
        float(rate_equation(replace(pour, rate_m_s=rate * _FT_H))[0]) for rate in between_ft_h
    )
    share = (supported - one) / (other - one)
    return (between_ft_h[0] + share * (between_ft_h[1] - between_ft_h[0])) * _FT_H
