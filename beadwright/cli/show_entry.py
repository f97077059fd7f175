"""What `entry` says: one entry of the record, whole."""

from __future__ import annotations

from beadwright.cli.printed import Page, write_json
from beadwright.plant.entry_json import entry_json
from beadwright.plant.entry_words import (
    Facts,
    Heading,
    Part,
    Said,
    Table,
    content,
    head,
)
from beadwright.plant.history import EntryView
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.said_words import ENTRY_WORDS, kind_of
from beadwright.units import System

__all__ = ["show", "told_after"]


def told_after(view: EntryView) -> list[str]:
    """Give what later entries did to this one, in words."""
    return [f"{one.did} by entry {one.seq}" for one in view.followers]


def show(plant: Plant, view: EntryView, *, units: System, json: bool) -> None:
    """Print one entry."""
    if json:
        write_json(entry_json(plant, view))
        return
    page, one, people = Page(), view.entered, Named.of(plant)
    what = dict.fromkeys((ENTRY_WORDS[one.kind], kind_of(view)))
    page.line(f"Entry {one.seq} of {plant.code}: {', '.join(what)}")
    for told in told_after(view):
        page.line(f"{told.upper()}.")
    page.facts(head(plant, view, people), indent=0)
    before: Part | None = None
    for part in content(plant, view, units):
        _print(page, part, under=isinstance(before, Heading))
        before = part
    page.line()
    page.facts([("hash", one.hash), ("follows", one.prev)], indent=0)


def _print(page: Page, part: Part, *, under: bool) -> None:
    """Print a part; what stands right under a heading needs no blank line, and is set in."""
    match part:
        case Heading():
            page.heading(part.text)
        case Said():
            page.line(part.text, indent=2)
        case Table():
            if not under:
                page.line()
            page.table(part.columns, part.rows)
        case Facts() if part.under:
            page.line()
            page.line(f"{part.under}:", indent=2)
            page.facts(part.rows, indent=4)
        case Facts():
            page.facts(part.rows, indent=2 if under else 0)
