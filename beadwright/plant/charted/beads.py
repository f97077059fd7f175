"""Cups of each pre-expander as series: hot and dried apart, each against its own target.

Read :func:`of_beads`. A cup is charted as the logarithm of its density over the target it was
taken for, so that runs of several targets make one series of the machine.
"""

from __future__ import annotations

from collections.abc import Iterator

from beadwright.ledger.settings import Settings
from beadwright.plant.charted.series import Point, Watched, key_of, newest
from beadwright.plant.machines import places_of
from beadwright.plant.steering.history import Aimed, cups_aimed
from beadwright.plant.words import number
from beadwright.quality.characteristics import AT_EXPANDER

__all__ = ["of_beads"]


def of_beads(plant_no: int, in_force: Settings, at_ms: int) -> Iterator[Watched]:
    """Give the series of cups."""
    for place in places_of(plant_no, "expander", at_ms):
        found = cups_aimed(plant_no, in_force, place, at_ms)
        for where in AT_EXPANDER:
            some = _series(found, place, where)
            if some.points:
                yield some


def _series(found: Aimed, place: str, where: str) -> Watched:
    here = [(cup, aim) for lane, cup, aim in found.cups if lane == where]
    aimed = [(cup, aim) for cup, aim in here if aim is not None]
    of = f"Cups at {place}, {where}"
    named = (f"cup_weight_{where}", "", place)
    key = key_of(f"cup_{where}", place)
    if not aimed:
        points = newest(
            Point(cup.reading.at_ms, cup.reading.lot, (cup.density_kg_m3,), 0, cup.reading.step)
            for cup, _ in here
        )
        return Watched(key, f"{of}: density", *named, "density", "measured", "beads", points)
    points = newest(
        Point(
            cup.reading.at_ms, cup.reading.lot,
            (100 * aim.off(cup.density_kg_m3),), 0, cup.reading.step,
        )
        for cup, aim in aimed
    )  # fmt: skip
    left = len(here) - len(aimed)
    absent = (f"{number(left, 'cup')} had no target to be compared with.",) if left else ()
    title = f"{of}: density off target"
    return Watched(key, title, *named, "off_target", "measured", "beads", points, absent)
