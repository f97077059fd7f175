"""The simulated plant: its parts on one clock, run for as many months as are wanted.

Read :func:`simulate` first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from beadwright.demo.contents import Mix
from beadwright.demo.sheets import Row, SiloMove
from beadwright.demo.simulated.expander import Expander
from beadwright.demo.simulated.feed import Feed, lines_of
from beadwright.demo.simulated.goods import BeadLot, Store
from beadwright.demo.simulated.laboratory import Laboratory
from beadwright.demo.simulated.parameters import Parameters
from beadwright.demo.simulated.press import Lot, Press
from beadwright.demo.simulated.returning import Returning
from beadwright.demo.simulated.weighing import Scales, down
from beadwright.demo.simulated.works import DAY, Fault, Works
from beadwright.demo.simulated.yard import Yard

__all__ = ["Plant", "simulate"]

_SWEEP = 22 * 60 + 30
_LEAST_KG = 2.0


@dataclass(frozen=True)
class Plant:
    """What was written, and what is true."""

    parameters: Parameters
    seed: int
    months: int
    end: int
    rows: dict[str, list[Row]]
    """By sheet, in the order of writing."""
    came: dict[str, Mix]
    """What truly came into each lot of blocks or packaging, in kg by bag or carton."""
    bundles: dict[str, Mix]
    """What is truly in each bundle."""
    faults: tuple[Fault, ...]
    bead_lots: tuple[BeadLot, ...]
    entered: Mapping[Row, int]
    """When rows were entered that people entered late."""
    left: Mapping[str, Sequence[float]]
    """By place, what truly stayed in it each time it was written down as empty, in kg."""
    uncaught_kg: float
    """Pentane that went into the air while its capture was down."""


def simulate(seed: int, months: int, parameters: Parameters) -> Plant:
    """Run the plant of a seed for some months; the same seed gives the same plant."""
    works = Works(parameters, seed)
    scales = Scales(works)
    store = Store(works, scales)
    expander = Expander(works, store, scales)
    yard, laboratory = Yard(works), Laboratory(works)

    def done(lot: Lot) -> None:
        yard.closed(lot)
        laboratory.closed(lot)

    for name, (line, hopper) in lines_of(parameters).items():
        kind = "packaging" if name.startswith("P") else "form"
        feed = Feed(works, expander, scales, kind, line, hopper)
        Press(works, store, scales, feed, name, yard.wanted, done)
        if feed.kind == "packaging":
            Returning(works, scales, feed)
    _sweep_daily(works, scales)
    end = months * works.month * DAY
    works.agenda.run(end)
    rows = {sheet: _closed(of, end, works.entered) for sheet, of in works.rows.items()}
    return Plant(
        parameters=parameters,
        seed=seed,
        months=months,
        end=end,
        rows=rows,
        came=_written(works.floor.came, rows["mould_runs"]),
        bundles=_written(works.floor.bundles, rows["bundles"]),
        faults=tuple(works.faults),
        bead_lots=tuple(store.lots),
        entered=works.entered,
        left=works.floor.left,
        uncaught_kg=expander.uncaught,
    )


def _sweep_daily(works: Works, scales: Scales) -> None:
    """Every night; on some of them, everything is swept."""

    def sweep(now: int) -> None:
        if works.sweeps(now):
            of = works.parameters
            places = [
                *of.names("silos", "form"),
                *of.names("silos", "packaging"),
                *sorted(
                    name for name in works.floor.inside if name[0] in "HL" and name[1:].isdigit()
                ),
            ]
            for number, name in enumerate(places):
                _sweep(works, scales, name, now + 4 * number)
        works.agenda.at(now + DAY, sweep)

    works.agenda.at(_SWEEP, sweep)


def _sweep(works: Works, scales: Scales, name: str, at: int) -> None:
    """What is left goes to a bin; the place runs empty, and is swept and looked into."""
    there = works.place(name)
    if works.wrong("unswept", at, name) is not None:
        works.happened("unswept", at, name, f"{name} was signed as swept, and was not")
        _signed(works, name, at)
        return
    left = down(there.kg - works.parameters.number("silos", "residue"), 1)
    if left > _LEAST_KG:
        bin_ = f"BIN-SW-{at // DAY + 1:03d}"
        works.place(bin_).put(there.draw(left))
        mass = scales.shown("SC-REC", left)
        row = SiloMove(at=at, by="NF", what="scrap", source=name, mass=mass, bin=bin_)
        works.write("silo_moves", row)
    _signed(works, name, at)
    there.empty()


def _signed(works: Works, name: str, at: int) -> None:
    """What is written of a sweep; what stays all the same, nobody knows."""
    works.floor.said_empty(name)
    works.write("silo_moves", SiloMove(at=at + 1, by="NF", what="ran_empty", source=name))
    swept = SiloMove(at=at + 2, by="NF", what="swept_empty", source=name, inspected_by="EI")
    works.write("silo_moves", swept)


def _written(mixes: Mapping[str, Mix], rows: Sequence[Row]) -> dict[str, Mix]:
    """Those of lots or bundles that the sheets knew when they were closed."""
    known = {getattr(row, "bundle", "") or getattr(row, "lot", "") for row in rows}
    return {code: mix for code, mix in mixes.items() if code in known}


def _closed(rows: list[Row], end: int, entered: Mapping[Row, int]) -> list[Row]:
    """Those that were entered by the end, in that order."""
    known = [(entered.get(row, row.written), row) for row in rows]
    return [row for at, row in sorted(known, key=lambda one: one[0]) if at < end]
