"""Every silo with beads: its two clocks, the hours that are signed, the window by estimate.

Read :func:`ageing_board`. The signed hours decide. The estimate stands beside them with its band;
where an input is missing it is unknown, and says which. Nothing here holds or releases anything.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from beadwright.ledger import settings, stock
from beadwright.ledger.draft import RECLAIM
from beadwright.ledger.settings import Settings
from beadwright.plant.ageing.beads import Known, room_of, sheet_of
from beadwright.plant.ageing.mesh import PROBE, Mesh, samples
from beadwright.plant.ageing.probe import probe_of
from beadwright.plant.giving_off import bulk_density
from beadwright.plant.silo import Silo
from beadwright.plant.silos import silos
from beadwright.plant.worked import Line
from beadwright.quality import readings
from beadwright.science.ageing import AgeingWindow, ProposedHours, Sureness, proposed_hours
from beadwright.science.trust import Banded, Trust

__all__ = [
    "AgeingBoard",
    "Edge",
    "Estimate",
    "EstimateState",
    "GradeAgeing",
    "Proposal",
    "SiloAgeing",
    "ageing_board",
    "kept_board",
]

EstimateState = Literal[
    "unknown", "no_window", "too_old", "too_fresh", "perhaps_too_old", "perhaps_too_fresh", "fit"
]
"""Worst first."""

_SILO = frozenset({"silo", ""})
_HOUR_MS, _MINUTE_MS = 3_600_000, 60_000


@dataclass(frozen=True, slots=True)
class Edge:
    """One end of a window on the plant's clock; nine in ten lie between low and high."""

    low_ms: int
    at_ms: int
    high_ms: int


@dataclass(frozen=True, slots=True)
class Estimate:
    """From when until when beads are fit to mould, as estimated."""

    opens: Edge
    closes: Edge

    @property
    def empty(self) -> bool:
        """Whether too little pentane is left before enough air is in."""
        return self.closes.at_ms <= self.opens.at_ms


@dataclass(frozen=True, slots=True)
class Proposal:
    """Hours that the physics would propose to an engineer to sign; they bind nobody unsigned."""

    from_h: float | None
    """After the last bead; None where no whole hour is left between the two."""
    until_h: float | None
    """After the first."""
    sureness: Sureness


@dataclass(frozen=True, slots=True)
class GradeAgeing:
    """One grade in a silo: every number that its estimate rests on."""

    grade: str
    lines: tuple[Line, ...]
    estimate: Estimate | None
    """None where something is missing."""
    missing: tuple[str, ...]
    proposal: Proposal | None
    mesh: tuple[Mesh, ...]
    """Samples of the grade, newest first; the last is the one that told something, if any did."""

    def line(self, key: str) -> Line:
        """Give a line by its key."""
        return next(one for one in self.lines if one.key == key)


@dataclass(frozen=True, slots=True)
class SiloAgeing:
    """A silo with beads: ``silo`` has its clocks and signed hours, the rest is by estimate."""

    silo: Silo
    grades: tuple[GradeAgeing, ...]
    """None where nobody said which it is."""
    estimate: Estimate | None
    """The strictest of all grades in it; None where something is missing."""
    missing: tuple[str, ...]
    trust: Trust = Trust.ESTIMATE

    @property
    def states(self) -> tuple[EstimateState, ...]:
        """What the estimate says of now, worst first."""
        one, now = self.estimate, self.silo.at_ms
        if one is None:
            return ("unknown",)
        if one.empty:
            return ("no_window",)
        found: list[EstimateState] = []
        if now >= one.closes.low_ms:
            found.append("too_old" if now > one.closes.high_ms else "perhaps_too_old")
        if now < one.opens.high_ms:
            found.append("too_fresh" if now < one.opens.low_ms else "perhaps_too_fresh")
        return tuple(found) or ("fit",)


@dataclass(frozen=True, slots=True)
class AgeingBoard:
    """Every silo with beads, in order of its code."""

    at_ms: int
    silos: tuple[SiloAgeing, ...]


