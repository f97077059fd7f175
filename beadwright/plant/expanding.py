"""A pre-expander as whoever works at it asks: its run, cups, silo and bag, and leave or change.

Read :func:`expanding`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.ledger import entered, lots, settings
from beadwright.ledger.runs import AtMachine, at_machine
from beadwright.ledger.settings import Settings
from beadwright.plant.dead_band import Advice, Aims, Taken, advised, aims, side_of
from beadwright.plant.next_run import NextRun, is_held, next_bag, next_run, room_in
from beadwright.plant.runs import Run, open_runs
from beadwright.plant.silo import Silo
from beadwright.plant.silos import silos
from beadwright.quality.characteristics import SET_AT_EXPANDER
from beadwright.quality.readings import Cup, ReadingView, cups_of, set_at

__all__ = ["DRAWN", "BagIn", "Expanding", "Filling", "Told", "aims_of_run", "expanding"]

DRAWN = 12
"""Cups that are shown."""

_TOLD = 6
_DAYS_BACK = 14
_MOST = 400
"""Newest steps of a machine that are looked at."""

_DAY_MS = 86_400_000
_OFF = "bag_off/"
"""How keys begin of a bag that was taken off: a draw as one that was opened is."""


@dataclass(frozen=True, slots=True)
class Filling:
    """The silo that a run fills: what is in it by the books, and what is on its way."""

    silo: Silo
    capacity_mg: int
    """0 where none is set."""
    coming_mg: int
    """Beads that the open run took in and that were not told as filled: in the machine, or in it
    already."""


@dataclass(frozen=True, slots=True)
class BagIn:
    """The bag that went in last."""

    code: str
    grades: tuple[str, ...]
    opened_ms: int
    received_ms: int | None
    mg: int
    held: bool


@dataclass(frozen=True, slots=True)
class Told:
    """A step that was told at the machine, with its entry."""

    seq: int
    step: AtMachine


@dataclass(frozen=True, slots=True)
class Expanding:
    """A pre-expander at a time."""

    place: str
    at_ms: int
    run: Run | None
    """The run that is open at it; the newest of several."""
    last: AtMachine | None
    """Its newest step, of this run or of one before."""
    product: str
    """For which the run is; empty where it does not say."""
    aims: Aims
    cups: tuple[Taken, ...]
    """The newest, oldest first: of this run, and of those before it that had the same targets."""
    advice: Advice
    filling: Filling | None
    bag: BagIn | None
    next: NextRun | None
    """Where no run is open: the next one, proposed."""
    next_bag: str
    """The bag to take next."""
    told: tuple[Told, ...]
    """What was told last at it, newest first."""
    adjusted: tuple[ReadingView, ...]
    """What was set anew at it last, newest first."""
    charge: str
    """Mass of a batch, as it was set last at it, with its unit."""
    scale: str
    """That was used last at it."""
    instrument: str
    """That its last cup was weighed on."""
    cup_volume: str
    """What the cup at it holds, as set."""
    cup_shows: str
    """What is keyed of a cup: ``mass``, or ``density`` where its balance shows that."""


def expanding(plant_no: int, place: str, at_ms: int) -> Expanding:
    """Give what stands at a pre-expander."""
    in_force = settings.load(plant_no)
    runs = [one for one in open_runs(plant_no, at_ms) if one.of_beads and one.place == place]
    run = runs[-1] if runs else None
    since = at_ms - _DAYS_BACK * _DAY_MS
    steps = [one for one in at_machine(plant_no, place, since, _MOST) if one.at_ms <= at_ms]
    board = silos(plant_no, at_ms, in_force)
    own = steps if run is None else [one for one in steps if one.run == run.code]
    last = own[-1] if own else None
    code = run.code if run is not None else last.run if last is not None else ""
    aimed = aims_of_run(plant_no, in_force, steps, code, at_ms)
    cups = _cups(plant_no, in_force, steps, (code, aimed), at_ms)
    body = in_force.at("place", place, at_ms) or {}
    filled = next((one for one in reversed(steps) if one.kind in {"run_open", "expand"}), None)
    before = filled.run if filled is not None else ""
    said = {name: _told(steps, before, name) for name in ("product", "grade", "bag", "silo")}
    silo = run.facts.get("silo", "") if run is not None else said["silo"]
    bag = next_bag(plant_no, said)
    at = (plant_no, at_ms)
    return Expanding(
        place, at_ms, run, last, _told(steps, code, "product"), aimed, cups[-DRAWN:],
        advised([one for one in cups if run is not None and one.run == code], aimed.by_place),
        _filling(in_force, board, silo, run), _bag(plant_no, own),
        None if run is not None else next_run(in_force, place, said, board, at),
        "" if bag is None else bag.code, _newest(plant_no, steps),
        _adjusted(plant_no, place, since, at_ms),
        _last(steps, "charge"), _last(steps, "scale"),
        cups[-1].instrument if cups else "",
        str(body.get("cup_volume", "")), str(body.get("cup_shows", "") or "mass"),
    )  # fmt: skip


def _newest(plant_no: int, steps: Sequence[AtMachine]) -> tuple[Told, ...]:
    some = steps[: -_TOLD - 1 : -1]
    seqs = entered.seqs_of(plant_no, [one.step for one in some])
    return tuple(Told(seqs[one.step], one) for one in some if one.step in seqs)


def _adjusted(plant_no: int, place: str, since_ms: int, at_ms: int) -> tuple[ReadingView, ...]:
    some = set_at(plant_no, place, SET_AT_EXPANDER.values(), since_ms)
    each = [one for many in some.values() for one in many if since_ms <= one.at_ms <= at_ms]
    return tuple(sorted(each, key=lambda one: (-one.at_ms, -one.seq))[:_TOLD])


def _last(steps: Sequence[AtMachine], name: str) -> str:
    """Give what the newest step that says something says, whatever run it was of."""
    return next(filter(None, (one.facts.get(name, "") for one in reversed(steps))), "")


def _told(steps: Sequence[AtMachine], run: str, name: str) -> str:
    """Give what the newest step of a run that says something says of it."""
    its = (one.facts.get(name, "") for one in reversed(steps) if one.run == run)
    return next(filter(None, its), "")


def aims_of_run(
    plant_no: int, in_force: Settings, steps: Sequence[AtMachine], run: str, at_ms: int
) -> Aims:
    """Give the targets of a run, by what its steps say of product, grade or bag."""
    product, grade = _told(steps, run, "product"), _told(steps, run, "grade")
    grades: tuple[str, ...] = (grade,) if grade else ()
    if not product and not grade and (bag := _told(steps, run, "bag")):
        view = lots.get(plant_no, bag)
        grades = () if view is None else view.grades
    return aims(in_force, product, grades, at_ms)


def _cups(
    plant_no: int,
    in_force: Settings,
    steps: Sequence[AtMachine],
    now: tuple[str, Aims],
    at_ms: int,
) -> tuple[Taken, ...]:
    """Give the cups of a machine's newest runs, as far back as they had the targets of now."""
    code, aimed = now
    runs = list(dict.fromkeys(one.run for one in reversed(steps) if one.run))
    some: list[Taken] = []
    for run in runs:
        if run != code and not aimed.same_as(aims_of_run(plant_no, in_force, steps, run, at_ms)):
            break
        its = [one for one in steps if one.run == run]
        places = {one.facts["silo"] for one in its if one.facts.get("silo")}
        found = cups_of(plant_no, places, its[0].at_ms - _DAY_MS)
        some += [
            _taken(where, cup, aimed)
            for where, cup in found
            if cup.reading.facts.get("run") == run and cup.reading.at_ms <= at_ms
        ]
        if len(some) >= DRAWN:
            break
    return tuple(sorted(some, key=lambda one: (one.at_ms, one.seq)))


