"""From the silo to the press: straight, or along a line into a hopper that is never empty.

Read :class:`Feed` first. Draws are at odd minutes and silos are filled at even ones, so that the
order of the sheets is the order in truth.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.demo.contents import Mix
from beadwright.demo.sheets import SiloMove
from beadwright.demo.simulated.expander import Expander
from beadwright.demo.simulated.parameters import Parameters
from beadwright.demo.simulated.weighing import Scales, down
from beadwright.demo.simulated.works import Works

__all__ = ["Feed", "lines_of"]


def lines_of(parameters: Parameters) -> dict[str, tuple[str, str]]:
    """Give the line and the hopper of each press; empty where it draws straight from a silo."""
    straight = parameters.names("press", "straight")
    return {
        press: ("", "") if press in straight else (f"L{number}", f"H{number}")
        for number, press in enumerate(parameters.table("press", "presses"), 1)
    }


@dataclass
class Feed:
    """How one press gets its beads: ``hopper`` is empty where it draws straight from a silo."""

    works: Works
    expander: Expander
    scales: Scales
    kind: str
    line: str = ""
    hopper: str = ""
    hurried: bool = False
    """Whether people take what came in last, however fresh."""
    sweeping: bool = False
    """Whether everything is being run down, so that the hopper may empty."""

    def silo(self, kg: float) -> str:
        """The silo that has rested longest of those that hold so much and a little; or none."""
        names = self.works.parameters.names("silos", self.kind)
        residue = self.works.parameters.number("silos", "residue")
        enough = [name for name in names if self.works.place(name).kg >= kg + residue]
        choose = max if self.hurried else min
        return choose(enough, key=lambda one: (self.expander.filled.get(one, 0), one), default="")

    def source(self, now: int, kg: float) -> tuple[str, int]:
        """Where the press draws so much from, and from when on; no name where there is nothing."""
        if not self.hopper:
            return self.silo(kg), now
        keeps = self.works.parameters.number("feed", "hopper_kg")
        keeps = self.works.parameters.number("silos", "residue") if self.sweeping else keeps
        if self.works.place(self.hopper).kg >= kg + keeps:
            return self.hopper, now
        if self._charge(now, kg + keeps):
            return self.hopper, now + 2
        return "", now

    def draw(self, place: str, kg: float) -> Mix:
        """Take beads out for the press."""
        return self.works.place(place).draw(kg)

    def move(self, now: int, source: str, to: str, kg: float, *, written: str = "") -> None:
        """Blow beads from one place into another, and write it down; a scale shows the mass.

        ``written`` is where people believe that they went, if not where they did.
        """
        self.works.floor.moved(source, to, kg)
        shown = self.scales.shown(f"LC-{to}", kg)
        row = SiloMove(
            at=now, by="DS", what="transfer", source=source, to=written or to, mass=shown
        )
        self.works.write("silo_moves", row)

    def _charge(self, now: int, need: float) -> bool:
        """Fill the line from a silo and the hopper from the line, as often as it takes."""
        of = self.works.parameters
        short = need - self.works.place(self.hopper).kg
        missing = max(0.0, of.number("feed", "line_kg") - self.works.place(self.line).kg)
        mass = down(max(short + 1, of.number("feed", "charge_kg")), 1)
        name = self.silo(mass + missing)
        if not name:
            mass = down(max(short + 1, of.number("feed", "least_charge_kg")), 1)
            name = self.silo(mass + missing)
        if not name:
            return False
        self.move(now, name, self.line, round(mass + down(missing, 1), 1))
        self.move(now + 1, self.line, self.hopper, mass)
        return True
