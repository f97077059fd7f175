"""The reader of a standard's TOML file: every bad row in it is collected, then all refused.

Read first: :func:`read_standard`. A misspelt key, a date that is a text, a figure whose source
is not named, a unit of another kind, or a row given twice is a fault. So is a figure from memory
graded below ``med``: what nobody is sure of is no limit, and belongs under ``[[gap]]``.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any, TypeVar, get_args

from beadwright.errors import Fault, Refusal, UnitError, position
from beadwright.standards.rows import (
    Bound,
    Column,
    Edition,
    Gap,
    Limit,
    NotMoulded,
    Product,
    Read,
    Standard,
    Statistic,
)
from beadwright.units import Kind, to_si

__all__ = ["read_standard"]

_Row = Mapping[str, Any]
_Parsed = TypeVar("_Parsed")

_TOP_KEYS = "standard edition source table gap not_moulded"
_STANDARD_KEYS = "designation title use normative_system normative_read normative_note"
_TABLE_KEYS = (
    "characteristic kind edition clause statistic specimens statistic_read methods bound "
    "normative_unit informative_unit applies_to note"
)
_TYPE_KEYS = "normative read informative informative_read or_share note verified_by verified_on"


def read_standard(text: str, *, file: str) -> Standard:
    """Return the standard that a TOML text states.

    Parameters
    ----------
    text : str
        The file's content; ``beadwright/standards/data`` holds examples.
    file : str
        Its name, for messages.

    Returns
    -------
    standard : Standard
        With each limit's figures exact as printed, and exact in SI where the unit's factor is.

    Raises
    ------
    Refusal
        With one fault, code ``bad_limit_row``, for each bad row.
    """
    try:
        document = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        fault = Fault("bad_limit_row", f"This is no TOML: {error}", "", position(file), _REMEDY)
        raise Refusal([fault]) from error
    return _Reader(file, document).standard()


_REMEDY = "Correct the row; the other files of this folder show every key."


class _BadCellError(Exception):
    """One cell that cannot be taken: its key and what is wrong with it."""

    def __init__(self, key: str, what: str) -> None:
        super().__init__(key, what)
        self.key = key
        self.what = what


class _Reader:
    def __init__(self, file: str, document: _Row) -> None:
        self.file = file
        self.document = document
        self.faults: list[Fault] = []
        self.sources = {name: row.get("what", "") for name, row in self._all("source")}
        self.cites: dict[str, str] = {}
        self.designation = str(document.get("standard", {}).get("designation", ""))

    def standard(self) -> Standard:
        editions = self._parsed(self._all("edition"), _edition)
        self.cites = {edition.id: edition.cite for edition in editions}
        editions = tuple(self._followed(edition) for edition in editions)
        gaps = self._parsed(self._all("gap"), _gap)
        limits = _with_ids(self._parsed(self._rows(), self._limit))
        self._refuse_twins(limits)
        found = self._parsed([("standard", self.document)], self._standard)
        if self.faults:
            raise Refusal(self.faults)
        return replace(found[0], editions=editions, limits=limits, gaps=gaps)

    def _followed(self, edition: Edition) -> Edition:
        """Name the edition that took another's place as it is cited."""
        after = edition.superseded_by
        if after and after not in self.cites:
            what = f'"{after}", which supersedes {edition.cite}, is no edition here.'
            self.faults.append(Fault("bad_limit_row", what, after, position(self.file), _REMEDY))
        return replace(edition, superseded_by=self.cites.get(after, ""))

    def _all(self, key: str) -> list[tuple[str, _Row]]:
        """Return the named rows under a key, whether it is a list or a table of tables."""
        rows = self.document.get(key, [])
        if isinstance(rows, dict):
            return list(rows.items())
        return [(f"{key} {number}", row) for number, row in enumerate(rows, 1)]

    def _rows(self) -> list[tuple[str, _Row]]:
        """Return each limit as one flat row: its table's cells, then its type's own."""
        rows: list[tuple[str, _Row]] = []
        for place, table in self._all("table"):
            shared = {key: value for key, value in table.items() if key != "type"}
            for name, cells in table.get("type", {}).items():
                row = {"shared": shared, "cells": cells, "type": name}
                rows.append((f"{place} ({shared.get('characteristic')}), type {name}", row))
        return rows

    def _parsed(
        self, rows: Iterable[tuple[str, _Row]], parse: Callable[[_Row], _Parsed]
    ) -> tuple[_Parsed, ...]:
        good = []
        for place, row in rows:
            try:
                good.append(parse(row))
            except _BadCellError as bad:
                where = f"{position(self.file)}, {place}, {position(field=bad.key)}"
                self.faults.append(Fault("bad_limit_row", bad.what, "", where, _REMEDY))
        return tuple(good)

    def _refuse_twins(self, limits: tuple[Limit, ...]) -> None:
        names = Counter(
            (each.edition, each.product_type, each.characteristic, each.bound) for each in limits
        )
        for (edition, product_type, characteristic, _), times in names.items():
            if times > 1:
                what = f"{characteristic} of type {product_type}, edition {edition}, stands twice."
                fault = Fault("bad_limit_row", what, "", position(self.file), _REMEDY)
                self.faults.append(fault)

    def _standard(self, document: _Row) -> Standard:
        _known(document, _TOP_KEYS)
        head = document.get("standard", {})
        _known(head, _STANDARD_KEYS)
        not_moulded = document.get("not_moulded", {})
        _known(not_moulded, "types why")
        return Standard(
            designation=_text(head, "designation"),
            title=_text(head, "title"),
            use=_choice({"use": "limits"} | dict(head), "use", ("limits", "cross-check")),
            normative_system=_choice(head, "normative_system", ("si", "us")),
            normative_read=self._read(head, "normative_read"),
            normative_note=head.get("normative_note", ""),
            editions=(),
            limits=(),
            not_moulded=NotMoulded(tuple(not_moulded.get("types", ())), not_moulded.get("why", "")),
        )

    def _limit(self, row: _Row) -> Limit:
        shared, cells = row["shared"], row["cells"]
        _known(shared, _TABLE_KEYS)
        _known(cells, _TYPE_KEYS)
        edition = _choice(shared, "edition", tuple(self.cites))
        verified_on = _date(cells, "verified_on")
        if bool(cells.get("verified_by")) != bool(verified_on):
            raise _BadCellError(key="verified_by", what="verified_by and verified_on go together.")
        return Limit(
            standard=self.designation,
            edition=edition,
            cite=self.cites[edition],
            clause=_text(shared, "clause"),
            product_type=row["type"],
            characteristic=_text(shared, "characteristic"),
            kind=_choice(shared, "kind", get_args(Kind)),
            statistic=_choice(shared, "statistic", get_args(Statistic)),
            statistic_read=self._read(shared, "statistic_read"),
            methods=_texts(shared, "methods"),
            bound=_choice(shared, "bound", get_args(Bound)),
            normative=self._column(shared, cells, "normative", "read"),
            informative=(
                self._column(shared, cells, "informative", "informative_read")
                if "informative" in cells
                else None
            ),
            applies_to=_texts(shared, "applies_to", get_args(Product)),
            specimens=shared.get("specimens"),
            or_share=_number(cells, "or_share") if "or_share" in cells else None,
            note="; ".join(filter(None, (shared.get("note"), cells.get("note")))),
            verified_by=cells.get("verified_by", ""),
            verified_on=verified_on,
        )

    def _column(self, shared: _Row, cells: _Row, key: str, read_key: str) -> Column:
        value = _number(cells, key)
        unit = _text(shared, f"{key}_unit")
        try:
            exact = to_si(value, unit, shared["kind"])
        except UnitError as error:
            raise _BadCellError(key=f"{key}_unit", what=str(error)) from error
        return Column(value, unit, exact, self._read(cells, read_key))

    def _read(self, row: _Row, key: str) -> Read:
        how, _, rest = _text(row, key).partition(" ")
        if how == "found" and rest in self.sources:
            return Read("found", source=rest, what=self.sources[rest])
        if how == "memory" and rest in ("hi", "med"):
            return Read("memory", grade="hi" if rest == "hi" else "med")
        expected = [f"found {name}" for name in self.sources] + ["memory hi", "memory med"]
        raise _BadCellError(key, f'"{how} {rest}" is none of: {", ".join(expected)}.')


