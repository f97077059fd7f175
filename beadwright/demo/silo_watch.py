"""How beads are watched while they age: probes in some silos, and one mesh sample that is weighed.

Read :func:`temperatures`, then :func:`weighings`. Figures are those of ``physics``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from beadwright.demo.clock import DAY, END, HOUR
from beadwright.demo.noise import Noise
from beadwright.demo.physics import MESH_GRADE, MESH_WEIGHED, PROBE_READ, PROBED
from beadwright.demo.presses import Filling
from beadwright.demo.sheets import MeshWeighing, SiloTemperature

__all__ = ["temperatures", "weighings"]

_DAYS = 4
"""So many days before the end the probes were put in."""

_AGED_H = 24
"""A silo that a sample is followed in keeps its beads so long."""


def temperatures(fillings: Sequence[Filling], noise: Noise) -> Iterator[SiloTemperature]:
    """Give what the probes showed of each filling while it was there."""
    watched = (one for one in fillings if one.silo in PROBED)
    for one in sorted(watched, key=lambda one: one.fill_start):
        if one.fill_end < END - _DAYS * DAY:
            continue
        for hour, celsius in PROBE_READ:
            at = one.fill_end + hour * HOUR + noise.whole(0, 20)
            if at < min(one.end, END):
                shown = round(celsius + noise.normal(0.3), 1)
                yield SiloTemperature(
                    at=at, by="TC", silo=one.silo, temperature=shown,
                    instrument=f"probe {one.silo}",
                )  # fmt: skip


def weighings(fillings: Sequence[Filling]) -> Iterator[MeshWeighing]:
    """Give the weighings of the one sample, in the first silo that kept its beads long enough."""
    kept = (
        one
        for one in fillings
        if one.grade == MESH_GRADE and one.end - one.fill_end >= _AGED_H * HOUR and one.end <= END
    )
    for one in sorted(kept, key=lambda one: one.fill_end)[:1]:
        for age, grams, celsius in MESH_WEIGHED:
            yield MeshWeighing(
                at=one.fill_end + round(age * HOUR), by="TC", sample="MS-1", silo=one.silo,
                grade=one.grade, age=age, mass=grams, temperature=celsius, instrument="BAL-L1",
            )  # fmt: skip
