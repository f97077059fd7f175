"""A clerk who knows the sheets alone, and follows one bag or carton through them by hand.

Read :func:`followed` first. Nothing of the program is used: rows are read as text, every place is
taken to be well mixed, what came first into a lot as less than one bead ends there, and in a place
that ran empty no more than a kilogram stays until it is swept.
"""

from __future__ import annotations

import csv
import tomllib
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

__all__ = ["BEAD_KG", "Event", "Followed", "events", "followed", "masses", "most_through"]

BEAD_KG = 0.4e-6
RESIDUE_KG = 1.0
_NOTHING = 1e-9
_KG = {"lb": 0.45359237, "kg": 1.0}
_DATES = {"YYYY-MM-DD hh:mm": "%Y-%m-%d %H:%M", "MM/DD/YYYY hh:mm": "%m/%d/%Y %H:%M"}
_Sides = list[tuple[str, float]]


@dataclass(order=True)
class Event:
    """What a row moves: when, in which order within a minute, and from where into what, in kg."""

    at: datetime
    rank: int
    number: int
    came_from: _Sides = field(default_factory=list, compare=False)
    went_into: _Sides = field(default_factory=list, compare=False)
    emptied: str = field(default="", compare=False)
    swept: bool = field(default=False, compare=False)


class _Row:
    """One row as text, by field."""

    def __init__(self, texts: Mapping[str, str], units: Mapping[str, str], style: str) -> None:
        self.texts, self.units, self.style = texts, units, style

    def __getitem__(self, field_: str) -> str:
        return self.texts[field_]

    def number(self, field_: str) -> float:
        text = self.texts[field_].replace(",", "")
        return float(text) * _KG.get(self.units[field_], 1.0) if text else 0.0

    def time(self, field_: str) -> datetime:
        return datetime.strptime(self.texts[field_], self.style)  # noqa: DTZ007 - one zone


def _rows(folder: Path, sheet: str) -> list[_Row]:
    layout = tomllib.loads((folder / f"{sheet}.layout.toml").read_text("utf-8"))
    with (folder / f"{sheet}.csv").open(encoding="utf-8", newline="") as file:
        header, *lines = csv.reader(file, delimiter=layout["delimiter"])
    names = [text.partition(" [")[0] for text in header]
    units = {text.partition(" [")[0]: text.partition(" [")[2].rstrip("]") for text in header}
    fields = layout["columns"]
    style = _DATES[layout["dates"]]
    right = {} if sheet == "corrections" else _corrected(folder)
    found = []
    for line in lines:
        by_name = dict(zip(names, line, strict=True))
        texts = {name: by_name[heading] for name, heading in fields.items()}
        texts |= right.get((sheet, by_name[layout["row"]]), {})
        found.append(_Row(texts, {name: units[at] for name, at in fields.items()}, style))
    return found


def _corrected(folder: Path) -> dict[tuple[str, str], dict[str, str]]:
    """What rows should read by the sheet of corrections, by sheet and row."""
    found: dict[tuple[str, str], dict[str, str]] = defaultdict(dict)
    if (folder / "corrections.csv").exists():
        for row in _rows(folder, "corrections"):
            found[row["sheet"], row["row"]][row["field"]] = row["value"]
    return found


def events(folder: Path) -> list[Event]:
    """Every row that moves something, in order."""
    unit: dict[str, float] = {}
    found = [*_arrivals(folder, unit), *_beads(folder), *_moulded(folder, unit)]
    found += [*_pieces(folder, unit), *_reclaimed(folder)]
    return sorted(found)


def _arrivals(folder: Path, unit: dict[str, float]) -> Iterator[Event]:
    for i, row in enumerate(_rows(folder, "bead_receipts")):
        yield Event(row.time("received"), 1, i, [], [(row["bag"], row.number("mass"))])
    for i, row in enumerate(_rows(folder, "tie_receipts")):
        unit[row["carton"]] = row.number("unit_mass")
        kg = row.number("pieces") * row.number("unit_mass")
        yield Event(row.time("received"), 1, i, [], [(row["carton"], kg)])


def _beads(folder: Path) -> Iterator[Event]:
    for i, row in enumerate(_rows(folder, "expansion_runs")):
        came, went = [(row["bag"], row.number("mass"))], [(row["silo"], row.number("prefoam_mass"))]
        yield Event(row.time("ended"), 2, i, came, went)
    for i, row in enumerate(_rows(folder, "silo_moves")):
        kg, at = row.number("mass"), row.time("at")
        if row["what"] in ("transfer", "scrap"):
            into = row["to"] or row["bin"]
            yield Event(at, 3, i, [(row["from"], kg)], [(into, kg)])
        else:
            swept = row["what"] == "swept_empty"
            yield Event(at, 0 if swept else 9, i, emptied=row["from"], swept=swept)


