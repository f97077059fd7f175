"""Bead lots along a chart: of which supplier's lot each point is, and where a new one begins.

Read :func:`bead_lots`. Limits are made of all points of a chart, whatever their beads: where a bead
lot begins is marked, so that nobody takes limits of several lots for those of one.
"""

from __future__ import annotations

import bisect
from collections import Counter
from dataclasses import dataclass

from beadwright.ledger import matching
from beadwright.ledger.runs import at_machine
from beadwright.ledger.trace import made_of
from beadwright.plant.charted.series import Watched
from beadwright.plant.steering.history import bags_in

__all__ = ["BeadLot", "bead_lots"]

_DAY_MS = 86_400_000
_STEPS = 2000
_Label = tuple[str, str]
"""Who supplied it, and what its label says; of a bag without a label, nobody and the bag."""


@dataclass(frozen=True, slots=True)
class BeadLot:
    """One bead lot of those that the points of a chart are of."""

    name: str
    """The supplier's own lot; of a bag without one, the bag."""
    points: tuple[int, ...]
    """Points that are mostly of it."""
    level: float
    """Mean of those points, in SI; of counts, the share found."""

    @property
    def first(self) -> int:
        """The point at which it begins."""
        return self.points[0]


def bead_lots(plant_no: int, series: Watched) -> tuple[BeadLot, ...]:
    """Give the bead lots of a series, in the order in which they begin.

    A block lot is of the bead lot that gave most of its beads, by the well-mixed shares of its
    trace back; a cup of the one whose bag went in last before it. A point of which nobody knows
    the beads is of none.
    """
    labels = _Labels(plant_no)
    of = _of_cups(plant_no, series, labels) if series.of == "beads" else _of_lots(series, labels)
    points: dict[_Label, list[int]] = {}
    for at, label in enumerate(of):
        if label is not None:
            points.setdefault(label, []).append(at)
    texts = Counter(text for _, text in points)
    return tuple(
        BeadLot(
            label[1] if texts[label[1]] == 1 else " ".join(label), tuple(some),
            _level(series, some),
        )
        for label, some in points.items()
    )  # fmt: skip


class _Labels:
    """The supplier's lot of each bag, read once."""

    def __init__(self, plant_no: int) -> None:
        self.plant_no = plant_no
        self._known: dict[str, _Label] = {}

    def of(self, bag: str) -> _Label:
        """Give the label of a bag."""
        if bag not in self._known:
            said = matching.labels_of(self.plant_no, bag)
            self._known[bag] = said[0] if said else ("", f"bag {bag}")
        return self._known[bag]


def _of_lots(series: Watched, labels: _Labels) -> list[_Label | None]:
    most: dict[str, _Label | None] = {}
    for point in series.points:
        if point.lot not in most:
            shares: dict[_Label, float] = {}
            for one, share in made_of(labels.plant_no, point.lot):
                if one.kind == "bead":
                    label = labels.of(one.code)
                    shares[label] = shares.get(label, 0.0) + share
            found = max(shares, key=lambda label: (shares[label], label), default=None)
            most[point.lot] = found
    return [most[point.lot] for point in series.points]


def _of_cups(plant_no: int, series: Watched, labels: _Labels) -> list[_Label | None]:
    since = series.points[0].at_ms - _DAY_MS if series.points else 0
    bags = bags_in(at_machine(plant_no, series.machine, since, _STEPS))
    times = [at_ms for at_ms, _ in bags]
    found: list[_Label | None] = []
    for point in series.points:
        before = bisect.bisect_right(times, point.at_ms)
        found.append(labels.of(bags[before - 1][1]) if before else None)
    return found


def _level(series: Watched, some: list[int]) -> float:
    points = [series.points[at] for at in some]
    if series.scale == "measured":
        return sum(sum(one.values) / len(one.values) for one in points) / len(points)
    return sum(one.values[0] for one in points) / sum(one.inspected for one in points)
