"""What `ageing` says: the caution first, every silo in a row, then each with its reasons."""

from __future__ import annotations

from dataclasses import replace

from beadwright.cli.printed import Page, local, write_json
from beadwright.cli.show_worked import made_of
from beadwright.errors import Misuse
from beadwright.plant.ageing import (
    AGEING_CAUTION,
    AgeingBoard,
    SiloAgeing,
    ageing_board,
    silo_said,
)
from beadwright.plant.ageing.told import ageing_json
from beadwright.plant.ageing.words import ESTIMATE_WORDS
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.worked_words import told_all
from beadwright.units import System

__all__ = ["asked", "show"]

_GOVERN = "Local code and licensed practice govern."


def asked(plant: Plant, silo: str) -> AgeingBoard:
    """Give the board, of one silo where it is named."""
    board = ageing_board(plant.no, moment(plant))
    if not silo:
        return board
    some = tuple(one for one in board.silos if one.silo.place == silo.upper())
    if not some:
        known = ", ".join(one.silo.place for one in board.silos) or "none"
        message = f"no silo of {plant.code} that holds beads is called {silo!r}; those: {known}"
        raise Misuse(message)
    return replace(board, silos=some)


def show(plant: Plant, board: AgeingBoard, *, why: bool, units: System, json: bool) -> None:
    """Print the board."""
    if json:
        write_json(ageing_json(plant, board))
        return
    page = Page()
    page.line(f"Ageing of the beads of plant {plant.code}, {local(board.at_ms, plant.zone)}")
    page.line(f"Caution. {AGEING_CAUTION} {_GOVERN}")
    if not board.silos:
        page.line("No silo holds beads.")
        return
    columns = ("!silo", "!age>", "!signed from", "!until", "by estimate fit from", "until", "now")
    page.table(columns, [_row(one, plant) for one in board.silos])
    for one in board.silos:
        _silo(page, one, units, why=why)


def _row(one: SiloAgeing, plant: Plant) -> tuple[str, ...]:
    silo, estimate = one.silo, one.estimate

    def at(ms: int | None) -> str:
        return "not signed" if ms is None else local(ms, plant.zone)[5:]

    edges = (None, None) if estimate is None else (estimate.opens.at_ms, estimate.closes.at_ms)
    return (
        silo.place,
        f"{silo.youngest_h or 0:.0f} to {silo.oldest_h or 0:.0f} h",
        at(silo.ready_ms),
        at(silo.use_by_ms),
        *("unknown" if edge is None else local(edge, plant.zone)[5:] for edge in edges),
        ", ".join(ESTIMATE_WORDS[state] for state in one.states),
    )


def _silo(page: Page, one: SiloAgeing, units: System, *, why: bool) -> None:
    said = silo_said(one)
    page.heading(f"{one.silo.place}: {one.silo.words}, by the hours that are signed")
    for text in (said.signed, f"By estimate: {said.window}", *said.against, said.proposes):
        if text:
            page.line(text, indent=2)
    for text in said.mesh:
        page.item(text)
    if not why:
        return
    for grade in one.grades:
        for line in told_all(grade.lines, units):
            band = f" ({line.band})" if line.band else ""
            made_of(page, line, f"{line.title}: {line.value}{band};")
