"""How beads age in their silo, as a plant follows it: a probe's temperature, a weighed sample.

Read :data:`AGEING`. Neither moves anything; an estimate of the physics rests on them, and no
decision.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from beadwright.interop.sheets.cells import KEPT, Cell, Field, Row, Sort, recalled
from beadwright.interop.sheets.kinds.expansion import need_content
from beadwright.interop.sheets.kinds.kind import (
    BY,
    NOTHING,
    Drafts,
    Recalled,
    SheetKind,
    Usual,
    by_name,
    no_lots,
    nothing_usual,
)
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import Reading, ReadingsDraft

__all__ = ["AGEING"]

_SECONDS = 3600


def _temperature(row: Row, register: Register) -> Drafts:
    need_content(row, register, "silo")
    if row.bad:
        return NOTHING
    return _read(row, "silo_temperature", "temperature", {})


def _mesh(row: Row, register: Register) -> Drafts:
    need_content(row, register, "silo")
    register.need_setting(row, "grade", "grade", row.number_of("taken"))
    age = row.measure("age")
    if row.bad or age is None:
        return NOTHING
    facts = {"age_h": f"{(age.si / _SECONDS).normalize():f}", "grade": row.text("grade")}
    if row.keyed("temperature"):
        facts["temperature"] = row.keyed("temperature")
    return _read(row, "mesh_sample_mass", "mass", facts)


def _read(row: Row, characteristic: str, name: str, facts: dict[str, str]) -> Drafts:
    found = row.measure(name)
    if row.kept:
        facts["kept"] = KEPT
    reading = Reading(
        characteristic,
        found.text if found else "",
        found.unit if found else "",
        lot=row.text("silo"),
        specimen=row.text("sample"),
        instrument=row.text("instrument"),
        facts=facts,
    )
    taken = row.number_of("taken")
    return Drafts(readings=ReadingsDraft(row.readings_key, taken, (reading,), row.by))


def _usual_mesh(row: Row, register: Register) -> Iterable[Usual]:  # noqa: ARG001
    mass = row.measure("mass")
    if mass:
        yield Usual(("sample", row.text("sample")), "mass", float(mass.si))


def _recall_temperature(draft: ReadingsDraft) -> Recalled:
    return _recall(draft, _TEMPERATURE, "temperature", {})


def _recall_mesh(draft: ReadingsDraft) -> Recalled:
    reading = draft.readings[0]
    texts = {
        "sample": reading.specimen,
        "grade": reading.facts.get("grade", ""),
        "age": f"{reading.facts['age_h']} h",
        "temperature": reading.facts.get("temperature", ""),
    }
    return _recall(draft, _MESH, "mass", texts)


def _recall(
    draft: ReadingsDraft, fields: Mapping[str, Field], name: str, texts: Mapping[str, str]
) -> Recalled:
    reading = draft.readings[0]
    said = {
        **texts,
        "silo": reading.lot,
        name: f"{reading.value} {reading.unit}",
        "instrument": reading.instrument,
    }
    cells: dict[str, Cell] = {"taken": draft.happened_at, "by": draft.by}
    cells.update((field, recalled(fields[field], text)) for field, text in said.items() if text)
    return Recalled(cells, frozenset({name}) if "kept" in reading.facts else frozenset())


_TEMPERATURE = by_name(
    Field("taken", Sort.TIME),
    Field("silo", Sort.CODE),
    Field("temperature", Sort.TEMPERATURE, signed=True),
    Field("instrument", required=False),
    BY,
)
_MESH = by_name(
    Field("taken", Sort.TIME),
    Field("sample", Sort.CODE),
    Field("silo", Sort.CODE),
    Field("grade"),
    Field("age", Sort.HOURS, unit="h"),
    Field("mass", Sort.MASS, positive=True),
    Field("temperature", Sort.TEMPERATURE, required=False, signed=True),
    Field("instrument", required=False),
    BY,
)

AGEING = (
    SheetKind(
        "silo_temperatures", "taken", _TEMPERATURE, no_lots, _temperature, nothing_usual,
        _recall_temperature,
    ),
    SheetKind("mesh_samples", "taken", _MESH, no_lots, _mesh, _usual_mesh, _recall_mesh),
)  # fmt: skip
