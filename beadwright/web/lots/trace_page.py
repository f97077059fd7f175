"""What the page of a lot's trace shows: the flow drawn, and the same figures as tables.

Read :func:`page`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from beadwright.charts.flow import draw, fold
from beadwright.charts.svg import Drawing
from beadwright.ledger.account import Account
from beadwright.plant.figures import mass, percent
from beadwright.plant.flowing import Flowing, FlowLot, Side
from beadwright.plant.opening import Plant
from beadwright.plant.upstream import local
from beadwright.plant.words import KIND_WORDS, STEP_WORDS, number, place_of
from beadwright.units import System, shown_unit
from beadwright.web.lots.pictures import flow, said

__all__ = ["Row", "TracePage", "Traced", "page"]

_ENOUGH = 0.0005
_ROWS = 60
"""Rows of a table before the rest is only counted."""


@dataclass(frozen=True, slots=True)
class Row:
    """A lot of the trace."""

    code: str
    what: str
    step: str
    when: str
    mass: str
    """As the drawing has it; an estimate begins with ``≈``."""
    share: str
    bounds: str
    place: str


@dataclass(frozen=True, slots=True)
class Traced:
    """One direction as a table."""

    side: Side
    rows: tuple[Row, ...]
    count: int
    cut: str
    """What was too little to be listed, as a sum; empty where nothing was."""

    @property
    def more(self) -> int:
        """Lots that are not in the table."""
        return self.count - len(self.rows)


@dataclass(frozen=True, slots=True)
class TracePage:
    """A lot's trace as its page shows it."""

    code: str
    what: str
    came: str
    unit: str
    picture: Drawing
    opened: tuple[int, ...]
    layers: tuple[str, ...]
    caption: str
    """What is drawn, how, and what is not."""
    tables: tuple[Traced, ...]
    """What it was made of, and what was made of it."""
    account: tuple[tuple[str, str, str], ...]
    """Where its material is now: where, how much, which share of it in per cent."""
    residue: str
    """The most that may lie in places that were emptied and not swept; empty where none may."""
    zone: str


def page(  # noqa: PLR0913 - what is shown, and how
    plant: Plant,
    found: Flowing,
    units: System,
    address: Callable[[str], str],
    opened: Iterable[int],
    *,
    every: bool = False,
) -> TracePage:
    """Put a flow into a picture and tables, in units of choice."""
    layers = tuple(sorted(set(opened) & set(range(len(found.layers)))))
    opens = "?open=" + "".join(f"{one}." for one in layers)
    spec = flow(found, units, address, opens)
    lot = found.lot
    account, residue = _account(found.account, units)
    return TracePage(
        lot.code,
        KIND_WORDS.get(lot.what or lot.kind, lot.what or lot.kind),
        mass(found.mg, units),
        shown_unit("mass", units),
        draw(fold(spec, opened=layers)),
        layers,
        found.layers,
        _caption(found),
        tuple(_traced(plant, found, side, units, every=every) for side in ("before", "after")),
        account,
        residue,
        plant.zone.key,
    )


def _caption(found: Flowing) -> str:
    beyond = sum(one.reclaimed for one in found.lots)
    told = (
        "From left to right as the plant flows. The lesser lots of a layer are drawn as one, which"
        " opens; the tables below hold every lot, with the same figures."
    )
    if beyond:
        told += (
            f" {number(beyond, 'lot')} that have to do with {found.lot.code} only through what was"
            " scrapped, ground and moulded again stand in the tables alone."
        )
    return told


def _traced(plant: Plant, found: Flowing, side: Side, units: System, *, every: bool) -> Traced:
    lots = found.of(side)
    cut = found.before.cut_mg if side == "before" else found.after.cut_mg
    shown = lots if every else lots[:_ROWS]
    rows = tuple(_row(plant, one, units) for one in shown)
    return Traced(side, rows, len(lots), mass(cut, units) if cut else "")


def _row(plant: Plant, one: FlowLot, units: System) -> Row:
    lot = one.lot
    close = one.most - one.least < _ENOUGH
    return Row(
        lot.code,
        KIND_WORDS.get(lot.what or lot.kind, lot.what or lot.kind),
        STEP_WORDS.get(one.step_kind, "joined"),
        "" if one.at_ms is None else local(one.at_ms, plant.zone),
        _figure(one, units),
        percent(one.share),
        "" if close else f"{percent(one.least)} to {percent(one.most)}",
        "" if lot.place == lot.code else place_of(lot.place),
    )


def _figure(one: FlowLot, units: System) -> str:
    """Give a mass without its unit, which stands over the column."""
    return said(one, units).rpartition(" ")[0]


def _account(account: Account, units: System) -> tuple[tuple[tuple[str, str, str], ...], str]:
    named = (
        ("in the plant", account.in_stock),
        ("shipped", account.shipped),
        ("scrap and reclaim", account.scrapped),
        ("samples", account.sampled),
        *((f"lost: {name}", mg) for name, mg in account.losses.items()),
        ("unaccounted", account.unaccounted),
    )
    rows = [(name, mass(mg, units), _share(mg, account.made)) for name, mg in named if round(mg)]
    rows.append(("together", mass(account.total, units), _share(account.total, account.made)))
    return tuple(rows), mass(account.residue, units) if round(account.residue) else ""


def _share(mg: float, of: float) -> str:
    return percent(mg / of) if of else ""
