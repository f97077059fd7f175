"""The plant's floor: what is truly where, and what was written of it.

Read :class:`Works` first; the parts of the plant (expander, presses, yard, reclaim) share it.
"""

from __future__ import annotations

import zlib
from dataclasses import dataclass, field

import numpy as np

from beadwright.demo.contents import Content
from beadwright.demo.floor import Floor
from beadwright.demo.sheets import Row
from beadwright.demo.simulated.amiss import Amiss, Planned
from beadwright.demo.simulated.events import Agenda
from beadwright.demo.simulated.parameters import Parameters

__all__ = ["DAY", "PEOPLE", "Fault", "Works"]

DAY = 24 * 60

PEOPLE = {
    "KR": ("P-01", "Kesta Rumlow", "operator"),
    "DS": ("P-02", "Dorrin Selwick", "operator"),
    "NF": ("P-08", "Nils Farrowmere", "shift_lead"),
    "TC": ("P-10", "Tamsin Corvedale", "technician"),
    "EI": ("P-13", "Edda Ivesworth", "engineer"),
}
"""Initials, with id, name and role."""


@dataclass(frozen=True)
class Fault:
    """Something that went wrong, or that somebody did wrong."""

    kind: str
    at: int
    place: str
    what: str


@dataclass
class Works:
    """The floor, rows by sheet, and the clock."""

    parameters: Parameters
    seed: int
    agenda: Agenda = field(default_factory=Agenda)
    rows: dict[str, list[Row]] = field(default_factory=dict)
    floor: Floor = field(init=False)
    faults: list[Fault] = field(default_factory=list)
    strength: dict[str, float] = field(default_factory=dict)
    """By bag, how strong its beads are against usual ones."""
    entered: dict[Row, int] = field(default_factory=dict)
    """When rows were entered that people entered late."""
    lacking: dict[str, float] = field(default_factory=dict)
    """By lot, the share of its pieces that truly lack a tie."""
    askew: dict[str, float] = field(default_factory=dict)
    """By lot, the share of its pieces with a tie that is not in its place."""

    def __post_init__(self) -> None:
        """Lay out the floor, and see what is to go wrong."""
        of = self.parameters
        silos = (*of.names("silos", "form"), *of.names("silos", "packaging"))
        self.floor = Floor(silos, of.number("silos", "from_newest"))
        self._amiss = Amiss(self.parameters)
        self._told: set[tuple[str, str]] = set()

    def wrong(self, kind: str, minute: int, place: str) -> Planned | None:
        """Give the fault of a kind that is at work at that minute and place; or none."""
        return self._amiss.at(kind, minute, place)

    def happened(self, kind: str, minute: int, place: str, what: str) -> None:
        """Note something that went wrong, the same thing once."""
        if (kind, what) not in self._told:
            self._told.add((kind, what))
            self.faults.append(Fault(kind, minute, place, what))

    def chance(self, part: str) -> np.random.Generator:
        """One part's own stream of chance, so that a change in one leaves the others alone."""
        return np.random.default_rng([self.seed, zlib.crc32(part.encode())])

    def write(self, sheet: str, row: Row) -> None:
        """Write a row."""
        self.rows.setdefault(sheet, []).append(row)

    def place(self, name: str) -> Content:
        """Give what is truly in a place."""
        return self.floor.place(name)

    @property
    def month(self) -> int:
        """Days of one month."""
        return self.parameters.whole("plant", "days_a_month")

    def sweeps(self, minute: int) -> bool:
        """Whether silos and hoppers are swept on that day."""
        days = self.parameters.sections["silos"]["sweep_days"]
        return (minute // DAY) % self.month in days
