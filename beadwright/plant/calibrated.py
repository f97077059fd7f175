"""What a calibration must say besides its days: what it rests on, and an end that can be meant.

Read :func:`calibration_faults`. A calibration entered late makes good what was read before it was
entered, so each must name what it can be checked by.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from beadwright.plant.frequency import day_of, every_of

__all__ = ["MOST_DAYS", "MOST_PERIODS", "MOST_YEARS", "calibration_faults", "is_interval"]

MOST_YEARS = 10
"""A calibration is entered at most so many years after it was done, and holds for at most so many.
"""

MOST_PERIODS = 3
"""Of the instrument's own, that the last day a certificate says may lie after the calibration."""


MOST_DAYS = 3660
"""Days that may pass from one calibration to the next: ten years."""


def is_interval(text: str) -> bool:
    """Whether an instrument can be calibrated so often: in days or years, ten years at most."""
    try:
        every = every_of(text)
    except ValueError:
        return False
    return every.by == "year" or (every.by == "day" and every.number <= MOST_DAYS)


def calibration_faults(
    body: Mapping[str, object], every: str, today: date
) -> Iterator[tuple[str, str]]:
    """Give each value of a calibration that cannot be meant, and why; its days can be read.

    ``every`` is how often the instrument is calibrated, empty where that is not known.
    """
    if body["result"] == "pass" and not str(body.get("certificate", "")).strip():
        what = "a calibration that passed names its certificate, or what it was checked against"
        yield "", f"certificate is not stated: {what}"
    done = day_of(str(body["done"]))
    if done < _years_on(today, -MOST_YEARS):
        what = f"done is more than {MOST_YEARS} years before it was entered, {today}"
        yield done.isoformat(), what
    if not body.get("due"):
        return
    due = day_of(str(body["due"]))
    if due > _years_on(done, MOST_YEARS):
        yield due.isoformat(), f"due is more than {MOST_YEARS} years after done, {done}"
    elif every and due > (last := _periods_on(done, every)):
        what = f"due is more than {MOST_PERIODS} times {every} after done, {done}: {last} at most"
        yield due.isoformat(), what


def _years_on(day: date, years: int) -> date:
    """Give the day so many years on; of 29 February the day before, where the year has none."""
    year = min(max(day.year + years, date.min.year), date.max.year)
    try:
        return day.replace(year=year)
    except ValueError:
        return day.replace(year=year, day=28)


def _periods_on(day: date, every: str) -> date:
    last = day
    for _ in range(MOST_PERIODS):
        try:
            last = every_of(every).after(last) or date.max
        except OverflowError:
            return date.max
    return last
