"""Scrap on its way round: stripped of its ties, ground or densified, and blown into packaging.

Read :meth:`Returning.morning` first.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from beadwright.demo.sheets import Reclaim
from beadwright.demo.simulated.feed import Feed
from beadwright.demo.simulated.weighing import LB, Scales, down
from beadwright.demo.simulated.works import DAY, Works

__all__ = ["Returning"]

_EIGHT = 8 * 60
_LEAST_LB = 3.0
_FRIDAY = 4


@dataclass
class Returning:
    """The corner where scrap goes, and the hopper of the packaging press that takes regrind."""

    works: Works
    scales: Scales
    feed: Feed
    regrind: list[str] = field(default_factory=list)
    logs: list[str] = field(default_factory=list)
    _count: int = 0

    def __post_init__(self) -> None:
        """Take its own chance, and begin."""
        self._chance = self.works.chance("reclaim")
        self.works.agenda.at(DAY + _EIGHT, self.morning)

    def morning(self, now: int) -> None:
        """Deal with the bins of yesterday, one after the other; then blow regrind."""
        ending = f"-{now // DAY:03d}"
        at = now
        for name in sorted(one for one in self.works.floor.inside if one.startswith("BIN-")):
            if name.endswith(ending):
                at = self._bin(name, at)
        if now // DAY % 7 == _FRIDAY:
            at = self._logs(at)
        self._blow(at + 10)
        self.works.agenda.at(now + DAY, self.morning)

    def _bin(self, name: str, at: int) -> int:
        """Strip a bin where ties are in it, then grind or densify the foam."""
        foam, ties = (down(kg, LB) for kg in self.works.floor.foam_and_ties(name))
        if foam < _LEAST_LB:
            return at
        self._count += 1
        code = name
        if ties:
            code = f"SF-{self._count:05d}"
            self.works.floor.stripped(name, code)
            self._row(at, "strip", (name, code), foam + ties, ties)
            at += 2
        if self._chance.random() < self.works.parameters.number("reclaim", "densified"):
            log = f"DL-{self._count:05d}"
            self._over(at, "densify", code, log)
            self.logs.append(log)
        else:
            self._grind(at, code)
        return at + 2

    def _grind(self, at: int, code: str) -> None:
        bag = f"RG-{self._count:05d}"
        self._over(at, "grind", code, bag)
        self.regrind.append(bag)

    def _over(self, at: int, what: str, source: str, to: str) -> None:
        """Turn all of a lot into another, as the scale shows it."""
        lb = down(self.works.place(source).kg, LB)
        self.works.floor.moved(source, to, lb * LB)
        self._row(at, what, (source, to), lb)

    def _logs(self, at: int) -> int:
        """Densified logs are fetched, or come back to be ground after all."""
        for log in self.logs:
            if self._chance.random() < self.works.parameters.number("reclaim", "returned"):
                self._count += 1
                back = f"RT-{self._count:05d}"
                self._over(at, "return", log, back)
                self._grind(at + 2, back)
            else:
                lb = down(self.works.place(log).kg, LB)
                self.works.place(log).empty()
                self._row(at, "dispose", (log, ""), lb)
            at += 4
        self.logs = []
        return at

    def _blow(self, at: int) -> None:
        """Blow a bag of regrind into the packaging hopper, or as much as it takes."""
        if not self.regrind or self.works.sweeps(at) or at // DAY % 7 > _FRIDAY:
            return
        at += at % 2
        bag = self.regrind[0]
        most = self.works.parameters.number("reclaim", "blow_kg")
        mass = down(min(most, self.works.place(bag).kg), 1)
        to, written = self._where(at, bag)
        self.works.agenda.at(at, lambda now: self.feed.move(now, bag, to, mass, written=written))
        if mass >= self.works.place(bag).kg - 1:
            self.regrind.pop(0)

    def _where(self, at: int, bag: str) -> tuple[str, str]:
        """Where regrind is blown, and where people believe it went."""
        works, hopper = self.works, self.feed.hopper
        for silo in works.parameters.names("silos", "form"):
            for kind, unseen in (("reclaim_into_silo", False), ("reclaim_unseen", True)):
                if works.wrong(kind, at, silo) is not None:
                    works.happened(kind, at, silo, f"regrind {bag} was blown into {silo}")
                    return silo, hopper if unseen else silo
        return hopper, hopper

    def _row(
        self, at: int, what: str, way: tuple[str, str], lb: float, ties: float | None = None
    ) -> None:
        mass = self.scales.shown("SC-REC", lb)
        ties_mass = None if ties is None else min(mass, self.scales.shown("SC-REC", ties))
        self.works.write(
            "reclaim",
            Reclaim(
                at=at, by="KR", what=what, source=way[0], to=way[1], mass=mass, ties_mass=ties_mass
            ),
        )
