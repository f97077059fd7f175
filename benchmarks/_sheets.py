"""A year of an invented plant as the sheets that ``beadwright import`` reads, of any length.

Read :class:`Year` first. Every two days a silo is filled from one bag, left to age, moulded into
four lots, bundled, shipped and swept: 46 steps, and 32 rows of readings.
Beside these stands one wide filling: lots of one block each, from one silo, so that a question
about its bag reaches three lots for each of them.
"""

from __future__ import annotations

import csv
import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

__all__ = ["WIDE_HOURS", "WIDE_SILO", "Cell", "Year", "at_ms"]

WIDE_SILO = "S99"
WIDE_HOURS = (2, 12)
"""Hours of the wide filling's last bag and of its first block, from the start."""

_START = datetime(2024, 1, 8, tzinfo=UTC)
_SILOS = 12
_LOTS, _BUNDLES = 4, 4  # lots a cycle, bundles a lot
_GOOD = 64
_FOAM_KG, _TIE_G, _TIES = 1.5, 35, 6
_BLOCK_KG = _FOAM_KG + _TIES * _TIE_G / 1000
_SIZES_MM = (1219, 286, 406)
_HANDS = ("KR", "DS", "EI")
_WIDE_BAG_KG = 2000

_PLANT = """\
[plant]
code = "BENCH"
name = "Larkhollow Form Works (invented)"
zone = "America/Phoenix"
since = 2024-01-01

[people]
KR = { id = "P-01", name = "Kesta Rumlow", role = "operator" }
DS = { id = "P-02", name = "Dorrin Selwick", role = "operator" }
EI = { id = "P-13", name = "Edda Ivesworth", role = "engineer" }

[product.FB6S]
family = "form"
title = "Straight block, 6 in cavity"
cavity = "6 in"
panel = "2.625 in"
shape = "straight"
ties = 6
foam_volume = "65.4 L"
foam_mass = "1.5 kg"
bundle = 15
moisture = { press = "0.04", 24h = "0.01", dry = "0" }

[grade.F1]
of = "bead"
flame_retardant = "yes"

[grade.PK1]
of = "bead"
flame_retardant = "no"

[grade.T6]
of = "tie"

[approved.FB6S]
revision = "R1"
grades = ["F1", "T6"]

[ageing.F1]
min_h = "8"
max_h = "96"

[place.FP1]
kind = "press"
"""

_SILO = """
[place.{name}]
kind = "silo"
content = true
accepts = ["F1"]
"""

_COLUMNS = {
    "bead_receipts": "received|bag|supplier_lot|grade|mass [kg]|by",
    "tie_receipts": "received|carton|supplier_lot|grade|pieces|unit_mass [g]|by",
    "expansion_runs": "run|started|ended|bag|mass [kg]|batches|silo|loss [kg]|by",
    "cups": "taken|run|silo|where|mass [g]|volume [L]|by",
    "silo_moves": "at|what|from|inspected_by|by",
    "mould_runs": "run|started|ended|press|mould|product|from|ties|lot|shots|good|scrap"
    "|foam_per_block [kg]|ties_used|scrap_bin|by",
    "inspections": "at|lot|specimen|age [h]|state|mass [kg]|length [mm]|width [mm]|height [mm]"
    "|checked|bad_ties|rejected|scrap_bin|by",
    "bundles": "at|bundle|lot|pieces|by",
    "shipments": "at|shipment|receiver|what|pieces|by",
    "reclaim": "at|what|from|to|mass [kg]|ties_mass [kg]|by",
}
_STEPS = frozenset(_COLUMNS) - {"cups", "inspections"}
"""Sheets of which every row is a step; of the inspections only a rejection is one."""

_LAYOUT = """\
sheet = "{sheet}"
encoding = "utf-8"
delimiter = ","
decimal = "."
dates = "YYYY-MM-DD hh:mm"
zone = "America/Phoenix"
row = "row"
[columns]
"""

Cell = str | int | float


def at_ms(hours: float) -> int:
    """UTC milliseconds of an hour of the year; the plant's clocks stand seven hours behind."""
    return round((_START.timestamp() + (hours + 7) * 3600) * 1000)


