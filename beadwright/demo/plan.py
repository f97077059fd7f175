"""Where the faults of one seed will be, drawn before anything is made.

Read :class:`Plan` first. The presses look at it when they choose what to draw; nothing else does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.demo.clock import DAYS, HOUR, day_start, is_friday
from beadwright.demo.noise import Noise

__all__ = ["FRESH", "LIGHT", "UNENTERED", "Plan", "draw_coupling", "draw_plan"]

LIGHT = "light_silo"
FRESH = "too_fresh"
UNENTERED = "beyond_books"

_EARLIEST = {LIGHT: 6 * HOUR, FRESH: 9 * HOUR + 30, UNENTERED: 6 * HOUR}
# Early enough for the 24 h weighings to be in the files, and no Friday, whose silos run empty.
_FAULTY = (1, 2, 3, 5, 6, 7, 8, 10)
_NOON = 12 * HOUR
_ENOUGH_KG = 155
_LATEST = 14 * HOUR + 30


@dataclass(frozen=True)
class Plan:
    """Days, times and sizes of the planted faults, and which grade of form bead is used when."""

    grades: tuple[str, ...]
    """Of form bead, by working day."""
    specials: dict[str, int]
    """Fillings that go wrong: earliest working day of each kind."""
    light: float
    """Density of the light filling, of its target."""
    fresh_h: float
    """Age at which the fresh silo is first drawn."""
    unentered: float
    """Share of the filling that nobody entered."""
    coupling_pieces: int
    """How many blocks are moulded of a packaging silo's beads."""
    blown: int
    """When regrind is blown into the hopper of press FP1."""
    blown_kg: float
    swept_on: int
    """Working day at whose end that hopper is swept by name."""

    def special(self, minute: int, working: int, taken: set[str]) -> str:
        """Which of the fillings that go wrong may start now, if any."""
        time = minute - day_start(working)
        for kind, earliest in self.specials.items():
            if kind in taken or working < earliest or is_friday(working):
                continue
            if _EARLIEST[kind] <= time <= _LATEST:
                return kind
        return ""


def draw_coupling(seed: int, plan: Plan, evenings: Sequence[tuple[int, float]]) -> int:
    """When press FP2 is coupled to a packaging silo: on a day when one holds enough.

    ``evenings`` are, by working day, since when the silo in use had been in use and what it held.
    """
    noise = Noise(seed, "coupling")
    days = [d for d in _FAULTY if evenings[d][1] > _ENOUGH_KG]
    day = noise.pick([d for d in days if d not in plan.specials.values()] or days)
    since = max(day_start(day) + 7 * HOUR, evenings[day][0] + HOUR)
    return noise.whole(since, day_start(day) + 16 * HOUR)


def _is_quiet(grades: Sequence[str], day: int) -> bool:
    """Whether the hopper is not swept for a change of grade on that day or the next."""
    monday = day % 5 == 0  # (it was swept on the Friday before)
    return grades[day] == grades[day + 1] and (monday or grades[day - 1] == grades[day])


def draw_plan(seed: int) -> Plan:
    """Draw the plan of a seed."""
    noise = Noise(seed, "plan")
    grades: list[str] = []
    first, second = noise.shuffled(("F1", "F2"))
    for _ in range(DAYS // 5):
        turn = noise.pick((2, 3))
        grades += [first] * turn + [second] * (5 - turn)
    days = noise.shuffled(noise.some(_FAULTY, 3))
    blown_day = noise.pick([d for d in (5, 6, 7, 8) if _is_quiet(grades, d)])
    blown = noise.whole(7 * HOUR, 18 * HOUR)
    later = blown > _NOON or noise.chance(0.5)  # (or hardly a lot would come between)
    return Plan(
        grades=tuple(grades),
        specials=dict(zip((LIGHT, FRESH, UNENTERED), days, strict=True)),
        light=noise.between(0.885, 0.915),
        fresh_h=noise.between(1.1, 2.2),
        unentered=noise.between(0.22, 0.33),
        coupling_pieces=noise.whole(42, 60),
        blown=day_start(blown_day) + blown,
        blown_kg=round(noise.between(11, 24), 1),
        swept_on=blown_day + int(later),
    )
