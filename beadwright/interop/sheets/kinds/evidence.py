"""What is evidence beyond a lot's own readings: test reports, and calibrations of instruments.

Read :data:`EVIDENCE`. A row becomes a decision of the record. It is not corrected but stated
again: of one report's number and characteristic, and of an instrument's day, the newest counts.
"""

from __future__ import annotations

from zoneinfo import ZoneInfo

from beadwright.interop.sheets.cells import KEPT, Field, Row, Sort
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
from beadwright.ledger.draft import Decision
from beadwright.plant.decided_bodies import decision_faults
from beadwright.plant.reports import ALL
from beadwright.quality.characteristics import CHARACTERISTICS, DERIVED

__all__ = ["EVIDENCE"]

_REPORT = (
    "laboratory", "characteristic", "method", "result", "uncertainty", "sampled", "tested",
    "issued",
)  # fmt: skip
_SECONDS = 3600
_CALIBRATION = ("done", "result", "certificate", "due", "as_found", "as_left", "uncertainty")


def _report(row: Row, register: Register) -> Drafts:
    products = row.text("products").split()
    for name in products:
        if name != ALL and not register.versions("product", name):
            what = f"no product is called {name}"
            remedy = "Correct it; names stand apart by spaces, and * is every product."
            register.fault(row, "products", "unknown_product", what=what, remedy=remedy)
    if row.text("characteristic") not in {*CHARACTERISTICS, *DERIVED}:
        what = f"nothing is tested by the name {row.text('characteristic')}"
        remedy = "Correct it; the page on sheets lists the names."
        register.fault(row, "characteristic", "unknown_characteristic", what=what, remedy=remedy)
    body: dict[str, object] = {name: row.text(name) for name in _REPORT if name in row.cells}
    body |= {"products": products}
    if "specimens" in row.cells:
        body["specimens"] = row.number_of("specimens")
    conditioned = row.measure("conditioned")
    if conditioned is not None:
        body["conditioned_h"] = f"{(conditioned.si / _SECONDS).normalize():f}"
    if "expires" in row.cells:
        body["expires"] = row.text("expires")
    if "result" in row.kept:
        body["kept"] = KEPT
    return _decided(row, register, ("report", row.text("number"), body))


def _calibration(row: Row, register: Register) -> Drafts:
    name = row.text("instrument")
    if name and not register.versions("instrument", name) and not register.settings_unread:
        what = f"no instrument is called {name}"
        remedy = f"Correct it, or set [instrument.{name}] in plant.toml."
        register.fault(row, "instrument", "unknown_instrument", what=what, remedy=remedy)
    body: dict[str, object] = {one: row.text(one) for one in _CALIBRATION if one in row.cells}
    return _decided(row, register, ("calibration", name, body), _every(row, register, name))


def _every(row: Row, register: Register, name: str) -> str:
    """Say how often an instrument is calibrated; empty where nobody set it."""
    listed = register.setting("instrument", name, row.number_of("entered"))
    return "" if listed is None else str(listed.body.get("every", ""))


def _decided(
    row: Row, register: Register, said: tuple[str, str, dict[str, object]], every: str = ""
) -> Drafts:
    if row.bad:
        return NOTHING
    kind, about, body = said
    draft = Decision(row.key, row.number_of("entered"), kind, about, body, row.by)
    zone = register.zone()
    found = (
        decision_faults(draft, ZoneInfo(zone), every)
        if zone
        else decision_faults(draft, every=every)
    )
    for fault in found:
        parts = (*body, *_CALIBRATION)
        name = next((one for one in parts if f": {one} " in fault.what), "entered")
        name = {"conditioned_h": "conditioned"}.get(name, name)
        register.fault(row, name, fault.code, what=fault.what, remedy=fault.remedy)
    return NOTHING if found else Drafts(decision=draft)


def _days(*names: str) -> tuple[Field, ...]:
    """Days, written 2026-09-01 however the sheet writes its times."""
    return tuple(Field(name, required=False) for name in names)


EVIDENCE = (
    SheetKind(
        "reports",
        "entered",
        by_name(
            Field("entered", Sort.TIME),
            Field("number"),
            Field("laboratory"),
            Field("products"),
            Field("characteristic"),
            Field("method", required=False),
            Field("specimens", Sort.COUNT, required=False),
            Field("conditioned", Sort.HOURS, required=False, unit="h"),
            Field("result"),
            Field("uncertainty", required=False),
            Field("sampled"),
            *_days("tested", "issued", "expires"),
            BY,
        ),
        no_lots,
        _report,
        nothing_usual,
        corrected=False,
    ),
    SheetKind(
        "calibrations",
        "entered",
        by_name(
            Field("entered", Sort.TIME),
            Field("instrument"),
            Field("done"),
            Field("result", Sort.CHOICE, choices=("pass", "fail")),
            Field("certificate", required=False),
            *_days("due"),
            Field("as_found", required=False),
            Field("as_left", required=False),
            Field("uncertainty", required=False),
            BY,
        ),
        no_lots,
        _calibration,
        nothing_usual,
        corrected=False,
    ),
)
