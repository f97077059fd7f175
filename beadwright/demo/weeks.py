"""Three weeks of the plant: every part runs in turn, and its rows are gathered.

Read :func:`make_weeks` first. Presses say what they need, silos are filled for it, bags and cartons
arrive for that, pieces are inspected, bundled and sent off, scrap comes round again. What the
files leave out (one filling) and get wrong (one value, until it is corrected) is in ``faults``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from beadwright.demo.clock import DAYS, END, NIGHT, SECOND, is_friday
from beadwright.demo.description import (
    EXPANDERS,
    FORM_SILOS,
    GRADES,
    LB,
    PACKAGING_SILOS,
    PRODUCTS,
)
from beadwright.demo.expansion import Expanded, cup_at, expand
from beadwright.demo.goods import Bags, Cartons
from beadwright.demo.hopper import HopperLine, Layout, Theft
from beadwright.demo.inspection import inspect
from beadwright.demo.noise import Noise
from beadwright.demo.plan import Plan, draw_coupling, draw_plan
from beadwright.demo.presses import Filling, Made, Press, campaign
from beadwright.demo.reclaim import Reclaimer
from beadwright.demo.scales import Drift, Scales, draw_drift
from beadwright.demo.sheets import Cup, Row, SiloMove
from beadwright.demo.silo_watch import temperatures, weighings
from beadwright.demo.silos import Yard
from beadwright.demo.straight import PACKAGING_SILO, StraightLine

__all__ = ["Weeks", "make_weeks"]

_REGRIND = "#regrind"
_CREWS = {"FP1": ("KR", "DS"), "FP2": ("MT", "JO"), "PP1": ("LN", "LN")}
_FRIDAYS = frozenset(d for d in range(DAYS) if is_friday(d))
_CUP_EVERY = 3  # stretches of a press between two cups at its hopper


@dataclass(frozen=True)
class Weeks:
    """What was made of a seed: rows by sheet, and what the files do not say."""

    seed: int
    plan: Plan
    rows: dict[str, list[Row]]
    made: tuple[Made, ...]
    coupled: frozenset[str]
    """The lot moulded from a packaging silo."""
    fillings: dict[int, Filling]
    expanded: Expanded
    blown: SiloMove
    """Regrind on its way into the wrong hopper."""
    drift: Drift | None
    """Of a scale behind a dryer; None in weeks without."""


class _Plant:
    """The parts of one seed's plant while it runs."""

    def __init__(self, seed: int, coupling: int) -> None:
        self.seed = seed
        self.plan = draw_plan(seed)
        self.coupling = coupling
        self.cartons = Cartons(self.noise("cartons"))
        self.reclaimer = Reclaimer(self.noise("reclaim"))
        self.bags = {grade: Bags(grade, self.noise(f"bags {grade}")) for grade in GRADES}
        self.busy: dict[str, list[tuple[int, int]]] = {name: [] for name in EXPANDERS}

    def run(self) -> None:
        """Let the presses work; what they scrap is ground, and goes into packaging."""
        self.straight, self.hopper = self._straight(), self._hopper()
        self.form = [*self.hopper.press.made, *self.straight.press.made]
        self.looked = inspect(self.form, self.noise("inspection"))
        self.reclaimer.form_scrap(self.form, self.looked)
        self.blown = next(move for move in self.hopper.moves if move.source == _REGRIND)
        kg, noise = self.plan.blown_kg, self.noise("blown")
        self.bag = self.reclaimer.keep(self.blown.at, kg, noise).code
        self.packaging = self._packaging(self.straight.coupled)

    def noise(self, part: str) -> Noise:
        return Noise(self.seed, part)

    def press(self, name: str, usual: str, guests: dict[str, tuple[int, ...]]) -> Press:
        slots = campaign(self.noise(f"campaign {name}"), usual, guests)
        bin_days = 5 if name == "PP1" else 2
        return Press(name, self.noise(name), self.cartons, slots, _CREWS[name], bin_days)

    def _straight(self) -> StraightLine:
        press = self.press("FP2", "FB8S", {"FB8L": (2, 2), "FB6S": (4,)})
        line = StraightLine(press, self.plan, self.coupling, self.noise("straight"))
        line.run()
        return line

    def _hopper(self) -> HopperLine:
        press = self.press("FP1", "FB6S", {"FB6C": (2, 3), "FB6H": (2,)})
        days = _FRIDAYS | {self.plan.swept_on}
        crew = (_CREWS["FP1"], ("NF", "PQ"))
        layout = Layout("H1", (148, 172), NIGHT, self.plan.grades, days, *crew)
        waiting = [(_REGRIND, self.plan.blown_kg)]

        def blow(at: int) -> tuple[str, float] | None:
            return waiting.pop() if waiting and at >= self.plan.blown else None

        line = HopperLine(press, layout, self.noise("hopper"), blow)
        line.run()
        return line

    def _packaging(self, coupled: Sequence[Made]) -> HopperLine:
        press = self.press("PP1", "PKC", {"PKT": (4, 6)})
        crew = (_CREWS["PP1"], ("NF", "NF"))
        layout = Layout("H3", (62, 80), SECOND, ("PK1",) * DAYS, _FRIDAYS, *crew)
        drawn = sum(one.row.shots * one.row.foam_per_block for one in coupled) * LB
        theft = Theft(coupled[-1].row.at, drawn) if coupled else None
        line = HopperLine(press, layout, self.noise("packaging"), self.reclaimer.blow, theft)
        line.run()
        return line

    def fill(self, silos: Sequence[str], fillings: Sequence[Filling]) -> list[SiloMove]:
        """Place the fillings in silos; give what is written when those run empty."""
        expanders = EXPANDERS if silos == FORM_SILOS else EXPANDERS[1:]
        yard = Yard(silos, expanders, self.busy, self.noise(f"silos {silos[0]}"), self.plan.fresh_h)
        yard.place(fillings)
        return yard.moves()


