"""Mould runs: foam and ties in, blocks and scrap out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from beadwright.interop.sheets.cells import Field, Row, Sort
from beadwright.interop.sheets.kinds.expansion import ends_after_start
from beadwright.interop.sheets.kinds.kind import (
    BY,
    NOTHING,
    Drafts,
    SheetKind,
    Usual,
    by_name,
    remainder,
)
from beadwright.interop.sheets.register import Product, Register
from beadwright.ledger.draft import Evidence, Line, Material, NewLot, StepDraft

__all__ = ["MOULDING", "check_lot"]


class _Shift(NamedTuple):
    """What a row of a mould run adds up to; masses in mg."""

    good: int
    scrap: int
    foam_mg: int
    tie_mg: int
    ties_each: int
    ties_used: int

    @property
    def moulded(self) -> int:
        return self.good + self.scrap

    @property
    def block_mg(self) -> int:
        return self.foam_mg + self.ties_each * self.tie_mg

    @property
    def scrap_mg(self) -> int:
        """Scrapped blocks, and the ties that went into none."""
        loose = max(0, self.ties_used - self.moulded * self.ties_each)
        return self.scrap * self.block_mg + loose * self.tie_mg


def _shift(row: Row, register: Register, product: Product) -> _Shift:
    carton = register.lot(row.text("ties")) if row.text("ties") else None
    good, scrap = row.number_of("good"), row.number_of("scrap")
    each = product.ties if carton is not None else 0
    used = row.number_of("ties_used") if "ties_used" in row.cells else (good + scrap) * each
    tie_mg = carton.unit_mg if carton is not None else 0
    return _Shift(good, scrap, row.mg("foam_per_block"), tie_mg, each, used)


def _brought(row: Row, register: Register) -> Sequence[NewLot]:
    """The run's blocks, brought by its first row with good ones, and the scrap bin."""
    lots = []
    product = register.product(row.text("product"), row.number_of("started"))
    code = row.text("lot")
    if code and product is not None and (row.number_of("good") or row.bad):
        source = "foam per block and ties of the run's first row"
        lots.append(
            NewLot(
                code,
                product.material,
                "mould run",
                product.name,
                unit_mg=_shift(row, register, product).block_mg,
                unit_source=source,
            )
        )
    elif code and product is None:  # a fault later; the lot's other rows are not to blame
        lots.append(NewLot(code, Material.BLOCK, "mould run", row.text("product")))
    if row.text("scrap_bin"):
        lots.append(NewLot(row.text("scrap_bin"), Material.SCRAP, "bin"))
    return lots


def _mould(row: Row, register: Register) -> Drafts:
    ends_after_start(row, register)
    started = row.number_of("started")
    product = register.need_product(row, "product", started)
    register.need_setting(row, "press", "place", started)
    register.need_lot(row, "from", Material.PREFOAM, Material.REGRIND)
    if product is None:
        return NOTHING
    _check_ties(row, register, product)
    shift = _shift(row, register, product)
    if not shift.moulded:
        what = "neither a good nor a scrapped block was moulded"
        register.fault(row, "good", "row_empty", what=what, remedy="Leave the row out.")
    if shift.scrap_mg and "scrap_bin" not in row.cells:
        blocks = "1 scrapped block" if shift.scrap == 1 else f"{shift.scrap} scrapped blocks"
        what = f"{blocks} and loose ties go into no bin"
        register.fault(row, "scrap_bin", "field_missing", what=what, remedy="Name the scrap bin.")
    if "scrap_bin" in row.cells:
        register.need_lot(row, "scrap_bin", Material.SCRAP)
    if shift.good:
        check_lot(row, register, product)
    return NOTHING if row.bad else Drafts(_step(row, register, product, shift))


