"""Forms of mould runs: opened, gone on with, stopped for a while, closed.

A mould run is opened with what its hourly counts, rows of ``mould_runs``, have in common; a silo or
a carton that is changed holds for the counts after it. Read :data:`MOULD_KINDS`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from beadwright.interop.keyed.run_kinds import (
    AT,
    RUN,
    closed,
    need_new,
    need_run,
    plant_of,
    run_step,
)
from beadwright.interop.sheets.cells import Field, Row, Sort
from beadwright.interop.sheets.kinds.expansion import ends_after_start
from beadwright.interop.sheets.kinds.kind import (
    BY,
    NOTHING,
    Drafts,
    SheetKind,
    by_name,
    no_lots,
    nothing_usual,
)
from beadwright.interop.sheets.kinds.moulding import check_lot
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import Line, Material, NewLot, StepDraft
from beadwright.plant.runs import SOURCES, run_named

__all__ = ["MOULD_KINDS"]


def _mould_closed(row: Row, register: Register) -> Drafts:
    return closed(row, register, beads=False)


def _blocks(row: Row, register: Register) -> Sequence[NewLot]:
    """The lot of the run's blocks: there from the start, so that its first piece can be signed."""
    product = register.product(row.text("product"), row.number_of("at"))
    code = row.text("lot")
    if product is None or not code:
        return ()
    carton = register.lot(row.text("ties")) if row.text("ties") else None
    unit = row.mg("foam_per_block") + product.ties * (carton.unit_mg if carton is not None else 0)
    source = "foam per block and ties of the run as it was opened"
    new = NewLot(
        code, product.material, "mould run", product.name, unit_mg=unit, unit_source=source
    )
    return (new,)


def _open_mould(row: Row, register: Register) -> Drafts:
    at = row.number_of("at")
    product = register.need_product(row, "product", at)
    register.need_setting(row, "press", "place", at)
    register.need_lot(row, "from", Material.PREFOAM, Material.REGRIND)
    if row.text("ties"):
        register.need_counted(row, "ties", Material.TIE)
    elif product is not None and product.ties:
        what = f"{product.name} has {product.ties} ties a block; no carton is named"
        remedy = "Name the carton that the ties come from."
        register.fault(row, "ties", "field_missing", what=what, remedy=remedy)
    need_new(row, register)
    if product is not None and register.lot(row.text("lot")) is not None:
        check_lot(row, register, product)
    if row.bad or product is None:
        return NOTHING
    step = StepDraft(
        row.key, "run_open", at, (Line(row.text("lot"), 0, 0),), product=product.name,
        place=row.text("press"), run=row.text("run"), by=row.by, facts=row.facts(),
        new_lots=register.born(row, _blocks(row, register)),
    )  # fmt: skip
    return Drafts(step)


def _sources(row: Row, register: Register) -> Drafts:
    """Another silo, carton or bin: the run is open again, and its next counts are of it."""
    run = need_run(row, register, beads=False)
    if not any(name in row.cells for name in SOURCES):
        what = "nothing was changed: no silo, no carton and no bin"
        remedy = "Name what the run goes on with."
        register.fault(row, "from", "field_missing", what=what, remedy=remedy)
    if "from" in row.cells:
        register.need_lot(row, "from", Material.PREFOAM, Material.REGRIND)
    if "ties" in row.cells:
        register.need_counted(row, "ties", Material.TIE)
    if row.bad or run is None:
        return NOTHING
    return Drafts(run_step(row, "run_open", row.number_of("at"), (), run))


def _stood(row: Row, register: Register) -> Drafts:
    """A machine stood and goes on: the run is open again from the end of it."""
    ends_after_start(row, register)
    register.need_setting(row, "place", "place", row.number_of("ended"))
    run = run_named(plant_of(register), row.text("run"))
    if run is None:
        what = f"no run was opened as {row.text('run')}"
        remedy = "Open it first, or correct the run."
        register.fault(row, "run", "unknown_run", what=what, remedy=remedy)
    if row.bad or run is None:
        return NOTHING
    return Drafts(run_step(row, "run_open", row.number_of("ended"), (), run))


MOULD_KINDS: Mapping[str, SheetKind] = {
    kind.name: kind
    for kind in (
        SheetKind(
            "mould_open",
            "at",
            by_name(
                AT, RUN, Field("press"), Field("product"), Field("mould"),
                Field("from", Sort.CODE), Field("ties", Sort.CODE, required=False),
                Field("lot", Sort.CODE), Field("foam_per_block", Sort.MASS, positive=True),
                Field("scrap_bin", Sort.CODE, required=False), BY,
            ),
            _blocks,
            _open_mould,
            nothing_usual,
        ),
        SheetKind(
            "mould_sources",
            "at",
            by_name(
                AT, RUN, Field("from", Sort.CODE, required=False),
                Field("ties", Sort.CODE, required=False),
                Field("scrap_bin", Sort.CODE, required=False), BY,
            ),
            no_lots,
            _sources,
            nothing_usual,
        ),
        SheetKind(
            "mould_close", "at", by_name(AT, RUN, BY), no_lots, _mould_closed, nothing_usual
        ),
        SheetKind(
            "downtime",
            "ended",
            by_name(
                Field("started", Sort.TIME), Field("ended", Sort.TIME), Field("place"), RUN,
                Field("cause"), BY,
            ),
            no_lots,
            _stood,
            nothing_usual,
        ),
    )
}  # fmt: skip
"""Kinds of form beside the sheet kinds, in the same shape."""
