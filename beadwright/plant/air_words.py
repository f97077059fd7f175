"""The pentane screen in words: one sentence for each thing a person must be told of a room.

Read :func:`room_words`. No word reassures: what is below the stated share is told as calculated.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from beadwright.plant.fans import LAPSES_H, FanSaid
from beadwright.plant.pentane_screen import Figure, RoomAnswer
from beadwright.science.pentane import STRICTER_LIMIT, WIDER_LIMIT, rounded_up
from beadwright.units import System

__all__ = ["UNKNOWN", "RoomWords", "air", "given_off", "mass_rate", "room_words", "share", "shares"]

UNKNOWN = "unknown"
"""What is said where anything is missing."""

_HOUR_MS = 3_600_000
_LB_KG = 0.45359237
_CFM = 0.3048**3 / 60
_G_KG = 1000.0
_LEAST_MINUTES = 90


@dataclass(frozen=True, slots=True)
class RoomWords:
    """What is said of a room."""

    sort: Literal["ask", "stop", "note"]
    state: str
    """``unknown``, ``above the stated share`` or ``below the stated share, as calculated``."""
    answer: str
    fan: str
    still: str
    """What would come if the fan stopped now; empty where that is not known, or it stands."""
    limits: str
    """Both published limits, and which one is taken."""


def room_words(one: RoomAnswer, at_ms: int, clock: Callable[[int], str]) -> RoomWords:
    """Say what there is to say of a room; ``clock`` gives a time as the plant reads it."""
    stated = _percent(one.stated_share or 0.0)
    worst = one.worst
    sort: Literal["ask", "stop", "note"] = "ask"
    state = "unknown"
    answer = f"Unknown. Missing: {'; '.join(one.missing)}. Take it as not safe."
    if worst is not None and worst.limit_share is not None and not one.unknown:
        above = [it for it in one.hours if it.above and not it.past]
        sort = "stop" if above else "note"
        state = f"above {stated}" if above else f"below {stated}, as calculated"
        most = f"{share(worst.limit_share)} of the lower explosive limit"
        answer = (
            f"At most {most} in the hours to come, in the hour from {clock(worst.from_ms)};"
            f" its high end is {'above' if above else 'below'} the stated {stated}."
        )
        if any(it.limit_share is None for it in one.hours if not it.past):
            answer += " Later hours are unknown."
    return RoomWords(
        sort,
        state,
        answer,
        _fan(one.fan, at_ms, clock),
        _still(one, stated, (at_ms, clock)),
        _limits(one),
    )


def share(one: Figure) -> str:
    """Give a share of the limit with its band: ``0.3 % (0.2 to 0.5 %)``.

    >>> share(Figure(0.0031, 0.0016, 0.0054))
    '0.31 % (0.16 to 0.54 %)'
    """
    low, value, high = shares(one)
    return f"{value} % ({low} to {high} %)"


def shares(one: Figure) -> tuple[str, str, str]:
    """Give low end, value and high end in per cent, as digits; the high end rounded up."""
    digits = _digits(100 * one.high)
    scale = 10.0**digits
    high = math.ceil(100 * one.high * scale - 1e-9) / scale
    return f"{100 * one.low:.{digits}f}", f"{100 * one.value:.{digits}f}", f"{high:.{digits}f}"


def mass_rate(kg_s: float, units: System) -> str:
    """Give what is given off in an hour: ``0.41 kg/h``.

    >>> mass_rate(0.405 / 3600, "si"), mass_rate(0.405 / 3600, "us")
    ('0.41 kg/h', '0.89 lb/h')
    """
    value = kg_s * 3600 / (_LB_KG if units == "us" else 1.0)
    return f"{value:.{_digits(value)}f} {'lb' if units == 'us' else 'kg'}/h"


def given_off(off: Figure | None, units: System) -> str:
    """Give what is given off in an hour with its band: ``0.41 kg/h (0.30 to 0.55)``."""
    if off is None:
        return UNKNOWN
    low, value, high = (mass_rate(it, units) for it in (off.low, off.value, off.high))
    return f"{value} ({low.partition(' ')[0]} to {high.partition(' ')[0]})"


def air(m3_s: float, units: System) -> str:
    """Give air that is needed, to two digits and rounded up: ``460 m³/h``.

    >>> air(0.1265, "si"), air(0.1265, "us")
    ('460 m³/h', '270 cfm')
    """
    value = m3_s / _CFM if units == "us" else m3_s * 3600
    return f"{float(rounded_up(value)):g} {'cfm' if units == 'us' else 'm³/h'}"


def _digits(value: float) -> int:
    """Digits after the point that leave two figures."""
    return max(0, min(3, 1 - math.floor(math.log10(value)))) if value > 0 else 0


def _percent(value: float) -> str:
    return f"{100 * value:.3g} %"


def _fan(said: FanSaid, at_ms: int, clock: Callable[[int], str]) -> str:
    if said.said_ms is None or said.since_ms is None:
        return "Nobody has said whether the fan runs."
    if said.word == "stopped":
        return f"The fan stands still, as said, since {clock(said.since_ms)}: no air is counted."
    if said.flow_switch:
        return (
            f"The fan runs, as said since {clock(said.since_ms)}; that the air moves is shown by:"
            f" {said.flow_switch}. This holds only while that shows it."
        )
    ago = _span(at_ms - said.said_ms)
    what = f"That the fan runs was last said {ago} ago, and no flow switch shows it"
    if said.counts == "no":
        return f"{what}: not known. Look, and state it again."
    if said.counts == "look":
        return f"{what}: look. After {LAPSES_H:g} h it is not known."
    return f"{what}; {LAPSES_H:g} h after it was said it is not known."


def _still(one: RoomAnswer, stated: str, at: tuple[int, Callable[[int], str]]) -> str:
    at_ms, clock = at
    if one.still is None or one.unknown:
        return ""
    end = share(one.still.at_end)
    reaches = f"at the end of these hours {end} of the limit"
    if one.still.above_ms is None:
        return f"If the fan stopped now, with no air at all: {reaches}."
    from_ = "already" if one.still.above_ms <= at_ms else f"from {clock(one.still.above_ms)} on"
    return (
        f"If the fan stopped now, with no air at all: the high end may be above the stated {stated}"
        f" {from_}, and {reaches}."
    )


def _span(ms: float) -> str:
    minutes = ms / 60_000
    if minutes < _LEAST_MINUTES:
        return f"{max(1, round(minutes))} min"
    return f"{minutes / 60:.3g} h"


def _limits(one: RoomAnswer) -> str:
    pair = " and ".join(
        f"{100 * it.share:g} vol % ({it.source})" for it in (STRICTER_LIMIT, WIDER_LIMIT)
    )
    taken = (
        "the stricter is taken"
        if one.limit == STRICTER_LIMIT
        else f"taken is {100 * one.limit.share:g} vol % ({one.limit.source})"
    )
    return f"Lower explosive limits published for pentane: {pair}; {taken}."