def _with_ids(limits: tuple[Limit, ...]) -> tuple[Limit, ...]:
    """Name each row; the two bounds of a range are told apart by a word more."""
    names = [
        f"{each.standard}/{each.edition}/{each.product_type}/{each.characteristic}"
        for each in limits
    ]
    times = Counter(names)
    return tuple(
        replace(each, id=name if times[name] == 1 else f"{name}/{each.bound}")
        for each, name in zip(limits, names, strict=True)
    )


def _edition(row: _Row) -> Edition:
    _known(row, "id cite superseded_on superseded_by note")
    superseded_on = _date(row, "superseded_on")
    note, after = row.get("note", ""), row.get("superseded_by", "")
    return Edition(_text(row, "id"), _text(row, "cite"), superseded_on, note, after)


def _gap(row: _Row) -> Gap:
    _known(row, "characteristic why")
    return Gap(_text(row, "characteristic"), _text(row, "why"))


def _known(row: _Row, keys: str) -> None:
    for key in row:
        if key not in keys.split():
            raise _BadCellError(
                key, f'"{key}" is no key here; there are: {", ".join(keys.split())}.'
            )


def _text(row: _Row, key: str) -> str:
    value = row.get(key)
    if not isinstance(value, str) or not value.strip():
        raise _BadCellError(key, f"{key} must be a text, and is {value!r}.")
    return value


def _texts(row: _Row, key: str, allowed: tuple[Any, ...] = ()) -> tuple[Any, ...]:
    values = row.get(key)
    if not isinstance(values, list) or not values:
        raise _BadCellError(key, f"{key} must be a list of texts, and is {values!r}.")
    for value in values:
        if not isinstance(value, str) or (allowed and value not in allowed):
            raise _BadCellError(key, f"{value!r} is none of: {', '.join(allowed) or 'texts'}.")
    return tuple(values)


def _choice(row: _Row, key: str, allowed: tuple[Any, ...]) -> Any:
    value = _text(row, key)
    if value not in allowed:
        raise _BadCellError(key, f'"{value}" is none of: {", ".join(allowed)}.')
    return value


def _number(row: _Row, key: str) -> Decimal:
    value = row.get(key)
    if isinstance(value, bool) or not isinstance(value, int | Decimal) or value < 0:
        raise _BadCellError(key, f"{key} must be a number that is not negative, and is {value!r}.")
    return Decimal(value)


def _date(row: _Row, key: str) -> date | None:
    value = row.get(key)
    if value is None:
        return None
    if isinstance(value, datetime) or not isinstance(value, date):
        raise _BadCellError(key, f"{key} must be a date such as 2023-09-10, and is {value!r}.")
    return value
