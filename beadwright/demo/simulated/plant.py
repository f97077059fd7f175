"""The simulated plant: its parts on one clock, run for as many months as are wanted.

Read :func:`simulate` first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from beadwright.demo.sheets import Row, SiloMove
from beadwright.demo.simulated.contents import Mix
from beadwright.demo.simulated.expander import Expander
from beadwright.demo.simulated.feed import Feed
from beadwright.demo.simulated.goods import Store
from beadwright.demo.simulated.parameters import Parameters
from beadwright.demo.simulated.press import Press
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


def simulate(seed: int, months: int, parameters: Parameters) -> Plant:
    """Run the plant of a seed for some months; the same seed gives the same plant."""
    works = Works(parameters, seed)
    scales = Scales(works)
    store = Store(works, scales)
    expander = Expander(works, store, scales)
    yard = Yard(works)
    for name in parameters.table("press", "presses"):
        feed = _feed(name, works, expander, scales)
        Press(works, store, scales, feed, name, yard.wanted, yard.closed)
        if feed.kind == "packaging":
            Returning(works, scales, feed)
    _sweep_daily(works, scales)
    end = months * works.month * DAY
    works.agenda.run(end)
    rows = {sheet: _closed(of, end) for sheet, of in works.rows.items()}
    return Plant(
        parameters=parameters,
        seed=seed,
        months=months,
        end=end,
        rows=rows,
        came=_written(works.came, rows["mould_runs"]),
        bundles=_written(yard.bundles, rows["bundles"]),
        faults=tuple(works.faults),
    )


def _feed(press: str, works: Works, expander: Expander, scales: Scales) -> Feed:
    """Press FP2 draws straight from a silo; the others have a line and a hopper."""
    kind = "packaging" if press.startswith("P") else "form"
    if press == "FP2":
        return Feed(works, expander, scales, kind)
    number = "3" if kind == "packaging" else press[-1]
    return Feed(works, expander, scales, kind, f"L{number}", f"H{number}")


def _sweep_daily(works: Works, scales: Scales) -> None:
    """Every night; on some of them, everything is swept."""

    def sweep(now: int) -> None:
        if works.sweeps(now):
            of = works.parameters
            places = [
                *of.names("silos", "form"),
                *of.names("silos", "packaging"),
                *sorted(name for name in works.inside if name[0] in "HL" and name[1:].isdigit()),
            ]
            for number, name in enumerate(places):
                _sweep(works, scales, name, now + 4 * number)
        works.agenda.at(now + DAY, sweep)

    works.agenda.at(_SWEEP, sweep)


def _sweep(works: Works, scales: Scales, name: str, at: int) -> None:
    """What is left goes to a bin; the place runs empty, and is swept and looked into."""
    there = works.place(name)
    left = down(there.kg - works.parameters.number("silos", "residue"), 1)
    if left > _LEAST_KG:
        bin_ = f"BIN-SW-{at // DAY + 1:03d}"
        works.place(bin_).put(there.draw(left))
        mass = scales.shown("SC-REC", left)
        row = SiloMove(at=at, by="NF", what="scrap", source=name, mass=mass, bin=bin_)
        works.write("silo_moves", row)
    there.empty()
    works.write("silo_moves", SiloMove(at=at + 1, by="NF", what="ran_empty", source=name))
    swept = SiloMove(at=at + 2, by="NF", what="swept_empty", source=name, inspected_by="EI")
    works.write("silo_moves", swept)


def _written(mixes: Mapping[str, Mix], rows: Sequence[Row]) -> dict[str, Mix]:
    """Those of lots or bundles that the sheets knew when they were closed."""
    known = {getattr(row, "bundle", "") or getattr(row, "lot", "") for row in rows}
    return {code: mix for code, mix in mixes.items() if code in known}


def _closed(rows: list[Row], end: int) -> list[Row]:
    return sorted((row for row in rows if row.written < end), key=lambda row: row.written)
