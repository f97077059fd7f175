"""What was weighed, gauged and broken of a run's blocks at the press: estimates, shown as such.

Read :func:`figures`. A block at the press is wet and hot: its dry net foam density rests on a water
share that is assumed, its size a day later on the mould's offset. Both screen; neither judges.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from beadwright.lab import size_after_a_day
from beadwright.ledger import lots
from beadwright.ledger.settings import Settings
from beadwright.plant.block_age import runs_of
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.limits import rulebook
from beadwright.plant.moulds import OFFSETS, Mould
from beadwright.plant.pieces import Basis, Ties, ties_of
from beadwright.plant.products import Product
from beadwright.plant.weighings import Evidence, TieQuestion, evidence
from beadwright.quality import readings
from beadwright.quality.readings import ReadingView

__all__ = ["Broken", "Cavity", "Figures", "Gauged", "Making", "Weighed", "figures"]

_PRESS = "press"
_COVERAGE = 2.0
"""Standard uncertainties on either side of a density that is shown."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A wet block with its dry foam density, net of ties and water."""

    seq: int
    """The entry it came with."""
    at_ms: int
    piece: str
    cavity: int
    wet: str
    """As keyed, with its unit."""
    density: float
    """In kg/m³."""
    u: float
    """Standard uncertainty of it."""
    ties_asked: int
    """Ties that its shortfall fits; 0: none is asked about."""
    by: str

    @property
    def off(self) -> float:
        """Half width of the band that is shown."""
        return _COVERAGE * self.u


@dataclass(frozen=True, slots=True)
class Cavity:
    """Weighings of one cavity together; in kg/m³."""

    number: int
    mean: float
    u: float
    """The water share is assumed once for all of them, so that many weigh no surer than one."""
    count: int

    @property
    def off(self) -> float:
        """Half width of the band that is shown."""
        return _COVERAGE * self.u


@dataclass(frozen=True, slots=True)
class Gauged:
    """A dimension of a hot block, and what it will likely be after 24 h."""

    seq: int
    """The entry it came with."""
    at_ms: int
    piece: str
    cavity: int
    dimension: str
    hot_m: float
    keyed: str
    estimate_m: float | None
    """None where the mould has no offset for it."""
    limits: tuple[LimitInForce, ...]
    """What it is judged by after 24 h."""
    outside: bool
    """Whether the estimate lies outside a limit."""
    by: str


@dataclass(frozen=True, slots=True)
class Broken:
    """A block broken: beads torn through, of all on the broken face."""

    seq: int
    """The entry it came with."""
    at_ms: int
    piece: str
    share: float
    limits: tuple[LimitInForce, ...]
    outside: bool
    by: str


@dataclass(frozen=True, slots=True)
class Figures:
    """What was measured of a lot at the press, newest first."""

    weighed: tuple[Weighed, ...] = ()
    cavities: tuple[Cavity, ...] = ()
    questions: tuple[TieQuestion, ...] = ()
    """Asked before a block is called light."""
    gauged: tuple[Gauged, ...] = ()
    broken: tuple[Broken, ...] = ()
    day_old: int = 0
    """Sizes gauged after 24 h: those judge."""
    water: float | None = None
    """Water share at the press that is assumed, of dry foam; None: none was set."""
    ties: Ties | None = None
    target: float | None = None
    """Density that the product's foam mass and volume make, in kg/m³."""
    least: tuple[LimitInForce, ...] = ()
    """Limits on density, by which dry blocks are judged."""
    uncomputable: str = ""


@dataclass(frozen=True, slots=True)
class Making:
    """What is made into a lot: of which product, in which mould, with ties of which carton now."""

    lot: str
    product: Product
    mould: Mould
    carton: str = ""
    tie_mg: int = 0


