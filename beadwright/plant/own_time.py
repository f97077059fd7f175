"""When entries came into the record, by the plant's own time: an invented plant has one of its own.

Read :func:`came`.
"""

from __future__ import annotations

from collections.abc import Mapping

from beadwright.ledger import lots
from beadwright.ledger.settings import Settings
from beadwright.quality import readings

__all__ = ["came"]


def came(plant: tuple[int, str], in_force: Settings, recorded: Mapping[int, int]) -> dict[int, int]:
    """Give when entries came, in UTC milliseconds, by entry; ``recorded`` says it by the clock.

    An invented plant's weeks are over, and its record is made today: by its own time an entry came
    when whatever is newest had happened that was in the record by then (see ``plant.moment``).
    """
    no, code = plant
    said = in_force.versions("plant", code)
    if not said or said[-1][1].get("invented") is not True:
        return dict(recorded)
    found, newest, before = {}, 0, 0
    for seq in sorted(recorded):
        some = (before + 1, seq)
        newest = max(newest, lots.newest(no, some), readings.newest(no, some))
        found[seq] = min(newest or recorded[seq], recorded[seq])
        before = seq
    return found
