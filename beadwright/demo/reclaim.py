"""Scrap on its way: bins stripped of their ties, foam ground for the packaging press or densified.

Read :class:`Reclaimer` first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from beadwright.demo.clock import DAYS, HOUR, day_start
from beadwright.demo.description import LB
from beadwright.demo.inspection import of_lots
from beadwright.demo.noise import Noise
from beadwright.demo.presses import Made
from beadwright.demo.sheets import Inspection, Reclaim

__all__ = ["Reclaimer", "RegrindBag"]

_HANDS = "LN"
_LEAST_LB = 4.0  # less is not worth the machine's start
_MOST_KG = 22.0  # of one bag with one day's packaging beads


@dataclass
class RegrindBag:
    """A bag of regrind: when it was made, what is left in it, what is kept for later."""

    code: str
    at: int
    left_kg: float
    kept_kg: float = 0.0


@dataclass
class _Bin:
    foam_lb: float = 0.0
    ties_lb: float = 0.0


@dataclass
class Reclaimer:
    """The corner of the plant where scrap goes."""

    noise: Noise
    rows: list[Reclaim] = field(default_factory=list)
    bags: list[RegrindBag] = field(default_factory=list)
    _logs: list[tuple[int, str, float]] = field(default_factory=list)
    _last_blown: int = -1

    def form_scrap(self, made: Sequence[Made], looked_over: Sequence[Inspection]) -> None:
        """Strip every bin of the form presses; grind most of the foam, densify some."""
        bins = _scrap(made)
        _rejects(bins, made, looked_over)
        for number, (name, at) in enumerate(_closed(bins), 1):
            foam = f"SF-{number:02d}"
            lb = self._strip(name, foam, at, bins[name])
            later = at + self.noise.whole(3, 9) * HOUR
            if lb < _LEAST_LB:
                continue
            if name.startswith("BIN-QC"):
                self._row(later, "dispose", (foam, ""), lb)
            elif number % 4 == 0:
                self._densify(later, foam, lb)
            else:
                self._grind(later, foam, lb, number)

    def packaging_scrap(self, made: Sequence[Made]) -> None:
        """Densify what the packaging press scrapped; it holds no ties."""
        bins = {name: one for name, one in _scrap(made).items() if one.foam_lb >= _LEAST_LB}
        for name, at in _closed(bins):
            lb = bins[name].foam_lb * self.noise.between(0.975, 0.99)
            self._densify(at + 2 * HOUR, name, round(lb, 1))

    def logs_leave(self) -> None:
        """On Fridays the densified logs are fetched."""
        for at, log, lb in self._logs:
            leaves = next(day_start(d) + 11 * HOUR for d in (4, 9, 14, 19) if day_start(d) > at)
            self._row(leaves, "dispose", (log, ""), lb)

    def keep(self, at: int, kg: float, noise: Noise) -> RegrindBag:
        """Find the bag that somebody will blow into the wrong hopper, and leave enough in it."""
        fitting = [bag for bag in self.bags if bag.at < at and bag.left_kg >= kg]
        bag = noise.pick(fitting)
        bag.kept_kg = kg
        return bag

    def blow(self, at: int) -> tuple[str, float] | None:
        """Give the packaging press its regrind: once a day, while there is any."""
        if at // (24 * HOUR) == self._last_blown:
            return None
        for bag in self.bags:
            free = bag.left_kg - bag.kept_kg
            if bag.at < at and free > 6:  # noqa: PLR2004 - kg, not worth the walk
                self._last_blown = at // (24 * HOUR)
                kg = int(min(free - 0.3, self.noise.between(0.7, 1) * _MOST_KG) * 10) / 10
                bag.left_kg -= kg
                return bag.code, kg
        return None

    def _strip(self, name: str, foam: str, at: int, held: _Bin) -> float:
        lb = round(held.foam_lb * self.noise.between(0.978, 0.994), 1)
        ties = round(held.ties_lb * self.noise.between(0.982, 0.996), 1)
        self._row(at, "strip", (name, foam), round(lb + ties, 1), ties)
        return lb

    def _grind(self, at: int, foam: str, lb: float, number: int) -> None:
        ground = round(lb * self.noise.between(0.97, 0.99), 1)
        code = f"RG-{number:02d}"
        self._row(at, "grind", (foam, code), ground)
        self.bags.append(RegrindBag(code, at, ground * LB))

    def _densify(self, at: int, foam: str, lb: float) -> None:
        pressed = round(lb * self.noise.between(0.975, 0.99), 1)
        log = f"DL-{len(self._logs) + 1:02d}"
        self._row(at, "densify", (foam, log), pressed)
        self._logs.append((at, log, pressed))

    def _row(
        self, at: int, what: str, way: tuple[str, str], mass: float, ties: float | None = None
    ) -> None:
        self.rows.append(
            Reclaim(
                at=at, by=_HANDS, what=what, source=way[0], to=way[1], mass=mass, ties_mass=ties
            )
        )


def _scrap(made: Sequence[Made]) -> dict[str, _Bin]:
    """What the presses threw into each bin, by the sheets' own figures."""
    bins: dict[str, _Bin] = {}
    for one in made:
        row = one.row
        if not row.scrap_bin:
            continue
        held = bins.setdefault(row.scrap_bin, _Bin())
        held.foam_lb += row.scrap * row.foam_per_block
        if one.carton is not None and row.ties_used is not None:
            each = (row.ties_used - row.shots * _ties(one)) + row.scrap * _ties(one)
            held.ties_lb += each * one.carton.unit_lb
    return bins


def _ties(one: Made) -> int:
    """Ties in one piece."""
    return (one.row.ties_used or 0) // one.row.shots


def _rejects(
    bins: dict[str, _Bin], made: Sequence[Made], looked_over: Sequence[Inspection]
) -> None:
    lots = of_lots(made)
    for row in looked_over:
        if not row.rejected:
            continue
        one = lots[row.lot][0]
        held = bins.setdefault(row.scrap_bin, _Bin())
        held.foam_lb += row.rejected * one.row.foam_per_block
        if one.carton is not None:
            held.ties_lb += row.rejected * _ties(one) * one.carton.unit_lb


def _closed(bins: Mapping[str, _Bin]) -> list[tuple[str, int]]:
    """Bins with the time at which they are taken away, in that order."""
    closed: list[tuple[str, int]] = []
    for name in bins:
        number = int(name[-2:])
        # Two days fill a bin, or a week where there are no ties in it; it goes the morning after.
        after = number * (5 if name.startswith("BIN-PP1") else 2)
        if after < DAYS:
            minute = day_start(after) + 8 * HOUR + 7 * len(closed)
            closed.append((name, minute))
    return sorted(closed, key=lambda one: (one[1], one[0]))
