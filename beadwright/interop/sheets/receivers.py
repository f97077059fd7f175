"""Receivers that look like one that is known already, and are written otherwise: asked about.

Read :func:`receiver_doubts`. A look-alike letter, another case or a hyphen makes a receiver of its
own: whoever then searches for all that went to the one misses what went to the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.doubts import Question, Questioned
from beadwright.interop.sheets.register import Register
from beadwright.ledger.alike import looks

__all__ = ["receiver_doubts"]

_FIELD = "receiver"


def receiver_doubts(rows: Iterable[Row], register: Register) -> Iterator[Questioned]:
    """Ask about each receiver that looks like one of the record, or of a row before it.

    One that is in the record as it is written is not asked about, whatever it looks like.
    """
    shipped = [row for row in rows if row.kind == "shipments" and not row.bad and row.text(_FIELD)]
    if not shipped:
        return
    recorded = register.known.receivers()
    known: dict[str, str] = {}
    for name in sorted(recorded):
        known.setdefault(looks(name), name)
    for row in sorted(shipped, key=lambda row: (row.number_of("at"), row.number)):
        name = row.text(_FIELD)
        other = known.setdefault(looks(name), name)
        if name in recorded or name == other:
            continue
        how = _apart(name, other)
        why = f'It looks like the receiver "{other}", and is another: {how}.'
        question = Question("receiver_alike", row.address(_FIELD), row.shown(_FIELD), why, other)
        yield Questioned(row, _FIELD, question)


def _apart(name: str, other: str) -> str:
    """Say in what two names differ that look alike: the letters that nobody sees first."""
    odd = [sign for sign in dict.fromkeys(name) if sign not in other and not sign.isascii()]
    if odd:
        codes = ", ".join(f"U+{ord(sign):04X}" for sign in odd)
        return f"it has {codes}, which only looks like it"
    if name.casefold() == other.casefold():
        return "it is written in other capitals"
    return "it differs in spaces, signs or letters that are read alike"
