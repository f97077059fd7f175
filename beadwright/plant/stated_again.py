"""A calibration that says again, otherwise, what the record holds: asked about once.

Read :func:`calibration_doubt`. Of one day the newest counts, and each day counts for itself: so one
certificate entered with another day, or with a later end, makes readings evidence that were none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from beadwright.ledger.alike import looks

__all__ = ["calibration_doubt"]

_HABIT = 2
"""Days of calibrations that one text stands for, from which on it is what was checked against."""


def calibration_doubt(
    earlier: Sequence[Mapping[str, object]], body: Mapping[str, object]
) -> tuple[str, str]:
    """Say which part of a calibration is doubtful, and why; both empty where none is.

    ``earlier`` are the bodies of an instrument's calibrations before it, in order of entry.
    """
    before = [one for one in earlier if one.get("done") == body.get("done")]
    if before:
        return _differs(before[-1], body)
    name = str(body.get("certificate", ""))
    same = [one for one in earlier if name.strip() and _named(one) == looks(name)]
    days = dict.fromkeys(str(one.get("done", "")) for one in same)
    if not days or len(days) >= _HABIT:
        return "", ""
    (day,) = days
    return "done", (
        f"its certificate, {name}, is that of the calibration done on {day}, and this says that it"
        f" was done on {body.get('done')}"
    )


def _differs(before: Mapping[str, object], body: Mapping[str, object]) -> tuple[str, str]:
    """Say what is other than in the calibration of the same day that it takes the place of."""
    for part in ("result", "due", "certificate", "as_found", "as_left", "uncertainty"):
        was, now = str(before.get(part, "")), str(body.get(part, ""))
        if (looks(was) != looks(now)) if part == "certificate" else was != now:
            why = (
                f"the calibration done on {body.get('done')} is in the record with {part}"
                f" {was or 'not stated'}, and this says {now or 'that it is not stated'}; the newer"
                " counts"
            )
            return part, why
    return "", ""


def _named(one: Mapping[str, object]) -> str:
    return looks(str(one.get("certificate", "")))