def make_weeks(seed: int, *, drifting: bool = True) -> Weeks:
    """Run the plant of a seed, with a scale that drifts or without."""
    # Once without the wrong coupling, to see when a packaging silo holds enough for it: until
    # then the second run is the same.
    trial = _Plant(seed, coupling=2 * END)
    trial.run()
    coupling = draw_coupling(seed, trial.plan, trial.packaging.evenings)
    plant = _Plant(seed, coupling)
    plant.run()
    packs = plant.packaging.press.made
    looked = [*plant.looked, *inspect(packs, plant.noise("packaging inspection"))]
    plant.reclaimer.packaging_scrap(packs)
    plant.reclaimer.logs_leave()

    drawn = [*plant.hopper.fillings, *plant.straight.fillings]
    moves = plant.fill(PACKAGING_SILOS, plant.packaging.fillings)
    moves += plant.fill(FORM_SILOS, drawn)
    fillings = {filling.no: filling for filling in (*drawn, *plant.packaging.fillings)}
    names = {filling.code: filling.silo for filling in fillings.values()}
    names |= {_REGRIND: plant.bag, PACKAGING_SILO: _robbed(plant.packaging).silo}
    made = [_named(one, names) for one in (*plant.form, *packs)]
    moves += [_renamed(move, names) for move in (*plant.hopper.moves, *plant.packaging.moves)]
    drift = draw_drift(seed) if drifting else None
    crew = (plant.noise("expansion"), Scales(plant.noise("scales"), drift))
    expanded = expand(list(fillings.values()), plant.bags, crew, plant.plan.unentered)
    rows = _gather(plant, made, moves, expanded)
    rows["inspections"] = list(looked)
    stays = list(fillings.values())
    rows["silo_temperatures"] = list(temperatures(stays, plant.noise("probes")))
    rows["mesh_samples"] = list(weighings(stays))
    return Weeks(
        seed=seed,
        plan=plant.plan,
        rows={sheet: _closed(of) for sheet, of in rows.items()},
        made=tuple(one for one in made if one.row.written <= END),
        coupled=frozenset(one.row.lot for one in plant.straight.coupled),
        fillings=fillings,
        expanded=expanded,
        blown=_renamed(plant.blown, names),
        drift=drift,
    )


def _robbed(packaging: HopperLine) -> Filling:
    if packaging.robbed is None:
        message = "no packaging silo held enough for the wrong coupling"
        raise RuntimeError(message)
    return packaging.robbed


def _named(one: Made, names: Mapping[str, str]) -> Made:
    """The stretch with the silo's name, known only now."""
    source = names.get(one.row.source, one.row.source)
    return replace(one, row=replace(one.row, source=source))


def _renamed(move: SiloMove, names: Mapping[str, str]) -> SiloMove:
    return replace(move, source=names.get(move.source, move.source))


def _gather(
    plant: _Plant, made: Sequence[Made], moves: Sequence[SiloMove], expanded: Expanded
) -> dict[str, list[Row]]:
    cups = [*expanded.cups, *_hopper_cups(made, plant.noise("hopper cups"))]
    return {
        "bead_receipts": [row for bags in plant.bags.values() for row in bags.receipts(END)],
        "tie_receipts": list(plant.cartons.receipts(END)),
        "expansion_runs": list(expanded.rows),
        "cups": list(cups),
        "silo_moves": list(moves),
        "mould_runs": [one.row for one in made],
        "reclaim": list(plant.reclaimer.rows),
    }


def _hopper_cups(made: Sequence[Made], noise: Noise) -> list[Cup]:
    """A cup of what a press is just drawing, at every third stretch."""
    cups: list[Cup] = []
    for number, one in enumerate(made):
        if number % _CUP_EVERY:
            continue
        density = one.foam_kg / PRODUCTS[one.row.product].foam_kg
        at = one.row.at + noise.whole(0, 4)
        names = ("", one.row.source, "hopper", f"BAL-{one.row.press}")
        cups.append(cup_at(at, one.row.by, names, (density, noise)))
    return cups


def _closed(rows: Sequence[Row]) -> list[Row]:
    """Rows that were written when the files were closed, in the order of writing."""
    return sorted((row for row in rows if row.written <= END), key=lambda row: row.written)
