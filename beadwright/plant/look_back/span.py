"""The time an instrument may have been wrong: from when it was last good until it was found.

Read :func:`span_of`. Whole days at both ends: on the day of a calibration nobody knows what was
read before it, and what after.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from beadwright.errors import Misuse
from beadwright.plant.as_found import AsFound, as_found
from beadwright.plant.calibrations import Calibration
from beadwright.plant.plan import start_of

__all__ = ["Span", "found_wrong", "last_right", "span_of"]

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Span:
    """What is looked back on."""

    instrument: str
    found: Calibration | None
    """The calibration that found it wrong; None where somebody asks what if."""
    error: AsFound | None
    """None where nobody said how far off it was."""
    last_good: Calibration | None
    """The last that it passed before; None: it never did, and all it ever read is looked at."""
    from_ms: int
    to_ms: int


def span_of(
    instrument: str,
    calibrations: Sequence[Calibration],
    now: tuple[ZoneInfo, int],
    *,
    done: date | None = None,
    error: AsFound | None = None,
) -> Span:
    """Give the time to look at: before a calibration, the newest that found it wrong unless named.

    ``calibrations`` stand in the order in which they were done. With an ``error`` and no
    calibration that found one, what was read until now is looked at.

    Raises
    ------
    Misuse
        If none was done on the day named, or none found it wrong and no error is given.
    """
    zone, at_ms = now
    of_day = [one for one in calibrations if done in {None, one.done}]
    if not of_day and done is not None:
        there = ", ".join(str(one.done) for one in calibrations) or "none"
        message = f"{instrument} has no calibration done on {done}; there are: {there}"
        raise Misuse(message)
    found = found_wrong(of_day) or (of_day[-1] if done is not None else None)
    if found is None and error is None:
        message = (
            f"no calibration of {instrument} failed or states an error as found: state an error,"
            ' such as "+2 g", to ask what if'
        )
        raise Misuse(message)
    if error is None and found is not None and found.as_found:
        error = as_found(found.as_found)
    last = _last_good(calibrations, found)
    from_ms = 0 if last is None else start_of(last.done, zone)
    to_ms = at_ms if found is None else min(at_ms, start_of(found.done + _DAY, zone) - 1)
    return Span(instrument, found, error, last, from_ms, to_ms)


def found_wrong(calibrations: Sequence[Calibration]) -> Calibration | None:
    """Give the newest calibration that found an instrument wrong; None where none did.

    It failed, or states an error that is not nil: "+0 g" says that it was right. Of a day on which
    it failed and, adjusted, passed, that it failed.
    """
    wrong = [
        one
        for one in calibrations
        if not one.passed or (one.as_found and as_found(one.as_found).number)
    ]
    return wrong[-1] if wrong else None


def last_right(calibrations: Sequence[Calibration]) -> Calibration | None:
    """Give the newest calibration where it found nothing wrong, else the last passed before it.

    ``calibrations`` stand in the order in which they were done.
    """
    if not calibrations:
        return None
    newest = calibrations[-1]
    of_day = [one for one in calibrations if one.done == newest.done]
    wrong = found_wrong(of_day)
    return newest if wrong is None else _last_good(calibrations, wrong)


def _last_good(
    calibrations: Sequence[Calibration], found: Calibration | None
) -> Calibration | None:
    """Give the last passed on an earlier day; of one day the one recorded last counts."""
    counting = {one.done: one for one in calibrations}
    before = [
        one for one in counting.values() if one.passed and (found is None or one.done < found.done)
    ]
    return before[-1] if before else None
