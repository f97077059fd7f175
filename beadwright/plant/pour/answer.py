"""The answer of a pour sheet for one lot, and the sentences that say it.

Read :func:`answer_words`. A rate that is not there is said to be none, with the reason, and a most
is rounded down.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from beadwright.plant.worked_words import rounded_down
from beadwright.science.pour import Reason, Weaker
from beadwright.units import System, show

__all__ = ["WHY_NONE", "Answer", "EveryRate", "answer_words"]

EveryRate = Literal["", "floor", "liquid", "base"]

WHY_NONE: Mapping[Reason, str] = {
    Reason.FLOOR: (
        "the least pressure that the formula lets a form be designed for is more than the panel"
        " supports, however slowly it is poured; a lower lift helps"
    ),
    Reason.TALL: (
        "over 14 ft (4.27 m) the formula gives more than the panel supports, however slowly it is"
        " poured; a lower lift helps"
    ),
    Reason.LIQUID: (
        "the full head acts at every rate, and is more than the panel supports; a lower lift or a"
        " stiffer concrete helps"
    ),
}
"""Why there is no rate, by what it rests on."""

_EVERY: Mapping[EveryRate, str] = {
    "floor": (
        "The rate no longer matters: the least design pressure is no less than the full head of"
        " this height, so the full head acts however slowly it is poured."
    ),
    "liquid": (
        "The rate no longer matters: this concrete counts as a liquid (slump over 7 in (178 mm),"
        " vibration deeper than 4 ft (1.22 m), or self-consolidating; what nobody said is taken"
        " so), and the full head acts at every rate."
    ),
    "base": (
        "The rate no longer matters: pumped in at the base, the full head and a quarter more act"
        " at every rate; where nobody says how it is placed, it is taken so."
    ),
}
_KEPT: Mapping[Reason, str] = {
    Reason.HYDROSTATIC: "the panel supports the full head of this height",
    Reason.RATE: "the formula's pressure at this rate is what the panel supports",
    Reason.FAST: "above 15 ft/h (4.57 m/h) the full head acts, which the panel does not support",
}


@dataclass(frozen=True, slots=True)
class Answer:
    """What one lot supports, in SI."""

    rate_m_s: float | None
    """The rate to discuss, never above the manual's; None where there is none."""
    manual_m_s: float
    lowered: bool
    reason: Reason
    lift_m: float
    """The lift to discuss at the manual's rate; the height asked about where all of it is."""
    height_m: float
    every_rate: EveryRate
    """Why the rate does not matter; empty where it does."""
    weaker: Weaker
    tie_known: bool
    """Whether what a tie bears is set, so that the weaker of foam and tie is answered for."""
    course_m: float | None
    """Height of a block."""

    @property
    def why_none(self) -> str:
        """Why there is no rate; empty where there is one."""
        return "" if self.rate_m_s is not None else WHY_NONE[self.reason]


def answer_words(answer: Answer, units: System) -> tuple[str, ...]:
    """Give the answer in sentences."""
    return tuple(_sentences(answer, units))


def _sentences(answer: Answer, units: System) -> Iterator[str]:
    manual = rounded_down(answer.manual_m_s, "speed", units)
    if answer.rate_m_s is None:
        yield f"Rate to discuss: none. {answer.why_none[0].upper()}{answer.why_none[1:]}."
    elif answer.lowered:
        rate = rounded_down(answer.rate_m_s, "speed", units)
        yield (
            f"Rate to discuss: at most {rate}, below the manual's {manual}, because"
            f" {_KEPT[answer.reason]}."
        )
    else:
        yield f"Rate to discuss: the manual's {manual}; by this model the lot does not lower it."
    lift = rounded_down(answer.lift_m, "length", units)
    if answer.lift_m < answer.height_m * (1 - 1e-9):
        yield (
            f"Lift to discuss at the manual's rate: at most {lift} of fresh concrete at once; what"
            " follows before the lift below has set counts with it."
        )
        if answer.course_m is not None and answer.lift_m < answer.course_m:
            block = show(answer.course_m, "length", system=units, digits=0)
            yield f"That is less than one course of blocks ({block})."
    if answer.every_rate:
        yield _EVERY[answer.every_rate]
    yield _weaker(answer)


def _weaker(answer: Answer) -> str:
    if not answer.tie_known:
        return (
            "Of the foam alone: what a tie bears is not known, and it may be the weaker. Set"
            " tie_strength, tie_spacing and tie_rise of the product."
        )
    if answer.weaker is Weaker.TIE:
        return "The tie is the weaker: it gives way before the foam does."
    return "The foam is the weaker: a tie bears more."
