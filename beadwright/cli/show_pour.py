"""What `pour` says: the lot that governs, its numbers, and the other lots."""

from __future__ import annotations

from beadwright.cli.printed import Page, local, write_json
from beadwright.cli.show_worked import lines
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.pour import (
    AID,
    NO_BAND,
    NOT_COUNTED,
    LotPour,
    PourAsked,
    PourSheet,
    answer_words,
    pour_json,
    pour_sheet,
    remark,
)
from beadwright.plant.words import iso
from beadwright.plant.worked_words import told_all
from beadwright.units import System

__all__ = ["answer", "show"]


def answer(plant: Plant, asked: PourAsked, *, why: bool, units: System, json: bool) -> None:
    """Work out the pour that was asked about, and print it."""
    show(plant, pour_sheet(plant.no, asked, moment(plant)), why=why, units=units, json=json)


def show(plant: Plant, found: PourSheet, *, why: bool, units: System, json: bool) -> None:
    """Print the sheet."""
    if json:
        write_json({**plant.about, "at": iso(found.at_ms, plant.zone), **pour_json(found)})
        return
    page = Page()
    page.line(f"Pour of {found.product}, {found.title}, of plant {plant.code}")
    page.line(f"As of {local(found.at_ms, plant.zone)}, {plant.zone.key}")
    page.line(f"{found.caution} {AID}")
    page.heading("Answer")
    if found.governs is None:
        page.line(f"No figure: {found.lacking}.")
    else:
        _answer(page, found, found.governs, why=why, units=units)
    _lots(page, found, units)
    page.line()
    if found.taken:
        page.line(f"Nobody said, so taken at its worst: {'; '.join(found.taken)}.")
    page.line(NO_BAND)
    page.line(f"Not counted: {'; '.join(NOT_COUNTED)}.")


def _answer(page: Page, found: PourSheet, lot: LotPour, *, why: bool, units: System) -> None:
    told = {one.key: one for one in told_all(lot.lines, units)}
    if lot.answer is None:
        page.line(f"unknown: not known without {'; '.join(_lacking(lot))}")
    else:
        for words in answer_words(lot.answer, units):
            page.item(words)
    weakest = "the weakest of the lots below" if len(found.lots) > 1 else "the only lot"
    page.line(f"Of lot {lot.lot}, {weakest}:")
    lines(page, [told[one.key] for one in lot.answers], why=why)
    page.heading("What these rest on")
    keys = {one.key for one in lot.answers}
    lines(page, [one for key, one in told.items() if key not in keys], why=why)


def _lacking(lot: LotPour) -> list[str]:
    rate = next(one for one in lot.lines if one.key == "rate")
    return list(rate.lacking) or [rate.refused]


def _lots(page: Page, found: PourSheet, units: System) -> None:
    page.heading("Lots")
    rows = []
    for lot in found.lots:
        told = {one.key: one.value for one in told_all(lot.lines, units)}
        cells = (told.get(key, "–") for key in ("strength", "rate", "lift"))
        rows.append((lot.lot, str(lot.specimens), *cells, remark(lot, units)))
    page.table(("lot", "specimens>", "!least>", "!rate>", "!lift>", "why none"), rows)
    page.line("Each speaks for itself alone: a lot without a test of its own is not among them.")
    if found.left_out:
        page.line(f"Left out, because they are not released: {found.left_out} tested lots.")
