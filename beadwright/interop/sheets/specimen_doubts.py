"""Specimens that are called as those of another lot: asked about, never taken silently.

Read :func:`specimen_doubts`. A result that is recorded with the wrong lot speaks for blocks that
nobody tested.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.doubts import Question, Questioned
from beadwright.interop.sheets.register import Register

__all__ = ["specimen_doubts"]

_KINDS = frozenset({"inspections", "specimens", "results"})
_FIELD = "specimen"
_IN_EACH_LOT = re.compile(r"[^\W\d_]*[\s.#-]*\d{1,2}[^\W\d_]?")
"""Names such as C1 or W12, that begin anew in each lot. Common practice, no source."""
_PARTED = re.compile(r"[^\w]|_")


def specimen_doubts(rows: Iterable[Row], register: Register) -> Iterator[Questioned]:
    """Ask about each specimen that begins with another lot's code, or is known of another lot.

    One that begins with its own lot's code, or is known of its own lot too, is not asked about.
    """
    named = [row for row in rows if row.kind in _KINDS and not row.bad and row.text("lot")]
    apart: list[Row] = []
    for row in named:
        begins = _begins_with(row, register)
        if begins and begins != row.text("lot"):
            yield _asked(row, begins, f"It begins with the code of lot {begins}")
        elif not begins and not _IN_EACH_LOT.fullmatch(row.text(_FIELD)):
            apart.append(row)
    yield from _known_of_another(apart, register)


def _begins_with(row: Row, register: Register) -> str:
    """Give the moulded lot with whose code a specimen's begins; the row's own is asked first."""
    name, own = row.text(_FIELD).upper(), row.text("lot")
    if _IN_EACH_LOT.fullmatch(name) and not name.startswith(own):
        return ""
    ends = [found.start() for found in _PARTED.finditer(name)]
    for code in (name[:end] for end in reversed((*ends, len(name)))):
        lot = None if code in {"", own} else register.lot(code)
        if code == own or (lot is not None and lot.product):
            return code
    return ""


def _known_of_another(rows: Iterable[Row], register: Register) -> Iterator[Questioned]:
    """Ask about specimens that the record, or a row before, holds of another lot and not of theirs.

    A specimen's own name stands for one piece of the plant: it is of one lot.
    """
    some = [row for row in rows if row.text(_FIELD)]
    if not some:
        return
    recorded = register.known.specimens({row.text(_FIELD) for row in some})
    held = {name: list(of) for name, of in recorded.items()}
    for row in some:
        name, own = row.text(_FIELD), row.text("lot")
        lots = held.setdefault(name, [])
        others = [code for code in lots if code != own]
        if others and own not in lots:
            yield _asked(row, others[0], f"It is known already as a piece of lot {others[0]}")
        elif own not in lots:
            lots.append(own)


def _asked(row: Row, other: str, why: str) -> Questioned:
    own = row.text("lot")
    why = f"{why}, and lot {own} is stated. Is it a piece of {own}?"
    question = Question(
        "specimen_of_another_lot", row.address(_FIELD), row.text(_FIELD), why, f"lot {other}"
    )
    return Questioned(row, _FIELD, question)
