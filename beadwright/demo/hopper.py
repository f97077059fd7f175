"""A press with a hopper: beads are blown into it from a silo, charge by charge, and drawn from it.

Read :meth:`HopperLine.run` first. Press FP1 (form blocks) and press PP1 (packaging, with regrind)
work this way.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from beadwright.demo.clock import DAYS, FIRST, day_start, is_friday
from beadwright.demo.description import LB
from beadwright.demo.noise import Noise
from beadwright.demo.presses import Ended, Filling, Press, Source
from beadwright.demo.sheets import SiloMove
from beadwright.demo.straight import FIRST_NUMBER, new_filling, run_down

__all__ = ["Blow", "HopperLine", "Layout", "Theft"]

_FEWEST_KG = 45.0
_WORTH = 12  # pieces that a charge must be good for

Blow = Callable[[int], tuple[str, float] | None]
"""Asked at each charge with the time: a bag and the mass that comes out of it, or nothing."""


@dataclass(frozen=True)
class Layout:
    """A hopper: its name, its charge, when the press works, who sweeps."""

    name: str
    charge_kg: tuple[float, float]
    closes: int
    grades: tuple[str, ...]
    sweep_days: frozenset[int]
    by: tuple[str, str]
    inspectors: tuple[str, str]


@dataclass(frozen=True)
class Theft:
    """Another press draws of the silo that feeds this one: last draw, mass in all."""

    last: int
    mass_kg: float


@dataclass
class HopperLine:
    """The press, its hopper and the silo that feeds it."""

    press: Press
    layout: Layout
    noise: Noise
    blow: Blow
    theft: Theft | None = None
    fillings: list[Filling] = field(default_factory=list)
    moves: list[SiloMove] = field(default_factory=list)
    robbed: Filling | None = None
    evenings: list[tuple[int, float]] = field(default_factory=list)
    """At the end of each day: since when the silo in use has been, and what can be drawn of it."""
    _now: Filling | None = None
    _left_kg: float = 0.0
    _came_kg: float = 0.0
    _density: float = 1.0
    _grade: str = ""

    def run(self) -> None:
        """Mould for three weeks."""
        for working in range(DAYS):
            self._day(working)

    def _day(self, working: int) -> None:
        press = self.press
        press.start_of_day(working)
        press.close_lot()
        gap = max(-0.002, min(0.018, 0.007 + self.noise.normal(0.005)))
        close = day_start(working) + self.layout.closes
        while press.clock < close - 20:
            if press.lot_left <= 0:
                press.set_up()
            self._meet_theft()
            if not self._charged(working, close, gap):
                break
            self._mould(min(close, press.end_of_shift()))
        self._empty(working, close)
        if self._now is not None and is_friday(working):
            run_down(self._now, press.clock, self.fillings)
            self._now = None
        now = self._now
        self.evenings.append((now.start, now.left_kg) if now else (0, 0.0))

    def _charged(self, working: int, close: int, gap: float) -> bool:
        """See to it that the hopper holds enough to go on; False where the day is over."""
        piece = self.press.making.foam_kg
        if self._left_kg >= _WORTH * piece:
            return True
        need = self.press.need_kg(close) - self._left_kg
        if need < _WORTH * piece:
            return False
        if self._now is None:
            changes = self._grade not in ("", self.layout.grades[working])
            if changes and self._left_kg >= piece * 1.05:
                return True
            if changes and self._came_kg:
                self._run_empty()
                self._sweep()
            if not self._open(working, need):
                return False
        self._charge(need, gap)
        return True

    def _open(self, working: int, need: float) -> bool:
        number = FIRST_NUMBER[self.press.name] + len(self.fillings)
        grade = self.layout.grades[working]
        filling = new_filling(self.noise, number, self.press.name, grade)
        # On a Friday every silo runs empty: none is filled for more than the rest of the week.
        daily = self.press.need_kg(self.press.clock + self.layout.closes - FIRST)
        rest = need + (4 - working % 5) * daily
        filling.mass_kg = min(filling.mass_kg, round(rest, 1))
        if filling.mass_kg < _FEWEST_KG:
            return False
        filling.start = self.press.clock
        self.fillings.append(filling)
        self._now, self._grade = filling, grade
        return True

    def _charge(self, need: float, gap: float) -> None:
        """Blow one charge into the hopper; what is left of the silo goes with the last."""
        filling = self._now
        if filling is None:
            return
        at = self.press.clock
        extra = self.blow(at)
        mass = min(self.noise.between(*self.layout.charge_kg), max(need, 8.0))
        if extra is not None:
            mass = max(8.0, mass - extra[1])
        last = filling.left_kg - mass < 30  # noqa: PLR2004 - kg, not worth another charge
        mass = round(filling.left_kg if last else mass, 1)
        by = self.layout.by[at % (24 * 60) >= 14 * 60]
        name = self.layout.name
        self.moves.append(
            SiloMove(at=at, by=by, what="transfer", source=filling.code, to=name, mass=mass)
        )
        filling.taken_kg += mass
        self._mix(mass, filling.density, gap)
        self.press.clock += self.noise.whole(2, 4)
        if extra is not None:
            self.moves.append(
                SiloMove(at=at + 1, by=by, what="transfer", source=extra[0], to=name, mass=extra[1])
            )
            self._mix(extra[1], 0.97, gap)
        if last:
            filling.end = self.press.clock
            self._now = None

    def _mix(self, mass: float, density: float, gap: float) -> None:
        total = self._left_kg + mass
        self._density = (self._left_kg * self._density + mass * density) / total
        self._left_kg += mass * (1 - gap)
        self._came_kg += mass

    def _mould(self, until: int) -> None:
        press = self.press
        if press.lot_left <= 0:
            press.open_lot(self._left_kg)
        ended = press.stretch(Source(self.layout.name, self._density, self._left_kg), until)
        if ended is Ended.MADE:
            row = press.made[-1].row
            self._left_kg -= row.shots * row.foam_per_block * LB
        elif ended is Ended.NO_FOAM:
            self._left_kg = 0.0
        if ended is Ended.NO_TIME or press.clock >= until:
            press.clock = max(press.clock, until)
            press.close_lot()

    def _empty(self, working: int, close: int) -> None:
        """Mould what is in the hopper, let it run empty; sweep it where the plan says so."""
        press = self.press
        while self._left_kg >= press.making.foam_kg * 1.05:
            before = self._left_kg
            self._mould(max(close, press.clock) + 100)
            if self._left_kg == before:
                break
        if self._came_kg:
            self._run_empty()
            if working in self.layout.sweep_days:
                self._sweep()

    def _run_empty(self) -> None:
        at = self.press.clock + 1
        turn = at % (24 * 60) >= 14 * 60
        self.moves.append(
            SiloMove(at=at, by=self.layout.by[turn], what="ran_empty", source=self.layout.name)
        )
        self._left_kg = self._came_kg = 0.0
        self.press.clock += 2

    def _sweep(self) -> None:
        at = self.press.clock + self.noise.whole(4, 12)
        turn = at % (24 * 60) >= 14 * 60
        self.moves.append(
            SiloMove(
                at=at,
                by=self.layout.by[turn],
                what="swept_empty",
                source=self.layout.name,
                inspected_by=self.layout.inspectors[turn],
            )
        )
        self.press.clock = at + 2

    def _meet_theft(self) -> None:
        """Let the other press have its beads of the silo in use."""
        theft, filling = self.theft, self._now
        if theft is None or filling is None or self.press.clock < theft.last:
            return
        filling.taken_kg += theft.mass_kg
        self.robbed = filling
        self.theft = None
