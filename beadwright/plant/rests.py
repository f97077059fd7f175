"""The readings that each limit of an assessment rests on, whole: when, by whom, with what.

Read :func:`rests`. The assessment itself carries their numbers only.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from beadwright.plant.assessment import LotAssessment
from beadwright.quality import readings
from beadwright.quality.readings import ReadingView

__all__ = ["Rests", "rests"]

Rests = Mapping[tuple[int, int], ReadingView]
"""Readings by entry, and number within it."""


def rests(plant_no: int, assessed: Iterable[LotAssessment]) -> Rests:
    """Give the readings behind the limits of some lots."""
    wanted = {one for lot in assessed for result in lot.limits for one in result.readings}
    found = readings.of_entries(plant_no, {seq for seq, _ in wanted})
    return {(one.seq, one.line): one for one in found if (one.seq, one.line) in wanted}
