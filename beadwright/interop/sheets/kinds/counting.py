"""What was found at a stocktake: of a lot or a place its mass, of what is kept in pieces how many.

Read :data:`COUNTING`. The difference to the books is the record's to keep, and nobody's to argue.
"""

from __future__ import annotations

from beadwright.interop.sheets.cells import Field, Row, Sort
from beadwright.interop.sheets.kinds.kind import (
    BY,
    NOTHING,
    Drafts,
    SheetKind,
    by_name,
    no_lots,
    nothing_usual,
)
from beadwright.interop.sheets.known import KnownLot
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import Evidence, Line, StepDraft

__all__ = ["COUNTING"]


def _found(row: Row, register: Register) -> Drafts:
    lot = register.need_lot(row, "lot")
    if lot is None or row.bad or not _says_how_much(row, register, lot):
        return NOTHING
    mass, pieces = row.measure("found_mass"), row.number_of("found_pieces")
    if lot.unit_mg:
        mg, how, keyed = pieces * lot.unit_mg, Evidence.COUNTED, f"{pieces} pieces"
        line = Line(row.text("lot"), 0, mg, pieces, how, keyed)
    else:
        mg, keyed = row.mg("found_mass"), mass.keyed if mass else ""
        line = Line(row.text("lot"), 0, mg, keyed=keyed)
    at = row.number_of("at")
    return Drafts(StepDraft(row.key, "stocktake", at, (line,), by=row.by, facts=row.facts()))


def _says_how_much(row: Row, register: Register, lot: KnownLot) -> bool:
    """Whether it says how much was found, in the unit the lot is kept in and in no other."""
    code = row.text("lot")
    wanted, other = (
        ("found_pieces", "found_mass") if lot.unit_mg else ("found_mass", "found_pieces")
    )
    kept = "in pieces" if lot.unit_mg else "by mass"
    if wanted not in row.cells:
        what = f"{code} is kept {kept}; the row does not say how much was found"
        remedy = "Fill the cell; 0 where nothing was found."
        register.fault(row, wanted, "field_missing", what=what, remedy=remedy)
        return False
    if other in row.cells:
        what = f"{code} is kept {kept}"
        register.fault(row, other, "not_counted", what=what, remedy="Empty the cell.")
        return False
    return True


COUNTING = (
    SheetKind(
        "stocktakes",
        "at",
        by_name(
            Field("at", Sort.TIME),
            Field("lot", Sort.CODE),
            Field("found_mass", Sort.MASS, required=False),
            Field("found_pieces", Sort.COUNT, required=False),
            Field("scale", required=False),
            BY,
        ),
        no_lots,
        _found,
        nothing_usual,
    ),
)
