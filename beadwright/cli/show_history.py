"""What `history` says: everything that was said of a lot, a line for each entry."""

from __future__ import annotations

from typing import Any

from beadwright.cli.printed import Page, local, write_json
from beadwright.cli.show_entry import told_after
from beadwright.plant.entry_words import at_of
from beadwright.plant.history import EntryView, History
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.said_words import kind_of, sentence
from beadwright.plant.words import KIND_WORDS, iso, number, place_of
from beadwright.units import System

__all__ = ["history_json", "show"]


def show(plant: Plant, found: History, *, units: System, json: bool) -> None:
    """Print a lot's history."""
    if json:
        write_json(history_json(plant, found, units))
        return
    page, lot, named = Page(), found.lot, Named.of(plant)
    what = KIND_WORDS.get(lot.what or lot.kind, lot.what or lot.kind)
    at = f", at {place_of(lot.place)}" if lot.place and lot.place != lot.code else ""
    page.line(f"{lot.code} ({what}{f' of {lot.product}' if lot.product else ''}){at}")
    page.line(
        f"{number(len(found.lines), 'entry')} of the record, in the order in which they happened;"
        " `beadwright entry NUMBER` shows one whole."
    )
    page.line(f"Plant {plant.code}, times in {plant.zone.key}, record to entry {plant.head[0]}")
    page.line()
    for view, _ in found.lines:
        page.item(
            _line(plant, view, lot.code, named, units), mark=f"{view.entered.seq:>6}", indent=0
        )


def _line(plant: Plant, view: EntryView, lot: str, named: Named, units: System) -> str:
    by = named(view.entered.draft.by)
    who = f"; by {by}" if by else ""
    after = "".join(f" — {told.upper()}" for told in told_after(view))
    return (
        f"{local(at_of(view), plant.zone)}  {named.within(sentence(view, lot, units))}{who}{after}"
    )


def history_json(plant: Plant, found: History, units: System) -> dict[str, Any]:
    """Give a history as a map that JSON can hold."""
    named = Named.of(plant)
    return {
        **plant.about,
        "lot": found.lot.code,
        "id": found.lot.id,
        "kind": found.lot.kind,
        "what": found.lot.what,
        "product": found.lot.product,
        "entries": [
            {
                "entry": view.entered.seq,
                "kind": view.entered.kind,
                "what": kind_of(view),
                "key": view.entered.draft.key,
                "happened_at": iso(at_of(view), plant.zone),
                "recorded_at": iso(view.entered.recorded_at, plant.zone),
                "account": view.entered.account,
                "by": view.entered.draft.by,
                "name": named.name(view.entered.draft.by),
                "related": why,
                "stands": view.stands,
                "about_entry": view.about,
                "followers": [{"entry": one.seq, "did": one.did} for one in view.followers],
                "sentence": sentence(view, found.lot.code, units),
            }
            for view, why in found.lines
        ],
    }
