"""What a look back says of one lot: for a paper that is handed to its receiver.

Read :func:`looked_back`.
"""

from __future__ import annotations

from beadwright.ledger import settings
from beadwright.plant import calibrations
from beadwright.plant.assessment import Reason
from beadwright.plant.look_back.looked import look_back
from beadwright.plant.look_back.words import STANDING

__all__ = ["looked_back"]


def looked_back(plant_no: int, lot: str, doubt: Reason) -> str:
    """Say what became of a lot without the error that its instrument was found with."""
    every = calibrations.load(plant_no, settings.load(plant_no)).of(doubt.about)
    found = next(one for one in every if f"entry {one.seq}" == doubt.source)
    back = look_back(plant_no, doubt.about, 2**62, done=found.done)
    one = next((one for one in back.lots if one.lot == lot), None)
    told = doubt.sentence.partition(": look back on")[0]
    if one is None or one.standing == "same":
        return f"{told}; by the look back, its limits are answered alike without the error"
    if one.standing == "unknown":
        return f"{told}; nobody can say how the lot stands without the error"
    named = "; ".join(
        f"{each.name}: as read {each.as_read}; without it {each.without}" for each in one.changes
    )
    return f"{told}; by the look back it {STANDING[one.standing]} without the error ({named})"
