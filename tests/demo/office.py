"""A clerk's reading of a plant's folder: the files alone, with arithmetic of its own.

Nothing of the program is used but the function that writes the folder.
"""

from __future__ import annotations

import csv
import functools
import json
import tempfile
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from beadwright.demo import write_plant

__all__ = ["HOURS", "KG", "Office", "Record", "office"]

KG = {"lb": 0.45359237, "kg": 1.0, "g": 0.001}
HOURS = timedelta(hours=1)
_DATES = {"YYYY-MM-DD hh:mm": "%Y-%m-%d %H:%M", "MM/DD/YYYY hh:mm": "%m/%d/%Y %H:%M"}


@functools.cache
def _time(text: str, style: str) -> datetime:
    return datetime.strptime(text, style)  # noqa: DTZ007 - all sheets are of one zone


@dataclass(frozen=True)
class Record:
    """One row: field to text, the unit of each field that has one, and the row's number."""

    number: int
    texts: Mapping[str, str]
    units: Mapping[str, str]
    style: str

    def __getitem__(self, field: str) -> str:
        return self.texts[field]

    def count(self, field: str) -> int:
        """Whole number; an empty cell is none."""
        return int(self.texts[field].replace(",", "") or 0)

    def value(self, field: str) -> float:
        """Number as typed."""
        return float(self.texts[field].replace(",", ""))

    def kg(self, field: str) -> float:
        """Mass; an empty cell is nothing."""
        return self.value(field) * KG[self.units[field]] if self.texts[field] else 0.0

    def time(self, field: str) -> datetime:
        """Local time."""
        return _time(self.texts[field], self.style)


@dataclass(frozen=True)
class Office:
    """A folder: settings, sheets as they stand, sheets as corrected, the answer sheet."""

    folder: Path
    plant: Mapping[str, Any]
    truth: Mapping[str, Any]
    typed: Mapping[str, list[Record]]
    sheets: Mapping[str, list[Record]]
    layouts: Mapping[str, Mapping[str, Any]]
    headers: Mapping[str, list[str]]

    def fault(self, kind: str) -> Mapping[str, Any]:
        """Give the planted fault of a kind."""
        (found,) = [fault for fault in self.truth["faults"] if fault["kind"] == kind]
        return dict(found)

    def draws(self) -> Iterator[tuple[datetime, str, float]]:
        """When, of which place or bag, how many kilograms: mould runs and transfers."""
        for row in self.sheets["mould_runs"]:
            pieces = row.count("good") + row.count("scrap")
            yield row.time("started"), row["from"], pieces * row.kg("foam_per_block")
        for row in self.sheets["silo_moves"]:
            if row["what"] == "transfer":
                yield row.time("at"), row["from"], row.kg("mass")

    def fills(self) -> Iterator[tuple[datetime, str, float]]:
        """When, of which place, how many kilograms: expansion runs and transfers."""
        for row in self.sheets["expansion_runs"]:
            weighed = row.kg("prefoam_mass") or row.kg("mass") - row.kg("loss")
            yield row.time("ended"), row["silo"], weighed
        for row in self.sheets["silo_moves"]:
            if row["what"] == "transfer":
                yield row.time("at"), row["to"], row.kg("mass")

    def emptied(self, *what: str) -> Iterator[tuple[datetime, str, str]]:
        """When which place ran empty or was swept."""
        for row in self.sheets["silo_moves"]:
            if row["what"] in what:
                yield row.time("at"), row["from"], row["what"]


@functools.cache
def office(seed: int) -> Office:
    """Write the plant of a seed and read it."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        write_plant(seed, folder)
        layouts = {
            path.name.removesuffix(".layout.toml"): tomllib.loads(path.read_text("utf-8"))
            for path in sorted(folder.glob("*.layout.toml"))
        }
        typed, headers = {}, {}
        for name, layout in layouts.items():
            headers[name], typed[name] = _sheet(folder / f"{name}.csv", layout)
        return Office(
            folder=folder,
            plant=tomllib.loads((folder / "plant.toml").read_text("utf-8")),
            truth=json.loads((folder / "truth.json").read_text("utf-8")),
            typed=typed,
            sheets=_corrected(typed),
            layouts=layouts,
            headers=headers,
        )


def _sheet(path: Path, layout: Mapping[str, Any]) -> tuple[list[str], list[Record]]:
    with path.open(encoding=layout["encoding"], newline="") as file:
        header, *lines = csv.reader(file, delimiter=layout["delimiter"])
    names: dict[str, str] = {}
    units: dict[str, str] = {}
    for text in header:
        heading, _, unit = text.partition(" [")
        names[heading] = text
        units[heading] = unit.rstrip("]")
    at = {field: header.index(names[heading]) for field, heading in layout["columns"].items()}
    of = {field: units[heading] for field, heading in layout["columns"].items()}
    number = header.index(layout["row"])
    style = _DATES[layout["dates"]]
    records = [
        Record(int(line[number]), {field: line[i] for field, i in at.items()}, of, style)
        for line in lines
    ]
    return header, records


def _corrected(typed: Mapping[str, list[Record]]) -> dict[str, list[Record]]:
    """Sheets in order of time, with the corrections sheet carried out."""
    sheets = {name: list(records) for name, records in typed.items()}
    for row in typed["corrections"]:
        rows = sheets[row["sheet"]]
        (i,) = [i for i, one in enumerate(rows) if str(one.number) == row["row"]]
        old = rows[i]
        texts = {**old.texts, row["field"]: row["value"]}
        rows[i] = Record(old.number, texts, old.units, old.style)
    return sheets
