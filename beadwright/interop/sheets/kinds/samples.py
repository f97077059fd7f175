"""Samples taken from a lot: blocks put by to be cut up for tests, or retained. A sample is a lot.

Read :data:`SAMPLES`. Where a row says when its pieces were put into conditioning, their hours are
counted from then.
"""

from __future__ import annotations

from collections.abc import Sequence

from beadwright.interop.sheets.cells import Field, Row, Sort
from beadwright.interop.sheets.kinds.kind import (
    BY,
    NOTHING,
    Drafts,
    SheetKind,
    by_name,
    nothing_usual,
    remainder,
)
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import Evidence, Line, Material, NewLot, StepDraft

__all__ = ["SAMPLES"]

_WHAT = "sample"
_FATES = ("test", "retained")
_OPEN_MS = 3_600_000
"""How long a form may have stood open before it was recorded: it keeps the time it was opened."""


def _taken(row: Row, register: Register) -> Sequence[NewLot]:
    """Lot that takes over kind, product and unit mass of the lot it was taken from."""
    code = row.text("sample")
    lot = register.lot(row.text("lot")) if row.text("lot") else None
    if not code:
        return ()
    if lot is None:
        return (NewLot(code, Material.BLOCK, _WHAT),) if row.bad else ()
    source = f"that of {row.text('lot')}"
    return (NewLot(code, lot.kind, _WHAT, lot.product, unit_mg=lot.unit_mg, unit_source=source),)


def _sample(row: Row, register: Register) -> Drafts:
    lot = register.need_counted(row, "lot", Material.BLOCK, Material.PACKAGING)
    since, at = row.number_of("conditioning_from"), row.number_of("at")
    if since and since < at - _OPEN_MS and not row.bad:
        what = "it was put into conditioning before it was taken"
        remedy = "Correct one of the times."
        register.fault(row, "conditioning_from", "time_backwards", what=what, remedy=remedy)
    if row.bad or lot is None:
        return NOTHING
    lots, pieces = _taken(row, register), row.number_of("pieces")
    mg, keyed = pieces * lot.unit_mg, f"{pieces} pieces"
    lines = (
        Line(row.text("lot"), -1, mg, pieces, Evidence.COUNTED, keyed),
        Line(row.text("sample"), 1, mg, pieces, Evidence.COUNTED, keyed, place=row.text("kept_at")),
    )
    step = StepDraft(
        row.key,
        "sample",
        at,
        lines,
        remainder_mg=remainder(lines),
        new_lots=register.born(row, lots),
        product=lot.product,
        by=row.by,
        facts=row.facts(),
    )
    return Drafts(step)


SAMPLES = (
    SheetKind(
        "samples",
        "at",
        by_name(
            Field("at", Sort.TIME),
            Field("lot", Sort.CODE),
            Field("sample", Sort.CODE),
            Field("pieces", Sort.COUNT, positive=True),
            Field("fate", Sort.CHOICE, choices=_FATES),
            Field("conditioning_from", Sort.TIME, required=False),
            Field("kept_at", required=False),
            BY,
        ),
        _taken,
        _sample,
        nothing_usual,
    ),
)
