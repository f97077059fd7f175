"""Press FP2: it draws straight from a silo, one filling after the other.

Read :meth:`StraightLine.run` first.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from beadwright.demo.clock import DAYS, HOUR, NIGHT, day_start, is_friday
from beadwright.demo.noise import Noise
from beadwright.demo.plan import FRESH, LIGHT, UNENTERED, Plan
from beadwright.demo.presses import Ended, Filling, Made, Press, Source

__all__ = ["FIRST_NUMBER", "PACKAGING_SILO", "StraightLine", "new_filling", "run_down"]

PACKAGING_SILO = "#packaging"
"""What the rows drawn from a packaging silo say until it is known which one it was."""

FIRST_NUMBER = {"FP1": 1000, "FP2": 2000, "PP1": 3000}
"""Fillings are numbered by the press that they are for."""

_FEWEST_KG = 45.0  # no silo is filled for less
_FEWEST_PIECES = 20  # a lot that is closed before its time has at least these
_ONE_LOT = 900  # pieces: more than a silo holds


def new_filling(noise: Noise, no: int, press: str, grade: str) -> Filling:
    """A filling as fillings mostly turn out."""
    return Filling(
        no,
        press,
        grade,
        mass_kg=round(noise.between(388, 414), 1),
        density=1 + noise.normal(0.005, 2.4),
        gap=max(-0.008, min(0.021, 0.010 + noise.normal(0.007))),
    )


def run_down(filling: Filling, at: int, fillings: list[Filling]) -> None:
    """On a Friday night every silo is empty: it had been filled for just what was drawn."""
    filling.mass_kg = round(filling.taken_kg / (1 - filling.gap), 1)
    filling.end = at
    if not filling.taken_kg:
        fillings.remove(filling)


@dataclass
class StraightLine:
    """The press and the silo it is coupled to."""

    press: Press
    plan: Plan
    coupling: int
    noise: Noise
    fillings: list[Filling] = field(default_factory=list)
    coupled: list[Made] = field(default_factory=list)
    """Rows drawn from the packaging silo."""
    _now: Filling | None = None
    _taken: set[str] = field(default_factory=set)

    def run(self) -> None:
        """Mould for three weeks."""
        for working in range(DAYS):
            self._day(working)

    def _day(self, working: int) -> None:
        press = self.press
        press.start_of_day(working)
        press.close_lot()
        night = day_start(working) + NIGHT
        while press.clock < night - 20:
            if press.lot_left <= 0 and not self._special():
                press.set_up()
                if self._couples(working):
                    continue
            if self._now is None and not self._open(working, night):
                break
            if press.lot_left <= 0:
                press.new_lot(_ONE_LOT if self._special() == UNENTERED else 0)
            self._mould(press.end_of_shift())
        if self._now is not None and is_friday(working):
            run_down(self._now, press.clock, self.fillings)
            self._now = None

    def _special(self) -> str:
        return self._now.special if self._now else ""

    def _mould(self, until: int) -> None:
        filling = self._now
        if filling is None:
            return
        source = Source(filling.code, filling.density, filling.left_kg)
        ended = self.press.stretch(source, until)
        if ended is Ended.MADE:
            self.press.draw(filling)
        elif ended is Ended.NO_FOAM:
            self._ran_empty(filling)
        else:
            self.press.clock = max(self.press.clock, until)
            if filling.special != UNENTERED:  # that one fills a silo, and goes on
                self.press.close_lot()

    def _couples(self, working: int) -> bool:
        """Hang the wrong hose to the press, once: a lot of packaging beads."""
        press = self.press
        until = press.end_of_shift()
        if self.coupled or press.clock < self.coupling or is_friday(working):
            return False
        if press.clock > until - 2 * HOUR:
            return False
        press.new_lot(self.plan.coupling_pieces)
        source = Source(PACKAGING_SILO, 1 + self.noise.normal(0.004, 2.0), 200.0)
        while press.lot_left > 0 and press.stretch(source, until) is Ended.MADE:
            self.coupled.append(press.made[-1])
        press.close_lot()
        return True

    def _open(self, working: int, night: int) -> bool:
        """Couple the press to the next silo; False where the day is as good as over."""
        press = self.press
        number = FIRST_NUMBER[press.name] + len(self.fillings)
        filling = new_filling(self.noise, number, press.name, self.plan.grades[working])
        if is_friday(working):
            filling.mass_kg = min(filling.mass_kg, round(press.need_kg(night), 1))
            if filling.mass_kg < _FEWEST_KG:
                return False
        if press.lot_made == 0 or press.lot_made > _FEWEST_PIECES:
            filling.special = self.plan.special(press.clock, working, self._taken)
        if filling.special:
            self._taken.add(filling.special)
            press.close_lot()
        if filling.special == LIGHT:
            filling.density = self.plan.light
            filling.mass_kg = round(filling.mass_kg * self.plan.light, 1)
        elif filling.special == FRESH:
            filling.mass_kg = round(filling.mass_kg * 0.85, 1)
        filling.start = press.clock
        self.fillings.append(filling)
        self._now = filling
        return True

    def _ran_empty(self, filling: Filling) -> None:
        filling.end = self.press.clock
        self.press.clock += self.noise.whole(6, 14)
        self._now = None
        full = self.press.lot_made > _FEWEST_PIECES
        if filling.special or (full and self.noise.chance(0.65)):
            self.press.close_lot()
