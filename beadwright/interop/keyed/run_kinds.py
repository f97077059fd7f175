"""Forms of runs, one entry at a time: what sheets tell of a run only when it is over.

An expansion run takes in bags and fills silos; between them its beads are work in process, a lot
of the run's own code. A mould run is opened with what its hourly counts, rows of ``mould_runs``,
have in common. Read :data:`RUN_KINDS`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from beadwright.errors import Misuse
from beadwright.interop.keyed.cells import Noting
from beadwright.interop.sheets.cells import Field, Row, Sort, measured, recalled
from beadwright.interop.sheets.kinds.expansion import ends_after_start, need_content
from beadwright.interop.sheets.kinds.kind import (
    BY,
    NOTHING,
    Drafts,
    SheetKind,
    by_name,
    no_lots,
    nothing_usual,
    remainder,
)
from beadwright.interop.sheets.kinds.moulding import check_lot
from beadwright.interop.sheets.register import Register
from beadwright.ledger import lots
from beadwright.ledger.draft import Evidence, Line, Loss, Material, NewLot, StepDraft
from beadwright.plant.runs import Run, run_named

__all__ = ["RUN_KINDS", "WORK"]

WORK = "work in process"
_LOSS = "pentane and moisture"
_MINUTE_MS = 60_000


def _plant(register: Register) -> int:
    if not isinstance(register, Noting):
        message = "a form of a run is read against a record"
        raise Misuse(message)
    return lots.plant_number(register.plant)


def _posted(row: Row, register: Register) -> StepDraft | None:
    found = register.known.posted(row.key)
    return found if isinstance(found, StepDraft) else None


def _need_run(row: Row, register: Register, *, beads: bool) -> Run | None:
    """The run a form names; it must have been opened, and still be open."""
    code = row.text("run")
    run = run_named(_plant(register), code) if code else None
    if run is None or run.of_beads is not beads:
        sort = "expansion" if beads else "mould"
        what = f"no {sort} run was opened as {code}"
        remedy = "Open it first, or correct the run."
        register.fault(row, "run", "unknown_run", what=what, remedy=remedy)
        return None
    closed = run.closed_ms is not None and _posted(row, register) is None
    if closed and row.number_of(_at(row)) >= (run.closed_ms or 0):
        what = f"run {code} is closed"
        remedy = "Correct the time, or open another run."
        register.fault(row, "run", "run_closed", what=what, remedy=remedy)
        return None
    if row.number_of(_at(row)) // _MINUTE_MS < run.opened_ms // _MINUTE_MS:
        what = f"run {code} was not open yet"
        register.fault(row, _at(row), "time_backwards", what=what, remedy="Correct the time.")
        return None
    return run


def _at(row: Row) -> str:
    return RUN_KINDS[row.kind].at


def _moment(row: Row, register: Register) -> int:
    """When it happened; within the minute of the run's last entry, after that entry."""
    at, before = row.number_of(_at(row)), _posted(row, register)
    if before is not None and before.happened_at is not None:
        said = before.facts.get(_at(row), "")
        return before.happened_at if said == str(at) else at
    touched = lots.touches(_plant(register), row.text("run"))
    last = touched[-1].at_ms if touched else at
    return last + 1 if at <= last < at + _MINUTE_MS else at


def _step(row: Row, kind: str, at_ms: int, lines: Sequence[Line], run: Run | None) -> StepDraft:
    place = run.place if run is not None else row.text("place")
    return StepDraft(
        row.key, kind, at_ms, tuple(lines), place=place, run=row.text("run"), by=row.by,
        facts=row.facts(),
    )  # fmt: skip


def _work(row: Row, register: Register) -> Sequence[NewLot]:  # noqa: ARG001
    code = row.text("run")
    return (NewLot(code, Material.BEAD, WORK),) if code else ()


def _open_expansion(row: Row, register: Register) -> Drafts:
    at = row.number_of("at")
    register.need_setting(row, "expander", "place", at)
    if row.text("grade"):
        register.need_setting(row, "grade", "grade", at)
    need_content(row, register, "silo")
    _need_new(row, register)
    if row.bad:
        return NOTHING
    born = register.born(row, _work(row, register))
    step = StepDraft(
        row.key, "run_open", at, (Line(row.text("run"), 0, 0),), new_lots=born,
        place=row.text("expander"), run=row.text("run"), by=row.by, facts=row.facts(),
    )  # fmt: skip
    return Drafts(step)


