"""Out of the plant: bundles and shipments, counted in pieces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

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

__all__ = ["SHIPPING"]


def _follower(row: Row, register: Register, source: str, into: str) -> Sequence[NewLot]:
    """Lot that takes over kind, product and unit mass of the first lot put into it."""
    code = row.text(into)
    lot = register.lot(row.text(source)) if row.text(source) else None
    if not code:
        return ()
    if lot is None:
        return (NewLot(code, Material.BLOCK, into),) if row.bad else ()
    return (
        NewLot(
            code,
            lot.kind,
            into,
            lot.product,
            unit_mg=lot.unit_mg,
            unit_source=f"that of {row.text(source)}",
        ),
    )


def _bundled(row: Row, register: Register) -> Sequence[NewLot]:
    return _follower(row, register, "lot", "bundle")


def _shipped(row: Row, register: Register) -> Sequence[NewLot]:
    return _follower(row, register, "what", "shipment")


def _bundle(row: Row, register: Register) -> Drafts:
    return _take(row, register, "lot", _bundled(row, register))


def _ship(row: Row, register: Register) -> Drafts:
    drafts = _take(row, register, "what", _shipped(row, register))
    if drafts.step is None:
        return drafts
    gone, arrived = drafts.step.lines
    outside = replace(arrived, place=f"outside:{row.text('receiver')}")
    return Drafts(replace(drafts.step, kind="ship", lines=(gone, outside)))


def _take(row: Row, register: Register, source: str, lots: Sequence[NewLot]) -> Drafts:
    lot = register.need_counted(row, source)
    if row.bad or lot is None:
        return NOTHING
    into, pieces = lots[0], row.number_of("pieces")
    held = register.lot(into.code)
    if held is not None and held.kind is not lot.kind and into.what == "bundle":
        what = f"{into.code} is {held.kind}; {row.text(source)} is {lot.kind}"
        remedy = "Correct the code, or give the bundle a code of its own."
        register.fault(row, into.what, "wrong_kind", what=what, remedy=remedy)
        return NOTHING
    mg, keyed = pieces * lot.unit_mg, f"{pieces} pieces"
    lines = (
        Line(row.text(source), -1, mg, pieces, Evidence.COUNTED, keyed),
        Line(into.code, 1, mg, pieces, Evidence.COUNTED, keyed),
    )
    step = StepDraft(
        row.key,
        "bundle",
        row.number_of("at"),
        lines,
        remainder_mg=remainder(lines),
        new_lots=register.born(row, lots),
        product=lot.product,
        by=row.by,
        facts=row.facts(),
    )
    return Drafts(step)


_AT = Field("at", Sort.TIME)
_PIECES = Field("pieces", Sort.COUNT, positive=True)

SHIPPING = (
    SheetKind(
        "bundles",
        "at",
        by_name(_AT, Field("bundle", Sort.CODE), Field("lot", Sort.CODE), _PIECES, BY),
        _bundled,
        _bundle,
        nothing_usual,
    ),
    SheetKind(
        "shipments",
        "at",
        by_name(
            _AT,
            Field("shipment", Sort.CODE),
            Field("receiver"),
            Field("what", Sort.CODE),
            _PIECES,
            Field("trailer", Sort.CHOICE, required=False, choices=("open", "closed")),
            BY,
        ),
        _shipped,
        _ship,
        nothing_usual,
    ),
)