def _step(row: Row, register: Register, product: Product, shift: _Shift) -> StepDraft:
    foam = row.keyed("foam_per_block")
    flushed, counted = Evidence.BACKFLUSHED, Evidence.COUNTED
    drawn = shift.moulded * shift.foam_mg
    lines = [Line(row.text("from"), -1, drawn, 0, flushed, f"{shift.moulded} × {foam}")]
    if shift.ties_used:
        how = counted if "ties_used" in row.cells else flushed
        mg = shift.ties_used * shift.tie_mg
        keyed = f"{shift.ties_used} pieces" if how is counted else ""
        lines.append(Line(row.text("ties"), -1, mg, shift.ties_used, how, keyed))
    if shift.good:
        mg = shift.good * shift.block_mg
        lines.append(Line(row.text("lot"), 1, mg, shift.good, counted, f"{shift.good} pieces"))
    if shift.scrap_mg:
        bin_ = row.text("scrap_bin")
        lines.append(Line(bin_, 1, shift.scrap_mg, 0, flushed, f"{shift.scrap} pieces"))
    touched = {line.lot for line in lines}
    born = register.born(row, _brought(row, register))
    return StepDraft(
        row.key,
        "mould",
        row.number_of("started"),
        tuple(lines),
        remainder_mg=remainder(lines),
        new_lots=tuple(lot for lot in born if lot.code in touched),
        product=product.name,
        place=row.text("press"),
        run=row.text("run"),
        by=row.by,
        facts=row.facts(),
    )


def _check_ties(row: Row, register: Register, product: Product) -> None:
    if "ties" in row.cells:
        register.need_counted(row, "ties", Material.TIE)
        if not product.ties:
            what = f"{product.name} has no ties, but a carton is named"
            remedy = "Correct the product, or empty the cell."
            register.fault(row, "ties", "ties_without_place", what=what, remedy=remedy)
    elif product.ties:
        what = f"{product.name} has {product.ties} ties a block; no carton is named"
        remedy = "Name the carton that the ties came from."
        register.fault(row, "ties", "field_missing", what=what, remedy=remedy)
    elif row.number_of("ties_used"):
        what = "ties were used, but no carton is named"
        register.fault(row, "ties", "field_missing", what=what, remedy="Name the carton.")


def check_lot(row: Row, register: Register, product: Product) -> None:
    """Note where the lot that blocks go into is of another product, or is no lot of pieces."""
    lot = register.need_counted(row, "lot", Material.BLOCK, Material.PACKAGING)
    own = lot is not None and lot.born == row.key  # as typed, beside its own correction
    if lot is not None and lot.product != product.name and not own:
        what = f"lot {row.text('lot')} is of {lot.product}, not of {product.name}"
        remedy = "Correct the product, or give these blocks a lot of their own."
        register.fault(row, "lot", "lot_of_other_product", what=what, remedy=remedy)


def _usual(row: Row, register: Register) -> Iterable[Usual]:
    name = row.text("product")
    product = register.product(name, row.number_of("started"))
    nominal = product.foam_mg if product is not None else 0
    yield Usual((name,), "foam_per_block", float(row.mg("foam_per_block")), float(nominal))


MOULDING = (
    SheetKind(
        "mould_runs",
        "started",
        by_name(
            Field("run"),
            Field("started", Sort.TIME),
            Field("ended", Sort.TIME),
            Field("press"),
            Field("mould"),
            Field("product"),
            Field("from", Sort.CODE),
            Field("ties", Sort.CODE, required=False),
            Field("lot", Sort.CODE),
            Field("shots", Sort.COUNT),
            Field("good", Sort.COUNT),
            Field("scrap", Sort.COUNT),
            Field("foam_per_block", Sort.MASS, positive=True),
            Field("ties_used", Sort.COUNT, required=False),
            Field("scrap_bin", Sort.CODE, required=False),
            Field("cause", required=False),
            Field("cavity", Sort.COUNT, required=False, positive=True),
            Field("shift", required=False),
            BY,
        ),
        _brought,
        _mould,
        _usual,
    ),
)
