"""Cups at each press as series: each against the target of what was moulded of its beads then.

Read :func:`of_hoppers`. A cup at a hopper is taken hours after it was hot, of beads that two
machines may have made: it is of the press, and never pooled with cups hot or dried.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from beadwright.ledger import lots
from beadwright.ledger.settings import Settings
from beadwright.plant.block_age import runs_of
from beadwright.plant.charted.blocks import Made
from beadwright.plant.charted.series import Point, Watched, key_of, newest
from beadwright.plant.dead_band import Aim, aims
from beadwright.plant.steering.history import DAYS_BACK
from beadwright.plant.words import number
from beadwright.quality.readings import Cup, cups_of

__all__ = ["of_hoppers"]

_WHERE = "hopper"
_DAY_MS = 86_400_000


@dataclass(frozen=True, slots=True)
class _Drawn:
    """Beads that a press drew of a place, and for which lot."""

    began: int
    ended: int
    press: str
    lot: str
    product: str


@dataclass(slots=True)
class _Gathered:
    points: list[Point] = field(default_factory=list)
    unaimed: int = 0


def of_hoppers(
    plant_no: int, in_force: Settings, made: Iterable[Made], at_ms: int
) -> Iterator[Watched]:
    """Give the series of cups at presses; a point is of the block lot that was moulded then."""
    drawn = _drawn(plant_no, made)
    found: dict[str, _Gathered] = {}
    for where, cup in cups_of(plant_no, drawn, at_ms - DAYS_BACK * _DAY_MS):
        at = cup.reading.at_ms
        if where != _WHERE or at > at_ms:
            continue
        of = [one for one in drawn[cup.reading.lot] if one.began <= at <= one.ended]
        if len({one.press for one in of}) != 1:  # of which press it is nobody knows
            continue
        here = found.setdefault(of[-1].press, _Gathered())
        aim = aims(in_force, of[-1].product, (), at).by_place.get(_WHERE)
        if aim is None:
            here.unaimed += 1
        else:
            here.points.append(_point(cup, aim, of[-1].lot))
    for press, here in sorted(found.items()):
        if here.points:
            yield _series(press, here)


def _drawn(plant_no: int, made: Iterable[Made]) -> dict[str, list[_Drawn]]:
    product_of = {view.code: one.product for one in made for view in one.lots}
    found: dict[str, list[_Drawn]] = {}
    for lot, steps in lots.makings(plant_no, list(product_of)).items():
        for step in steps:
            of = [
                _Drawn(began, ended, step.place, lot, product_of[lot])
                for began, ended in runs_of([step])
            ]
            for beads in step.inputs:
                if of and beads.kind == "prefoam":
                    found.setdefault(beads.lot, []).extend(of)
    return found


def _point(cup: Cup, aim: Aim, lot: str) -> Point:
    return Point(cup.reading.at_ms, lot, (100 * aim.off(cup.density_kg_m3),), 0, cup.reading.step)


def _series(press: str, here: _Gathered) -> Watched:
    left = f"{number(here.unaimed, 'cup')} had no target to be compared with."
    return Watched(
        key_of(f"cup_{_WHERE}", press), f"Cups at {press}, at the hopper: density off target",
        f"cup_weight_{_WHERE}", "", press, "off_target", "measured", "lots", newest(here.points),
        (left,) if here.unaimed else (),
    )  # fmt: skip
