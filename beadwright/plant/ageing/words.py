"""The estimate of a silo in words: one sentence for each thing a person must be told.

Read :func:`silo_said`. The signed hours are told first, and no word of the estimate overrules them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from beadwright.plant.ageing.board import (
    EstimateState,
    GradeAgeing,
    Proposal,
    SiloAgeing,
)
from beadwright.plant.worked import Line
from beadwright.science.ageing import Sureness

__all__ = ["AGEING_CAUTION", "ESTIMATE_WORDS", "SiloSaid", "hours", "mesh_said", "proposed",
           "silo_said", "window_said"]  # fmt: skip

AGEING_CAUTION = (
    "An estimate, not a measurement: the hours that an engineer signed decide."
    " Silo: Never enter without a confined-space permit."
)

ESTIMATE_WORDS: Mapping[EstimateState, str] = {
    "unknown": "unknown",
    "no_window": "no window",
    "too_old": "too old",
    "too_fresh": "too fresh",
    "perhaps_too_old": "perhaps too old",
    "perhaps_too_fresh": "perhaps too fresh",
    "fit": "fit",
}
"""What the estimate says of now."""

_HOUR_MS = 3_600_000
_HOUR_S = 3600.0
_FEW_H, _LONG_H, _FEW_DAYS_H = 9.95, 119.5, 239.0


@dataclass(frozen=True, slots=True)
class SiloSaid:
    """What is said of a silo."""

    states: tuple[tuple[Literal["ask", "note"], str], ...]
    """By estimate, worst first."""
    signed: str
    window: str
    """By estimate, in hours after the last bead and the first; or what is missing."""
    proposes: str
    """Of one grade; of several each with its name."""
    against: tuple[str, ...]
    """Where the signed hours lie outside the estimate's band."""
    mesh: tuple[str, ...]


def silo_said(one: SiloAgeing) -> SiloSaid:
    """Say what there is to say of a silo."""
    many = len(one.grades) > 1
    return SiloSaid(
        tuple(
            ("note" if state == "fit" else "ask", f"by estimate {ESTIMATE_WORDS[state]}")
            for state in one.states
        ),
        _signed(one),
        " ".join(_named(grade, window_said(grade), many=many) for grade in one.grades)
        or _unknown(one.missing),
        " ".join(_named(grade, proposed(grade.proposal), many=many) for grade in one.grades),
        tuple(dict.fromkeys(_against(one))),
        tuple(text for grade in one.grades for text in mesh_said(grade)),
    )


def _named(grade: GradeAgeing, text: str, *, many: bool) -> str:
    return f"{grade.grade}: {text}" if many else text


def _signed(one: SiloAgeing) -> str:
    window = one.silo.window
    if window is None:
        return "No hours are signed."
    less = f" Not signed: {', '.join(window.unsigned)}." if window.unsigned else ""
    return (
        f"Signed: from {window.min_h:g} h after the last bead until {window.max_h:g} h after the"
        f" first.{less}"
    )


def window_said(grade: GradeAgeing) -> str:
    """Say the window by estimate, or what is missing for it."""
    if grade.missing:
        return _unknown(grade.missing)
    ready, stale = grade.line("ready"), grade.line("stale")
    return (
        f"Enough air from {_band(ready)} after the last bead; too little pentane from"
        f" {_band(stale)} after the first."
    )


def _unknown(missing: Sequence[str]) -> str:
    return f"Unknown. Missing: {'; '.join(missing)}."


def _band(line: Line) -> str:
    low, value, high = (hours((one or 0.0) / _HOUR_S) for one in (line.low, line.value, line.high))
    return f"{value} ({low} to {high})"


def hours(number: float) -> str:
    """Give hours short, long ones as days.

    >>> [hours(it).split() for it in (0.62, 37.9, 156.2, 589.5)]
    [['0.6', 'h'], ['38', 'h'], ['6.5', 'days'], ['25', 'days']]
    """
    if number < _FEW_H:
        return f"{number:.1f}\u00a0h"
    if number < _LONG_H:
        return f"{number:.0f}\u00a0h"
    return f"{number / 24:.{1 if number < _FEW_DAYS_H else 0}f}\u00a0days"


def proposed(one: Proposal | None) -> str:
    """Say what hours the physics would propose to an engineer to sign."""
    if one is None:
        return ""
    if one.from_h is None or one.until_h is None:
        return (
            "No hours to propose: none lies between enough air and too little pentane of beads that"
            " were filled over so long."
        )
    told = f"{one.from_h:g} h after the last bead until {one.until_h:g} h after the first"
    if one.sureness is Sureness.CLEAR:
        return f"Would propose to sign {told}: this holds at both ends of the bands."
    return (
        f"Would propose to sign {told}, in doubt: the bands overlap, and it holds for their middles"
        " alone. Weigh a mesh sample."
    )


def _against(one: SiloAgeing) -> Iterator[str]:
    """Say where the signed hours lie outside the estimate, both ends of its band."""
    silo, estimate = one.silo, one.estimate
    if estimate is None or silo.ready_ms is None or silo.use_by_ms is None:
        return
    if silo.ready_ms < estimate.opens.low_ms:
        early = (estimate.opens.low_ms - silo.ready_ms) / _HOUR_MS
        yield (
            f"The signed hours begin {hours(early)} before even the early end of the estimate: look"
            " whether these beads have enough air."
        )
    if silo.use_by_ms > estimate.closes.high_ms:
        late = (silo.use_by_ms - estimate.closes.high_ms) / _HOUR_MS
        yield (
            f"The signed hours end {hours(late)} after even the late end of the estimate: look"
            " whether these beads still have enough pentane."
        )


def mesh_said(grade: GradeAgeing) -> Iterator[str]:
    """Say of each sample of a grade whether it narrows, and why not."""
    for one in grade.mesh:
        lead = f"{one.words[0].upper()}{one.words[1:]}, grade {one.grade}"
        if one.why_not:
            yield f"{lead}, narrows nothing: {one.why_not}."
            continue
        both = [("air", one.air), ("pentane", one.pentane)]
        told = [name for name, found in both if found is not None and found.told]
        rest = [f"{name}: {found.why}" for name, found in both if found and not found.told]
        yield f"{lead}, narrows {' and '.join(told)}" + (f"; {'; '.join(rest)}." if rest else ".")
