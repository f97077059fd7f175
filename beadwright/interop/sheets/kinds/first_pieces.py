"""First pieces signed at a press: what was looked at before the run's blocks counted as good.

Read :data:`FIRST_PIECES`.
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
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import Line, Material, StepDraft
from beadwright.plant.first_pieces import SIGNED

__all__ = ["FIRST_PIECES"]


def _signed(row: Row, register: Register) -> Drafts:
    register.need_setting(row, "press", "place", row.number_of("at"))
    lot = register.need_lot(row, "lot", Material.BLOCK, Material.PACKAGING)
    if row.bad or lot is None:
        return NOTHING
    step = StepDraft(
        row.key,
        "first_piece",
        row.number_of("at"),
        (Line(row.text("lot"), 0, 0),),
        place=row.text("press"),
        run=row.text("run"),
        by=row.by,
        facts=row.facts(),
    )
    return Drafts(step)


FIRST_PIECES = (
    SheetKind(
        "first_pieces",
        "at",
        by_name(
            Field("at", Sort.TIME),
            Field("press", Sort.CODE),
            Field("run", required=False),
            Field("lot", Sort.CODE),
            *(Field(name, Sort.CHOICE, choices=("ok", "not ok")) for name in SIGNED),
            BY,
        ),
        no_lots,
        _signed,
        nothing_usual,
    ),
)
