"""Readings by an instrument that a later calibration found wrong: told before a lot is released.

Read :func:`reasons_of_doubt`. It decides nothing: :mod:`beadwright.plant.look_back` says which lots
would not have passed, and a person holds them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from zoneinfo import ZoneInfo

from beadwright.plant.as_found import as_found, bears_on
from beadwright.plant.assessment import FOUND_WRONG, REASONS, Reason
from beadwright.plant.calibrations import Calibration, Calibrations
from beadwright.plant.look_back.span import span_of
from beadwright.plant.words import number
from beadwright.quality.readings import ReadingView

__all__ = [
    "found_wrong_since",
    "how_wrong",
    "look_back_first",
    "reasons_of_doubt",
    "wrong_said",
]


def reasons_of_doubt(
    fit: Calibrations, taken: Sequence[ReadingView], zone: ZoneInfo
) -> Iterator[Reason]:
    """Say which of a lot's readings an instrument took before it was found wrong."""
    for found, some in found_wrong_since(fit, taken, zone):
        weight = REASONS[FOUND_WRONG][0]
        text = _said(found, some)
        yield Reason(FOUND_WRONG, text, f"entry {found.seq}", weight, found.instrument)


def found_wrong_since(
    fit: Calibrations, taken: Sequence[ReadingView], zone: ZoneInfo
) -> Iterator[tuple[Calibration, list[ReadingView]]]:
    """Give each calibration that found an instrument wrong after it took some readings, with these.

    Its span is that of a look back: since the instrument was last right. A reading of which the
    error found says nothing is in no doubt: one in grams says nothing of a length.
    """
    for instrument in sorted({one.instrument for one in taken if one.instrument in fit.listed}):
        calibrations = fit.of(instrument)
        for found in {one.done: one for one in reversed(calibrations) if _wrong(one)}.values():
            span = span_of(instrument, calibrations, (zone, 2**62), done=found.done)
            some = [
                one for one in taken
                if one.instrument == instrument
                and span.from_ms <= one.at_ms <= span.to_ms
                and bears_on(found.as_found, one.characteristic)
            ]  # fmt: skip
            if some:
                yield found, some


def look_back_first(doubts: Iterable[Reason]) -> str:
    """Say in short what is to be done before a release; empty where nothing is.

    >>> look_back_first([Reason(FOUND_WRONG, "", "entry 9", "notes", "BAL-1")])
    'look back first: BAL-1 was found wrong since it was read'
    """
    said = wrong_said(doubts)
    return f"look back first: {said}" if said else ""


def wrong_said(doubts: Iterable[Reason]) -> str:
    """Say in short which instruments were found wrong; empty where none was."""
    names = sorted({one.about for one in doubts})
    if not names:
        return ""
    were = "were found wrong since they were" if len(names) > 1 else "was found wrong since it was"
    return f"{', '.join(names)} {were} read"


def _wrong(one: Calibration) -> bool:
    """Whether it failed, or its error is more than is uncertain of it."""
    if not one.passed:
        return True
    error = as_found(one.as_found) if one.as_found else None
    return error is not None and abs(error.number) > (error.expanded or 0)


def how_wrong(found: Calibration) -> str:
    """Say how a calibration found an instrument, and when."""
    error = f"was found with an error of {found.as_found}" if found.as_found else ""
    how = error if found.passed else f"failed its calibration{' and ' if error else ''}{error}"
    return f"{how} on {found.done}"


def _said(found: Calibration, some: Sequence[ReadingView]) -> str:
    names = ", ".join(sorted({one.characteristic.replace("_", " ") for one in some}))
    return (
        f"{number(len(some), 'reading')} of it ({names}) rest on {found.instrument}, which"
        f" {how_wrong(found)}: look back on {found.instrument} before anybody signs"
    )