def _taken(where: str, cup: Cup, aimed: Aims) -> Taken:
    one = cup.reading
    return Taken(
        one.seq, where, one.at_ms, cup.density_kg_m3, one.keyed, one.facts.get("cup_volume", ""),
        one.by, one.facts.get("run", ""), one.instrument,
        side_of(aimed.by_place.get(where), cup.density_kg_m3),
    )  # fmt: skip


def _filling(
    in_force: Settings, board: Sequence[Silo], code: str, run: Run | None
) -> Filling | None:
    silo = next((one for one in board if one.place == code), None)
    if silo is None:
        return None
    return Filling(silo, room_in(in_force, silo)[0], 0 if run is None else run.mg)


def _bag(plant_no: int, steps: Sequence[AtMachine]) -> BagIn | None:
    """Give the bag that went in last; one that was taken off again is none."""
    for step in reversed(steps):
        if step.step.startswith(_OFF):
            return None
        code = step.facts.get("bag", "")
        view = lots.get(plant_no, code) if code and step.kind in {"draw", "expand"} else None
        if view is None:
            continue
        began = step.facts.get("started", "")
        came = next(iter(lots.touches(plant_no, code)), None)
        return BagIn(
            code, view.grades, int(began) if began.isdecimal() else step.at_ms,
            None if came is None else came.at_ms, view.mg,
            is_held(plant_no, view),
        )  # fmt: skip
    return None
