"""A form into drafts: one row, read as a row of a sheet is, against the record.

Read :func:`read`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Literal

from beadwright.interop.keyed.after_run import after_run
from beadwright.interop.keyed.cells import FORM, Noting, Texts, cells_of, new_row
from beadwright.interop.keyed.fitting import Offer, Which, offers, taken
from beadwright.interop.keyed.form import Asked, Keyed, kind_named
from beadwright.interop.keyed.pieces_seen import pieces_seen
from beadwright.interop.keyed.read_again import read_again
from beadwright.interop.keyed.repeated import held_already
from beadwright.interop.keyed.taken_with import taken_with
from beadwright.interop.sheets.cavities import check_cavities
from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.contradictions import contradictions
from beadwright.interop.sheets.doubts import Questioned, measured_doubts, slipped_doubts
from beadwright.interop.sheets.evidence_doubts import evidence_doubts
from beadwright.interop.sheets.history import row_of
from beadwright.interop.sheets.kinds import KINDS
from beadwright.interop.sheets.kinds.kind import SheetKind
from beadwright.interop.sheets.receivers import receiver_doubts
from beadwright.interop.sheets.specimen_doubts import specimen_doubts
from beadwright.interop.sheets.together import check_together
from beadwright.ledger.draft import Draft, ReadingsDraft, StepDraft
from beadwright.ledger.newest import newest_of
from beadwright.plant.moment import moment
from beadwright.plant.opening import open_plant

__all__ = ["answered", "offered", "read", "recent_rows", "used"]

_ENOUGH = 5
"""Fewer entries of a kind do not say which of its fields are keyed; common practice, no source."""

_COMPARED = 60
"""Newest rows of a kind that say what is usual; common practice, no source."""


def read(  # noqa: PLR0913 - the parts of a form that a page holds apart
    plant: str,
    kind: str,
    texts: Mapping[str, str],
    *,
    units: Mapping[str, str],
    key: str,
    by: str,
    decimal: Literal[".", ","] = ".",
    at: str = "",
    kept: frozenset[str] = frozenset(),
) -> Keyed:
    """Read a form of a sheet kind.

    Parameters
    ----------
    plant : str
        Code of the plant, which is in the store.
    kind : str
        Name of a sheet kind, such as ``mould_runs``.
    texts, units : mapping of str to str
        What stands in the fields, and the units beside them, by field.
    key : str
        The form's client key: the same key posts once.
    by : str
        Id of the person who did it; empty where the form's field ``by`` says so by initials.
    decimal : {".", ","}
        Decimal sign of the numbers.
    at : str
        When it happened, in the plant's zone, where the form has it apart; else its own field
        says so; where both are empty, it is now.
    kept : frozenset of str
        Fields of which a person said that they stand as keyed.

    Raises
    ------
    Misuse
        If there is no such kind.
    """
    one = kind_named(kind)
    register = Noting(plant)
    said = Texts({**texts, **({one.at: at} if at.strip() else {})}, units, decimal)
    row = new_row(one, key, register.zone())
    timed = bool(said.of(one.at))
    skip = frozenset() if timed else frozenset({one.at})
    if not timed:
        row.cells[one.at] = _time_of(one, row, register)
    if by:
        row.cells["by"] = by
        skip |= {"by"}
    meant = taken(one, said, row, register)
    codes = {name: text for name, text in meant.items() if isinstance(text, str)}
    which = tuple(each for each in meant.values() if isinstance(each, Which))
    said = replace(said, texts={**said.texts, **codes})
    cells_of(one, said, row, register, skip | {each.field for each in which})
    for each in which:
        _ask_which(each, row, register)
    found = answered(one, row, register, kept)
    # An invented plant's time is not the door's: what is keyed there says when.
    timed = timed or open_plant(plant).invented
    return replace(found, plant=plant, timed=timed, which=which, meant=codes)


def offered(
    plant: str, kind: str, texts: Mapping[str, str] | None = None
) -> Mapping[str, tuple[Offer, ...]]:
    """Give what fits each field of a form, newest first, so that nobody types an id.

    ``texts`` is what stands in its fields.

    Raises
    ------
    Misuse
        If there is no such kind.
    """
    one = kind_named(kind)
    return offers(plant, one, recent_rows(Noting(plant), one), texts or {})


def used(plant: str, kind: str) -> frozenset[str]:
    """Give the fields that some of the newest entries of a kind hold; none where there are few.

    Raises
    ------
    Misuse
        If there is no such kind.
    """
    one = kind_named(kind)
    rows = list(recent_rows(Noting(plant), one))
    names = frozenset(name for row in rows for name in row.cells)
    return names if len(rows) >= _ENOUGH else frozenset()


def _ask_which(one: Which, row: Row, register: Noting) -> None:
    codes = ", ".join(each.code for each in one.matches)
    many = len(one.matches) > 1
    what = f"{one.text} fits {codes}" if many else f"{one.text} is a part of {codes}"
    remedy = "Say which." if many else "Say whether that is meant."
    register.fault(row, one.field, "which_lot", what=what, remedy=remedy)


def answered(kind: SheetKind, row: Row, register: Noting, kept: frozenset[str]) -> Keyed:
    """Ask about a row, check it and build its drafts."""
    register.declare(row, kind.outputs(row, register), (row.number_of(kind.at), 0, 0))
    if kind.name == "expansion_runs" and not row.bad:
        register.note_expansion(row)
    questions = () if row.bad else _asked(kind, row, register, kept)
    if row.bad:  # what cannot be meant is not asked about besides
        questions = ()
    if not row.bad:
        check_together([row], register)
        check_cavities([row], register)
    drafts: tuple[Draft, ...] = ()
    if not row.bad:
        made = kind.build(row, register)
        drafts = tuple(draft for draft in made if draft is not None)
    faults = register.noted()
    drafts = () if faults else drafts
    return Keyed("", kind.name, row.key, drafts, faults, questions, kept=row.kept, row=row)


def recent_rows(register: Noting, kind: SheetKind, number: int = _COMPARED) -> Iterator[Row]:
    """Newest rows of a kind in the record, newest first, as they came in."""
    rows: dict[str, Row] = {}
    for draft in _newest(register.plant, kind.name, number, open_plant(register.plant).head):
        key = draft.key.removesuffix("/readings")
        held = rows.get(key) or row_of(kind, key, None)
        if isinstance(draft, StepDraft):
            made = row_of(kind, key, draft)
            held = replace(made, cells=made.cells | held.cells, kept=made.kept | held.kept)
        elif kind.recall is not None:
            recall = kind.recall(draft)
            held = replace(held, cells=held.cells | recall.cells, kept=held.kept | recall.kept)
        rows[key] = held
    yield from sorted(rows.values(), key=lambda row: -row.number_of(kind.at))


@lru_cache(maxsize=32)
def _newest(
    plant: str, kind: str, number: int, head: tuple[int, str]
) -> tuple[StepDraft | ReadingsDraft, ...]:
    """Newest drafts of a kind, read once for each state of the record: one page asks twice."""
    del head  # stands for all that is read
    return tuple(newest_of(plant, kind, number))


def _time_of(kind: SheetKind, row: Row, register: Noting) -> int:
    """Now; or when the same form came the first time, so that it says the same again."""
    known = register.known
    step = known.posted(row.key)
    if isinstance(step, StepDraft):
        return row_of(kind, row.key, step).number_of(kind.at)
    posted = known.posted(row.readings_key)
    return posted.happened_at if isinstance(posted, ReadingsDraft) else _or_now(step, register)


def _or_now(posted: Draft | None, register: Noting) -> int:
    if posted is None or posted.happened_at is None:
        return moment(open_plant(register.plant))
    return posted.happened_at


def _asked(kind: SheetKind, row: Row, register: Noting, kept: frozenset[str]) -> tuple[Asked, ...]:
    """Questions of a row that are not answered; what is in the record is not asked again."""
    if kind.name not in KINDS:
        return ()
    others = _others(kind, row, register)
    found: dict[str, Questioned] = {}
    for each in (
        *slipped_doubts([row, *others], register),
        *measured_doubts([row, *others], register),
        *contradictions([row, *(others if kind.name == "mould_runs" else ())], register),
        *receiver_doubts([row], register),
        *evidence_doubts([row], register),
        *specimen_doubts([row], register),
        *read_again(row, register),
        *taken_with(row, register.plant, kind.at),
        *after_run(row, register.plant),
        *pieces_seen(row, register),
    ):
        if each.row is row:
            found.setdefault(each.field, each)
    if not found or _recorded(kind, row, register, frozenset(found)):
        return ()
    row.kept |= kept & set(found)
    return tuple(
        Asked(
            name, each.question.code, each.question.value, each.question.why, each.question.perhaps
        )
        for name, each in found.items()
        if name not in kept
    )


def _others(kind: SheetKind, row: Row, register: Noting) -> Sequence[Row]:
    rows = (other for other in recent_rows(register, kind) if other.key != row.key)
    return [
        replace(other, file=FORM, number=number, times=row.times, clock=row.clock)
        for number, other in enumerate(rows, start=1)
        if all(name in other.cells for name, spec in kind.fields.items() if spec.required)
    ]


def _recorded(kind: SheetKind, row: Row, register: Noting, asked: frozenset[str]) -> bool:
    """Whether the record holds this very row already, with an answer or without one."""
    posted = register.known.posted
    if posted(row.key) is None and posted(row.readings_key) is None:
        return False
    for kept in (frozenset[str](), asked):
        trial = replace(row, kept=row.kept | kept)
        drafts = [draft for draft in kind.build(trial, Noting(register.plant)) if draft is not None]
        if held_already(drafts, posted):
            row.kept |= kept
            return True
    return False
