"""The front: a plant's files in; drafts, faults and questions out. Nothing here posts.

Read first: :func:`read`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from beadwright.errors import Fault
from beadwright.interop.sheets.again import says_the_same
from beadwright.interop.sheets.asked import Taken, layout_for
from beadwright.interop.sheets.cavities import check_cavities
from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.contradictions import contradictions
from beadwright.interop.sheets.corrections import Restated, Restater, drafts_of
from beadwright.interop.sheets.doubts import Question, Questioned, measured_doubts, slipped_doubts
from beadwright.interop.sheets.evidence_doubts import evidence_doubts
from beadwright.interop.sheets.files import FileSummary, Source, find
from beadwright.interop.sheets.following import followers
from beadwright.interop.sheets.kinds import FIELDS, KINDS
from beadwright.interop.sheets.known import EmptyRecord, Known, Person
from beadwright.interop.sheets.receivers import receiver_doubts
from beadwright.interop.sheets.register import Order, Register
from beadwright.interop.sheets.sequence import Placed, in_order
from beadwright.interop.sheets.setup import Setup, check_references, read_setup, state
from beadwright.interop.sheets.specimen_doubts import specimen_doubts
from beadwright.interop.sheets.table import Table, read_table
from beadwright.interop.sheets.together import check_together
from beadwright.ledger.draft import Correction, Draft, SettingDraft

__all__ = ["Intake", "read"]

_NEVER = 1 << 62
_NO_SETTINGS = "there is no plant.toml among these files, and no plant in the store was named"
_ADD_SETTINGS = "Import plant.toml with them; or say --plant CODE before the verb."
_ROW = re.compile(r", (?:row |cell [A-Z]+)([0-9]+)")


@dataclass(frozen=True, slots=True)
class Intake:
    """What a set of files says. With a fault or a question in it, nothing of it is posted."""

    plant: str
    """Code of the plant, from its settings; empty where these files hold none."""
    drafts: tuple[Draft, ...]
    """Settings by date, then everything by time, rank, file and row, then corrections."""
    people: tuple[Person, ...]
    """For the table outside the record."""
    faults: tuple[Fault, ...]
    """Every fault of every file."""
    questions: tuple[Question, ...]
    """Values that are asked about."""
    files: tuple[FileSummary, ...]
    following: frozenset[str] = frozenset()
    """Keys of corrections that follow from others: what was recorded of pieces that weigh anew."""
    unasked: tuple[str, ...] = ()
    """Answers about values that nobody asked about, and that the record does not hold."""
    taken: tuple[Taken, ...] = ()
    """What layouts leave out and only one reading fits."""
    rows: Mapping[str, Row] = field(default_factory=dict)
    """The files' rows by client key, as they stand there."""


def read(paths: Sequence[Path], known: Known, keep: frozenset[str] = frozenset()) -> Intake:
    """Read files and folders into drafts.

    ``keep`` holds answers FILE:ROW:FIELD that say a value asked about stands as keyed.
    """
    found = find(paths)
    reading = _Reading(known, keep)
    reading.faults += found.faults
    # Where nobody is known, and no place, it is said once, and not of every row.
    unset = not found.setups and isinstance(known, EmptyRecord)
    reading.register.settings_unread |= unset
    for source in found.setups:
        reading.set_up(source)
    check_references(reading.setups, reading.register)
    for source in found.sheets:
        reading.open(source)
    intake = reading.finish()
    if unset and reading.register.missed:
        missing = Fault("settings_missing", _NO_SETTINGS, "", "plant.toml", _ADD_SETTINGS)
        return replace(intake, faults=(missing, *intake.faults))
    return intake


