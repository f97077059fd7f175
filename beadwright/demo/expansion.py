"""Beads into silos: which bag, how much, what was lost, what the cups weighed.

Read :func:`expand` first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from beadwright.demo.clock import DAY, SECOND
from beadwright.demo.description import BULK_KG_M3, GRADES
from beadwright.demo.goods import LEAST_KG, Bag, Bags
from beadwright.demo.noise import Noise
from beadwright.demo.plan import UNENTERED
from beadwright.demo.presses import Filling
from beadwright.demo.scales import SCALES, Scales
from beadwright.demo.sheets import Cup, Expansion

__all__ = ["CUP_L", "WATER", "Expanded", "cup_at", "expand"]

_CHARGE_KG = {"E1": 8.2, "E2": 7.4}
CUP_L = 10.0
"""What the plant's cup holds."""

WATER = {"hot": (1.058, 0.006), "dried": (1.004, 0.003), "hopper": (1.027, 0.004)}
"""How much heavier a cup is than its dry beads, and by how much that varies, by where it is taken:
hot beads carry condensate, those at a hopper air and some water."""

_CREW = ("BW", "AV")
_BALANCE = {"E1": "BAL-1", "E2": "BAL-2"}


class Expanded:
    """Rows of the expansion and cup sheets, and the rows that nobody entered."""

    def __init__(self) -> None:
        """Begin with nothing."""
        self.rows: list[Expansion] = []
        self.cups: list[Cup] = []
        self.unentered: list[Expansion] = []
        self.of: dict[int, list[Expansion]] = {}
        """Rows by filling."""


def expand(
    fillings: Sequence[Filling],
    bags: Mapping[str, Bags],
    crew: tuple[Noise, Scales],
    unentered: float,
) -> Expanded:
    """Fill the silos in order of time, opening bags as they are needed."""
    done, noise = Expanded(), crew[0]
    for number, filling in enumerate(sorted(fillings, key=lambda f: (f.fill_start, f.no)), 1):
        missing = filling.special == UNENTERED
        share = unentered if missing else 0.0
        middle = round(filling.fill_end - (filling.fill_end - filling.fill_start) * share)
        run = f"X-{number:03d}"
        hours = (filling.fill_start, middle)
        rows = _fill(filling, bags[filling.grade], crew, (run, hours, 1 - share))
        done.rows += rows
        done.of[filling.no] = rows
        done.cups += _cups(filling, run, hours, noise)
        if missing:
            hours = (middle + 4, filling.fill_end)
            done.unentered += _fill(filling, bags[filling.grade], crew, ("", hours, share))
    return done


def _fill(
    filling: Filling,
    bags: Bags,
    crew: tuple[Noise, Scales],
    part: tuple[str, tuple[int, int], float],
) -> list[Expansion]:
    """One run into one silo: a row for each bag it took."""
    noise, scales = crew
    run, (start, end), share = part
    whole = left = round(filling.mass_kg * share, 1)
    rows: list[Expansion] = []
    at = start
    while left > 0:
        bag = bags.open_bag(at)
        loss = GRADES[filling.grade].loss + 0.003 + noise.normal(0.0012)
        mass, gained = round(left / (1 - loss), 1), left
        if mass > bag.left_kg:
            if mass < 2 * LEAST_KG:
                bag.left_kg = 0.0  # as good as empty: the next one gives it all
                continue
            mass = int(min(bag.left_kg, mass - LEAST_KG) * 10) / 10
            gained = round(mass * (1 - loss), 1)
        left = round(left - gained, 1)
        bag.left_kg -= mass
        took = max(2, round((end - start) * gained / whole))
        until = min(end - 2, at + took) if left > 0 else end
        rows.append(_row(filling, bag, (run, at, until), (mass, gained), scales))
        at = until
    return rows


def _row(
    filling: Filling,
    bag: Bag,
    when: tuple[str, int, int],
    masses: tuple[float, float],
    scales: Scales,
) -> Expansion:
    run, start, end = when
    mass, gained = masses
    charge = _CHARGE_KG[filling.expander]
    scale = SCALES[filling.expander]
    return Expansion(
        at=start,
        by=_CREW[end % DAY >= SECOND],
        run=run,
        ended=end,
        expander=filling.expander,
        bag=bag.code,
        mass=mass,
        batches=max(1, round(mass / charge)),
        charge=charge,
        silo=filling.silo,
        prefoam_mass=scales.shown(scale, end, gained),
        scale=scale,
        loss=round(mass - gained, 1),
    )


def _cups(filling: Filling, run: str, hours: tuple[int, int], noise: Noise) -> list[Cup]:
    """A hot cup every half hour or so, a dried one every hour or so."""
    cups: list[Cup] = []
    for where, every in (("hot", 34), ("dried", 52)):
        at = hours[0] + noise.whole(6, 12)
        while at < hours[1] - 2:
            by = _CREW[at % DAY >= SECOND]
            balance = _BALANCE[filling.expander]
            cups.append(
                cup_at(at, by, (run, filling.silo, where, balance), (filling.density, noise))
            )
            at += every + noise.whole(-5, 6)
    return cups


def cup_at(at: int, by: str, names: tuple[str, str, str, str], what: tuple[float, Noise]) -> Cup:
    """One cup: run, place, where it was taken and balance; density, of its target, and chance."""
    run, silo, where, balance = names
    density, noise = what
    water, spread = WATER[where]
    grams = BULK_KG_M3 * CUP_L * density * (water + noise.normal(spread))
    mass = round(grams * (1 + noise.normal(0.004)), 1)
    return Cup(
        at=at, by=by, run=run, silo=silo, where=where, mass=mass, volume=CUP_L, instrument=balance
    )
