"""The next expansion run of a machine, proposed: product, grade, silo and bag, and why.

Read :func:`next_run`. A proposal is a person's to change; the door says what may be.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from beadwright.ledger import holds, lots, stock
from beadwright.ledger.lots import LotView
from beadwright.ledger.settings import Settings
from beadwright.plant.dead_band import listed_for
from beadwright.plant.machines import DAYS_BACK
from beadwright.plant.products import quantity
from beadwright.plant.silo import Silo

__all__ = ["FULL", "NextRun", "is_held", "next_bag", "next_run", "room_in"]

FULL = 0.9
"""Share of its capacity from which a silo takes no further run. Common practice, no source."""

_At = tuple[int, int]
"""Number of the plant, and when."""

_DAY_MS = 86_400_000
_NONE: Mapping[str, object] = {}


@dataclass(frozen=True, slots=True)
class NextRun:
    """What the next run will likely be; empty where the record does not say."""

    product: str
    grade: str
    silo: str
    bag: str
    why: str
    """Why that silo, or why none is free."""


def next_run(
    in_force: Settings, place: str, before: Mapping[str, str], board: Sequence[Silo], at: _At
) -> NextRun:
    """Propose the next run: as the last one at the machine, its silo or the next that is free.

    ``before`` is what was said of the last one: product, grade, bag, silo.
    """
    plant_no, at_ms = at
    fed = (in_force.at("place", place, at_ms) or _NONE).get("feeds", ())
    reach = [one for one in board if isinstance(fed, list) and one.place in fed]
    plates = (
        None if any(not one.accepts for one in reach) else {g for o in reach for g in o.accepts}
    )
    bag = next_bag(plant_no, before, plates)
    grade = _grade(plant_no, before) or (bag.grades[0] if bag and len(bag.grades) == 1 else "")
    silo, why = _silo(in_force, reach, before.get("silo", ""), grade)
    product = before.get("product", "") or _moulded(in_force, grade, at)
    return NextRun(product, grade, silo, "" if bag is None else bag.code, why)


def _moulded(in_force: Settings, grade: str, at: _At) -> str:
    """Give the product that was moulded last of those that the grade is listed for."""
    plant_no, at_ms = at
    grades = (grade,) if grade else ()
    made = sorted(stock.last_at(plant_no, at_ms - DAYS_BACK * _DAY_MS), key=lambda one: -one.at_ms)
    fit = (
        one.product
        for one in made
        if one.product and one.at_ms <= at_ms and listed_for(in_force, one.product, grades, at_ms)
    )
    return next(fit, "")


def next_bag(
    plant_no: int, before: Mapping[str, str], plates: Collection[str] | None = None
) -> LotView | None:
    """Give the bag to take next: the one that was taken last while it holds beads, else the oldest.

    It is of the grade of ``before``, where that says one, else of one of ``plates``, where there
    are such; and nothing holds it.
    """
    grade = _grade(plant_no, before)
    fit = [
        one
        for one in stock.bags(plant_no)
        if (one.grades == (grade,) if grade else plates is None or {*one.grades} <= {*plates})
        and not is_held(plant_no, one)
    ]
    return next((one for one in fit if one.code == before.get("bag")), fit[0] if fit else None)


def is_held(plant_no: int, lot: LotView) -> bool:
    """Whether a hold reaches a lot that was not lifted or closed for it."""
    return bool(lot.causes and holds.open_causes(plant_no, "|".join(lot.causes)))


def _grade(plant_no: int, before: Mapping[str, str]) -> str:
    """Give the grade that was expanded: as said, else that of the bag."""
    view = lots.get(plant_no, before["bag"]) if before.get("bag") else None
    own = view.grades[0] if view is not None and len(view.grades) == 1 else ""
    return before.get("grade", "") or own


def room_in(in_force: Settings, silo: Silo) -> tuple[int, int]:
    """Give what a silo holds when it is full, in mg, and what room is left; 0, 0: not set."""
    said = (in_force.at("place", silo.place, silo.at_ms) or _NONE).get("capacity")
    whole = round(quantity(said, "mass") * 1e6) if said else 0
    return whole, max(0, whole - silo.mg)


def _silo(in_force: Settings, reach: Sequence[Silo], before: str, grade: str) -> tuple[str, str]:
    """Choose the silo that was filled last while it fills and has room, else one that is free."""
    fit = [one for one in reach if _takes(one, grade) and "held" not in one.states]
    for one in fit:
        whole, _ = room_in(in_force, one)
        if one.place == before and "filling" in one.states and one.mg < FULL * whole:
            return one.place, "it is filling, and has room"
    free = [one for one in fit if one.empty and _clean(one, grade)]
    free.sort(key=lambda one: (one.swept is None, _since(one), one.place))
    if free:
        return free[0].place, f"it is free: {free[0].words}"
    return "", "no silo it feeds is free" + (f" for {grade}" if grade else "")


def _takes(one: Silo, grade: str) -> bool:
    return not grade or not one.accepts or grade in one.accepts


def _clean(one: Silo, grade: str) -> bool:
    """Whether no rest of another grade may lie in an empty silo."""
    return not one.grades or all(each.name == grade for each in one.grades)


def _since(one: Silo) -> int:
    return 0 if one.emptied is None else one.emptied.at_ms
