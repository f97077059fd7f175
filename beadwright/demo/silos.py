"""Which silo takes which filling and when it is filled; when silos run empty and are swept.

Read :meth:`Yard.place` first. A filling is placed backwards from its first draw: pre-expanded beads
rest for half a day to a day and a half, the crew has its hours, an expander fills one silo at a
time, and a silo is filled only when it is empty.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from beadwright.demo.clock import DAY, HOUR, SECOND, crew_day, week
from beadwright.demo.noise import Noise
from beadwright.demo.plan import FRESH
from beadwright.demo.presses import Filling
from beadwright.demo.sheets import SiloMove

__all__ = ["Yard"]

_LEAST_AGE = 10 * HOUR + 20
_MOST_AGE = 38 * HOUR
_STEP = 10
_KG_AN_HOUR = {"E1": 235, "E2": 205}
_CHANGEOVER = 15  # minutes between two fillings of one expander
_CLEAR = 70  # minutes from empty to the next filling: time to sweep
_ATTEMPTS = 40
_SWEEP_AFTER = 3 * DAY
_HANDS = (("BW", "NF"), ("AV", "PQ"))


@dataclass
class Yard:
    """The silos of one kind of bead, and the expanders that fill them."""

    silos: Sequence[str]
    expanders: Sequence[str]
    busy: dict[str, list[tuple[int, int]]]
    """When each expander is taken; shared by the yards."""
    noise: Noise
    fresh_h: float = 0.0
    held: dict[str, list[Filling]] = field(default_factory=dict)

    def place(self, fillings: Sequence[Filling]) -> None:
        """Give every filling its silo, its expander and its time."""
        order = sorted(fillings, key=lambda f: (f.special != FRESH, f.start))
        taken = {name: list(hours) for name, hours in self.busy.items()}
        for attempt in range(_ATTEMPTS):
            self.held = {silo: [] for silo in self.silos}
            self.busy.update({name: list(hours) for name, hours in taken.items()})
            if all(self._place(filling, attempt) for filling in order):
                break
        else:
            message = "no silo or expander is free for every filling"
            raise RuntimeError(message)
        for stay in self.held.values():
            stay.sort(key=lambda f: f.fill_start)

    def _place(self, filling: Filling, attempt: int) -> bool:
        return any(self._fits(filling, end) for end in self._ends(filling, attempt))

    def _ends(self, filling: Filling, attempt: int) -> list[int]:
        """Times at which the filling may end, the best first; later where silos are short."""
        if filling.special == FRESH:
            return [filling.start - round(self.fresh_h * HOUR)]
        wish = round(self.noise.between(12.5, 27 - attempt / 4) * HOUR)
        older = range(wish, _MOST_AGE, _STEP)
        younger = range(wish, _LEAST_AGE, -_STEP)
        return [filling.start - age for age in (*older, *younger)]

    def _fits(self, filling: Filling, end: int) -> bool:
        for expander in self.noise.shuffled(self.expanders):
            start = end - 12 - round(filling.mass_kg * HOUR / _KG_AN_HOUR[expander])
            hours = crew_day(start)
            if hours is None or start < hours[0] or end > hours[1]:
                continue
            taken = self.busy[expander]
            if any(start < b + _CHANGEOVER and a < end + _CHANGEOVER for a, b in taken):
                continue
            free = [s for s in self.silos if self._is_free(s, start, filling.end)]
            if not free:
                continue
            filling.silo, filling.expander = self.noise.pick(free), expander
            filling.fill_start, filling.fill_end = start, end
            self.held[filling.silo].append(filling)
            taken.append((start, end))
            return True
        return False

    def _is_free(self, silo: str, start: int, end: int) -> bool:
        return all(
            end + _CLEAR < other.fill_start or other.end + _CLEAR < start
            for other in self.held[silo]
        )

    def moves(self) -> list[SiloMove]:
        """Ran empty after every filling; swept when due, and around whatever was out of order."""
        moves: list[SiloMove] = []
        for silo, stay in self.held.items():
            swept = 0
            for filling, following in zip(stay, [*stay[1:], None], strict=True):
                at = filling.end + self.noise.whole(1, 5)
                moves.append(_move(silo, "ran_empty", at))
                if self._sweeps(filling, following, at - swept):
                    swept = at + self.noise.whole(12, 45)
                    moves.append(_move(silo, "swept_empty", swept))
        return moves

    def _sweeps(self, filling: Filling, following: Filling | None, since: int) -> bool:
        """At a change of grade, at the week's end, every few days, and at times beside."""
        if following is None or week(following.fill_start) != week(filling.end):
            return True
        if following.grade != filling.grade or filling.special or following.special:
            return True
        return since > _SWEEP_AFTER or self.noise.chance(0.15)


def _move(silo: str, what: str, at: int) -> SiloMove:
    by, inspector = _HANDS[at % DAY >= SECOND]
    swept = what == "swept_empty"
    return SiloMove(at=at, by=by, what=what, source=silo, inspected_by=inspector if swept else "")
