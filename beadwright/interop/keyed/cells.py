"""The texts of a form into the cells of a row, by the readers that read sheets."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from beadwright.errors import Fault, UnitError
from beadwright.interop.recorded import RecordedOneByOne
from beadwright.interop.sheets.cells import BadCell, Cell, Field, Row, Sort
from beadwright.interop.sheets.clock import Clock
from beadwright.interop.sheets.kinds.kind import SheetKind
from beadwright.interop.sheets.layout import Layout
from beadwright.interop.sheets.register import Register
from beadwright.interop.sheets.table import cell_reader
from beadwright.ledger.texts import visible
from beadwright.units import accepted, converter

__all__ = ["FORM", "MINUTES", "Noting", "Texts", "cells_of", "clock_of", "new_row"]

FORM = "form"
"""Stands where a sheet's row has its file."""

MINUTES = "YYYY-MM-DD hh:mm"
_SECONDS = "YYYY-MM-DD hh:mm:ss"
_T = re.compile("(?<=[0-9])T(?=[0-9])")


@dataclass(frozen=True, slots=True)
class Texts:
    """What stands in a form's fields."""

    texts: Mapping[str, str]
    units: Mapping[str, str] = field(default_factory=dict)
    decimal: Literal[".", ","] = "."

    def of(self, name: str) -> str:
        """Text of a field without blanks around it."""
        return self.texts.get(name, "").strip()


class Noting(Register):
    """A register that notes of which field each fault is."""

    def __init__(self, plant: str) -> None:
        """Start with the record of a plant that is in the store."""
        super().__init__(RecordedOneByOne(plant))
        self.plant = plant
        self._by_field: dict[str, list[Fault]] = {}

    def fault(self, row: Row, name: str, code: str, *, what: str, remedy: str) -> None:
        """Note a fault of a row's field."""
        row.bad = True
        self.note(name, Fault(code, what, row.shown(name), f'"{name}"', remedy))

    def note(self, name: str, fault: Fault) -> None:
        """Note a fault of a field."""
        self.faults.append(fault)
        self._by_field.setdefault(name, []).append(fault)

    def noted(self) -> Mapping[str, tuple[Fault, ...]]:
        """Faults by field."""
        return {name: tuple(dict.fromkeys(faults)) for name, faults in self._by_field.items()}


def clock_of(zone: str, style: str = MINUTES) -> Clock:
    """Give the plant's clock; without a zone, it is UTC's."""
    return Clock(style, zone or "UTC")


def new_row(kind: SheetKind, key: str, zone: str) -> Row:
    """Give a form's row, with nothing in it yet."""
    times = frozenset(name for name, spec in kind.fields.items() if spec.sort is Sort.TIME)
    own = key.removeprefix(f"{kind.name}/").removesuffix("/readings")
    return Row(kind.name, own, FORM, 0, {}, times=times, clock=clock_of(zone).text)


def cells_of(
    kind: SheetKind, said: Texts, row: Row, register: Noting, skip: frozenset[str]
) -> None:
    """Read every field but those to skip into the row, and note what is wrong with each."""
    for name, spec in kind.fields.items():
        if name in skip:
            continue
        text = said.of(name)
        try:
            if text:
                row.cells[name] = _cell(spec, text, said, register)
        except (BadCell, UnitError) as bad:
            row.bad = True
            where = f'"{name}"'
            told = visible(bad.what), visible(text)
            register.note(name, Fault(bad.code, *told, where, bad.remedy))
        if spec.required and not text:
            what = f'"{name}" is empty'
            register.fault(row, name, "field_missing", what=what, remedy="Fill the field.")


def _cell(spec: Field, text: str, said: Texts, register: Register) -> Cell:
    kind, unit = spec.sort.quantity, said.units.get(spec.name, "").strip() or spec.unit
    if kind is not None:
        if not unit:
            what = f'"{spec.name}" has no unit'
            remedy = f"Choose one, such as {accepted(kind)[0]}."
            raise BadCell(code="unit_missing", what=what, remedy=remedy)
        converter(unit, kind)

    def read(style: str, text: str) -> Cell:
        clock = clock_of(register.zone(), style)
        layout = Layout(
            FORM, "", "utf-8", ",", said.decimal, "", clock, "", {}, frozenset()
        )  # what a file's layout would state
        return cell_reader(spec, unit, layout, lambda who: _person(who, register))(text)

    if spec.sort is Sort.CODE:
        return read(MINUTES, text.upper())
    if spec.sort is not Sort.TIME:
        return read(MINUTES, text)
    text = _T.sub(" ", text)
    try:
        return read(MINUTES, text)
    except BadCell as bad:
        if bad.code != "time_invalid" or text.count(":") < 2:  # noqa: PLR2004 - hh:mm:ss has two
            raise
        return read(_SECONDS, text)


def _person(text: str, register: Register) -> str | None:
    """Id of a person by initials, or by the id itself where it has a role."""
    found = register.person(text)
    return text if found is None and register.versions("role", text) else found