def _need_new(row: Row, register: Register) -> None:
    code = row.text("run")
    if _posted(row, register) is not None or not code:
        return
    held = register.lot(code)
    if run_named(_plant(register), code) is None and (held is None or held.born == row.key):
        return
    what = f"{code} is in the record already"
    register.fault(row, "run", "lot_exists", what=what, remedy="Give the run a code of its own.")


def _bag_opened(row: Row, register: Register) -> Drafts:
    """A bag goes in: so much of it as was weighed, else all that the books say it holds."""
    run = _need_run(row, register, beads=True)
    bag = register.need_lot(row, "bag", Material.BEAD)
    if row.bad or run is None or bag is None:
        return NOTHING
    held = lots.get(_plant(register), row.text("bag"))
    weighed = _weighed(row, register, held.mg if held is not None else 0)
    mass = row.mg("mass")
    if not mass:
        what = f"by the books {row.text('bag')} is empty"
        remedy = "Weigh it and state its mass, or correct the bag."
        register.fault(row, "mass", "not_positive", what=what, remedy=remedy)
        return NOTHING
    keyed = row.keyed("mass") if weighed else ""
    how = Evidence.WEIGHED if weighed else Evidence.BACKFLUSHED
    lines = (
        Line(row.text("bag"), -1, mass, evidence=how, keyed=keyed),
        Line(row.text("run"), 1, mass, evidence=how, keyed=keyed),
    )
    return Drafts(_step(row, "draw", _moment(row, register), lines, run))


def _weighed(row: Row, register: Register, otherwise: int) -> bool:
    """Whether the mass was stated; where it was not, fill in what the books say."""
    before = _posted(row, register)
    filled = before is not None and before.facts.get("by_books") == "yes"
    if before is not None and filled and "mass" not in row.cells:
        cell = recalled(_MASS, before.facts["mass"])
        row.cells["mass"] = cell
    elif "mass" not in row.cells and otherwise > 0:
        number = Decimal(otherwise).scaleb(-6).normalize()
        row.cells["mass"] = measured(number, "kg", "mass")
    elif before is None or not filled or row.keyed("mass") != before.facts["mass"]:
        return True
    row.cells["by_books"] = "yes"
    return False


def _bag_off(row: Row, register: Register) -> Drafts:
    """The rest of a bag, weighed when it is taken off."""
    run = _need_run(row, register, beads=True)
    register.need_lot(row, "bag", Material.BEAD)
    if row.bad or run is None:
        return NOTHING
    mass, keyed = row.mg("mass"), row.keyed("mass")
    lines = (
        Line(row.text("run"), -1, mass, keyed=keyed),
        Line(row.text("bag"), 1, mass, keyed=keyed),
    )
    return Drafts(_step(row, "draw", _moment(row, register), lines, run))


def _filled(row: Row, register: Register) -> Drafts:
    """Prefoam into a silo: of so many batches, of a mass stated, or of all that the run holds."""
    run = _need_run(row, register, beads=True)
    need_content(row, register, "silo")
    if run is not None:
        row.cells.setdefault("started", run.opened_ms)
        ends_after_start(row, register)
    if row.bad or run is None:
        return NOTHING
    batches, charge = row.number_of("batches"), row.mg("charge")
    weighed = _weighed(row, register, batches * charge or run.mg)
    mass, lost, prefoam = row.mg("mass"), row.mg("loss"), row.measure("prefoam_mass")
    if not mass or lost > mass:
        what = "more was lost than the run held" if mass else f"by the books {run.code} is empty"
        register.fault(
            row, "loss" if mass else "mass", "loss_too_large" if mass else "not_positive",
            what=what, remedy="Correct the masses, or enter the bag that was opened.",
        )  # fmt: skip
        return NOTHING
    how = Evidence.WEIGHED if weighed else Evidence.BACKFLUSHED
    keyed = row.keyed("mass") if weighed else ""
    into = Line(row.text("silo"), 1, mass - lost, evidence=Evidence.BACKFLUSHED)
    if prefoam is not None:
        into = Line(row.text("silo"), 1, prefoam.mg, keyed=prefoam.keyed)
    lines = (Line(run.code, -1, mass, evidence=how, keyed=keyed), into)
    losses = (Loss(_LOSS, lost, row.keyed("loss")),) if lost else ()
    step = StepDraft(
        row.key, "expand", _moment(row, register), lines, losses, remainder(lines, losses),
        place=run.place, run=run.code, by=row.by, facts=row.facts(),
    )  # fmt: skip
    return Drafts(step)