class _Reading:
    """One reading of one set of files, stage by stage."""

    def __init__(self, known: Known, keep: frozenset[str]) -> None:
        self.register = Register(known)
        self.keep = keep
        self.faults: list[Fault] = []
        self.setups: list[Setup] = []
        self.tables: list[Table] = []
        self.summaries: list[FileSummary] = []
        self.taken: list[Taken] = []
        self.rows: dict[str, Row] = {}
        self.order: dict[str, int] = {}
        """Each file's place among all."""
        self.asked: set[str] = set()
        """Where a value was asked about, answered or not."""
        self.followers: Sequence[tuple[Row, Correction]] = ()
        """What follows corrections, each with the row of the correction."""

    def set_up(self, source: Source) -> None:
        """Read a settings file; people and settings are known from here on."""
        setup = read_setup(source.path, self.register.known.zone())
        state(setup, self.register)
        self.register.settings_unread |= bool(setup.faults)
        self.setups.append(setup)
        self.summaries.append(FileSummary(source.name, "plant", len(setup.drafts)))

    def open(self, source: Source) -> None:
        """Read a sheet's rows, and drop those that another export of it gave already."""
        asked = layout_for(source, FIELDS, self._zone())
        layout = asked.layout
        self.taken += asked.taken
        if layout is None:
            self.faults += asked.faults
            self.register.sheets_unread = True
            self.summaries.append(FileSummary(source.name, "", 0))
            return
        table = read_table(source, layout, FIELDS[layout.sheet], self.register.person)
        self.register.sheets_unread |= not table.rows
        self.order[source.name] = len(self.tables)
        self.tables.append(table)
        self.summaries.append(FileSummary(source.name, layout.sheet, len(table.rows)))
        table.rows = [row for row in table.rows if row.bad or self._is_new(row, table)]

    def _zone(self) -> str:
        """The plant's time zone, by these settings or the record; empty where neither says."""
        drafts = [draft for setup in self.setups for draft in setup.drafts]
        zones = {str(draft.body["zone"]) for draft in drafts if draft.topic == "plant"}
        return zones.pop() if len(zones) == 1 else self.register.known.zone()

    def finish(self) -> Intake:
        """Turn rows into drafts, and all that was noted into faults and questions."""
        self._declare(row for name in KINDS for row in self._rows_of(name))
        restated = self._restate()
        questions = self._ask(restated)
        rows = self._newest(restated)
        check_together(rows, self.register)
        check_cavities(rows, self.register, {each.after.key for each in restated})
        self._settle_faults(self.tables)
        placed = list(self._build())
        last = list(self._correct(restated))
        rest, stuck = in_order(placed, last)
        for draft in stuck:
            what = "steps wait for each other's lots"
            remedy = "Correct the lot codes: a lot cannot be made of itself."
            key = getattr(draft, "key", "")
            self.faults.append(Fault("lots_in_a_circle", what, key, "", remedy))
        faults = [*self.faults, *(fault for setup in self.setups for fault in setup.faults)]
        for table in self.tables:
            faults += sorted(table.faults, key=_row_number)
        people = tuple(self.register.people.values())
        return Intake(
            self._plant(faults),
            (*self._settings(faults), *rest),
            people,
            tuple(faults),
            tuple(questions),
            tuple(self.summaries),
            frozenset(correction.key for _, correction in self.followers),
            tuple(sorted(filter(self._is_unasked, self.keep - self.asked))),
            tuple(self.taken),
            self.rows,
        )

    def _is_unasked(self, answer: str) -> bool:
        """Whether an answer is about nothing; of a row in the record it was given before."""
        place, _, name = answer.rpartition(":")
        for row in self.rows.values():
            if f"{row.file}:{row.number}" == place and name in FIELDS[row.kind]:
                keys = (row.key, row.readings_key)
                return all(self.register.known.posted(key) is None for key in keys)
        return True

    def _is_new(self, row: Row, table: Table) -> bool:
        held = self.rows.setdefault(row.key, row)
        if held is row:
            return True
        if held.cells != row.cells:
            row.bad = True
            what = f"row id {row.id} stands in {held.where()} too, with other content"
            remedy = "Give each row of a sheet kind an id of its own."
            where = row.where(table.layout.row)
            table.faults.append(Fault("row_repeated", what, row.id, where, remedy))
            return True
        return False

    def _rows_of(self, kind: str) -> Iterator[Row]:
        for table in self.tables:
            if table.layout.sheet == kind:
                yield from table.rows

    def _place(self, row: Row) -> Order:
        at = row.cells.get(KINDS[row.kind].at, _NEVER)
        return (at if isinstance(at, int) else _NEVER, self.order[row.file], row.number)

    def _declare(self, rows: Iterable[Row]) -> None:
        """Note the lots that rows bring, in the order in which kinds build on each other."""
        for row in rows:
            lots = KINDS[row.kind].outputs(row, self.register)
            if lots:
                self.register.declare(row, lots, self._place(row))
            if row.kind == "expansion_runs" and not row.bad:
                self.register.note_expansion(row)

    def _restate(self) -> list[Restated]:
        """Replace the corrected fields; every lot is then what the corrected rows make it."""
        sheets = [table for table in self.tables if table.layout.sheet == "corrections"]
        layouts = {table.file: table.layout for table in sheets}
        rows = [row for table in sheets for row in table.rows if not row.bad]
        rows.sort(key=lambda row: (row.number_of("at"), self.order[row.file], row.number))
        restater = Restater(self.register, self.tables, self.rows)
        made = (restater.restate(row, layouts[row.file]) for row in rows)
        restated = [each for each in made if each is not None]
        self._settle_faults(sheets)
        if restated:
            self._weigh_anew(restated)
        return restated

    def _weigh_anew(self, restated: Sequence[Restated]) -> None:
        """Learn what lots weigh by the corrected rows: those of the record, then all others."""
        newest = {each.after.key: each for each in restated}
        rank = {name: number for number, name in enumerate(KINDS)}
        for each in sorted(newest.values(), key=lambda each: rank[each.kind.name]):
            self._declare([each.after])
            if not each.before.settled:
                self.register.renew(each.after, each.kind.outputs(each.after, self.register))
        self.followers = list(followers(restated, self.register))
        self._declare(self._as_corrected(restated))

    def _as_corrected(self, restated: Sequence[Restated]) -> Iterator[Row]:
        """Rows in the order of kinds: a block weighs what its ties do, a bundle what its blocks."""
        newest = {each.after.key: each.after for each in restated}
        for name in KINDS:
            for row in self._rows_of(name):
                yield newest.pop(row.key, row)
            yield from [row for row in newest.values() if row.kind == name]

    def _ask(self, restated: Sequence[Restated]) -> list[Question]:
        """Ask about the rows as corrected; what was answered is kept, and not asked again."""
        rows = self._newest(restated)
        fresh = {each.after.key for each in restated if not each.before.settled}
        asked: dict[int, dict[str, Questioned]] = {}
        for each in (
            *slipped_doubts(rows, self.register),
            *measured_doubts(rows, self.register),
            *contradictions(rows, self.register, fresh),
            *receiver_doubts(rows, self.register),
            *evidence_doubts(rows, self.register),
            *specimen_doubts(rows, self.register),
        ):
            asked.setdefault(id(each.row), {}).setdefault(each.field, each)
            self.asked.add(each.question.where)
        questions: list[Questioned] = []
        for about in (list(by_field.values()) for by_field in asked.values()):
            row = about[0].row
            fields = frozenset(each.field for each in about)
            kept = self._kept_in_record(row, fields)
            for each in about:
                if kept is None and each.question.where not in self.keep:
                    questions.append(each)
                else:
                    row.kept |= {each.field} if kept is None else kept
        questions.sort(key=lambda each: (self.order[each.row.file], each.row.number))
        return [each.question for each in questions]

    def _newest(self, restated: Sequence[Restated]) -> list[Row]:
        """Every row as corrected."""
        newest = {each.after.key: each.after for each in restated}
        rows = [row for name in KINDS for row in self._rows_of(name) if row.key not in newest]
        return [*rows, *newest.values()]

    def _kept_in_record(self, row: Row, fields: frozenset[str]) -> frozenset[str] | None:
        """Fields kept as keyed where the record holds this very row; None where it does not.

        What was not asked about when it came in is not asked about later either, when more rows
        have moved what is usual.
        """
        noted = len(self.register.faults)
        for kept in (frozenset[str](), fields):
            trial = replace(row, kept=row.kept | kept)
            drafts = KINDS[row.kind].build(trial, self.register)
            made = [draft for draft in drafts if draft is not None]
            posted = self.register.known.posted
            if made and all(says_the_same(draft, posted(draft.key)) for draft in made):
                return kept
        del self.register.faults[noted:]
        return None

    def _build(self) -> Iterator[Placed]:
        for number, table in enumerate(self.tables):
            kind = KINDS.get(table.layout.sheet)
            for row in table.rows if kind is not None else ():
                if kind is not None and not row.bad:
                    for draft in kind.build(row, self.register):
                        if draft is not None:
                            yield Placed(draft, number, row.number)
            self._settle_faults([table])

    def _correct(self, restated: Iterable[Restated]) -> Iterator[Placed]:
        for each in restated:
            for draft in drafts_of(each, self.register):
                yield Placed(draft, self.order[each.correction.file], each.correction.number)
        for row, correction in self.followers:
            yield Placed(correction, self.order[row.file], row.number)
        self._settle_faults([table for table in self.tables if table.layout.sheet == "corrections"])

    def _settle_faults(self, tables: Sequence[Table]) -> None:
        """Give the faults noted meanwhile to the sheet they were noted in."""
        if tables:
            tables[0].faults += self.register.faults
            self.register.faults.clear()

    def _plant(self, faults: list[Fault]) -> str:
        codes = sorted({setup.plant for setup in self.setups if setup.plant})
        if len(codes) > 1:
            what = f"the settings name {len(codes)} plants: {', '.join(codes)}"
            faults.append(Fault("plants_mixed", what, "", "", "Import each plant by itself."))
        return codes[0] if codes else ""

    def _settings(self, faults: list[Fault]) -> list[SettingDraft]:
        drafts: dict[str, SettingDraft] = {}
        for setup in self.setups:
            for draft in setup.drafts:
                held = drafts.setdefault(draft.key, draft)
                if held != draft:
                    what = f"{draft.topic}.{draft.name} is set twice for one day"
                    remedy = "Keep one of the two, or date them apart."
                    faults.append(Fault("setting_repeated", what, "", setup.file, remedy))
        return sorted(drafts.values(), key=lambda draft: draft.happened_at)


def _row_number(fault: Fault) -> int:
    match = _ROW.search(fault.where)
    return int(match[1]) if match else 0
