"""Blocks looked at, weighed and measured; specimens that a laboratory weighed and measured."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from beadwright.interop.sheets.cells import KEPT, Cell, Field, Row, Sort, recalled
from beadwright.interop.sheets.kinds.kind import (
    BY,
    NOTHING,
    Drafts,
    Recalled,
    SheetKind,
    by_name,
    no_lots,
    nothing_usual,
    remainder,
)
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import (
    Evidence,
    Line,
    Material,
    NewLot,
    Reading,
    ReadingsDraft,
    StepDraft,
)

__all__ = ["BLOCK_MASS", "INSPECTION"]

BLOCK_MASS = {"press": "wet_block_mass", "24h": "block_mass_24h", "dry": "dry_block_mass"}
"""Characteristic of a block's mass by its state."""

_SIZES = ("length", "width", "height")
_COUNTS = {
    "checked": "checked",
    "bad_ties": "defective_ties",
    "bad_fusion": "defective_fusion",
    "bad_dimension": "defective_dimension",
    "bad_surface": "defective_surface",
}
_SPECIMEN = {name: f"specimen_{name}" for name in ("mass", "length", "width", "height", "diameter")}
_WHOLE_ROW = frozenset({"at", "age", "state", "cavity", "specimen"})
"""Fields that say what every measure of the row is of."""

_STEP_FACTS = ("lot", "specimen", "rejected", "scrap_bin")


def _binned(row: Row, register: Register) -> Sequence[NewLot]:  # noqa: ARG001
    code = row.text("scrap_bin")
    return (NewLot(code, Material.SCRAP, "bin"),) if code else ()


def _inspect(row: Row, register: Register) -> Drafts:
    lot = register.need_lot(row, "lot", Material.BLOCK, Material.PACKAGING)
    _check(row, register)
    if row.number_of("rejected"):
        register.need_counted(row, "lot")
        register.need_lot(row, "scrap_bin", Material.SCRAP)
    if row.bad or lot is None:
        return NOTHING
    step = None
    if row.number_of("rejected"):
        step = _rejection(row, register, lot.unit_mg)
    return Drafts(step, _readings(row))


def _check(row: Row, register: Register) -> None:
    sized = [name for name in ("mass", *_SIZES) if name in row.cells]
    counted = [name for name in _COUNTS if name in row.cells]
    if not sized and not counted and not row.number_of("rejected"):
        what = "nothing was measured, counted or rejected"
        register.fault(row, "lot", "row_empty", what=what, remedy="Leave the row out.")
    needed = {"age": sized, "state": sized, "scrap_bin": row.number_of("rejected")}
    for name, wanted in needed.items():
        if wanted and name not in row.cells:
            what = f'"{row.headers.get(name, name)}" is empty'
            remedy = "Fill the cell: what was measured means nothing without it."
            if name == "scrap_bin":
                remedy = "Name the scrap bin that the rejected pieces went into."
            register.fault(row, name, "field_missing", what=what, remedy=remedy)
    for name in counted:
        if "checked" in row.cells and row.number_of(name) > row.number_of("checked"):
            what = f"{row.number_of(name)} are bad of {row.number_of('checked')} looked at"
            register.fault(
                row, name, "count_over_checked", what=what, remedy="Correct one of the counts."
            )


def _rejection(row: Row, register: Register, unit_mg: int) -> StepDraft:
    pieces = row.number_of("rejected")
    mg, keyed = pieces * unit_mg, f"{pieces} pieces"
    lines = (
        Line(row.text("lot"), -1, mg, pieces, Evidence.COUNTED, keyed),
        Line(row.text("scrap_bin"), 1, mg, 0, Evidence.BACKFLUSHED, keyed),
    )
    facts = {name: row.keyed(name) for name in _STEP_FACTS if name in row.cells}
    if "rejected" in row.kept:
        facts["kept"] = KEPT
    return StepDraft(
        row.key,
        "inspect",
        row.number_of("at"),
        lines,
        remainder_mg=remainder(lines),
        new_lots=register.born(row, _binned(row, register)),
        by=row.by,
        facts=facts,
    )


def _readings(row: Row) -> ReadingsDraft | None:
    facts = {}
    age, state = row.measure("age"), row.text("state")
    if age is not None:
        facts["age_h"] = f"{(age.si / 3600).normalize():f}"
    if state:
        facts["state"] = state
    if "cavity" in row.cells:
        facts["cavity"] = str(row.number_of("cavity"))
    names = {"mass": BLOCK_MASS.get(state, ""), **{name: name for name in _SIZES}}
    readings = [*_measured(row, names, facts), *_counted(row, facts)]
    if not readings:
        return None
    return ReadingsDraft(row.readings_key, row.number_of("at"), tuple(readings), row.by)


