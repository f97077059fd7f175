"""Rows that say something else than the record: side by side, field by field, with what to do.

Read :func:`changed_rows`. Nothing of such a row is posted. What the record holds by now is shown,
corrections included; a file that was brought in line with a correction differs no more.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import count

from beadwright.interop.recorded import Recorded
from beadwright.interop.sheets.cells import Row, Sort, written
from beadwright.interop.sheets.kinds import KINDS
from beadwright.interop.sheets.kinds.kind import SheetKind
from beadwright.ledger.draft import Correction, Draft, ReadingsDraft, SettingDraft, StepDraft
from beadwright.quality.versions import MARK

__all__ = ["Changed", "Difference", "changed_rows"]

_READINGS = "/readings"
_NO_CELLS = frozenset({"kept", MARK})


@dataclass(frozen=True, slots=True)
class Difference:
    """A field, by what the record holds and by what the file says; empty where it is."""

    field: str
    record: str
    file: str


@dataclass(frozen=True, slots=True)
class Changed:
    """A row that was posted before, and says something else now."""

    key: str
    """Client key of the row, or of the setting."""
    where: str
    """File and row; empty of a setting."""
    differences: tuple[Difference, ...]
    """Empty where only the record's derivation of the row differs."""
    remedy: str


class _Said:
    """What a draft says, as texts by field."""

    def __init__(self, persons: Mapping[str, str], clock: Callable[[int], str]) -> None:
        self._persons = persons
        self._clock = clock

    def of(self, draft: Draft | None, kind: SheetKind | None) -> dict[str, str]:
        if isinstance(draft, Correction):
            about = {"row": draft.step, "reason": draft.reason, "by": self._person(draft.by)}
            restated = KINDS.get(draft.step.partition("/")[0])
            return (
                self.of(draft.restated, restated) | about | {"at": self._clock(draft.happened_at)}
            )
        if isinstance(draft, SettingDraft):
            return dict(_flat(draft.body))
        if isinstance(draft, StepDraft):
            return self._cells(draft, kind)
        if isinstance(draft, ReadingsDraft):
            return self._readings(draft, kind)
        return {}

    def _cells(self, step: StepDraft, kind: SheetKind | None) -> dict[str, str]:
        cells = {name: text for name, text in step.facts.items() if name not in _NO_CELLS}
        for name, spec in (kind.fields if kind is not None else {}).items():
            if spec.sort is Sort.TIME and cells.get(name, "").isdecimal():
                cells[name] = self._clock(int(cells[name]))
        if kind is not None and step.happened_at is not None:
            cells[kind.at] = self._clock(step.happened_at)
        return cells | {"by": self._person(step.by)}

    def _readings(self, draft: ReadingsDraft, kind: SheetKind | None) -> dict[str, str]:
        at = {kind.at if kind is not None else "at": self._clock(draft.happened_at)}
        by = {"by": self._person(draft.by)}
        if kind is not None and kind.recall is not None:
            cells = kind.recall(draft).cells
            texts = {
                name: written(cell)
                for name, cell in cells.items()
                if name in kind.fields and kind.fields[name].sort not in {Sort.TIME, Sort.PERSON}
            }
            return texts | at | by
        texts = {}
        for reading in draft.readings:
            texts[reading.characteristic] = f"{reading.value} {reading.unit}".strip()
            facts = {name: text for name, text in reading.facts.items() if name not in _NO_CELLS}
            texts |= facts | {"lot": reading.lot, "instrument": reading.instrument}
        return texts | at | by

    def _person(self, person: str) -> str:
        return self._persons.get(person, person)


def changed_rows(
    known: Recorded, drafts: Iterable[Draft], rows: Mapping[str, Row], persons: Mapping[str, str]
) -> tuple[list[Changed], set[str]]:
    """Return the rows that differ, and the keys of drafts that say what the record does by now.

    ``persons`` gives initials by id; ``rows`` are the files' own, by client key.
    """
    found: dict[str, list[Difference]] = {}
    agree: set[str] = set()
    for draft in drafts:
        key = draft.key.removesuffix(_READINGS)
        row = rows.get(key)
        kind = KINDS.get(key.partition("/")[0])
        says = _Said(persons, row.clock if row is not None else str)
        first, newest = known.posted(draft.key), _newest(known, draft)
        differences = _differences(says.of(newest, kind), says.of(draft, kind))
        if not differences and newest != first:
            agree.add(draft.key)
        else:
            held = found.setdefault(key, [])
            held += [one for one in differences if one not in held]
    shown = [
        Changed(key, _where(rows.get(key)), tuple(differences), _remedy(key, differences))
        for key, differences in found.items()
    ]
    return shown, agree


def _newest(known: Recorded, draft: Draft) -> Draft | None:
    """What the record holds under a key by now: corrected steps, readings taken anew."""
    if isinstance(draft, StepDraft):
        return known.step(draft.key)
    newest = known.posted(draft.key)
    if isinstance(draft, ReadingsDraft):
        for number in count(2):
            later = known.readings(f"{draft.key}/{number}")
            if later is None:
                break
            newest = later
    return newest


def _differences(record: Mapping[str, str], file: Mapping[str, str]) -> list[Difference]:
    names = dict.fromkeys((*file, *record))
    return [
        Difference(name, record.get(name, ""), file.get(name, ""))
        for name in names
        if record.get(name, "") != file.get(name, "")
    ]


def _flat(body: Mapping[str, object], above: str = "") -> Iterable[tuple[str, str]]:
    for name, value in body.items():
        if isinstance(value, Mapping):
            yield from _flat(value, f"{above}{name}.")
        elif isinstance(value, list | tuple):
            yield f"{above}{name}", ", ".join(str(each) for each in value)
        else:
            yield f"{above}{name}", str(value)


def _where(row: Row | None) -> str:
    return "" if row is None else row.where()


def _remedy(key: str, differences: Sequence[Difference]) -> str:
    sheet, _, name = key.partition("/")
    if sheet == "setting":
        return "If it changed, state it with since = the day from which it holds; else put it back."
    if sheet not in KINDS:
        return "Put the row back, and add another one to the sheet."
    if not differences:
        return "Put the row back as it was."
    first = differences[0]
    value = f'value "{first.file}"' if first.file else "no value"
    return (
        f'If the file is right, add to the corrections sheet: sheet "{sheet}", row "{name}",'
        f' field "{first.field}", {value}, and the reason'
        f"{' (a row for each field)' if len(differences) > 1 else ''}; else put it back."
    )
