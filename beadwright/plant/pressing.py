"""A press as it stands: what it makes, what it draws of, what it counted, what waits for whom.

Read :func:`pressing`. It says what may and may not be drawn before it is drawn, whether the first
piece is signed, and what was weighed and gauged of the blocks while they are wet and hot.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from beadwright.ledger import holds, lots, runs, settings
from beadwright.ledger.pressed import PressStep
from beadwright.ledger.runs import RunMark
from beadwright.ledger.settings import Settings
from beadwright.ledger.stock import LastAt
from beadwright.plant.first_pieces import Awaited, awaited, steps_back
from beadwright.plant.machines import Made
from beadwright.plant.moulds import Mould, mould_at
from beadwright.plant.next_silo import NextToUse, next_to_use
from beadwright.plant.press_counts import SCRAP, STOPS, Tally, of_ties, tally, usual_causes
from beadwright.plant.press_draws import Carton, Source, cartons, sources
from beadwright.plant.press_figures import Figures, Making, figures
from beadwright.plant.products import Product, product_at
from beadwright.plant.runs import Run, open_runs
from beadwright.plant.silos import silos
from beadwright.units import parse_number, to_mg

__all__ = ["Draws", "Pressing", "pressing"]


_DAYS_BACK = 14
_DAY_MS = 86_400_000
_JUST_NOW_MS = 5 * 60_000


@dataclass(frozen=True, slots=True)
class Draws:
    """What a press draws of, and what it may."""

    now: Source | None = None
    """The place it draws of."""
    places: tuple[Source, ...] = ()
    """Places that feed it, those that may be drawn of first."""
    carton: Carton | None = None
    """The carton in use."""
    cartons: tuple[Carton, ...] = ()
    """Others for this product, oldest first."""
    next: NextToUse | None = None

    @property
    def hopper(self) -> str:
        """The hopper or line that silos fill for the press; empty where it draws of silos."""
        here = self.now is not None and self.now.silo.kind not in {"silo", ""}
        return self.now.place if here and self.now is not None else ""

    @property
    def start_of(self) -> str:
        """Place that a next run should draw of: the one in use while it may be, else the next."""
        if self.now is not None and (self.hopper or (self.now.may and self.now.blocks)):
            return self.now.place
        return self.next.place if self.next is not None else ""

    @property
    def change_to(self) -> str:
        """Silo to go on with when the one in use is to be left: the next that may be drawn of."""
        here = self.now.place if self.now is not None else ""
        if self.next is not None and self.next.place not in {"", here}:
            return self.next.place
        others = (one for one in self.places if one.may and one.place not in {here, self.hopper})
        return next((one.place for one in others), "")

    @property
    def next_carton(self) -> str:
        """Carton to go on with."""
        return next((one.code for one in self.cartons if one.may), "")


@dataclass(frozen=True, slots=True)
class Pressing:
    """A press at a time: the run that is open there, else the last one."""

    press: str
    at_ms: int
    run: Run | None
    """Open now; None: none is."""
    others: tuple[str, ...]
    """Runs that are open there as well, and likely were forgotten."""
    last: LastAt | None
    """What it made last."""
    made: str
    """Code of the run that counts and figures are of."""
    lot: str
    product: Product | None
    mould: Mould
    draws: Draws
    first: Awaited
    tally: Tally
    figures: Figures
    held: tuple[str, ...]
    """Causes that hold the lot now."""
    balance: str
    """The balance that stands at the press; empty where none, or several, are set to."""
    scrap_causes: tuple[str, ...]
    stop_causes: tuple[str, ...]

    @property
    def count_first(self) -> bool:
        """Whether to count before a draw changes or the run ends; not what was counted just now."""
        return self.run is not None and self.at_ms - self.tally.since_ms > _JUST_NOW_MS


@dataclass(frozen=True, slots=True)
class _Told:
    """What the record says of the run that is looked at."""

    code: str
    product: str
    facts: dict[str, str]
    opened_ms: int
    steps: tuple[PressStep, ...]
    marks: tuple[RunMark, ...]

    def mg(self) -> int:
        """Foam of one block, as keyed; 0 where it was not."""
        number, _, unit = self.facts.get("foam_per_block", "").partition(" ")
        return to_mg(parse_number(number, decimal="."), unit) if unit else 0


def pressing(plant_no: int, press: str, at_ms: int) -> Pressing:
    """Give a press as it stands at a time."""
    in_force = settings.load(plant_no)
    here = [one for one in open_runs(plant_no, at_ms) if one.place == press and not one.of_beads]
    run = here[-1] if here else None
    told = _told(plant_no, press, run, at_ms)
    product = product_at(in_force, told.product, at_ms) if told.product else None
    mould = mould_at(in_force, told.facts.get("mould", ""), at_ms)
    draws = _draws(plant_no, in_force, press, (told, product), at_ms)
    lot = told.facts.get("lot", "")
    view = lots.get(plant_no, lot) if lot else None
    shown = Figures()
    if product is not None and view is not None:
        carton = draws.carton
        ties = ("", 0) if carton is None else (carton.code, carton.unit_mg)
        shown = figures(plant_no, in_force, Making(lot, product, mould, *ties), at_ms)
    return Pressing(
        press=press,
        at_ms=at_ms,
        run=run,
        others=tuple(one.code for one in here[:-1]),
        last=Made.of(plant_no, in_force, at_ms).last.get((press, False)),
        made=told.code,
        lot=lot,
        product=product,
        mould=mould,
        draws=draws,
        first=_first(plant_no, in_force, (press, run), draws, at_ms),
        tally=tally(told.steps, told.marks, told.opened_ms, at_ms),
        figures=shown,
        held=() if view is None else holds.open_causes(plant_no, "|".join(view.causes)),
        balance=_balance(in_force, press, at_ms),
        scrap_causes=_causes(plant_no, press, at_ms, tied=product is None or product.ties > 0),
        stop_causes=usual_causes(_stood(plant_no, press, at_ms), STOPS),
    )


def _balance(in_force: Settings, press: str, at_ms: int) -> str:
    there = [
        name
        for name, body in in_force.all("instrument", at_ms)
        if press in str(body.get("place", "")).split()
        and any(word in str(body.get("what", "")) for word in ("balance", "scale"))
    ]
    return there[0] if len(there) == 1 else ""


def _causes(plant_no: int, press: str, at_ms: int, *, tied: bool) -> tuple[str, ...]:
    """Why blocks are scrapped, to choose from; of a product without ties nothing of ties."""
    said = (one for one in _scrapped(plant_no, press, at_ms) if tied or not of_ties(one))
    return usual_causes(said, tuple(one for one in SCRAP if tied or not of_ties(one)))


def _scrapped(plant_no: int, press: str, at_ms: int) -> Iterator[str]:
    for one in steps_back(plant_no, press, at_ms):
        yield one.facts.get("cause", "")


def _stood(plant_no: int, press: str, at_ms: int) -> Iterator[str]:
    for one in runs.marks_since(plant_no, at_ms - _DAYS_BACK * _DAY_MS):
        if one.place == press:
            yield one.facts.get("cause", "")


def _draws(
    plant_no: int,
    in_force: Settings,
    press: str,
    made: tuple[_Told, Product | None],
    at_ms: int,
) -> Draws:
    told, product = made
    if product is None:
        return Draws()
    board = silos(plant_no, at_ms, in_force)
    place, carton = told.facts.get("from", ""), told.facts.get("ties", "")
    may = sources(board, press, product, (told.mg(), place))
    boxes = cartons(plant_no, in_force, product, carton, at_ms)
    return Draws(
        next((one for one in may if one.place == place), None),
        may,
        next((one for one in boxes if one.code == carton), None),
        tuple(one for one in boxes if one.code != carton),
        next_to_use(board, press, product.name),
    )


def _told(plant_no: int, press: str, run: Run | None, at_ms: int) -> _Told:
    """Gather what was told of the open run; else of the one that made something last."""
    steps = [
        one
        for one in steps_back(plant_no, press, at_ms)
        if one.at_ms <= at_ms and one.place == press and one.kind == "mould"
    ]
    if run is not None:
        its = tuple(one for one in steps if one.run == run.code)
        marks = runs.marks_of(plant_no, run.code)
        return _Told(run.code, run.product, dict(run.facts), run.opened_ms, its, marks)
    if not steps:
        return _Told("", "", {}, at_ms, (), ())
    newest = steps[-1]
    its = tuple(one for one in steps if newest.run and one.run == newest.run) or (newest,)
    marks = runs.marks_of(plant_no, newest.run) if newest.run else ()
    facts = dict(newest.facts)
    return _Told(newest.run, newest.product, facts, its[0].at_ms, its, marks)


def _first(
    plant_no: int,
    in_force: Settings,
    at: tuple[str, Run | None],
    draws: Draws,
    at_ms: int,
) -> Awaited:
    """Whether the first piece is signed of what the press is set to make now."""
    press, run = at
    if run is None:
        return Awaited()
    drawn, carton = draws.now, draws.carton
    beads = frozenset(grade.name for grade in drawn.silo.grades) if drawn else frozenset()
    ahead = PressStep(
        "", "mould", max(run.drawn_ms, run.opened_ms), press, run.code, run.product, run.facts, "",
        {}, beads, frozenset(carton.grades if carton else ()),
    )  # fmt: skip
    counted = [
        one
        for one in steps_back(plant_no, press, at_ms)
        if one.kind == "mould" and one.run == run.code and one.at_ms >= ahead.at_ms
    ]
    # What it counted since says itself what it is of.
    return awaited(plant_no, in_force, press, None if counted else ahead, at_ms)
