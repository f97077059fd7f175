"""Forms of runs, one entry at a time: what sheets tell of a run only when it is over.

An expansion run takes in bags and fills silos; between them its beads are work in process, a lot
of the run's own code. Read :data:`RUN_KINDS`; those of mould runs are beside them, in
:mod:`beadwright.interop.keyed.mould_kinds`.
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
from beadwright.interop.sheets.register import Register
from beadwright.ledger import lots
from beadwright.ledger.draft import Evidence, Line, Loss, Material, NewLot, StepDraft
from beadwright.plant.masses_said import mass_said
from beadwright.plant.runs import Run, run_named

__all__ = [
    "AT", "RUN", "RUN_KINDS", "WORK", "closed", "need_new", "need_run", "plant_of", "posted",
    "run_step",
]  # fmt: skip

WORK = "work in process"
_LOSS = "pentane and moisture"
_MINUTE_MS = 60_000


def plant_of(register: Register) -> int:
    """Give the number of the plant whose record a form is read against."""
    if not isinstance(register, Noting):
        message = "a form of a run is read against a record"
        raise Misuse(message)
    return lots.plant_number(register.plant)


def posted(row: Row, register: Register) -> StepDraft | None:
    """Give the step that the form became already, where it did."""
    found = register.known.posted(row.key)
    return found if isinstance(found, StepDraft) else None


def need_run(row: Row, register: Register, *, beads: bool) -> Run | None:
    """The run a form names; it must have been opened, and still be open."""
    code = row.text("run")
    run = run_named(plant_of(register), code) if code else None
    if run is None or run.of_beads is not beads:
        sort = "expansion" if beads else "mould"
        what = f"no {sort} run was opened as {code}"
        remedy = "Open it first, or correct the run."
        register.fault(row, "run", "unknown_run", what=what, remedy=remedy)
        return None
    over = run.closed_ms is not None and posted(row, register) is None
    if over and row.number_of(_at(row)) >= (run.closed_ms or 0):
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
    """Field that says when: a form that has both a beginning and an end goes by its end."""
    return "at" if "at" in row.times else "ended"


def _moment(row: Row, register: Register) -> int:
    """When it happened; within the minute of the run's last entry, after that entry."""
    at, before = row.number_of(_at(row)), posted(row, register)
    if before is not None and before.happened_at is not None:
        said = before.facts.get(_at(row), "")
        return before.happened_at if said == str(at) else at
    touched = lots.touches(plant_of(register), row.text("run"))
    last = touched[-1].at_ms if touched else at
    return last + 1 if at <= last < at + _MINUTE_MS else at


def run_step(row: Row, kind: str, at_ms: int, lines: Sequence[Line], run: Run | None) -> StepDraft:
    """Give the step of a form of a run, at the run's machine."""
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
    for name in ("grade", "product"):
        if row.text(name):
            register.need_setting(row, name, name, at)
    need_content(row, register, "silo")
    need_new(row, register)
    if row.bad:
        return NOTHING
    born = register.born(row, _work(row, register))
    step = StepDraft(
        row.key, "run_open", at, (Line(row.text("run"), 0, 0),), new_lots=born,
        place=row.text("expander"), run=row.text("run"), by=row.by, facts=row.facts(),
    )  # fmt: skip
    return Drafts(step)


def need_new(row: Row, register: Register) -> None:
    """Note where the code of a run to be opened is taken."""
    code = row.text("run")
    if posted(row, register) is not None or not code:
        return
    held = register.lot(code)
    if run_named(plant_of(register), code) is None and (held is None or held.born == row.key):
        return
    what = f"{code} is in the record already"
    register.fault(row, "run", "lot_exists", what=what, remedy="Give the run a code of its own.")


def _bag_opened(row: Row, register: Register) -> Drafts:
    """A bag goes in: so much of it as was weighed, else all that the books say it holds."""
    run = need_run(row, register, beads=True)
    bag = register.need_lot(row, "bag", Material.BEAD)
    if row.bad or run is None or bag is None:
        return NOTHING
    held = lots.get(plant_of(register), row.text("bag"))
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
    return Drafts(run_step(row, "draw", _moment(row, register), lines, run))


def _weighed(row: Row, register: Register, otherwise: int) -> bool:
    """Whether the mass was stated; where it was not, fill in what the books say."""
    before = posted(row, register)
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
    run = need_run(row, register, beads=True)
    register.need_lot(row, "bag", Material.BEAD)
    if row.bad or run is None:
        return NOTHING
    mass, keyed = row.mg("mass"), row.keyed("mass")
    lines = (
        Line(row.text("run"), -1, mass, keyed=keyed),
        Line(row.text("bag"), 1, mass, keyed=keyed),
    )
    return Drafts(run_step(row, "draw", _moment(row, register), lines, run))


def _filled(row: Row, register: Register) -> Drafts:
    """Prefoam into a silo: of so many batches, of a mass stated, or of all that the run holds."""
    run = need_run(row, register, beads=True)
    need_content(row, register, "silo")
    if run is not None:
        row.cells.setdefault("started", run.opened_ms)
        ends_after_start(row, register)
    if "batches" in row.cells and "charge" not in row.cells and "mass" not in row.cells:
        what = "batches without the charge of one say no mass"
        remedy = "State the charge, or the mass, or leave the batches empty."
        register.fault(row, "charge", "field_missing", what=what, remedy=remedy)
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


def closed(row: Row, register: Register, *, beads: bool) -> Drafts:
    """Give the end of a run; while beads are in it, it is none."""
    run = need_run(row, register, beads=beads)
    if run is not None and run.mg and posted(row, register) is None:
        what = f"{run.code} still holds {mass_said(run.mg)}"
        remedy = "Fill it into a silo, or weigh it back into its bag; then close the run."
        register.fault(row, "run", "run_holds", what=what, remedy=remedy)
    if row.bad or run is None:
        return NOTHING
    lines = (Line(run.code, 0, 0),) if beads else ()
    at = _moment(row, register) if beads else row.number_of("at")
    return Drafts(run_step(row, "run_close", at, lines, run))


def _expansion_closed(row: Row, register: Register) -> Drafts:
    return closed(row, register, beads=True)


_MASS = Field("mass", Sort.MASS, required=False, positive=True)
RUN = Field("run", Sort.CODE)
AT = Field("at", Sort.TIME)

RUN_KINDS: Mapping[str, SheetKind] = {
    kind.name: kind
    for kind in (
        SheetKind(
            "expansion_open",
            "at",
            by_name(
                AT, RUN, Field("expander"), Field("silo", Sort.CODE),
                Field("grade", required=False), Field("product", required=False), BY,
            ),
            _work,
            _open_expansion,
            nothing_usual,
        ),
        SheetKind(
            "bag_opened",
            "at",
            by_name(
                AT, RUN, Field("bag", Sort.CODE), _MASS, Field("scale", required=False), BY
            ),
            no_lots,
            _bag_opened,
            nothing_usual,
        ),
        SheetKind(
            "bag_off",
            "at",
            by_name(
                AT, RUN, Field("bag", Sort.CODE), Field("mass", Sort.MASS, positive=True),
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
                Field("started", Sort.TIME, required=False), Field("ended", Sort.TIME), RUN,
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
            "expansion_close", "at", by_name(AT, RUN, BY), no_lots, _expansion_closed,
            nothing_usual,
        ),
    )
}  # fmt: skip
"""Kinds of form beside the sheet kinds, in the same shape."""
