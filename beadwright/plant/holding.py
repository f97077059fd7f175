"""A hold that somebody places where they stand, under the next id that is free.

Read :func:`hold_lots`.
"""

from __future__ import annotations

from collections.abc import Sequence

from beadwright.errors import Misuse
from beadwright.ledger import holds, said
from beadwright.ledger.draft import Hold
from beadwright.plant.access import Who
from beadwright.plant.door import Posted
from beadwright.plant.moment import moment_of
from beadwright.plant.next_name import next_name
from beadwright.plant.opening import Plant, door_of

__all__ = ["hold_draft", "hold_lots"]


def hold_lots(
    plant: Plant, who: Who, lots: Sequence[str], reason: str, key: str
) -> tuple[str, Posted]:
    """Put lots on one hold; gives the hold's id. The same key holds once.

    Raises
    ------
    Misuse
        If no reason is given.
    Refusal
        If the role may not place a hold, or there is no such lot.
    """
    draft = hold_draft(plant, who, lots, reason, key)
    return draft.hold, door_of(plant.code).post(draft, who)


def hold_draft(plant: Plant, who: Who, lots: Sequence[str], reason: str, key: str) -> Hold:
    """Give a hold on lots as it comes to the door, under the next id that is free.

    Raises
    ------
    Misuse
        If no reason is given.
    """
    if not reason.strip():
        message = "a hold needs a reason: say what is wrong"
        raise Misuse(message)
    key = f"hold/{key}"
    before = said.posted(plant.code, plant.no, key)
    taken = (one.hold for one in holds.placed(plant.no))
    name = before.hold if isinstance(before, Hold) else next_name("H", taken)
    at_ms = moment_of(plant, key)
    return Hold(key, at_ms, name, reason.strip(), tuple(lots), by=who.account)
