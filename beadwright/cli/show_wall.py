"""What `wall` says: where the courses end, the lots that were gauged, the wall's resistance."""

from __future__ import annotations

from beadwright.cli.printed import Page, local, write_json
from beadwright.cli.show_worked import lines
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.wall import (
    CLAIM,
    NOT_COUNTED,
    WallAsked,
    WallSheet,
    short_length,
    wall_json,
    wall_sheet,
    wall_told,
    wall_words,
)
from beadwright.plant.words import iso
from beadwright.units import System

__all__ = ["answer"]


def answer(plant: Plant, asked: WallAsked, *, why: bool, units: System, json: bool) -> None:
    """Work out the wall that was asked about, and print it."""
    found = wall_sheet(plant.no, asked, moment(plant))
    if json:
        write_json({**plant.about, "at": iso(found.at_ms, plant.zone), **wall_json(found)})
        return
    page = Page()
    page.line(f"Wall of {found.product}, {found.title}, of plant {plant.code}")
    page.line(f"As of {local(found.at_ms, plant.zone)}, {plant.zone.key}")
    page.heading("Where the courses end")
    for text in wall_words(found, units):
        page.item(text)
    told = {one.key: one for one in wall_told(found, units)}
    warm = {one.key for one in found.resistance}
    lines(page, [one for key, one in told.items() if key not in warm], why=why)
    _lots(page, found, units)
    page.heading("Heat through the finished wall")
    lines(page, [told[one.key] for one in found.resistance], why=why)
    page.line(CLAIM)
    page.line()
    if found.taken:
        page.line(f"Nobody said, so taken by common practice: {'; '.join(found.taken)}.")
    page.line(f"Not counted: {'; '.join(NOT_COUNTED)}.")
    page.line("A chance guides inside the plant, and goes on no paper that leaves it.")


def _lots(page: Page, found: WallSheet, units: System) -> None:
    page.heading("Lots that were gauged")
    rows = [
        (one.lot, str(one.count), short_length(one.mean_m, units, 3), one.why_not)
        for one in found.measured.lots
    ]
    page.table(("lot", "blocks>", "!mean height>", "not released because"), rows)
    if found.measured.left_out:
        page.line(f"Left out, because they are not released: {found.measured.left_out} lots.")