def _moulded(folder: Path, unit: dict[str, float]) -> Iterator[Event]:
    products = tomllib.loads((folder / "plant.toml").read_text("utf-8"))["product"]
    for i, row in enumerate(_rows(folder, "mould_runs")):
        pieces = row.number("good") + row.number("scrap")
        foam, ties = row.number("foam_per_block"), row.number("ties_used")
        tie = unit.get(row["ties"], 0.0)
        each = int(products[row["product"]]["ties"]) if ties else 0
        block = foam + each * tie
        came = [(row["from"], pieces * foam)] + ([(row["ties"], ties * tie)] if ties else [])
        unit.setdefault(row["lot"], block)
        scrapped = row.number("scrap") * block + (ties - each * pieces) * tie
        went = [(row["lot"], row.number("good") * block)] if row.number("good") else []
        went += [(row["scrap_bin"], scrapped)] if scrapped else []
        yield Event(row.time("started"), 4, i, came, went)


def _pieces(folder: Path, unit: dict[str, float]) -> Iterator[Event]:
    for i, row in enumerate(_rows(folder, "inspections")):
        if row.number("rejected"):
            kg = row.number("rejected") * unit[row["lot"]]
            yield Event(row.time("at"), 5, i, [(row["lot"], kg)], [(row["scrap_bin"], kg)])
    for rank, sheet, source, into in (
        (6, "bundles", "lot", "bundle"),
        (7, "shipments", "what", "shipment"),
    ):
        for i, row in enumerate(_rows(folder, sheet)):
            unit.setdefault(row[into], unit[row[source]])
            kg = row.number("pieces") * unit[row[source]]
            yield Event(row.time("at"), rank, i, [(row[source], kg)], [(row[into], kg)])


def _reclaimed(folder: Path) -> Iterator[Event]:
    for i, row in enumerate(_rows(folder, "reclaim")):
        kg, ties = row.number("mass"), row.number("ties_mass")
        went = [(row["to"], kg - ties)] if row["to"] else []
        went += [(f"{row['to']}-T", ties)] if ties else []
        yield Event(row.time("at"), 8, i, [(row["from"], kg)], went)


def masses(told: list[Event]) -> dict[str, float]:
    """What ever came into each lot, in kg."""
    found: dict[str, float] = defaultdict(float)
    for event in told:
        for lot, kg in event.went_into:
            found[lot] += kg
    return found


def most_through(told: list[Event]) -> float:
    """The most that came into one place between two sweeps, in kg."""
    places = {event.emptied for event in told if event.emptied}
    since: dict[str, float] = defaultdict(float)
    most = 0.0
    for event in told:
        if event.swept:
            since[event.emptied] = 0.0
        for lot, kg in event.went_into:
            if lot in places:
                since[lot] += kg
                most = max(most, since[lot])
    return most


@dataclass
class Followed:
    """Where a bag or carton may have got to by the sheets, down to one bead."""

    reached: set[str] = field(default_factory=set)
    """Every lot and place."""
    emptied: list[tuple[str, int]] = field(default_factory=list)
    """Places that ran empty of it, and which time that was for the place, from 0 on."""
    beyond: float = 0.0
    """What was taken of it out of lots of blocks beyond what they held, in kg: all are counted at
    the mass of the first, and their ties may come out of unlike cartons."""
    over: dict[str, float] = field(default_factory=dict)
    """What was taken of it out of each place beyond what that held, in kg."""


def followed(told: list[Event], source: str) -> Followed:
    """Follow a bag or carton through the sheets."""
    stock: dict[str, float] = defaultdict(float)
    inside: dict[str, float] = {}
    times: dict[str, int] = defaultdict(int)
    found, places = Followed(), {event.emptied for event in told}
    for event in told:
        if event.emptied:
            if not event.swept:
                if event.emptied in inside:
                    found.emptied.append((event.emptied, times[event.emptied]))
                times[event.emptied] += 1
            _emptied(event, stock, inside)
            continue
        came = sum(kg for _, kg in event.came_from)
        for lot, kg in event.came_from:
            if lot in inside:
                more = max(0.0, kg - stock[lot])
                more *= inside[lot] / stock[lot] if stock[lot] > 0 else 1.0
                if lot in places:
                    found.over[lot] = found.over.get(lot, 0.0) + more
                else:
                    found.beyond += more
        ours = sum(_drawn(lot, kg, source, stock, inside) for lot, kg in event.came_from)
        for lot, kg in event.went_into:
            stock[lot] += kg
            part = kg * ours / came if came else 0.0
            if part and (lot in inside or part >= BEAD_KG):
                inside[lot] = inside.get(lot, 0.0) + part
                found.reached.add(lot)
    return found


def _drawn(
    lot: str, kg: float, source: str, stock: dict[str, float], inside: dict[str, float]
) -> float:
    """Take a draw out of a lot; give what of it is of the source."""
    if lot == source:
        return kg
    there, held = stock[lot], inside.get(lot, 0.0)
    stock[lot] = max(0.0, there - kg)
    if not held:
        return 0.0
    share = held / there if there > 0 else 1.0
    if kg < there - _NOTHING:
        inside[lot] = held * (1 - kg / there)
        return share * kg
    inside[lot] = min(held, share * RESIDUE_KG)
    return share * kg


def _emptied(event: Event, stock: dict[str, float], inside: dict[str, float]) -> None:
    lot = event.emptied
    held, there = inside.get(lot, 0.0), stock[lot]
    stock[lot] = 0.0
    if event.swept:
        inside.pop(lot, None)
    elif held:
        inside[lot] = min(held, held / there * RESIDUE_KG if there > 0 else held)
