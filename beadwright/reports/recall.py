"""Papers of a recall: a letter and a workbook for each receiver, and a workbook of the scope.

Read :func:`letter` and :func:`workbook`. A cell is text or a number, and never a formula.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import openpyxl  # type: ignore[import-untyped]
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE  # type: ignore[import-untyped]

from beadwright.plant.opening import Plant
from beadwright.plant.recall.on_record import Recall
from beadwright.plant.recall.scope import Scope, Sent
from beadwright.plant.recall.told import days_left, pieces_of
from beadwright.reports.setting import require_size, typeset

__all__ = ["Cell", "file_of", "letter", "of_receiver", "of_scope", "to_fill_in", "workbook"]

_TODO = (
    "Do not use any piece of these lots. Set them apart and mark them.",
    "Where pieces are in a wall, tell us where, and whether it is poured. Do not pour more.",
    "Tell us for each lot how many pieces you have, and how many are used.",
    "Send nothing back before we have said how.",
)
_NOTE = (
    "Not every piece of these lots is wrong: they may hold some of it. Local code and licensed"
    " practice govern what is done with a wall that holds them."
)

_NOT_IN_FILES = re.compile(r"[^A-Za-z0-9]+")
_NOT_IN_TITLES = re.compile(r"[\[\]:*?/\\\x00-\x1f]")

Cell = str | int | float
"""What a cell of a workbook holds."""


def letter(
    plant: Plant, about: Recall, to: tuple[str, Sequence[Sent]], at_ms: int, *, paper: str = "a4"
) -> bytes:
    """Set the letter to one receiver, as of a time.

    Raises
    ------
    Misuse
        If it is no size of paper that plants print on.
    """
    require_size(paper)
    receiver, some = to
    moment = datetime.fromtimestamp(at_ms // 1000, plant.zone)
    what = "Rehearsal" if about.rehearsed else "Recall"
    banner = "Rehearsal: nothing is wrong, and nothing is to be done." if about.rehearsed else ""
    if plant.invented:
        banner = f"Demonstration. An invented plant. {banner}".strip()
    content = {
        "title": f"{what} {about.name}".strip(),
        "receiver": receiver,
        "plant": plant.name,
        "reason": about.reason,
        "todo_head": "In a recall you would be asked" if about.rehearsed else "What to do",
        "todo": list(_TODO),
        "lots": [
            [one.lot, one.product, one.title, one.stand.lot, days_left(one, plant.zone),
             one.stand.pieces if not one.mg else f"{one.mg / 1e6:.1f} kg"]
            for one in some
        ],
        "total": pieces_of(some),
        "note": _NOTE,
        "paper": paper,
        "banner": banner,
        "made": [*moment.timetuple()[:6]],
        "made_at": f"{moment:%Y-%m-%d %H:%M} ({plant.zone.key})",
    }  # fmt: skip
    written = json.dumps(content, ensure_ascii=False, sort_keys=True)
    return typeset("letter_1", written, moment.astimezone(UTC))


def to_fill_in(about: Recall) -> tuple[str, ...]:
    """Say what of a letter the record does not know, and somebody writes before it is sent."""
    who = "Answer to: who answers at the plant, with a telephone number."
    why = (
        "Why: what is wrong. Write it by hand, or start the recall with its reason and make the"
        " letters of that."
    )
    return (who,) if about.reason else (why, who)


def file_of(receiver: str) -> str:
    """Give the name of a receiver's papers: their own, whoever else comes into the scope.

    >>> file_of("NORTH YARD")
    'north-yard-17e832'
    """
    plain = _NOT_IN_FILES.sub("-", receiver).strip("-").lower()
    return f"{plain or 'receiver'}-{hashlib.sha256(receiver.encode()).hexdigest()[:6]}"


def of_receiver(some: Iterable[Sent], zone: ZoneInfo) -> list[tuple[Cell, ...]]:
    """Give the rows of a receiver's workbook, its heading first."""
    rows = [
        (one.lot, one.product, one.title, one.stand.lot, days_left(one, zone), one.stand.at_least,
         one.stand.at_most)
        for one in some
    ]  # fmt: skip
    heading = ("lot", "product", "what it is", "came in", "left the plant", "pieces, at least",
               "pieces, at most")  # fmt: skip
    return [heading, *rows]


def of_scope(found: Scope) -> list[tuple[Cell, ...]]:
    """Give the rows of the scope's workbook, its heading first."""
    rows = [
        (one.lot.code, one.lot.kind, one.lot.what, one.lot.product, one.lot.place,
         round(one.share, 6), round(one.least, 6), round(one.most, 6), round(one.mg / 1e6, 6))
        for one in found.lots
    ]  # fmt: skip
    heading = ("lot", "kind", "what", "product", "place", "share", "share, least", "share, most",
               "mass of it, kg")  # fmt: skip
    narrowed: list[tuple[Cell, ...]] = [(said,) for said in found.narrowing.assumes]
    narrowed += [(code, "left out", why) for code, why in found.out]
    return [heading, *rows, *narrowed]


def _plain(value: Cell) -> Cell:
    """Leave out what no workbook holds."""
    return ILLEGAL_CHARACTERS_RE.sub("", value) if isinstance(value, str) else value


def workbook(title: str, rows: Iterable[Sequence[Cell]]) -> bytes:
    """Write rows as an .xlsx; what begins like a formula is text."""
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet(_NOT_IN_TITLES.sub(" ", title)[:31] or "lots")
    for row in rows:
        cells = [openpyxl.cell.WriteOnlyCell(sheet, value=_plain(one)) for one in row]
        for cell in cells:
            if isinstance(cell.value, str):
                cell.data_type = "s"
        sheet.append(cells)
    made = io.BytesIO()
    book.save(made)
    return made.getvalue()