@dataclass
class Year:
    """Rows of the plant's sheets, cycle after cycle; the same seed gives the same files."""

    seed: int = 2024
    rows: dict[str, list[list[Cell]]] = field(default_factory=lambda: {n: [] for n in _COLUMNS})
    steps: int = 0
    _next: int = 0
    _first: int = field(init=False)

    def __post_init__(self) -> None:
        """Remember where it begins."""
        self._first = self._next

    def grow(self, steps: int) -> None:
        """Add cycles until there are so many steps; the last shipments over them are left out."""
        while self.steps < steps:
            _Cycle(self, self._next, random.Random(self.seed * 100_003 + self._next)).write()
            self._next += 1
        over = self.steps - steps
        del self.rows["shipments"][len(self.rows["shipments"]) - over :]
        self.steps = steps

    @property
    def cycles(self) -> int:
        """How many fillings of a silo there are."""
        return self._next - self._first

    def next(self) -> Year:
        """Give the year that goes on where this one ends."""
        return Year(self.seed, _next=self._next)

    def wide(self, lots: int) -> None:
        """Add the wide filling: so many lots of one block, each bundled and shipped."""
        self.add("tie_receipts", [_time(0), "TC-W", "TL-W", "T6", lots * _TIES, _TIE_G, "KR"])
        for bag, hour in (("WIDE-0", 0.5), ("WIDE-1", 1), ("WIDE-2", WIDE_HOURS[0])):
            self.add("bead_receipts", [_time(0), bag, "SL-W", "F1", _WIDE_BAG_KG, "KR"])
            ends = [_time(hour - 0.5), _time(hour)]
            self.add(
                "expansion_runs",
                ["X-W", *ends, bag, _WIDE_BAG_KG, 100, WIDE_SILO, _WIDE_BAG_KG / 50, "KR"],
            )
        for i in range(lots):
            block = WIDE_HOURS[1] + i / 60
            lot, bundle = f"WL-{i:04d}", f"WB-{i:04d}"
            run: list[Cell] = ["MR-W", _time(block), _time(block + 1 / 60), "FP1", "M1", "FB6S"]
            self.add("mould_runs", [*run, WIDE_SILO, "TC-W", lot, 1, 1, 0, _FOAM_KG, 6, "", "DS"])
            self.add("bundles", [_time(block + 24), bundle, lot, 1, "DS"])
            self.add("shipments", [_time(block + 48), f"WS-{i:04d}", "Yard 7", bundle, 1, "EI"])

    def add(self, sheet: str, cells: list[Cell], *, step: bool | None = None) -> None:
        """Add a row; it is a step if its sheet's rows are, unless said otherwise."""
        self.rows[sheet].append(cells)
        self.steps += (sheet in _STEPS) if step is None else step

    def write(self, folder: Path) -> None:
        """Write the folder: settings, and each sheet with its layout."""
        folder.mkdir(parents=True, exist_ok=True)
        silos = [*(_silo(i) for i in range(_SILOS)), WIDE_SILO]
        settings = _PLANT + "".join(_SILO.format(name=name) for name in silos)
        (folder / "plant.toml").write_text(settings, encoding="utf-8")
        for sheet, rows in self.rows.items():
            headers = _COLUMNS[sheet].split("|")
            named = {header.split(" [")[0]: header for header in headers}
            columns = "".join(f'{name} = "{name}"\n' for name in named)
            layout = _LAYOUT.format(sheet=sheet) + columns
            (folder / f"{sheet}.layout.toml").write_text(layout, encoding="utf-8")
            with (folder / f"{sheet}.csv").open("w", encoding="utf-8", newline="") as file:
                out = csv.writer(file)
                out.writerow(["row", *headers])
                first = self._first * 1000  # ids of the rows of another folder differ
                out.writerows([first + number, *row] for number, row in enumerate(rows))


