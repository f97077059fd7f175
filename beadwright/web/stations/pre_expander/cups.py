"""The last cups as the spec of a picture, in the reader's unit.

Read :func:`picture`.
"""

from __future__ import annotations

from collections.abc import Iterator
from zoneinfo import ZoneInfo

from beadwright.charts.cups import CupMark, Cups, Lane
from beadwright.plant.expanding import Expanding
from beadwright.quality.characteristics import CUP_PLACES
from beadwright.units import System
from beadwright.web.stations.pre_expander.words import clock, density, digits_of, unit_of

__all__ = ["picture"]


def picture(found: Expanding, units: System, zone: ZoneInfo) -> Cups:
    """Give the picture of the last cups: a lane for each place they were taken at."""
    number = len(found.cups)
    title = f"The last {number} cups of {found.place}"
    lanes = tuple(_lanes(found, units, zone))
    return Cups("stand-cups", title, unit_of(units), digits_of(units), lanes)


def _lanes(found: Expanding, units: System, zone: ZoneInfo) -> Iterator[Lane]:
    for where in CUP_PLACES:
        marks = tuple(
            CupMark(turn, clock(one.at_ms, found.at_ms, zone), density(one.density_kg_m3, units),
                    one.side)
            for turn, one in enumerate(found.cups)
            if one.where == where
        )  # fmt: skip
        aim = found.aims.by_place.get(where)
        if not marks:
            continue
        if aim is None:
            yield Lane(where, marks)
        else:
            yield Lane(
                where, marks, density(aim.density_kg_m3, units), density(aim.band_kg_m3, units)
            )
