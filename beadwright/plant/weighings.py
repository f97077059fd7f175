"""Foam density of a lot's blocks and specimens, net of ties and water; and "ties missing?".

Read :func:`evidence` first: it takes many lots at once, because the arithmetic is on arrays. A wet
block from the press, a block a day old and a dry one are kept apart; what decides is not said here.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from beadwright.lab import BlockWeighing, Specimen, block_foam_density, missing_ties, tie_mass
from beadwright.plant.block_age import Aged, aged
from beadwright.plant.pieces import (
    Basis,
    Defects,
    Ids,
    Value,
    counted,
    defects_of,
    gathered,
    specimens,
)
from beadwright.plant.specimen_worth import specimen_density_u
from beadwright.quality.characteristics import DEFECTS, STATES

if TYPE_CHECKING:
    from beadwright.plant.calibrations import Aside

__all__ = ["WATER_U", "Evidence", "TieQuestion", "evidence"]

WATER_U = 0.25
"""Standard uncertainty of a water share, as share of it: 4 % at the press then spans 2 to 6 % at
twice that. Common practice, no source."""

_FOAM_SPREAD = 0.01
_TARGET_SPREAD = 0.02
"""Piece to piece, and lot to target, spread of foam mass. Common practice, no source."""

_MAD_TO_SIGMA = 1.4826  # of a normal distribution
_SIBLINGS = 3


@dataclass(frozen=True, slots=True)
class TieQuestion:
    """Pieces whose shortfall fits whole ties: to be counted before the foam is called light."""

    state: str
    pieces: tuple[str, ...]
    """The pieces; empty where every piece of the lot in this state is short alike."""
    short: int
    """Ties that the shortfall fits, a piece."""
    shortfall_kg: float
    """Mean shortfall of a piece."""
    ids: Ids


@dataclass(slots=True)
class Evidence:
    """What a lot's readings say, by characteristic; and why some of it cannot be said."""

    values: dict[str, list[Value]] = field(default_factory=dict)
    defects: Defects = field(default_factory=lambda: Defects(0, ()))
    questions: list[TieQuestion] = field(default_factory=list)
    set_aside: set[tuple[int, int]] = field(default_factory=set)
    """Readings of pieces that may lack ties: not judged as foam before the ties are counted."""
    young: list[Aged] = field(default_factory=list)
    """Readings said to be of blocks a day old or dry that, by the record, were not."""
    aside: tuple[Aside, ...] = ()
    """Readings that are no evidence, because their instrument was not fit."""
    pieces: int = 0
    """Made; 0 where that is not known."""
    uncomputable: str = ""
    """Why density and masses net of water cannot be computed; empty where they can."""


class _Piece(NamedTuple):
    """A weighed block with what its density is computed from; masses in kg."""

    lot: int
    value: Value
    ties: int
    unit: float
    u_unit: float
    water: float
    volume: float
    target: float | None


class _Foam(NamedTuple):
    """A weighed block's dry foam."""

    piece: _Piece
    mass: float
    density: float
    u_mass: float
    u_density: float


def evidence(bases: Sequence[Basis]) -> list[Evidence]:
    """Give what the readings of each lot say."""
    found = [Evidence() for _ in bases]
    pieces: list[_Piece] = []
    for number, basis in enumerate(bases):
        here = found[number]
        readings, here.young = aged(basis.readings, basis.runs, basis.day_old_h)
        for value in gathered(readings):
            here.values.setdefault(value.characteristic, []).append(value)
        _add_counts(basis, here)
        _add_specimens(basis, here)
        pieces += _pieces(number, basis, here)
    foams = _foams(pieces)
    for foam in foams:
        _add_foam(foam, found[foam.piece.lot])
    _ask_for_ties(foams, found)
    return found


def _add_counts(basis: Basis, here: Evidence) -> None:
    counts = counted(basis.readings)
    here.defects = defects_of(counts)
    for name, (number, ids) in counts.items():
        here.values[name] = [Value(name, float(number), None, "", "", ids)]
    if not here.defects.checked:
        return
    _, looked = counts["checked"]
    kinds = {f"defective_{kind}": f"share_defective_{kind}" for kind in DEFECTS}
    all_ids = looked
    for name, share in kinds.items():
        number, ids = counts.get(name, (0, ()))
        all_ids += ids
        si = number / here.defects.checked
        here.values[share] = [Value(share, si, None, "", "", (*looked, *ids))]
    si = here.defects.total / here.defects.checked
    here.values["share_defective"] = [Value("share_defective", si, None, "", "", all_ids)]


def _add_specimens(basis: Basis, here: Evidence) -> None:
    for name, fields in specimens(basis.readings):
        mass = fields.get("mass")
        dims = {key: row.si for key, row in fields.items() if key != "mass" and row.si is not None}
        density = Specimen(name, None if mass is None else mass.si, dims).density_kg_m3
        if density is not None:
            ids = tuple(sorted((row.seq, row.line) for row in fields.values()))
            u = specimen_density_u(fields)
            value = Value("density", density, u, "specimen", name, ids)
            here.values.setdefault("density", []).append(value)


def _pieces(number: int, basis: Basis, here: Evidence) -> Iterator[_Piece]:
    weighed = [v for name in STATES.values() for v in here.values.get(name, ())]
    here.uncomputable = _uncomputable(basis)
    product, ties = basis.product, basis.ties
    if here.uncomputable or product is None or product.foam_volume_m3 is None:
        return
    for value in weighed:
        water = 0.0 if value.state == "dry" else product.water.get(value.state)
        if water is None:
            here.uncomputable = f"{product.name} has no water share for state {value.state}"
            continue
        unit, u_unit = (0.0, 0.0) if ties is None else (ties.unit_kg, ties.u_kg)
        yield _Piece(
            number, value, product.ties, unit, u_unit, water, product.foam_volume_m3,
            product.foam_mass_kg,
        )  # fmt: skip


