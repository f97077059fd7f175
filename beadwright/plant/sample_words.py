"""A sample put by, in words: since when it is in conditioning, and when it is ready for what.

Read :func:`standing`.
"""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from beadwright.plant.conditioning import SampleLot
from beadwright.plant.words import number

__all__ = ["STATES", "as_json", "standing"]

STATES = {
    "ready": "ready",
    "conditioning": "in conditioning",
    "not_begun": "not in conditioning",
    "retained": "retained",
}


def standing(one: SampleLot, zone: ZoneInfo, at_ms: int) -> str:
    """Say how a sample stands at a time, in one sentence without a full stop."""
    if one.fate == "retained":
        return f"retained since {_time(one.taken_ms, zone)}"
    if one.since_ms is None or one.ready_ms is None:
        taken = _time(one.taken_ms, zone)
        return f"taken at {taken}, not recorded as put into conditioning: no hours count"
    since, ready = _time(one.since_ms, zone), _time(one.ready_ms, zone)
    if not one.asked:
        return f"in conditioning since {since}; nothing says how long it needs"
    longest = one.asked[0]
    what = longest.characteristic.replace("_", " ")
    asked = f"{longest.hours:g} h for {what}, {longest.source}"
    so_far = f"{one.hours(at_ms):.1f} h so far"
    word = "was ready" if one.ready_ms <= at_ms else "ready"
    return f"in conditioning since {since}, {so_far}; {word} at {ready} ({asked})"


def _time(at_ms: int, zone: ZoneInfo) -> str:
    return f"{datetime.fromtimestamp(at_ms / 1000, zone):%Y-%m-%d %H:%M}"


def as_json(one: SampleLot, zone: ZoneInfo, at_ms: int) -> dict[str, object]:
    """Give a sample as a program reads it."""

    def time(ms: int | None) -> str | None:
        return None if ms is None else datetime.fromtimestamp(ms / 1000, zone).isoformat()

    return {
        "sample": one.code,
        "lot": one.lot,
        "product": one.product,
        "pieces": one.pieces,
        "fate": one.fate,
        "kept_at": one.place,
        "state": one.state,
        "taken": time(one.taken_ms),
        "conditioning_from": time(one.since_ms),
        "conditioned_h": None if one.since_ms is None else round(one.hours(at_ms), 2),
        "ready": time(one.ready_ms),
        "ready_for": list(one.ready_for(at_ms)),
        "asked": [
            {"characteristic": each.characteristic, "hours": each.hours, "source": each.source}
            for each in one.asked
        ],
        "said": f"{number(one.pieces, 'piece')} of {one.lot}, {standing(one, zone, at_ms)}",
    }
