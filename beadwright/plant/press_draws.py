"""What a press may draw of next, and what it may not, told before it is done.

Read :func:`sources`, the places with beads that feed it, and :func:`cartons`, the ties.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from beadwright.ledger import holds, lots
from beadwright.ledger.lots import LotView
from beadwright.ledger.settings import Settings
from beadwright.ledger.stock import head
from beadwright.plant.listing import not_listed
from beadwright.plant.products import Product
from beadwright.plant.silo import STATE_WORDS, Silo

__all__ = ["Carton", "Source", "cartons", "sources"]

_FRESH_OR_OLD = ("too_old", "too_fresh", "filling", "no_hours")
_REST = 10
"""Blocks: a carton whose ties are enough for fewer is a rest. Common practice, no source."""
_MOST = 3
"""Cartons that are offered, of those with ties for a block at least; the oldest are used first."""


@dataclass(frozen=True, slots=True)
class Source:
    """A place with beads that feeds the press."""

    silo: Silo
    may: bool
    why_not: tuple[str, ...] = ()
    blocks: int = 0
    """Blocks that its beads still make, by the books."""
    direct: bool = True
    """Whether the press draws of it itself; else it fills what the press draws of."""

    @property
    def place(self) -> str:
        """Its code."""
        return self.silo.place


@dataclass(frozen=True, slots=True)
class Carton:
    """A carton of ties."""

    code: str
    grades: tuple[str, ...]
    pieces: int
    unit_mg: int
    since_ms: int | None
    """When it came."""
    may: bool
    why_not: tuple[str, ...] = ()
    blocks: int = 0
    """Blocks that its ties are enough for."""


def sources(
    board: Sequence[Silo], press: str, product: Product, drawn: tuple[int, str]
) -> tuple[Source, ...]:
    """Give every place with beads that feeds a press, those that may be drawn of first.

    ``drawn``: foam of one block in mg, and the place that is in use.
    """
    foam_mg, now = drawn
    feeding = [one for one in board if one.place == now or (press in one.presses and not one.empty)]
    found = [_source(one, product, foam_mg, press) for one in feeding]
    return tuple(sorted(found, key=lambda one: (not one.may, one.silo.first_ms or 0, one.place)))


def _source(one: Silo, product: Product, foam_mg: int, press: str) -> Source:
    why = tuple(_why_not(one, product))
    blocks = one.mg // foam_mg if foam_mg else 0
    return Source(one, not why, why, blocks, press in one.feeds)


def _why_not(one: Silo, product: Product) -> Iterator[str]:
    yield from (f"held: {why}" for why in one.why_held)
    if one.empty:
        yield f"{one.words} by the books"
        return
    if product.name not in one.products:
        grades = " + ".join(grade.name for grade in one.grades) or "its grade"
        yield f"{grades} is not on the approved list of {product.name}"
    # Packaging is not judged by hours.
    if product.is_form:
        yield from (STATE_WORDS[state] for state in one.states if state in _FRESH_OR_OLD)


def cartons(
    plant_no: int, settings: Settings, product: Product, now: str, at_ms: int
) -> tuple[Carton, ...]:
    """Give cartons for a product: the one in use first, then what may be used, oldest first.

    Rests stand behind whole cartons: what the books still have of one is seldom there.
    """
    if not product.ties:
        return ()
    views = {view.code: view for view in _in_stock(plant_no, head(plant_no))}
    views |= lots.get_many(plant_no, [now] if now else [])
    found = [
        _carton(plant_no, view, product, (settings, at_ms))
        for view in views.values()
        if view.code == now
        or (view.pieces >= product.ties and not tuple(_unlisted(view, product, (settings, at_ms))))
    ]
    found.sort(
        key=lambda one: (
            one.code != now,
            not one.may,
            one.blocks < _REST,
            one.since_ms or 0,
            one.code,
        )
    )
    return tuple(found[: _MOST + 1])


@lru_cache(maxsize=4)
def _in_stock(plant_no: int, at: str) -> tuple[LotView, ...]:
    """Read the cartons that hold ties, once for each head of the record."""
    del at  # stands for all that is read
    return tuple(view for view in lots.of_kind(plant_no, "tie", "carton") if view.pieces > 0)


def _carton(plant_no: int, view: LotView, product: Product, told: tuple[Settings, int]) -> Carton:
    why = list(_unlisted(view, product, told))
    why += [f"held: {cause}" for cause in holds.open_causes(plant_no, "|".join(view.causes))]
    if view.pieces <= 0:
        why.append("used up by the books")
    return Carton(
        view.code, view.grades, max(0, view.pieces), view.unit_mg, view.first, not why, tuple(why),
        max(0, view.pieces) // product.ties,
    )  # fmt: skip


def _unlisted(view: LotView, product: Product, told: tuple[Settings, int]) -> Iterator[str]:
    settings, at_ms = told
    approved = settings.at("approved", product.name, at_ms)
    if approved is not None:
        yield from not_listed(view.code, product.name, view.grades, (approved, settings, at_ms))
    elif product.is_form:
        yield f"{product.name} has no approved list in force"
