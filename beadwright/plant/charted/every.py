"""Every series that a plant has, found without set-up.

Read :func:`watched`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from beadwright.ledger.settings import Settings
from beadwright.plant.charted.beads import of_beads
from beadwright.plant.charted.blocks import lots_of, of_blocks
from beadwright.plant.charted.hoppers import of_hoppers
from beadwright.plant.charted.presses import of_presses, pressed, where_moulded
from beadwright.plant.charted.series import Watched

__all__ = ["watched"]


def watched(plant_no: int, in_force: Settings, at_ms: int) -> dict[str, Watched]:
    """Give every series, by its key."""
    found: dict[str, Watched] = {}
    for one in _each(plant_no, in_force, at_ms):
        key, again = one.key, 1
        while key in found:  # two names that an address writes alike
            again += 1
            key = f"{one.key}.{again}"
        found[key] = one if key == one.key else replace(one, key=key)
    return found


def _each(plant_no: int, in_force: Settings, at_ms: int) -> Iterator[Watched]:
    made = lots_of(plant_no, at_ms)
    firsts = [view.first or 0 for one in made for view in one.lots]
    steps = pressed(plant_no, at_ms, min(firsts, default=0))
    yield from of_beads(plant_no, in_force, at_ms)
    yield from of_hoppers(plant_no, in_force, made, at_ms)
    yield from of_blocks(plant_no, in_force, made, where_moulded(steps), at_ms)
    yield from of_presses(steps)
