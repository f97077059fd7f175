"""What a stocktake shows: one sheet with each lot's box, and how far it is off the books.

Read :class:`SheetPage`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from beadwright.errors import Fault
from beadwright.interop.keyed import Keyed
from beadwright.plant.figures import mass, percent
from beadwright.plant.stocktaking import Compared, Listed, Sheet
from beadwright.plant.upstream import local
from beadwright.plant.words import KIND_WORDS, code_words, number, place_of
from beadwright.units import System
from beadwright.web.stations.fits import Asking, Option
from beadwright.web.stations.newest import Earlier
from beadwright.web.stations.stocktake.form import Sent

__all__ = ["Question", "Row", "SheetPage", "off", "question", "row", "summary"]


@dataclass(frozen=True, slots=True)
class Row:
    """One lot: what the books have, what was found, and how far they differ."""

    code: str
    says: str
    books: str
    unit: str
    mode: str
    """Keys that a tablet shows."""
    text: str
    missing: bool
    held: str
    said: str
    """When it was last counted; empty where it never was."""
    wrong: str
    extra: bool
    none: str
    """The word for nothing being there."""
    off: str = ""
    sort: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """A large difference that is asked about once."""

    why: str
    value: str


@dataclass(frozen=True, slots=True)
class SheetPage:
    """One sheet."""

    sheet: Sheet
    key: str
    unit: str
    rows: tuple[Row, ...]
    earlier: int
    """Lots before the sheet before this one."""
    next: int
    other_unit: str
    summary: str = ""
    faults: tuple[Fault, ...] = ()
    questions: tuple[Question, ...] = ()
    sure: str = ""
    """What the one yes to all that is asked sends."""
    which: Asking | None = None
    add: str = ""
    done: str = ""
    flaws: tuple[str, ...] = ()
    newest: tuple[Earlier, ...] = ()
    offers: tuple[Option, ...] = ()
    """Lots to add, to choose from."""


def row(one: Listed, sheet: Sent, form: Keyed | None, system: System, zone: ZoneInfo) -> Row:
    """Give a lot's row; what is wrong with what was keyed stands beside it."""
    faults = () if form is None else [fault for some in form.faults.values() for fault in some]
    causes = sorted({code_words(cause.partition(":")[0]) for cause in one.held})
    return Row(
        one.lot,
        _says(one),
        _books(one, system),
        "pieces" if one.counted else sheet.unit,
        "numeric" if one.counted else "decimal",
        sheet.texts.get(one.lot, ""),
        one.lot in sheet.missing,
        ", ".join(causes),
        "" if one.said_ms is None else local(one.said_ms, zone),
        " ".join(f"{_worded(fault)}. {fault.remedy}".strip() for fault in faults),
        one.lot in sheet.extra,
        "empty" if one.what == "content" else "not found",
    )


def _worded(fault: Fault) -> str:
    return fault.what.replace('"found_mass"', "What was found").replace(
        '"found_pieces"', "What was found"
    )


def _says(one: Listed) -> str:
    what = KIND_WORDS.get(one.what or one.kind, one.what or one.kind)
    if one.what == "content":
        what = "holds" if one.named else "place"
    place = f"at {place_of(one.place)}" if one.place and one.place != one.lot else ""
    used = "used up" if one.rest else ""
    return ", ".join(part for part in (f"{what} {one.named}".strip(), place, used) if part)


def _books(one: Listed, system: System) -> str:
    if one.counted:
        return number(one.pieces, "piece")
    return mass(one.mg, system) if one.mg else "nothing"


def off(one: Compared, system: System) -> tuple[str, str]:
    """Say how far a lot is off the books, with the sort of its state."""
    if one.side == "as_booked":
        return "as booked", "good"
    amount = mass(abs(one.differ_mg), system)
    if one.listed.counted:
        amount = number(abs(one.differ_pieces), "piece")
    share = "" if one.share is None else f", {percent(abs(one.share))} %"
    return f"{amount} {one.side}{share}", "stop" if one.large else "ask"


def question(one: Compared, sheet: Sent, system: System) -> Question:
    """Ask about a large difference, with what was keyed."""
    code, said = one.listed.lot, off(one, system)[0]
    unit = "pieces" if one.listed.counted else sheet.unit
    found = "not found" if code in sheet.missing else f"{sheet.text(code)} {unit}"
    return Question(f"{code}: the books say {_books(one.listed, system)}; {said}.", found)


def summary(compared: Iterable[Compared]) -> str:
    """Say how many lots were compared, and how they stand."""
    some = list(compared)
    if not some:
        return ""
    alike, large = sum(one.side == "as_booked" for one in some), sum(one.large for one in some)
    words = f"{number(len(some), 'lot')}: {alike} as booked, {len(some) - alike} otherwise"
    return f"{words}, {large} by more than is tolerated" if large else words
