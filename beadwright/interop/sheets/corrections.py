"""Corrections: the row as it stood, one field replaced, and the drafts that restate it.

Read first: :class:`Restater`, which finds the row and replaces the field, then :func:`drafts_of`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from beadwright.errors import Refusal, UnitError
from beadwright.interop.sheets.cells import (
    BadCell,
    Cell,
    Field,
    Measure,
    Row,
    Sort,
    measured,
    written,
)
from beadwright.interop.sheets.history import Version, stood
from beadwright.interop.sheets.kinds import KINDS
from beadwright.interop.sheets.kinds.kind import Drafts, SheetKind
from beadwright.interop.sheets.layout import Layout, heading
from beadwright.interop.sheets.register import Register
from beadwright.interop.sheets.table import Table, cell_reader
from beadwright.ledger.draft import Correction, Draft, ReadingsDraft, Reversal, StepDraft, Void
from beadwright.plant.access import Role, Who, allow
from beadwright.quality.versions import MARK, void_key
from beadwright.units import parse_number

__all__ = ["Restated", "Restater", "drafts_of", "with_lots_of"]


@dataclass(frozen=True, slots=True)
class Restated:
    """A correction, and the row before and after it."""

    correction: Row
    kind: SheetKind
    before: Version
    after: Row


class Restater:
    """Finds the rows that corrections are about, and restates them one after the other."""

    def __init__(
        self, register: Register, tables: Sequence[Table], rows: Mapping[str, Row]
    ) -> None:
        """Take the sheets of the intake and their rows by client key."""
        self.register = register
        self.rows = rows
        self._by_file = {table.file: table for table in tables}
        self._by_kind = {table.layout.sheet: table for table in reversed(tables)}
        self._pending: dict[str, Version] = {}

    def restate(self, correction: Row, layout: Layout) -> Restated | None:
        """Return the row that a correction makes, or note why there is none."""
        kind = self._kind(correction)
        spec = self._field(correction, kind) if kind is not None else None
        before = self._before(correction, kind) if kind is not None else None
        if kind is None or spec is None or before is None or before.row.bad:
            return None
        table = self._by_file.get(before.row.file) or self._by_kind.get(kind.name)
        cells = dict(before.row.cells)
        cell = self._cell(correction, spec, cells.get(spec.name), (table, layout))
        if correction.bad:
            return None
        cells.pop(spec.name, None)
        if cell is not None:
            cells[spec.name] = cell
        after = replace(
            before.row,
            cells=cells,
            file=correction.file,
            number=correction.number,
            times=frozenset(name for name, one in kind.fields.items() if one.sort is Sort.TIME),
            clock=correction.clock,
            kept=before.row.kept - {spec.name},
        )
        self._pending[after.key] = before.next_of(after)
        return Restated(correction, kind, before, after)

    def _kind(self, correction: Row) -> SheetKind | None:
        kind = KINDS.get(correction.text("sheet"))
        if kind is None or not kind.corrected:
            what = f'no sheet kind that can be corrected is called "{correction.text("sheet")}"'
            self._fault(
                correction,
                "sheet",
                what,
                f"There are {', '.join(one.name for one in KINDS.values() if one.corrected)}.",
            )
            return None
        return kind

    def _field(self, correction: Row, kind: SheetKind) -> Field | None:
        """Field by its name, or by the heading that stands over it in these sheets."""
        said = heading(correction.text("field"))
        names = {name: name for name in kind.fields}
        table = self._by_kind.get(kind.name)
        if table is not None:
            names = {header: name for name, header in table.layout.columns.items()} | names
        if said not in names:
            what = f'{kind.name} has no field "{said}"'
            self._fault(correction, "field", what, f"It has {', '.join(kind.fields)}.")
            return None
        return kind.fields[names[said]]

    def _before(self, correction: Row, kind: SheetKind) -> Version | None:
        key = f"{kind.name}/{correction.text('row')}"
        found = stood(self.register.known, kind, key, correction.key)
        pending = self._pending.get(key)
        if pending is not None and (found is None or not found.settled):
            found = pending
        if found is None and key in self.rows:
            found = Version(self.rows[key])
        if found is None:
            what = f"{kind.name} has no row {correction.text('row')}"
            self._fault(correction, "row", what, "Correct the row's id, or import its sheet.")
        return found

    def _cell(
        self,
        correction: Row,
        spec: Field,
        held: Cell | None,
        written_as: tuple[Table | None, Layout],
    ) -> Cell | None:
        """Read the new value as that sheet would be read, or as this one is."""
        text = correction.text("value")
        if not text:
            if spec.required:
                what = f"{spec.name} must not be empty"
                self._fault(correction, "value", what, "Write the value.")
            return None
        table, layout = written_as
        column = table.columns.get(spec.name) if table is not None else None
        unit = column.unit if column else held.unit if isinstance(held, Measure) else spec.unit
        layouts = [table.layout, layout] if table is not None else [layout]
        found: list[Cell] = []
        wrong: list[BadCell | UnitError] = []
        for each in layouts:
            try:
                found.append(_read(spec, unit, each, text, self.register))
            except (BadCell, UnitError) as bad:
                wrong.append(bad)
        if not found:
            self._fault(correction, "value", wrong[0].what, wrong[0].remedy)
        elif found[0] != found[-1]:
            one, other = (_shown(spec, cell) for cell in (found[0], found[-1]))
            what = f'"{text}" means {one} in the sheet corrected and {other} here'
            self._fault(correction, "value", what, "Give both sheets the same layout.")
        return found[0] if found else None

    def _fault(self, correction: Row, name: str, what: str, remedy: str) -> None:
        self.register.fault(correction, name, "correction_unclear", what=what, remedy=remedy)


def drafts_of(restated: Restated, register: Register) -> Iterable[Draft]:
    """Drafts that carry a correction into the record: step, readings or both."""
    correction, before = restated.correction, restated.before
    if before.row.bad:
        return
    new = restated.kind.build(restated.after, register)
    if restated.after.bad:
        return
    old = Drafts(before.step, before.readings)
    if not before.recorded:
        old = restated.kind.build(before.row, register)
    found = [
        *_step_drafts(correction, old.step, new.step),
        *_readings_drafts(correction, before, old.readings, new.readings),
    ]
    if not found and not before.recorded:
        what = "the row says so already"
        register.fault(
            correction, "value", "correction_unclear", what=what, remedy="Leave the row out."
        )
    if not _forbidden(correction, found, register):
        yield from found


def _forbidden(correction: Row, found: Iterable[Draft], register: Register) -> bool:
    """Note that the role of who signs a correction forbids it; who has none brings history."""
    by = correction.by
    role = register.setting("role", by, correction.number_of("at"))
    if not by or role is None:
        return False
    who = Who(by, Role(str(role.body["role"])))
    try:
        for draft in found:
            allow(who, draft)
    except Refusal:
        what = f"{by} has the role {who.role}, which may not correct {correction.text('sheet')}"
        remedy = "Have somebody sign it whose role may; roles stand under [people] in plant.toml."
        register.fault(correction, "by", "not_allowed", what=what, remedy=remedy)
        return True
    return False


def _step_drafts(correction: Row, old: StepDraft | None, new: StepDraft | None) -> Iterable[Draft]:
    at, reason, by = correction.number_of("at"), correction.text("reason"), correction.by
    if old is not None and new is not None:
        if _same_step(old, new):
            return
        yield Correction(correction.key, old.key, with_lots_of(old, new), reason, at, by)
    elif old is not None:
        yield Reversal(correction.key, old.key, reason, at, by)
    elif new is not None:
        yield new


def with_lots_of(old: StepDraft, new: StepDraft) -> StepDraft:
    """Give the new version; a lot that other rows know by the old one stays in the record."""
    codes = {lot.code for lot in new.new_lots}
    kept = tuple(lot for lot in old.new_lots if lot.code not in codes)
    return replace(new, new_lots=new.new_lots + kept)


def _readings_drafts(
    correction: Row,
    before: Version,
    old: ReadingsDraft | None,
    new: ReadingsDraft | None,
) -> Iterable[Draft]:
    if old is not None and new is not None and _same_readings(old, new):
        return
    at, reason = correction.number_of("at"), correction.text("reason")
    if old is not None:
        yield Void(void_key(correction.key), at, before.readings_key, reason, correction.by)
    if new is not None:
        first, *others = new.readings
        first = replace(first, facts={**first.facts, MARK: correction.key})
        key = before.next_readings_key if old is not None else before.readings_key
        yield replace(new, key=key, readings=(first, *others))


def _same_step(old: StepDraft, new: StepDraft) -> bool:
    return (
        replace(old, new_lots=(), labels={}) == replace(new, new_lots=(), labels={})
        and {lot.code: lot.unit_mg for lot in new.new_lots}.items()
        <= {lot.code: lot.unit_mg for lot in old.new_lots}.items()
    )


def _same_readings(old: ReadingsDraft, new: ReadingsDraft) -> bool:
    first = old.readings[0]
    facts = {name: text for name, text in first.facts.items() if name != MARK}
    plain = (replace(first, facts=facts), *old.readings[1:])
    return (old.happened_at, plain, old.by) == (new.happened_at, new.readings, new.by)


def _read(spec: Field, unit: str, layout: Layout, text: str, register: Register) -> Cell:
    """Read a value in the unit of its column, or in the unit written behind it."""
    kind = spec.sort.quantity
    number, _, stated = text.rpartition(" ")
    if kind is not None and number and _is_unit(stated):
        return _with_unit(number.strip(), stated, spec, layout)
    if kind is not None and not unit:
        raise BadCell(
            code="unit_missing",
            what=f'"{text}" has no unit, and no sheet at hand states one',
            remedy="Write the unit behind the value.",
        )
    return cell_reader(spec, unit, layout, register.person)(text)


def _with_unit(number: str, unit: str, spec: Field, layout: Layout) -> Cell:
    value = parse_number(number, decimal=layout.decimal, thousands=layout.thousands or None)
    if value < 0 and not spec.signed:
        raise BadCell(code="negative", what=f"{number} is below zero", remedy="Correct the value.")
    kind = spec.sort.quantity
    return number if kind is None else measured(value, unit, kind)


def _shown(spec: Field, cell: Cell) -> str:
    if spec.sort is Sort.TIME and isinstance(cell, int):
        return f"{datetime.fromtimestamp(cell / 1000, UTC):%Y-%m-%d %H:%M} UTC"
    return written(cell)


def _is_unit(text: str) -> bool:
    return not any(sign.isdigit() for sign in text)