def _uncomputable(basis: Basis) -> str:
    product = basis.product
    if product is None:
        return "its product was not set up"
    if product.unreadable:
        return "; ".join(product.unreadable)
    if product.foam_volume_m3 is None:
        return f"{product.name} has no foam volume set"
    if product.ties and basis.ties is None:
        return (
            f"no tie carton was drawn for it, so the mass of its {product.ties} ties is not known"
        )
    return ""


def _foams(pieces: Sequence[_Piece]) -> list[_Foam]:
    if not pieces:
        return []
    wet = np.array([p.value.si for p in pieces])
    u_wet = np.array([p.value.u_si or 0.0 for p in pieces])
    count = np.array([p.ties for p in pieces])
    share = np.array([p.water for p in pieces])
    volume = np.array([p.volume for p in pieces])
    ties = tie_mass(count, [p.unit for p in pieces], u_unit_mass_kg=[p.u_unit for p in pieces])
    # The share is of dry foam: wet = dry (1 + share) + ties.
    water = np.maximum(share * (wet - ties.value) / (1 + share), 0.0)
    weighing = BlockWeighing(
        wet, ties.value, water, volume, u_wet_kg=u_wet, u_tie_kg=ties.u, u_water_kg=WATER_U * water
    )
    foam = block_foam_density(weighing)
    columns = zip(
        pieces, foam.mass_kg.value.tolist(), foam.density_kg_m3.value.tolist(),
        foam.mass_kg.u.tolist(), foam.density_kg_m3.u.tolist(), strict=True,
    )  # fmt: skip
    return [_Foam(*row) for row in columns]


def _add_foam(foam: _Foam, here: Evidence) -> None:
    value, p = foam.piece.value, foam.piece
    block = foam.mass + p.ties * p.unit
    for name, si, u in (
        ("density", foam.density, foam.u_density),
        ("foam_mass", foam.mass, foam.u_mass),
        ("block_mass", block, foam.u_mass),
    ):
        new = Value(name, si, u, value.state, value.piece, value.ids, value.u_si is None)
        here.values.setdefault(name, []).append(new)


class _Doubt(NamedTuple):
    """A shortfall to be compared with whole ties: of one piece, or of all pieces of a state."""

    foams: tuple[_Foam, ...]
    shortfall: float
    u: float
    alike: bool


def _ask_for_ties(foams: Iterable[_Foam], found: Sequence[Evidence]) -> None:
    """Ask where a piece, or every piece of a state, is short of whole ties."""
    groups: dict[tuple[int, str], list[_Foam]] = {}
    for foam in foams:
        if foam.piece.ties and foam.piece.unit > 0:
            groups.setdefault((foam.piece.lot, foam.piece.value.state), []).append(foam)
    by_ties: dict[int, list[_Doubt]] = {}
    for group in groups.values():
        by_ties.setdefault(group[0].piece.ties, []).extend(_doubts(group))
    for most, doubts in by_ties.items():
        _ask(most, doubts, found)


def _doubts(group: Sequence[_Foam]) -> Iterator[_Doubt]:
    """Compare a piece with its siblings, and the siblings together with the product's target."""
    masses = [foam.mass for foam in group]
    wetting, target = 1 + group[0].piece.water, group[0].piece.target
    middle = statistics.median(masses)
    spread = _MAD_TO_SIGMA * statistics.median(abs(mass - middle) for mass in masses)
    few = len(group) < _SIBLINGS
    if not few:
        u = max(spread, _FOAM_SPREAD * middle)
        for foam in group:
            yield _Doubt((foam,), (middle - foam.mass) * wetting, u, alike=False)
    if target is not None:
        # Of two pieces the spread says nothing: it would hide the very piece that is short.
        u = max(0.0 if few else spread, _TARGET_SPREAD * target)
        for some in [(foam,) for foam in group] if few else [tuple(group)]:
            mass = statistics.median(foam.mass for foam in some)
            yield _Doubt(some, (target - mass) * wetting, u, alike=not few)


def _ask(most: int, doubts: Sequence[_Doubt], found: Sequence[Evidence]) -> None:
    if not doubts:
        return
    short = missing_ties(
        [doubt.shortfall for doubt in doubts],
        [doubt.foams[0].piece.unit for doubt in doubts],
        u_shortfall_kg=[max(doubt.u, 0.0) for doubt in doubts],
        u_unit_mass_kg=[doubt.foams[0].piece.u_unit for doubt in doubts],
        most=most,
    )
    asked: dict[tuple[int, str, int, bool], list[_Doubt]] = {}
    for doubt, k in zip(doubts, short.tolist(), strict=True):
        if k:
            piece = doubt.foams[0].piece
            asked.setdefault((piece.lot, piece.value.state, k, doubt.alike), []).append(doubt)
    for (lot, state, k, alike), some in asked.items():
        foams = [foam for doubt in some for foam in doubt.foams]
        ids = tuple(i for foam in foams for i in foam.piece.value.ids)
        names = () if alike else tuple(foam.piece.value.piece or "?" for foam in foams)
        mean = statistics.fmean(doubt.shortfall for doubt in some)
        found[lot].questions.append(TieQuestion(state, names, k, mean, ids))
        if not alike:
            found[lot].set_aside.update(ids)