def _closed(row: Row, register: Register, *, beads: bool) -> Drafts:
    run = _need_run(row, register, beads=beads)
    if run is not None and run.mg and _posted(row, register) is None:
        what = f"{run.code} still holds {run.mg / 1e6:.1f} kg"
        remedy = "Fill it into a silo, or weigh it back into its bag; then close the run."
        register.fault(row, "run", "run_holds", what=what, remedy=remedy)
    if row.bad or run is None:
        return NOTHING
    lines = (Line(run.code, 0, 0),) if beads else ()
    at = _moment(row, register) if beads else row.number_of("at")
    return Drafts(_step(row, "run_close", at, lines, run))


def _expansion_closed(row: Row, register: Register) -> Drafts:
    return _closed(row, register, beads=True)


def _mould_closed(row: Row, register: Register) -> Drafts:
    return _closed(row, register, beads=False)


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
    _need_new(row, register)
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


def _stood(row: Row, register: Register) -> Drafts:
    """A machine stood and goes on: the run is open again from the end of it."""
    ends_after_start(row, register)
    register.need_setting(row, "place", "place", row.number_of("ended"))
    run = run_named(_plant(register), row.text("run"))
    if run is None:
        what = f"no run was opened as {row.text('run')}"
        remedy = "Open it first, or correct the run."
        register.fault(row, "run", "unknown_run", what=what, remedy=remedy)
    if row.bad or run is None:
        return NOTHING
    return Drafts(_step(row, "run_open", row.number_of("ended"), (), run))


_MASS = Field("mass", Sort.MASS, required=False, positive=True)
_RUN = Field("run", Sort.CODE)
_AT = Field("at", Sort.TIME)

RUN_KINDS: Mapping[str, SheetKind] = {
    kind.name: kind
    for kind in (
        SheetKind(
            "expansion_open",
            "at",
            by_name(
                _AT, _RUN, Field("expander"), Field("silo", Sort.CODE),
                Field("grade", required=False), BY,
            ),
            _work,
            _open_expansion,
            nothing_usual,
        ),
        SheetKind(
            "bag_opened",
            "at",
            by_name(
                _AT, _RUN, Field("bag", Sort.CODE), _MASS, Field("scale", required=False), BY
            ),
            no_lots,
            _bag_opened,
            nothing_usual,
        ),
        SheetKind(
            "bag_off",
            "at",
            by_name(
                _AT, _RUN, Field("bag", Sort.CODE), Field("mass", Sort.MASS, positive=True),
                Field("scale", required=False), BY,
            ),
            no_lots,
            _bag_off,
            nothing_usual,
        ),
        SheetKind(
            "silo_filled",
            "ended",
            by_name(
                Field("started", Sort.TIME, required=False), Field("ended", Sort.TIME), _RUN,
                Field("silo", Sort.CODE),
                Field("batches", Sort.COUNT, required=False, positive=True),
                Field("charge", Sort.MASS, required=False, positive=True),
                _MASS,
                Field("prefoam_mass", Sort.MASS, required=False, positive=True),
                Field("loss", Sort.MASS, required=False), BY,
            ),
            no_lots,
            _filled,
            nothing_usual,
        ),
        SheetKind(
            "expansion_close", "at", by_name(_AT, _RUN, BY), no_lots, _expansion_closed,
            nothing_usual,
        ),
        SheetKind(
            "mould_open",
            "at",
            by_name(
                _AT, _RUN, Field("press"), Field("product"), Field("mould"),
                Field("from", Sort.CODE), Field("ties", Sort.CODE, required=False),
                Field("lot", Sort.CODE), Field("foam_per_block", Sort.MASS, positive=True),
                Field("scrap_bin", Sort.CODE, required=False), BY,
            ),
            _blocks,
            _open_mould,
            nothing_usual,
        ),
        SheetKind(
            "mould_close", "at", by_name(_AT, _RUN, BY), no_lots, _mould_closed, nothing_usual
        ),
        SheetKind(
            "downtime",
            "ended",
            by_name(
                Field("started", Sort.TIME), Field("ended", Sort.TIME), Field("place"), _RUN,
                Field("cause"), BY,
            ),
            no_lots,
            _stood,
            nothing_usual,
        ),
    )
}  # fmt: skip
"""Kinds of form beside the sheet kinds, in the same shape."""
