"""What gives off pentane in a plant: beads in their places, blocks in the store; and how much.

Read :class:`Giver`: one place with its beads, or the blocks, with every number it rests on and
its trust. Where one of these is missing, what is given off is not known.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadwright.ledger.draft import RECLAIM
from beadwright.ledger.moves import moves
from beadwright.ledger.settings import Settings
from beadwright.plant.bead_lines import put_density, put_size
from beadwright.plant.fresh_blocks import Blocks
from beadwright.plant.parcels import Parcel, parcels
from beadwright.plant.physical import physical
from beadwright.plant.products import product_at, quantity
from beadwright.plant.silo import Silo
from beadwright.plant.usual import DEMOULDED, KEPT, SILO_KELVIN, STORE_KELVIN
from beadwright.plant.worked import Line, Origin, Working
from beadwright.quality import readings
from beadwright.science.ageing import PENTANE_ACTIVATION, PENTANE_DIFFUSIVITY, pentane_diffusivity
from beadwright.science.pentane import (
    BLOCK_BEAD_RADIUS,
    Beads,
    PerWetBead,
    emission_rate,
    per_dry_polymer,
)
from beadwright.science.trust import Banded, Parameter

__all__ = ["Asked", "Giver", "blocks_giver", "bulk_density", "rate_of", "silo_giver"]

_MG, _S = 1e-6, 1e-3
_HOUR_MS = 3_600_000
Asked = tuple[Settings, int]
"""Settings, and the time for which they are asked."""


@dataclass(frozen=True, slots=True)
class Giver:
    """Something that gives off pentane: its mass, its ages, and what is known of its beads."""

    name: str
    """A place, or ``blocks``."""
    mg: int
    """What is there by the books; of blocks, their foam."""
    oldest_ms: int | None
    youngest_ms: int | None
    parcels: tuple[Parcel, ...]
    lines: tuple[Line, ...]
    """What it rests on: set, measured, defaults, worked out; each with its source and trust."""
    missing: tuple[str, ...]
    """What nobody has said, without which nothing is known of it."""

    def line(self, key: str) -> Line:
        """Give a line by its key."""
        return next(one for one in self.lines if one.key == key)


def silo_giver(plant_no: int, silo: Silo, asked: Asked, since_ms: int) -> Giver:
    """Give the beads of a place, with those that left it since a time."""
    found = parcels(moves(plant_no, silo.place, since_ms), asked[1])
    kept = tuple(one for one in found if one.gone_ms is None or one.gone_ms > since_ms)
    lines, missing = _silo_lines(plant_no, silo, asked) if kept else ((), ())
    here = [one.begun_ms for one in kept if one.gone_ms is None]
    return Giver(
        silo.place, silo.mg, min(here, default=None), max(here, default=None), kept, lines, missing
    )


def blocks_giver(blocks: Sequence[Blocks], asked: Asked) -> Giver:
    """Give the foam of blocks as beads that began to give off when they were moulded."""
    settings, at_ms = asked
    foam: dict[str, float | None] = {}
    found: dict[tuple[int, int | None], int] = {}
    undated = []
    for one in blocks:
        if one.product not in foam:
            product = product_at(settings, one.product, at_ms)
            foam[one.product] = None if product is None else product.foam_mass_kg
        mass, begun = foam[one.product], one.moulded_ms
        if begun is None:
            undated.append(f"when {one.code} was moulded")
        elif mass is not None and begun <= at_ms:
            # An hour's blocks are one parcel, as young as its end: there are hundreds of lots.
            latest = at_ms if one.gone_ms is None else one.gone_ms
            key = (min(latest, -(-begun // _HOUR_MS) * _HOUR_MS), one.gone_ms)
            found[key] = found.get(key, 0) + round(one.pieces * mass / _MG)
    missing = [f"foam mass of product {name}" for name in sorted(foam) if foam[name] is None]
    rows = sorted(
        (Parcel(begun, mg, gone) for (begun, gone), mg in found.items()),
        key=lambda one: one.begun_ms,
    )
    here = [one for one in rows if one.gone_ms is None]
    ages = [one.begun_ms for one in here]
    return Giver(
        "blocks", sum(one.mg for one in here), min(ages, default=None), max(ages, default=None),
        tuple(rows), _block_lines(), (*missing, *undated),
    )  # fmt: skip


def rate_of(giver: Giver, edges_ms: Sequence[int]) -> Banded | None:
    """Give the mean rate in kg/s over each interval, with its band; None where it is not known."""
    if giver.missing or any(line.value is None for line in giver.lines):
        return None
    edges = np.asarray(edges_ms, dtype=float) * _S
    if not giver.parcels:
        nothing = np.zeros(edges.size - 1)
        return Banded.of(nothing, nothing, nothing)
    content, radius, speed = (
        _band(giver.line(key)) for key in ("content", "bead_radius", "diffusivity")
    )
    start = per_dry_polymer(PerWetBead.of(content[1]))
    masses = _array(one.mg * _MG for one in giver.parcels)
    beads = Beads(
        masses * (1 - content[1]),
        start,
        _array(one.begun_ms * _S for one in giver.parcels),
        radius[1],
        speed[1],
        _array(math.inf if one.gone_ms is None else one.gone_ms * _S for one in giver.parcels),
    )
    # Time goes with diffusivity over radius squared: both are off in one factor.
    off = math.hypot(
        max(math.log(speed[2] / speed[1]), math.log(speed[1] / speed[0])),
        2 * max(math.log(radius[2] / radius[1]), math.log(radius[1] / radius[0])),
    )
    rate = emission_rate(beads, edges, math.exp(off))
    return Banded.of(
        rate.value, rate.low * content[0] / content[1], rate.high * content[2] / content[1]
    )


def _silo_lines(
    plant_no: int, silo: Silo, asked: Asked
) -> tuple[tuple[Line, ...], tuple[str, ...]]:
    sheet = Working()
    grades = [one.name for one in silo.grades if one.name != RECLAIM] or _bead_grades(*asked)
    missing = [] if grades else ["a grade of beads"]
    missing += _content(sheet, grades, asked)
    size, unsized = _of_grades(grades, "raw_size", asked)
    missing += [f"raw size of grade {name}" for name in unsized]
    # Of mixed grades the smallest bead and the richest in pentane: the worst of each.
    least = min(size, default=None)
    sheet.given("raw_size", ("size of the raw bead", "length"), least, ("set", _told(grades)))
    bulk, origin, source = bulk_density(plant_no, (silo.place, silo.products), asked)
    sheet.given("bulk_density", ("bulk density", "density"), bulk, (origin, source))
    missing += [] if bulk is not None else [f"a cup of the beads in {silo.place}, or its target"]
    put_size(sheet)
    put_density(sheet)
    _diffusivity(sheet, SILO_KELVIN, "bead_density")
    missing += [line.refused for line in sheet.lines if line.refused]
    return sheet.lines, tuple(dict.fromkeys(missing))


def _content(sheet: Working, grades: Sequence[str], asked: Asked) -> list[str]:
    """Put the pentane that beads came in with; give what is missing."""
    pentane, lacking = _of_grades(grades, "pentane", asked)
    worst = max(pentane, default=None)
    sheet.given("pentane", ("pentane of the raw bead", "fraction"), worst, ("set", _told(grades)))
    sheet.default("kept", ("share of it kept in pre-expansion", "1"), KEPT)
    start = None if worst is None else worst * KEPT.value
    ends = None if worst is None else (worst * KEPT.low, worst * KEPT.high)
    sheet.given(
        "content", ("pentane of the bead as it came in", "fraction"), start,
        ("memory", f"pentane of the raw bead, times the share kept: {KEPT.source}"), ends,
    )  # fmt: skip
    return [f"pentane of grade {name}" for name in lacking]


def _told(grades: Sequence[str]) -> str:
    return f"grade {', '.join(grades)}"


def _block_lines() -> tuple[Line, ...]:
    sheet = Working()
    sheet.default("content", ("pentane of the foam as demoulded", "fraction"), DEMOULDED)
    sheet.default("bead_radius", ("radius of a bead in a block", "length"), BLOCK_BEAD_RADIUS)
    _diffusivity(sheet, STORE_KELVIN, None)
    return sheet.lines


def _diffusivity(sheet: Working, kelvin: Parameter, density: str | None) -> None:
    sheet.default("temperature", ("temperature of the beads", "temperature"), kelvin)
    sheet.default("reference", ("diffusivity of pentane at 23 °C", "m^2/s"), PENTANE_DIFFUSIVITY)
    energy = ("activation energy of pentane's diffusivity", "J/mol")
    sheet.default("activation", energy, PENTANE_ACTIVATION)
    of = {
        "temperature_k": "temperature", "reference_m2_s": "reference",
        "activation_j_mol": "activation",
    }  # fmt: skip
    if density is not None:
        of["bead_density_kg_m3"] = density
    sheet.work("diffusivity", ("diffusivity of pentane", "m^2/s"), pentane_diffusivity, of)


def _of_grades(grades: Sequence[str], key: str, asked: Asked) -> tuple[list[float], list[str]]:
    """Give what was set of each grade, and the grades of which it was not."""
    settings, at_ms = asked
    found = {name: physical(settings, "grade", name, key, at_ms) for name in grades}
    return (
        [one for one in found.values() if one is not None],
        [name for name, one in found.items() if one is None],
    )


def _bead_grades(settings: Settings, at_ms: int) -> list[str]:
    """Every grade of beads: of a place that was swept nobody knows which were in it."""
    return [name for name, body in settings.all("grade", at_ms) if body.get("of") == "bead"]


def bulk_density(
    plant_no: int, of: tuple[str, Sequence[str]], asked: Asked
) -> tuple[float | None, Origin, str]:
    """Give the bulk density of a content: its newest dry cup, else what a cup should be.

    ``of``: the place, and the products that its content is for.
    """
    settings, at_ms = asked
    place, products = of
    filling = readings.filling(plant_no, place, at_ms)
    kinds = () if filling is None else (filling.dried, filling.hopper, filling.hot)
    for cups in kinds:
        taken = [one for one in cups if one.reading.at_ms <= at_ms]
        if taken:
            return taken[-1].density_kg_m3, "measured", "newest cup of these beads"
    for product in products or tuple(name for name, _ in settings.all("cup", at_ms)):
        body = settings.at("cup", product, at_ms) or {}
        if "dried" in body:
            return quantity(body["dried"], "density"), "set", f"dried cup of {product}"
    return None, "missing", ""


def _band(line: Line) -> tuple[float, float, float]:
    value = 0.0 if line.value is None else line.value
    return (
        value if line.low is None else line.low,
        value,
        value if line.high is None else line.high,
    )


def _array(values: Iterable[float]) -> NDArray[np.float64]:
    return np.fromiter(values, dtype=np.float64)
