"""One entry of the record in words, whole: its head, and what it says part by part.

Read :func:`head` and :func:`content`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from beadwright.ledger.draft import (
    Correction,
    Decision,
    Draft,
    Hold,
    Lift,
    Reading,
    ReadingsDraft,
    Release,
    SettingDraft,
    StepDraft,
    Void,
)
from beadwright.plant.figures import mass
from beadwright.plant.gauge_studies.recorded import KIND as STUDY
from beadwright.plant.gauge_studies.recorded import study_rows
from beadwright.plant.history import EntryView
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.restated import WAYS, fact
from beadwright.plant.said_words import amount, sentence
from beadwright.plant.signed_evidence import signed_evidence
from beadwright.plant.upstream import local
from beadwright.plant.words import in_runs, place_of
from beadwright.quality.conditions import APART, CURVE, DEPARTED
from beadwright.units import System

__all__ = [
    "Facts",
    "Heading",
    "Part",
    "Said",
    "Table",
    "at_of",
    "content",
    "entries",
    "flat",
    "head",
    "named",
]


@dataclass(frozen=True, slots=True)
class Heading:
    """What the parts below it are about."""

    text: str


@dataclass(frozen=True, slots=True)
class Facts:
    """Names and what they are."""

    rows: tuple[tuple[str, str], ...]
    under: str = ""
    """What they are, where they stand under something else."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under columns; a column whose title ends in ``>`` stands to the right.

    One whose title begins with ``!`` is never broken over lines.
    """

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Said:
    """A line of text."""

    text: str
    lots: tuple[str, ...] = ()
    """Lots that it names."""


Part = Heading | Facts | Table | Said


def at_of(view: EntryView) -> int:
    """Give when what an entry says happened; of a planned step, when it was recorded."""
    at_ms = view.entered.draft.happened_at
    return view.entered.recorded_at if at_ms is None else at_ms


def head(plant: Plant, view: EntryView, people: Named) -> tuple[tuple[str, str], ...]:
    """Give when, by whom, from which sheet an entry came, and what it is about."""
    one, source = view.entered, view.source
    row = f", sheet {source.sheet}, row {source.row}" if source.sheet else ""
    came = f"import {source.imported}{row}" if source.imported else "keyed here"
    rows = [
        ("happened", local(at_of(view), plant.zone)),
        ("recorded", local(one.recorded_at, plant.zone)),
        ("done by", people(one.draft.by) or "nobody is named"),
        ("keyed by", f"account {one.account}"),
        ("came from", came),
        ("client key", one.draft.key),
    ]
    if view.about is not None:
        rows.append(("about", f"entry {view.about}"))
    rows += _restated(plant, view, people)
    anew = view.restated
    told = set() if anew is None else {anew.void, anew.entry}
    others = [seq for seq in view.together if seq not in told]
    if others:
        rows.append(("same correction", entries(others)))
    return tuple(rows)


def _restated(plant: Plant, view: EntryView, people: Named) -> Iterator[tuple[str, str]]:
    """Say of readings that were restated what they replace, by whom, and when that was entered."""
    one = view.restated
    if one is None:
        return
    if isinstance(view.entered.draft, ReadingsDraft):
        when = local(one.recorded_at, plant.zone)
        who = people(one.by) or f"account {one.account}, nobody is named"
        yield "restates", f"entry {one.replaces}, voided by entry {one.void}"
        yield "restated by", f"{who}, entered {when}: {one.reason}"
    elif one.entry is not None:
        yield "restated as", f"entry {one.entry}"


def entries(numbers: Sequence[int]) -> str:
    """Give numbers of entries in words."""
    return f"{'entry' if len(numbers) == 1 else 'entries'} {', '.join(map(str, numbers))}"


def content(plant: Plant, view: EntryView, units: System) -> Iterator[Part]:
    """Give what an entry says, part by part."""
    draft = view.entered.draft
    match draft:
        case StepDraft():
            yield from _step(plant, draft, units)
        case Correction():
            yield Heading(f"What it changed in {draft.step}: {draft.reason}")
            rows = tuple((one.field, one.before, one.after) for one in view.changes)
            yield Table(("field", "before", "after"), rows)
            yield Heading("The step as it says it now")
            yield from _step(plant, draft.restated, units)
        case ReadingsDraft():
            yield Heading("Read")
            yield Table(_COLUMNS, tuple(_reading(*each) for each in enumerate(draft.readings)))
            yield from _departures(draft.readings)
            yield from _changes(view)
        case Void() if view.restated is not None:
            yield Heading(sentence(view, "", units))
            yield from _changes(view)
        case Decision() if draft.kind == STUDY:
            yield Heading(sentence(view, "", units))
            yield Facts(study_rows(draft.body))
        case SettingDraft() | Decision():
            yield Heading(sentence(view, "", units))
            yield Facts(tuple(flat(draft.body)))
        case _:
            yield Heading(sentence(view, "", units))
            lots = named(draft)
            if lots:
                yield Said(f"Lots: {in_runs(lots)}", lots)
            if isinstance(draft, Release):
                yield from _signed(plant, draft)


def _signed(plant: Plant, draft: Release) -> Iterator[Part]:
    """Give the evidence that a release is over, as it was signed, and what is otherwise now."""
    found = signed_evidence(plant.no, draft.lot, draft.evidence)
    yield Heading("The evidence that was signed")
    yield Facts((("evidence", found.sha256), ("how it is known", found.words)))
    if found.same_now:
        yield Said("The evidence there is now is the same.")
    elif found.text is not None:
        yield Said(f"Otherwise now: {'; '.join(found.changed) or 'nothing that is shown'}.")
    for one in found.shown:
        yield Heading(one.title)
        yield Table(one.columns, one.rows)


def _changes(view: EntryView) -> Iterator[Part]:
    """Give what a correction of readings changed, field by field."""
    if view.restated is not None:
        yield Heading(f"What it changed in entry {view.restated.replaces}: {view.restated.reason}")
        rows = tuple((one.field, one.before, one.after) for one in view.changes)
        yield Table(("field", "before", "after"), rows)


def _step(plant: Plant, draft: StepDraft, units: System) -> Iterator[Part]:
    rows = (("product", draft.product), ("place", place_of(draft.place)), ("run", draft.run))
    yield Facts(tuple(row for row in rows if row[1]))
    lines = [
        (WAYS[line.sign], line.lot, amount(line, units), str(line.evidence), line.keyed,
         place_of(line.place))
        for line in draft.lines
    ]  # fmt: skip
    lines += [("lost", loss.name, mass(loss.mg, units, 3), "", loss.keyed, "")
              for loss in draft.losses]  # fmt: skip
    if draft.remainder_mg:
        lines.append(("unaccounted", "", mass(draft.remainder_mg, units, 3), "", "", ""))
    if lines:
        columns = ("way", "!lot", "how much>", "known by", "as keyed", "now at")
        yield Table(columns, tuple(lines))
    for new in draft.new_lots:
        said = (new.what or str(new.kind), new.product, "+".join(new.grades))
        unit = f", a piece {mass(new.unit_mg, units, 4)}" if new.unit_mg else ""
        yield Said(f"New lot {new.code}: {', '.join(filter(None, said))}{unit}")
    if draft.facts:
        beside = ((k.replace("_", " "), fact(text, plant.zone)) for k, text in draft.facts.items())
        yield Facts(tuple(beside), "Keyed beside")


_COLUMNS = ("!no>", "characteristic", "!value>", "unit", "!lot", "step", "specimen", "instrument",
            "method", "conditions")  # fmt: skip


def _departures(readings: Iterable[Reading]) -> Iterator[Said]:
    """Say below the table what was found to be otherwise than the method asks."""
    for one in readings:
        said = one.facts.get(DEPARTED, "").replace("\n", APART)
        for each in filter(None, said.split(APART)):
            yield Said(f"{one.characteristic.replace('_', ' ').capitalize()}: {each}")


def _reading(line: int, one: Reading) -> tuple[str, ...]:
    value = f"{one.value} ± {one.uncertainty}" if one.uncertainty else one.value
    name = one.characteristic.replace("_", " ")
    facts = {key: text for key, text in one.facts.items() if key != DEPARTED}
    told = {key: f"{text[:12]}…" if key == CURVE else text for key, text in facts.items()}
    beside = ", ".join(f"{key.replace('_', ' ')} {text}" for key, text in told.items())
    subject = (one.lot, one.step, one.specimen, one.instrument, one.method, beside)
    return (str(line), name, value, one.unit, *subject)


def named(draft: Draft) -> tuple[str, ...]:
    """Give the lots that a hold, a lift or a release names."""
    if isinstance(draft, Hold | Lift):
        return draft.lots
    return (draft.lot,) if isinstance(draft, Release) else ()


def flat(value: object, name: str = "") -> Iterator[tuple[str, str]]:
    """Give what a body says, a name and a text for each of its parts."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from flat(inner, f"{name}.{key}".lstrip("."))
    elif isinstance(value, list | tuple):
        if all(isinstance(inner, str | int) for inner in value):
            yield name, ", ".join(map(str, value))
            return
        for at, inner in enumerate(value):
            yield from flat(inner, f"{name}[{at}]")
    else:
        yield name, "" if value is None else str(value)
