"""From the bag to the hopper: expansion runs, cups, and what silos give and take."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from beadwright.interop.sheets.cells import KEPT, Cell, Field, Row, Sort, recalled
from beadwright.interop.sheets.kinds.kind import (
    BY,
    NOTHING,
    Drafts,
    Recalled,
    SheetKind,
    Usual,
    by_name,
    no_lots,
    remainder,
)
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import (
    Evidence,
    Line,
    Loss,
    Material,
    NewLot,
    Reading,
    ReadingsDraft,
    StepDraft,
)

__all__ = ["EXPANSION", "ends_after_start", "need_content"]

_LOSS = "pentane and moisture"


def ends_after_start(row: Row, register: Register) -> None:
    """Note a run that ends before it starts."""
    if row.number_of("ended") < row.number_of("started"):
        what = "the run ends before it starts"
        register.fault(
            row, "ended", "time_backwards", what=what, remedy="Correct one of the times."
        )


def _expand(row: Row, register: Register) -> Drafts:
    ends_after_start(row, register)
    register.need_lot(row, "bag", Material.BEAD)
    need_content(row, register, "silo")
    if row.text("expander"):
        register.need_setting(row, "expander", "place", row.number_of("ended"))
    mass, lost, weighed = row.mg("mass"), row.mg("loss"), row.measure("prefoam_mass")
    if lost > mass:
        what = "more was lost than weighed out"
        register.fault(
            row, "loss", "loss_too_large", what=what, remedy="Correct one of the masses."
        )
    if row.bad:
        return NOTHING
    into = Line(row.text("silo"), 1, mass - lost, evidence=Evidence.BACKFLUSHED)
    if weighed is not None:
        into = Line(row.text("silo"), 1, weighed.mg, keyed=weighed.keyed)
    lines = (Line(row.text("bag"), -1, mass, keyed=row.keyed("mass")), into)
    losses = (Loss(_LOSS, lost, row.keyed("loss")),) if lost else ()
    step = StepDraft(
        row.key,
        "expand",
        row.number_of("ended"),
        lines,
        losses,
        remainder(lines, losses),
        place=row.text("expander"),
        run=row.text("run"),
        by=row.by,
        facts=row.facts(),
    )
    return Drafts(step)


def need_content(row: Row, register: Register, name: str) -> None:
    """Note a field that does not name a place that holds beads."""
    lot = register.lot(row.text(name))
    if lot is not None and lot.kind is Material.PREFOAM:
        return
    if register.versions("place", row.text(name)):
        register.fault_place(row, name, "")
    elif lot is not None:
        register.need_lot(row, name, Material.PREFOAM)
    elif not register.settings_unread:
        what = f"no place is called {row.text(name)}"
        remedy = f"Correct it, or set [place.{row.text(name)}] in plant.toml."
        register.fault(row, name, "unknown_place", what=what, remedy=remedy)


def _usual_expansion(row: Row, register: Register) -> Iterable[Usual]:  # noqa: ARG001
    """Mass of a batch, not of a row: the last row of a bag is as small as it likes."""
    mass, batches = row.mg("mass"), row.number_of("batches")
    if batches and mass:
        yield Usual(("batch",), "mass", mass / batches)
    for name, share in (("prefoam_mass", "prefoam"), ("loss", "loss")):
        part = row.mg(name)
        if part and mass:
            yield Usual((share,), name, part / mass, share_of="mass")
    if row.mg("charge"):
        yield Usual(("charge",), "charge", float(row.mg("charge")))


def _cup(row: Row, register: Register) -> Drafts:
    need_content(row, register, "silo")
    if row.bad:
        return NOTHING
    run = row.text("run")
    mass = row.measure("mass")
    facts = {"place": row.text("where"), "cup_volume": row.keyed("volume")}
    if run:
        facts["run"] = run
    if row.kept:
        facts["kept"] = KEPT
    reading = Reading(
        "cup_weight",
        mass.text if mass else "",
        mass.unit if mass else "",
        lot=row.text("silo"),
        step=_expansion_of(row, register) if run else "",
        instrument=row.text("instrument"),
        facts=facts,
    )
    draft = ReadingsDraft(row.readings_key, row.number_of("taken"), (reading,), row.by)
    return Drafts(readings=draft)


def _expansion_of(row: Row, register: Register) -> str:
    """Key of the step of the run that the cup was taken at: its silo, and the step it fell in."""
    taken, silo = row.number_of("taken"), row.text("silo")
    run = row.text("run")
    before = register.known.readings(row.readings_key)
    if before is not None and before.readings[0].facts.get("run") == run:
        return before.readings[0].step  # or the same cup would read as changed
    best: tuple[bool, bool, int, str] | None = None
    for step in register.expansions(run):
        within = step.started <= taken <= step.ended
        rank = (step.silo != silo, not within, abs(taken - step.ended), step.key)
        if best is None or rank < best:
            best = rank
    return best[3] if best else ""


def _recall_cup(draft: ReadingsDraft) -> Recalled:
    reading = draft.readings[0]
    texts = {
        "run": reading.facts.get("run", ""),
        "silo": reading.lot,
        "where": reading.facts["place"],
        "mass": f"{reading.value} {reading.unit}",
        "volume": reading.facts["cup_volume"],
        "instrument": reading.instrument,
    }
    cells: dict[str, Cell] = {"taken": draft.happened_at, "by": draft.by}
    cells.update((name, recalled(_CUP[name], text)) for name, text in texts.items() if text)
    return Recalled(cells, frozenset({"mass"}) if "kept" in reading.facts else frozenset())


def _usual_cup(row: Row, register: Register) -> Iterable[Usual]:  # noqa: ARG001
    mass, volume = row.measure("mass"), row.measure("volume")
    if mass and volume:
        yield Usual(("density", row.text("where")), "mass", float(mass.si / volume.si))
        yield Usual(("volume",), "volume", float(volume.si))


def _scrapped(row: Row, register: Register) -> Sequence[NewLot]:  # noqa: ARG001
    code = row.text("bin")
    return (NewLot(code, Material.SCRAP, "bin"),) if code else ()


def _silo_move(row: Row, register: Register) -> Drafts:
    what = row.text("what")
    if not _has_fields(row, register, _NEEDS[what]):
        return NOTHING
    if what == "transfer":
        return _transfer(row, register)
    if what == "scrap":
        return _scrap(row, register)
    need_content(row, register, "from")
    if row.bad:
        return NOTHING
    line = Line(row.text("from"), 0, row.mg("mass"), keyed=row.keyed("mass"))
    if what != "stocktake":
        line = Line(row.text("from"), 0, 0)
    return Drafts(_moved(row, what, (line,)))


def _transfer(row: Row, register: Register) -> Drafts:
    source = register.need_lot(row, "from", Material.PREFOAM, Material.REGRIND)
    need_content(row, register, "to")
    _need_some(row, register)
    if row.text("from") == row.text("to"):
        what = f"{row.text('from')} is moved into itself"
        register.fault(row, "to", "same_place", what=what, remedy="Correct one of the places.")
    if row.bad or source is None:
        return NOTHING
    # What leaves a place is not on a scale; what is blown in from a bag was weighed in it.
    from_place = source.kind is Material.PREFOAM
    how = Evidence.BACKFLUSHED if from_place else Evidence.WEIGHED
    mass, keyed = row.mg("mass"), row.keyed("mass")
    lines = (
        Line(row.text("from"), -1, mass, evidence=how, keyed=keyed),
        Line(row.text("to"), 1, mass, evidence=how, keyed=keyed),
    )
    return Drafts(_moved(row, "fill", lines))


def _scrap(row: Row, register: Register) -> Drafts:
    register.need_lot(row, "from", Material.PREFOAM, Material.REGRIND, Material.BEAD)
    register.need_lot(row, "bin", Material.SCRAP)
    _need_some(row, register)
    if row.bad:
        return NOTHING
    mass, keyed = row.mg("mass"), row.keyed("mass")
    lines = (
        Line(row.text("from"), -1, mass, keyed=keyed),
        Line(row.text("bin"), 1, mass, keyed=keyed),
    )
    return Drafts(_moved(row, "scrap", lines, register.born(row, _scrapped(row, register))))


def _moved(
    row: Row, kind: str, lines: tuple[Line, ...], new_lots: tuple[NewLot, ...] = ()
) -> StepDraft:
    at = row.number_of("at")
    return StepDraft(row.key, kind, at, lines, new_lots=new_lots, by=row.by, facts=row.facts())


def _has_fields(row: Row, register: Register, names: Iterable[str]) -> bool:
    missing = [name for name in names if name not in row.cells]
    for name in missing:
        what = f'"{row.headers.get(name, name)}" is empty; {row.text("what")} needs it'
        register.fault(row, name, "field_missing", what=what, remedy="Fill the cell.")
    return not missing


def _need_some(row: Row, register: Register) -> None:
    if not row.mg("mass"):
        what = f"{row.keyed('mass')} is nothing"
        register.fault(row, "mass", "not_positive", what=what, remedy="Correct the value.")


def _usual_move(row: Row, register: Register) -> Iterable[Usual]:  # noqa: ARG001
    if row.text("what") == "transfer" and row.mg("mass"):
        group = ("transfer", row.text("to"))
        yield Usual(group, "mass", float(row.mg("mass")), may_be_small=True)


_NEEDS = {
    "transfer": ("from", "to", "mass"),
    "ran_empty": ("from",),
    "swept_empty": ("from", "inspected_by"),  # it alone cuts a recall, so two people stand for it
    "stocktake": ("from", "mass"),
    "scrap": ("from", "mass", "bin"),
}
_CUP = by_name(
    Field("taken", Sort.TIME),
    Field("run", required=False),
    Field("silo", Sort.CODE),
    Field("where", Sort.CHOICE, choices=("hot", "dried", "hopper")),
    Field("mass", Sort.MASS, positive=True),
    Field("volume", Sort.VOLUME, positive=True),
    Field("instrument", required=False),
    BY,
)

EXPANSION = (
    SheetKind(
        "expansion_runs",
        "ended",
        by_name(
            Field("run"),
            Field("started", Sort.TIME),
            Field("ended", Sort.TIME),
            Field("bag", Sort.CODE),
            Field("mass", Sort.MASS, positive=True),
            Field("batches", Sort.COUNT, positive=True),
            Field("charge", Sort.MASS, required=False, positive=True),
            Field("silo", Sort.CODE),
            Field("prefoam_mass", Sort.MASS, required=False, positive=True),
            Field("scale", required=False),  # that the beads were weighed on
            Field("loss", Sort.MASS, required=False),
            Field("expander", required=False),
            BY,
        ),
        no_lots,
        _expand,
        _usual_expansion,
    ),
    SheetKind("cups", "taken", _CUP, no_lots, _cup, _usual_cup, _recall_cup),
    SheetKind(
        "silo_moves",
        "at",
        by_name(
            Field("at", Sort.TIME),
            Field("what", Sort.CHOICE, choices=tuple(_NEEDS)),
            Field("from", Sort.CODE, required=False),
            Field("to", Sort.CODE, required=False),
            Field("mass", Sort.MASS, required=False),
            Field("scale", required=False),
            Field("inspected_by", Sort.PERSON, required=False),
            Field("bin", Sort.CODE, required=False),
            BY,
        ),
        _scrapped,
        _silo_move,
        _usual_move,
    ),
)
