"""What a person set anew at a pre-expander: the charge of a batch, its steaming time, the steam.

Read :data:`ADJUSTING`. It moves nothing; what to change next is learnt from it, and no lot is
judged by it.
"""

from __future__ import annotations

from collections.abc import Iterable

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
)
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import Reading, ReadingsDraft
from beadwright.quality.characteristics import SET_AT_EXPANDER

__all__ = ["ADJUSTING"]


def _adjusted(row: Row, register: Register) -> Drafts:
    at = row.number_of("at")
    register.need_setting(row, "expander", "place", at)
    stated = [name for name in SET_AT_EXPANDER if name in row.cells]
    if not stated:
        what = "nothing says what was set"
        remedy = f"State one of {', '.join(SET_AT_EXPANDER)}."
        register.fault(row, "expander", "row_empty", what=what, remedy=remedy)
    if row.bad:
        return NOTHING
    readings = tuple(_set(row, name) for name in stated)
    return Drafts(readings=ReadingsDraft(row.readings_key, at, readings, row.by))


def _set(row: Row, name: str) -> Reading:
    found = row.measure(name)
    facts = {} if name not in row.kept else {"kept": KEPT}
    if row.text("why"):
        facts["why"] = row.text("why")
    return Reading(
        SET_AT_EXPANDER[name],
        found.text if found else "",
        found.unit if found else "",
        specimen=row.text("expander"),
        facts=facts,
    )


def _usual(row: Row, register: Register) -> Iterable[Usual]:  # noqa: ARG001
    for name in SET_AT_EXPANDER:
        found = row.measure(name)
        if found:
            yield Usual((name, row.text("expander")), name, float(found.si))


def _recall(draft: ReadingsDraft) -> Recalled:
    names = {characteristic: name for name, characteristic in SET_AT_EXPANDER.items()}
    cells: dict[str, Cell] = {"at": draft.happened_at, "by": draft.by}
    kept = set()
    for reading in draft.readings:
        name = names[reading.characteristic]
        said = {
            name: f"{reading.value} {reading.unit}",
            "expander": reading.specimen,
            "why": reading.facts.get("why", ""),
        }
        cells |= {key: recalled(_FIELDS[key], text) for key, text in said.items() if text}
        if "kept" in reading.facts:
            kept.add(name)
    return Recalled(cells, frozenset(kept))


_FIELDS = by_name(
    Field("at", Sort.TIME),
    Field("expander"),
    Field("charge", Sort.MASS, required=False, positive=True),
    Field("steaming", Sort.HOURS, required=False, positive=True),
    Field("steam", Sort.PRESSURE, required=False, positive=True),
    Field("why", required=False),
    BY,
)

ADJUSTING = (SheetKind("adjustments", "at", _FIELDS, no_lots, _adjusted, _usual, _recall),)