def _measured(row: Row, names: Mapping[str, str], facts: Mapping[str, str]) -> Iterable[Reading]:
    for name, characteristic in names.items():
        value = row.measure(name)
        if value is not None:
            kept = {"kept": KEPT} if row.kept & {name, *_WHOLE_ROW} else {}
            yield Reading(
                characteristic,
                value.text,
                value.unit,
                lot=row.text("lot"),
                specimen=row.text("specimen"),
                instrument=row.text("instrument"),
                facts={**facts, **kept},
            )


def _counted(row: Row, facts: Mapping[str, str]) -> Iterable[Reading]:
    for name, characteristic in _COUNTS.items():
        if name in row.cells:
            value = str(row.number_of(name))
            kept = {"kept": KEPT} if name in row.kept else {}
            yield Reading(
                characteristic, value, "pcs", lot=row.text("lot"), facts={**facts, **kept}
            )


def _recall_inspection(draft: ReadingsDraft) -> Recalled:
    names = {name: name for name in _SIZES} | {of: name for name, of in _COUNTS.items()}
    names |= dict.fromkeys(BLOCK_MASS.values(), "mass")
    texts, kept = _recall(draft, names)
    facts = draft.readings[0].facts
    if "age_h" in facts:
        texts["age"] = f"{facts['age_h']} h"
    texts["state"] = facts.get("state", "")
    texts["cavity"] = facts.get("cavity", "")
    return Recalled(_cells(draft, INSPECTION[0].fields, texts), kept)


def _recall_specimen(draft: ReadingsDraft) -> Recalled:
    texts, kept = _recall(draft, {of: name for name, of in _SPECIMEN.items()})
    return Recalled(_cells(draft, INSPECTION[1].fields, texts), kept)


def _recall(
    draft: ReadingsDraft, names: Mapping[str, str]
) -> tuple[dict[str, str], frozenset[str]]:
    """Texts of the cells that became readings, and the fields kept as keyed."""
    texts: dict[str, str] = {}
    kept = set()
    for reading in draft.readings:
        name = names[reading.characteristic]
        counted = reading.unit == "pcs"
        texts[name] = reading.value if counted else f"{reading.value} {reading.unit}"
        if not counted:
            texts["specimen"], texts["instrument"] = reading.specimen, reading.instrument
        texts["lot"] = reading.lot
        if "kept" in reading.facts:
            kept.add(name)
    return texts, frozenset(kept)


def _cells(
    draft: ReadingsDraft, fields: Mapping[str, Field], texts: Mapping[str, str]
) -> dict[str, Cell]:
    cells: dict[str, Cell] = {"at": draft.happened_at, "by": draft.by}
    cells.update(
        (name, recalled(fields[name], text))
        for name, text in texts.items()
        if text and name in fields
    )
    return cells


def _specimen(row: Row, register: Register) -> Drafts:
    if "lot" in row.cells:
        register.need_lot(row, "lot")
    if row.bad:
        return NOTHING
    readings = tuple(_measured(row, _SPECIMEN, {}))
    return Drafts(readings=ReadingsDraft(row.readings_key, row.number_of("at"), readings, row.by))


def _sizes(*names: str) -> tuple[Field, ...]:
    return tuple(Field(name, Sort.LENGTH, required=False, positive=True) for name in names)


_AT = Field("at", Sort.TIME)

INSPECTION = (
    SheetKind(
        "inspections",
        "at",
        by_name(
            _AT,
            Field("lot", Sort.CODE),
            Field("specimen", required=False),
            Field("age", Sort.HOURS, required=False, unit="h"),
            Field("state", Sort.CHOICE, required=False, choices=tuple(BLOCK_MASS)),
            Field("cavity", Sort.COUNT, required=False, positive=True),
            Field("mass", Sort.MASS, required=False, positive=True),
            *_sizes(*_SIZES),
            *(Field(name, Sort.COUNT, required=False) for name in _COUNTS),
            Field("rejected", Sort.COUNT, required=False),
            Field("scrap_bin", Sort.CODE, required=False),
            Field("instrument", required=False),
            BY,
        ),
        _binned,
        _inspect,
        nothing_usual,
        _recall_inspection,
    ),
    SheetKind(
        "specimens",
        "at",
        by_name(
            _AT,
            Field("lot", Sort.CODE, required=False),
            Field("specimen"),
            *_sizes(*_SIZES, "diameter"),
            Field("mass", Sort.MASS, positive=True),
            Field("instrument", required=False),
            Field("by", Sort.PERSON, required=False),  # a laboratory's people are not ours
        ),
        no_lots,
        _specimen,
        nothing_usual,
        _recall_specimen,
    ),
)
