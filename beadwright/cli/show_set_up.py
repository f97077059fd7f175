"""What `set-up` says: the sheet of a product, section by section."""

from __future__ import annotations

from beadwright.cli.printed import Page, local, write_json
from beadwright.cli.show_worked import lines
from beadwright.plant.opening import Plant
from beadwright.plant.set_up import SetUp, set_up_json
from beadwright.plant.worked_words import told_all
from beadwright.units import System

__all__ = ["show"]


def show(plant: Plant, found: SetUp, *, why: bool, units: System, json: bool) -> None:
    """Print the sheet."""
    if json:
        write_json(set_up_json(plant, found))
        return
    page = Page()
    page.line(f"Set-up of {found.product}, {found.title}, of plant {plant.code}")
    page.line(f"As of {local(found.at_ms, plant.zone)}, {plant.zone.key}; {found.choice_words}")
    told = {one.key: one for one in told_all(found.lines, units)}
    for section in found.sections:
        page.heading(section.title)
        lines(page, [told[one.key] for one in section.lines], why=why)
        for text in (section.says, section.caution):
            if text:
                page.line(text, indent=2)
    page.line()
    page.line(
        "exact: arithmetic or a published formula; estimate: with its band; --why shows what each"
        " number is made of. An estimate decides nothing."
    )
