"""What the page of one entry shows: its head, what it says, what became of it, its hash.

Read :func:`page`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.ledger.draft import Correction, Draft, ReadingsDraft, Release, StepDraft
from beadwright.plant.entry_words import Facts, Heading, Part, Said, Table, content, head
from beadwright.plant.history import EntryView
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.said_words import ENTRY_WORDS, kind_of
from beadwright.plant.words import capital
from beadwright.quality.conditions import CURVE
from beadwright.units import System

__all__ = ["Block", "Cell", "Column", "EntryPage", "page"]


_WAYS = frozenset({"in", "out"})
_MANY = 40
"""More lots than that are named in runs."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: its title, and whether figures stand in it."""

    title: str
    figures: bool


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell, and whether it names a lot, or an entry."""

    text: str
    lot: bool
    figures: bool
    entry: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """A part of what an entry says; one of its fields is filled."""

    heading: str = ""
    said: str = ""
    lots: tuple[str, ...] = ()
    """Lots to lead to instead of what is said."""
    under: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    columns: tuple[Column, ...] = ()
    rows: tuple[tuple[Cell, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class EntryPage:
    """One entry as its page shows it."""

    seq: int
    what: str
    plant: str
    head: tuple[tuple[str, str], ...]
    about: int | None
    after: tuple[tuple[str, int], ...]
    """What later entries did to it: the word, and the entry."""
    stands: bool
    blocks: tuple[Block, ...]
    hash: str
    prev: str
    may_be_corrected: bool
    before: int | None
    """The entry before it in the record, and the one after."""
    next: int | None
    zone: str
    curves: tuple[tuple[str, str], ...]
    """Kept curves that its results were read from: hash and specimen."""
    release: str
    """The lot that it releases; empty where it is no release."""


def page(plant: Plant, view: EntryView, units: System) -> EntryPage:
    """Put an entry into words, in units of choice."""
    one = view.entered
    kinds = dict.fromkeys((ENTRY_WORDS[one.kind], kind_of(view)))
    rows = tuple(row for row in head(plant, view, Named.of(plant)) if row[0] != "about")
    return EntryPage(
        one.seq,
        ", ".join(kinds),
        plant.code,
        rows,
        view.about,
        tuple((each.did, each.seq) for each in view.followers),
        view.stands,
        tuple(_blocks(content(plant, view, units))),
        one.hash,
        one.prev,
        view.stands and isinstance(one.draft, StepDraft | ReadingsDraft | Correction),
        one.seq - 1 if one.seq > 1 else None,
        one.seq + 1 if one.seq < plant.head[0] else None,
        plant.zone.key,
        _curves(one.draft),
        one.draft.lot if isinstance(one.draft, Release) else "",
    )


def _curves(draft: Draft) -> tuple[tuple[str, str], ...]:
    said = draft.readings if isinstance(draft, ReadingsDraft) else ()
    named = ((one.facts[CURVE], one.specimen) for one in said if one.facts.get(CURVE))
    return tuple(dict.fromkeys(named))


def _blocks(parts: Iterable[Part]) -> Iterable[Block]:
    for part in parts:
        match part:
            case Heading():
                yield Block(heading=capital(part.text))
            case Said():
                yield Block(said=part.text, lots=part.lots if len(part.lots) <= _MANY else ())
            case Facts():
                if part.rows:
                    yield Block(facts=part.rows, under=part.under)
            case Table():
                yield _table(part)


def _table(part: Table) -> Block:
    """Leave out columns in which nothing stands."""
    used = [n for n in range(len(part.columns)) if any(row[n] for row in part.rows)]
    names = [part.columns[n].strip("!>") for n in used]
    figures = [part.columns[n].endswith(">") for n in used]
    columns = tuple(map(Column, names, figures))
    rows = tuple(
        tuple(
            # A loss and what is unaccounted for stand in the column of lots, and are none.
            Cell(
                row[n],
                lot=name == "lot" and (row[0] in _WAYS or row[0].isdigit()),
                figures=right,
                entry=name == "entry",
            )
            for n, name, right in zip(used, names, figures, strict=True)
        )
        for row in part.rows
    )
    return Block(columns=columns, rows=rows)