def figures(plant_no: int, settings: Settings, making: Making, at_ms: int) -> Figures:
    """Give what was measured of a lot at the press."""
    lot, product = making.lot, making.product
    rules = rulebook(plant_no, settings)
    limits = [one for one in rules.limits(product.name, at_ms) if not one.unusable]
    taken = readings.of_lots(plant_no, [lot]).get(lot, ())
    makings = lots.makings(plant_no, [lot]).get(lot, [])
    ties = ties_of(makings)
    if ties is None and making.tie_mg:  # weighed before anything was counted
        ties = Ties(making.tie_mg / 1e6, 0.0, ((making.carton, 0, making.tie_mg),))
    basis = Basis(lot, product, ties, taken, at_ms, runs_of(makings), rules.day_old_h(at_ms))
    here = evidence([basis])[0]
    weighed = tuple(_weighed(here, taken))
    target = None
    if product.foam_mass_kg is not None and product.foam_volume_m3 is not None:
        target = product.foam_mass_kg / product.foam_volume_m3
    sized = [one for one in taken if one.characteristic in OFFSETS]
    return Figures(
        weighed=weighed,
        cavities=tuple(_cavities(weighed)),
        questions=tuple(one for one in here.questions if one.state == _PRESS),
        gauged=tuple(_gauged(sized, making.mould, limits)),
        broken=tuple(_broken(taken, limits)),
        day_old=sum(one.facts.get("state") in {"24h", "dry"} for one in sized),
        water=product.water.get(_PRESS),
        ties=ties,
        target=target,
        least=tuple(one for one in limits if (one.characteristic, one.bound) == ("density", "min")),
        uncomputable=here.uncomputable,
    )


def _weighed(here: Evidence, taken: Sequence[ReadingView]) -> Iterator[Weighed]:
    """Pair each density of a wet block with the weighing it rests on; newest first."""
    by_id: Mapping[tuple[int, int], ReadingView] = {(one.seq, one.line): one for one in taken}
    asked = {
        one: question.short
        for question in here.questions
        if question.state == _PRESS and question.pieces
        for one in question.ids
    }
    wet = [one for one in here.values.get("density", ()) if one.state == _PRESS]
    for value in reversed(wet):
        reading = by_id[value.ids[-1]]
        yield Weighed(
            reading.seq, reading.at_ms, value.piece, _cavity(reading), reading.keyed, value.si,
            value.u_si or 0.0, asked.get(value.ids[0], 0), reading.by,
        )  # fmt: skip


def _cavities(weighed: Iterable[Weighed]) -> Iterator[Cavity]:
    groups: dict[int, list[Weighed]] = {}
    for one in weighed:
        # What may lack a tie says nothing of the foam before its ties are counted.
        if not one.ties_asked:
            groups.setdefault(one.cavity, []).append(one)
    for number in sorted(groups):
        some = groups[number]
        mean = math.fsum(one.density for one in some) / len(some)
        yield Cavity(number, mean, max(one.u for one in some), len(some))


def _cavity(reading: ReadingView) -> int:
    said = reading.facts.get("cavity", "")
    return int(said) if said.isdigit() else 1


def _gauged(
    sized: Iterable[ReadingView], mould: Mould, limits: Iterable[LimitInForce]
) -> Iterator[Gauged]:
    limits = list(limits)
    for one in reversed([one for one in sized if one.facts.get("state") == _PRESS]):
        if one.si is None:
            continue
        offset = mould.offsets.get(one.characteristic)
        size = None if offset is None else float(size_after_a_day(one.si, offset).value)
        judged = tuple(limit for limit in limits if limit.characteristic == one.characteristic)
        yield Gauged(
            one.seq, one.at_ms, one.specimen, _cavity(one), one.characteristic, one.si, one.keyed,
            size, judged, size is not None and _outside(size, judged), one.by,
        )  # fmt: skip


def _broken(taken: Iterable[ReadingView], limits: Iterable[LimitInForce]) -> Iterator[Broken]:
    judged = tuple(limit for limit in limits if limit.characteristic == "fusion")
    for one in reversed([one for one in taken if one.characteristic == "fusion"]):
        if one.si is not None:
            outside = _outside(one.si, judged)
            yield Broken(one.seq, one.at_ms, one.specimen, one.si, judged, outside, one.by)


def _outside(value: float, limits: Iterable[LimitInForce]) -> bool:
    return any(
        value < float(one.value_si) if one.bound == "min" else value > float(one.value_si)
        for one in limits
        if one.bound in {"min", "max"}
    )