def ageing_board(plant_no: int, at_ms: int, in_force: Settings | None = None) -> AgeingBoard:
    """Give every silo with beads.

    Hoppers and lines are left out: what is in them is at a press. So is ground foam alone, which
    has no hours to age.
    """
    in_force = settings.load(plant_no) if in_force is None else in_force
    some = [
        one
        for one in silos(plant_no, at_ms, in_force)
        if one.kind in _SILO and one.mg and one.first_ms is not None and one.last_ms is not None
    ]
    probed = readings.of_characteristics(plant_no, (PROBE,)) if some else {}
    mesh = samples(plant_no, (in_force, at_ms), probed) if some else {}
    found = []
    for one in some:
        known = Known(
            in_force,
            at_ms,
            bulk_density(plant_no, (one.place, one.products), (in_force, at_ms)),
            probe_of(probed.get(one.place, ()), one.first_ms or 0, at_ms),
            room_of(one.place, (in_force, at_ms)),
        )
        found.append(_silo(one, known, mesh))
    return AgeingBoard(at_ms, tuple(found))


def kept_board(plant_no: int, at_ms: int) -> AgeingBoard:
    """Give :func:`ageing_board` of the minute, worked out once for all who ask in it."""
    return _kept(plant_no, stock.head(plant_no), at_ms - at_ms % _MINUTE_MS)


@lru_cache(maxsize=8)
def _kept(plant_no: int, head: str, at_ms: int) -> AgeingBoard:
    del head  # stands for all that is read
    return ageing_board(plant_no, at_ms)


def _silo(one: Silo, known: Known, mesh: Mapping[str, tuple[Mesh, ...]]) -> SiloAgeing:
    grades = tuple(
        _grade(one, grade.name, known, mesh.get(grade.name, ()))
        for grade in one.grades
        if grade.name != RECLAIM
    )
    missing = tuple(dict.fromkeys(what for grade in grades for what in grade.missing))
    if not grades:
        missing = ("the grade of its beads",)
    return SiloAgeing(one, grades, _strictest(grade.estimate for grade in grades), missing)


def _grade(silo: Silo, grade: str, known: Known, mesh: tuple[Mesh, ...]) -> GradeAgeing:
    told = next((one for one in mesh if not one.why_not), None)
    sheet = sheet_of(silo, grade, known, told)
    ready, stale = sheet["ready"], sheet["stale"]
    refused = tuple(one.refused for one in (ready, stale) if one.refused)
    missing = tuple(dict.fromkeys((*ready.lacking, *stale.lacking, *refused)))
    if missing or silo.first_ms is None or silo.last_ms is None:
        return GradeAgeing(grade, sheet.lines, None, missing, None, mesh)
    estimate = Estimate(_edge(ready, silo.last_ms), _edge(stale, silo.first_ms))
    proposal = _proposal(ready, stale, (silo.first_ms, silo.last_ms))
    return GradeAgeing(grade, sheet.lines, estimate, (), proposal, mesh)


def _edge(age: Line, clock_ms: int) -> Edge:
    low, value, high = (
        clock_ms + round(1000 * (0.0 if one is None else one))
        for one in (age.low, age.value, age.high)
    )
    return Edge(low, value, high)


def _proposal(ready: Line, stale: Line, clocks_ms: tuple[int, int]) -> Proposal:
    first, last = (one / 1000 for one in clocks_ms)
    young, old = _banded(ready), _banded(stale)
    hours: ProposedHours = proposed_hours(
        AgeingWindow(young, old, _later(young, last - first), _later(old, 0.0))
    )
    start, end = float(hours.from_h[0]), float(hours.until_h[0])
    none = hours.sureness[0] is Sureness.NONE
    return Proposal(None if none else start, None if none else end, hours.sureness[0])


def _banded(line: Line) -> Banded:
    return Banded.of(*(np.array([one or 0.0]) for one in (line.value, line.low, line.high)))


def _later(age: Banded, clock_s: float) -> Banded:
    return Banded.of(age.value + clock_s, age.low + clock_s, age.high + clock_s)


def _strictest(some: Iterable[Estimate | None]) -> Estimate | None:
    """Take the last of all that open and the first of all that close; of any unknown, nothing."""
    found = list(some)
    known = [one for one in found if one is not None]
    if not known or len(known) < len(found):
        return None
    opens, closes = [one.opens for one in known], [one.closes for one in known]
    return Estimate(
        Edge(*(max(ends) for ends in zip(*map(_ends, opens), strict=True))),
        Edge(*(min(ends) for ends in zip(*map(_ends, closes), strict=True))),
    )


def _ends(edge: Edge) -> tuple[int, int, int]:
    return edge.low_ms, edge.at_ms, edge.high_ms
