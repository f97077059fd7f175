"""What a sheet kind is: its fields, the lots a row may bring, and the drafts a row becomes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from beadwright.interop.sheets.cells import Cell, Field, Row, Sort
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import Decision, Line, Loss, NewLot, ReadingsDraft, StepDraft

__all__ = [
    "BY",
    "NOTHING",
    "Drafts",
    "Recalled",
    "SheetKind",
    "Usual",
    "by_name",
    "no_lots",
    "nothing_usual",
    "remainder",
]


class Drafts(NamedTuple):
    """What one row becomes."""

    step: StepDraft | None = None
    readings: ReadingsDraft | None = None
    decision: Decision | None = None


class Recalled(NamedTuple):
    """A row's cells, from readings; and the fields that a person said stand as keyed."""

    cells: dict[str, Cell]
    kept: frozenset[str]


class Usual(NamedTuple):
    """A figure that is much the same in every row of a group, so that a slipped point shows."""

    group: tuple[str, ...]
    field: str
    """Field that a person is asked about."""
    value: float
    nominal: float = 0.0
    """What it should be, where a setting says so; else the group's own middle is taken."""
    may_be_small: bool = False
    """A rest or a top-up is ordinary: ask only where it is far too large."""
    share_of: str = ""
    """Field it was divided by; where that is asked about, this is not."""


@dataclass(frozen=True, slots=True)
class SheetKind:
    """A kind of sheet."""

    name: str
    at: str
    """Field that says when it happened."""
    fields: Mapping[str, Field]
    outputs: Callable[[Row, Register], Sequence[NewLot]]
    """Lots that a row brings, if nothing brought them before; must bear missing cells."""
    build: Callable[[Row, Register], Drafts]
    usual: Callable[[Row, Register], Iterable[Usual]]
    recall: Callable[[ReadingsDraft], Recalled] | None = None
    """Cells of a row from the readings it became."""
    corrected: bool = True
    """Whether the corrections sheet may restate a row of it."""


BY = Field("by", Sort.PERSON)
NOTHING = Drafts()


def no_lots(row: Row, register: Register) -> Sequence[NewLot]:  # noqa: ARG001
    """Bring no lot."""
    return ()


def nothing_usual(row: Row, register: Register) -> Iterable[Usual]:  # noqa: ARG001
    """Compare nothing."""
    return ()


def remainder(lines: Iterable[Line], losses: Iterable[Loss] = ()) -> int:
    """What the lines and losses leave unaccounted: in less out less losses, in mg."""
    return -sum(line.sign * line.mg for line in lines) - sum(loss.mg for loss in losses)


def by_name(*fields: Field) -> dict[str, Field]:
    """Fields by name, in order."""
    return {field.name: field for field in fields}