@dataclass
class _Cycle:
    """Two days of one silo."""

    year: Year
    number: int
    random: random.Random

    def write(self) -> None:
        """Add every row."""
        self._fill()
        for j in range(_LOTS):
            self._mould(j)
        add, n = self.year.add, self.number
        add("silo_moves", [self._at(23), "swept_empty", self.silo, "EI", self._by()])
        scrapped: list[Cell] = [self._at(30), "strip", self.bin, f"SF-{n}", 6.6, 0.8, self._by()]
        add("reclaim", scrapped)
        add("reclaim", [self._at(31), "grind", f"SF-{n}", f"RG-{n}", 5.5, "", self._by()])

    @property
    def silo(self) -> str:
        return _silo(self.number % _SILOS)

    @property
    def bin(self) -> str:
        return f"BIN-{self.number % _SILOS + 1:02d}"

    def _at(self, hours: float) -> str:
        start = 48 * (self.number // _SILOS) + 4 * (self.number % _SILOS)
        return _time(start + hours)

    def _by(self) -> str:
        return self.random.choice(_HANDS)

    def _about(self, value: float, share: float = 0.004, digits: int = 3) -> float:
        return round(self.random.gauss(value, value * share), digits)

    def _fill(self) -> None:
        n, add = self.number, self.year.add
        add("bead_receipts", [self._at(0), f"B-{n}", f"SL-{n // 10}", "F1", 500, self._by()])
        pieces = 2 * _LOTS * _GOOD * _TIES
        ties: list[Cell] = [
            self._at(0),
            f"TC-{n}",
            f"TL-{n // 20}",
            "T6",
            pieces,
            _TIE_G,
            self._by(),
        ]
        add("tie_receipts", ties)
        for i in range(4):
            ends: list[Cell] = [self._at(0.5 + i / 2), self._at(0.9 + i / 2)]
            run: list[Cell] = [f"X-{n}", *ends, f"B-{n}", 100, 20, self.silo, 2, self._by()]
            add("expansion_runs", run)
            for where, grams in (("hot", 222), ("dried", 218)):
                cup: list[Cell] = [
                    self._at(0.7 + i / 2),
                    f"X-{n}",
                    self.silo,
                    where,
                    self._about(grams),
                    10,
                ]
                add("cups", [*cup, self._by()])

    def _mould(self, j: int) -> None:
        n, add = self.number, self.year.add
        lot, start = f"L-{n}-{j}", 14 + 2 * j
        scrapped = 1
        used = (_GOOD + scrapped) * _TIES
        run: list[Cell] = [f"MR-{n}", self._at(start), self._at(start + 1.9), "FP1", "M1", "FB6S"]
        made: list[Cell] = [
            self.silo,
            f"TC-{n}",
            lot,
            _GOOD + scrapped,
            _GOOD,
            scrapped,
            _FOAM_KG,
            used,
        ]
        add("mould_runs", [*run, *made, self.bin, self._by()])
        for row in self._inspections(lot, start):
            add("inspections", row, step=bool(row[11]))
        for i in range(_BUNDLES):
            bundle = f"BU-{n}-{j}-{i}"
            pieces = _GOOD // _BUNDLES - (i == j == 0)
            add("bundles", [self._at(start + 16), bundle, lot, pieces, self._by()])
            shipped: list[Cell] = [f"SH-{n}-{j}-{i // 2}", "Yard 3", bundle, pieces, self._by()]
            add("shipments", [self._at(start + 26), *shipped])

    def _inspections(self, lot: str, start: int) -> Iterator[list[Cell]]:
        for i in range(6):
            state, age, wet = ("press", 0.5, 1.04) if i < 3 else ("24h", 24, 1.01)
            mass = self._about(_FOAM_KG * wet + _TIES * _TIE_G / 1000)
            sizes = [self._about(mm, 0.001, 1) for mm in _SIZES_MM]
            rejected: Cell = 1 if i == 3 and lot.endswith("-0") else ""
            bin_ = self.bin if rejected else ""
            row: list[Cell] = [self._at(start + 2 + age), lot, f"{i + 1}", age, state, mass]
            yield [*row, *sizes, 20, i % 2, rejected, bin_, self._by()]


def _silo(number: int) -> str:
    return f"S{number + 1:02d}"


def _time(hours: float) -> str:
    return (_START + timedelta(hours=hours)).strftime("%Y-%m-%d %H:%M")
