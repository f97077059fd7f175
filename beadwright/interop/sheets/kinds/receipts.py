"""What comes in at the dock: bags of beads, cartons of ties."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from beadwright.interop.sheets.cells import Field, Row, Sort
from beadwright.interop.sheets.kinds.kind import BY, NOTHING, Drafts, SheetKind, Usual, by_name
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import Evidence, Label, Line, Material, NewLot, StepDraft

__all__ = ["RECEIPTS"]


def _label(row: Row) -> tuple[Label, ...]:
    return (Label(row.text("supplier") or "supplier", row.text("supplier_lot")),)


def _bag(row: Row, register: Register) -> Sequence[NewLot]:  # noqa: ARG001
    code = row.text("bag")
    if not code:
        return ()
    grades = (row.text("grade"),)
    return (NewLot(code, Material.BEAD, "bag", grades=grades, labels=_label(row)),)


def _carton(row: Row, register: Register) -> Sequence[NewLot]:  # noqa: ARG001
    code = row.text("carton")
    if not code:
        return ()
    return (
        NewLot(
            code,
            Material.TIE,
            "carton",
            grades=(row.text("grade"),),
            labels=_label(row),
            unit_mg=row.mg("unit_mass"),
            unit_source="stated at receipt",
        ),
    )


def _receive(row: Row, register: Register, lots: Sequence[NewLot], line: Line) -> Drafts:
    """Post one line in; a code comes in once and for ever."""
    at = row.number_of("received")
    grade = register.need_setting(row, "grade", "grade", at)
    made_for = "tie" if lots[0].kind is Material.TIE else "bead"
    if grade is not None and grade.body.get("of") != made_for:
        what = f"{row.text('grade')} is no {made_for} grade"
        register.fault(row, "grade", "wrong_kind", what=what, remedy="Correct the grade.")
    name = lots[0].what
    if not register.born(row, lots):
        what = f"{lots[0].code} was received or introduced before"
        remedy = "Give the lot a code of its own; a code is never used again."
        register.fault(row, name, "lot_repeated", what=what, remedy=remedy)
    if row.bad:
        return NOTHING
    step = StepDraft(
        row.key, "receipt", at, (line,), new_lots=tuple(lots), by=row.by, facts=row.facts()
    )
    return Drafts(step)


def _receive_bag(row: Row, register: Register) -> Drafts:
    line = Line(row.text("bag"), 1, row.mg("mass"), keyed=row.keyed("mass"))
    return _receive(row, register, _bag(row, register), line)


def _receive_carton(row: Row, register: Register) -> Drafts:
    pieces = row.number_of("pieces")
    mg = pieces * row.mg("unit_mass")
    keyed = f"{pieces} pieces"
    line = Line(row.text("carton"), 1, mg, pieces, Evidence.COUNTED, keyed)
    return _receive(row, register, _carton(row, register), line)


def _usual_bag(row: Row, register: Register) -> Iterable[Usual]:  # noqa: ARG001
    yield Usual((row.text("grade"),), "mass", float(row.mg("mass")), may_be_small=True)


def _usual_tie(row: Row, register: Register) -> Iterable[Usual]:  # noqa: ARG001
    yield Usual((row.text("grade"),), "unit_mass", float(row.mg("unit_mass")))


_RECEIVED = Field("received", Sort.TIME)
_FROM = (Field("supplier_lot"), Field("supplier", required=False), Field("grade"))

RECEIPTS = (
    SheetKind(
        "bead_receipts",
        "received",
        by_name(
            _RECEIVED,
            Field("bag", Sort.CODE),
            *_FROM,
            Field("mass", Sort.MASS, positive=True),
            BY,
        ),
        _bag,
        _receive_bag,
        _usual_bag,
    ),
    SheetKind(
        "tie_receipts",
        "received",
        by_name(
            _RECEIVED,
            Field("carton", Sort.CODE),
            *_FROM,
            Field("pieces", Sort.COUNT, positive=True),
            Field("unit_mass", Sort.MASS, positive=True),
            BY,
        ),
        _carton,
        _receive_carton,
        _usual_tie,
    ),
)
