"""Lots, steps and decisions that match a part of what somebody types.

Read :func:`codes`. Each question is one bounded pass: over the codes of a plant, which are short,
or along an index; nothing here reads an entry.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db import connection

from beadwright.ledger import store
from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.news import KeptAnswer, News
from beadwright.ledger.projection import order_k

__all__ = [
    "Done",
    "Labelled",
    "Named",
    "Names",
    "Touched",
    "at_place",
    "codes",
    "decisions",
    "done_by",
    "keys",
    "labels",
    "labels_of",
    "names",
    "of_product",
    "receivers",
    "touched",
]

_LOT = "l.code, l.kind, l.what, l.product, l.place"
_FIRST = "swept_empty"
"""The kind of step that comes first within one instant."""


@dataclass(frozen=True, slots=True)
class Named:
    """A lot by its code, with what it is and where."""

    code: str
    kind: str
    what: str
    product: str
    place: str


@dataclass(frozen=True, slots=True)
class Labelled:
    """A lot, and the foreign label that matches."""

    lot: Named
    issuer: str
    text: str


@dataclass(frozen=True, slots=True)
class Touched:
    """A lot that a step has brought something into, and when."""

    lot: Named
    kind: str
    at_ms: int


@dataclass(frozen=True, slots=True)
class Done:
    """An entry by its number: a step, or a decision about something."""

    seq: int
    kind: str
    about: str
    """Of a decision what it is about; of a step where it was done."""
    at_ms: int
    key: str = ""


def _part(text: str) -> str:
    """Give what LIKE takes for any text that holds this one."""
    return f"%{_literal(text)}%"


def _literal(text: str) -> str:
    return text.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")


_LIKE = "LIKE %s ESCAPE '\\'"


def codes(plant_no: int, text: str, limit: int) -> list[Named]:
    """Give lots whose code holds a text: that code first, then those it begins, the newest first.

    The text is upper case, as codes are.
    """
    begun = _begun(plant_no, text, limit) if connection.vendor == "sqlite" else []
    if len(begun) == limit:
        return begun
    sql = (
        f"SELECT {_LOT} FROM ledger_lot l WHERE l.p=%s AND l.code {_LIKE}"
        f" ORDER BY l.code=%s DESC, l.code {_LIKE} DESC, l.no DESC LIMIT %s"
    )
    args = [plant_no, _part(text), text, f"{_literal(text)}%", limit]
    return [Named(*row) for row in store.select(sql, args)]


def _begun(plant_no: int, text: str, limit: int) -> list[Named]:
    """Give lots whose code begins with a text, by the index of codes, which SQLite keeps by byte.

    Where they fill the list, as at the first letters that somebody types, no code besides is read.
    """
    sql = (
        f"SELECT {_LOT} FROM ledger_lot l WHERE l.p=%s AND l.code >= %s AND l.code < %s"
        " ORDER BY l.code=%s DESC, l.no DESC LIMIT %s"
    )
    rows = store.select(sql, [plant_no, text, f"{text}\x7f", text, limit])
    return [Named(*row) for row in rows]


def labels(plant_no: int, text: str, limit: int) -> list[Labelled]:
    """Give lots of which a foreign label, or who issued it, holds a text, the newest first."""
    upper = text.upper()
    sql = (
        f"SELECT {_LOT}, b.issuer, b.text FROM ledger_label b"
        " JOIN ledger_lot l ON l.p=b.p AND l.no=b.lot"
        f" WHERE b.p=%s AND (upper(b.text) {_LIKE} OR upper(b.issuer) {_LIKE})"
        " ORDER BY upper(b.text)=%s DESC, b.lot DESC LIMIT %s"
    )
    rows = store.select(sql, [plant_no, _part(upper), _part(upper), upper, limit])
    return [Labelled(Named(*row[:5]), row[5], row[6]) for row in rows]


def receivers(plant_no: int) -> tuple[str, ...]:
    """Give everybody who has, or had, something of the plant."""
    return _receivers(plant_no)


@dataclass(frozen=True, slots=True)
class Names:
    """Everybody who has, or had, something of the plant, and every product with a lot."""

    receivers: tuple[str, ...]
    products: tuple[str, ...]


_names: KeptAnswer[Names] = KeptAnswer()


def names(plant_no: int) -> Names:
    """Give receivers and products, as they are kept while somebody types."""
    return _names.answer(plant_no, lambda: _read(plant_no), lambda *now: _more(plant_no, *now))


def _more(plant_no: int, before: Names, news: News) -> Names | None:
    """Give them where new steps touched some lots; None where one of these left a receiver."""
    if any(place.startswith(OUTSIDE) for place in news.left):
        return None
    more = _read(plant_no, sorted(news.lots)) if news.lots else Names((), ())
    return Names(
        tuple(sorted({*before.receivers, *more.receivers})),
        tuple(sorted({*before.products, *more.products})),
    )


def _read(plant_no: int, among: Sequence[str] = ()) -> Names:
    """Read both of every lot, or of those named."""
    some = f" AND code IN ({','.join(['%s'] * len(among))})" if among else ""
    products = f"SELECT DISTINCT product FROM ledger_lot WHERE p=%s AND product <> ''{some}"
    rows = store.select(products, [plant_no, *among])
    return Names(_receivers(plant_no, among), tuple(sorted(row[0] for row in rows)))


def _receivers(plant_no: int, among: Sequence[str] = ()) -> tuple[str, ...]:
    some = f" AND code IN ({','.join(['%s'] * len(among))})" if among else ""
    sql = f"SELECT DISTINCT place FROM ledger_lot WHERE p=%s AND place LIKE %s{some}"
    rows = store.select(sql, [plant_no, f"{OUTSIDE}%", *among])
    return tuple(sorted(row[0].removeprefix(OUTSIDE) for row in rows))


def at_place(plant_no: int, place: str, limit: int) -> list[Named]:
    """Give the newest lots that stand at a place."""
    return _newest(plant_no, "place", place, limit)


def of_product(plant_no: int, product: str, limit: int) -> list[Named]:
    """Give the newest lots of a product."""
    return _newest(plant_no, "product", product, limit)


def _newest(plant_no: int, column: str, text: str, limit: int) -> list[Named]:
    which = f"l.p=%s AND l.{column}=%s"
    sql = f"SELECT {_LOT} FROM ledger_lot l WHERE {which} ORDER BY l.no DESC LIMIT %s"
    return [Named(*row) for row in store.select(sql, [plant_no, text, limit])]


def touched(plant_no: int, from_ms: int, to_ms: int, limit: int) -> list[Touched]:
    """Give lots that steps of a span have brought something into, in the order of the steps."""
    sql = (
        # CROSS JOIN keeps SQLite to this order: without statistics it reads every movement.
        f"SELECT {_LOT}, s.kind, s.at_ms FROM ledger_step s CROSS JOIN ledger_touch t"
        " CROSS JOIN ledger_lot l WHERE t.p=s.p AND t.step=s.no AND t.sign > 0"
        " AND l.p=t.p AND l.no=t.lot AND s.p=%s AND s.k >= %s AND s.k < %s AND NOT s.reversed"
        " ORDER BY s.k, s.tie LIMIT %s"
    )
    span = [order_k(at_ms, _FIRST) for at_ms in (from_ms, to_ms)]
    rows = store.select(sql, [plant_no, *span, limit])
    return [Touched(Named(*row[:5]), row[5], row[6]) for row in rows]


def done_by(plant_no: int, person: str, limit: int) -> list[Done]:
    """Give the newest steps and decisions by a person."""
    steps = (
        "SELECT seq, kind, place, at_ms FROM ledger_step"
        " WHERE p=%s AND by=%s ORDER BY k DESC, tie DESC LIMIT %s"
    )
    decided = (
        "SELECT seq, kind, about, at_ms FROM ledger_decision"
        " WHERE p=%s AND by=%s ORDER BY seq DESC LIMIT %s"
    )
    rows = [row for sql in (steps, decided) for row in store.select(sql, [plant_no, person, limit])]
    newest = sorted({row[0]: Done(*row) for row in rows}.values(), key=lambda one: -one.at_ms)
    return newest[:limit]


def decisions(plant_no: int, text: str, limit: int) -> list[Done]:
    """Give the newest decisions about what holds a text: a hold, a file, a certificate."""
    sql = (
        "SELECT seq, kind, about, at_ms FROM ledger_decision"
        f" WHERE p=%s AND upper(about) {_LIKE} ORDER BY upper(about)=%s DESC, seq DESC LIMIT %s"
    )
    upper = text.upper()
    return [Done(*row) for row in store.select(sql, [plant_no, _part(upper), upper, limit])]


def keys(plant_no: int, key: str) -> int | None:
    """Give the entry that was posted under a client key."""
    row = store.one("SELECT seq FROM ledger_posted WHERE p=%s AND key=%s", [plant_no, key])
    return None if row is None else int(row[0])


def labels_of(plant_no: int, code: str) -> tuple[tuple[str, str], ...]:
    """Give the foreign labels of a lot: who issued each, and what it says."""
    sql = (
        "SELECT b.issuer, b.text FROM ledger_lot l JOIN ledger_label b ON b.p=l.p AND b.lot=l.no"
        " WHERE l.p=%s AND l.code=%s ORDER BY b.id"
    )
    return tuple((row[0], row[1]) for row in store.select(sql, [plant_no, code]))
