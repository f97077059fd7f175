"""With what a test is likely taken, and whether a reading that does not say so would count.

Read :func:`proposed` and :func:`asks_instrument`. A person may name another instrument, or none.
"""

from __future__ import annotations

from collections.abc import Collection

from beadwright.ledger import settings
from beadwright.plant.calibrations import LISTED, NAMED, is_by_instrument
from beadwright.quality import readings

__all__ = ["asks_instrument", "proposed"]

_TOPIC = "instrument"
_RULE = "reading"


def proposed(plant_no: int, characteristics: Collection[str], at_ms: int) -> str:
    """Name the one instrument that has taken such readings and is listed at a time.

    Empty where none has, or several have: then nobody but a person knows which it is.
    """
    listed = {name for name, _ in settings.load(plant_no).all(_TOPIC, at_ms)}
    taken = readings.of_characteristics(plant_no, characteristics)
    used = {one.instrument for some in taken.values() for one in some} & listed
    return used.pop() if len(used) == 1 else ""


def asks_instrument(
    plant_no: int, characteristics: Collection[str], instrument: str, at_ms: int
) -> str:
    """Say why readings would be no evidence by what they say of their instrument; empty if not."""
    in_force = settings.load(plant_no)
    asked = (in_force.at(_RULE, "rule", at_ms) or {}).get(_TOPIC)
    if asked not in {NAMED, LISTED} or not any(map(is_by_instrument, characteristics)):
        return ""
    listed = {name for name, _ in in_force.all(_TOPIC, at_ms)}
    if instrument and (asked == NAMED or instrument in listed):
        return ""
    what = f"{instrument} is not listed" if instrument else "Nobody says with what this was taken"
    there = f" Listed are {', '.join(sorted(listed))}." if listed else ""
    return f"{what}: it would be no evidence, and the lot would wait for another.{there}"
