"""What a row said at the time of a correction: from the record's own facts.

A correction that is already in the record must come out as it went in, whatever was corrected
since; so it is built on the version that it restated. A new one is built on the newest.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import count

from beadwright.interop.sheets.cells import KEPT, Cell, Row, recalled
from beadwright.interop.sheets.kinds.kind import SheetKind
from beadwright.interop.sheets.known import Known
from beadwright.ledger.draft import ReadingsDraft, StepDraft
from beadwright.quality.versions import correction_of, key_of

__all__ = ["Version", "row_of", "stood"]


@dataclass(frozen=True, slots=True)
class Version:
    """A row as it stood, with its drafts where they stand in the record."""

    row: Row
    step: StepDraft | None = None
    readings: ReadingsDraft | None = None
    recorded: bool = False
    settled: bool = False
    """Whether the correction that follows is in the record too."""
    number: int = 1
    """Which version of its readings this is."""

    @property
    def readings_key(self) -> str:
        """Client key of this version of the row's readings."""
        return key_of(self.row.readings_key, self.number)

    @property
    def next_readings_key(self) -> str:
        """Client key of the version that follows."""
        return key_of(self.row.readings_key, self.number + 1)

    def next_of(self, after: Row) -> Version:
        """Return the version that a correction not yet in the record leaves."""
        return Version(after, number=self.number + 1)


def stood(known: Known, kind: SheetKind, key: str, correction: str) -> Version | None:
    """Return the row that a correction restates as the record holds it, or None."""
    step = known.step(key, before=correction)
    settled = step is not None
    if step is None:
        step = known.step(key)
    readings: ReadingsDraft | None = None
    number = 1
    if kind.recall is not None:
        readings, number, marked = _readings(known, f"{key}/readings", correction)
        settled = settled or marked
    if step is None and readings is None:
        return None
    row = row_of(kind, key, step)
    if readings is not None and kind.recall is not None:
        recall = kind.recall(readings)
        row = replace(row, cells=row.cells | recall.cells, kept=row.kept | recall.kept)
    return Version(row, step, readings, recorded=True, settled=settled, number=number)


def row_of(kind: SheetKind, key: str, step: StepDraft | None) -> Row:
    """Return the row that a step came of, as far as the step tells."""
    row = Row(kind.name, key.partition("/")[2], "the record", 0, {})
    if step is not None:
        row.cells, row.kept = _cells_of_step(kind, step)
    return row


def _readings(known: Known, key: str, correction: str) -> tuple[ReadingsDraft | None, int, bool]:
    """Version of the readings before a correction: the draft, its number, whether it is known."""
    found: ReadingsDraft | None = None
    for number in count(1):
        draft = known.readings(key_of(key, number))
        if draft is None:
            return found, max(1, number - 1), False
        if correction and correction_of(draft) == correction:
            return found, max(1, number - 1), True
        found = draft
    return found, 1, False  # pragma: no cover - count() does not end


def _cells_of_step(kind: SheetKind, step: StepDraft) -> tuple[dict[str, Cell], frozenset[str]]:
    cells = {
        name: recalled(spec, step.facts[name])
        for name, spec in kind.fields.items()
        if name in step.facts
    }
    if step.happened_at is not None:
        cells.setdefault(kind.at, step.happened_at)
    cells["by"] = step.by
    return cells, frozenset({KEPT}) if "kept" in step.facts else frozenset()
