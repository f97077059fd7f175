"""What the next form will likely hold, from the record: proposed, and a person's to change.

Read :func:`usual`. Proposed are names and codes, the charge that was last set, and counts that a
setting fixes; never what is to be weighed, measured or counted.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from beadwright.interop.keyed.cells import Noting
from beadwright.interop.keyed.form import kind_named
from beadwright.interop.keyed.reading import recent_rows
from beadwright.interop.sheets.cells import Measure, Row
from beadwright.interop.sheets.kinds import KINDS
from beadwright.interop.sheets.kinds.kind import SheetKind
from beadwright.ledger import lots
from beadwright.plant.moment import moment
from beadwright.plant.next_silo import next_to_use
from beadwright.plant.opening import open_plant
from beadwright.plant.runs import Run, open_runs
from beadwright.plant.silos import silos

__all__ = ["PLAN", "Likely", "counted_up", "usual"]

_NUMBER = re.compile("(.*?)([0-9]+)([^0-9]*)")
_LOADING_MS = 12 * 3_600_000
"""A trailer is loaded within a shift; common practice, no source."""
_MOST_TRIED = 500

_NEXT = "+"  # counted up from the last one
PLAN: Mapping[str, tuple[tuple[str, tuple[str, ...]], ...]] = {
    "bead_receipts": (
        ("supplier", ("grade",)),
        ("grade", ("supplier",)),
        ("supplier_lot", ("supplier", "grade")),
        ("bag+", ("grade",)),
    ),
    "tie_receipts": (
        ("supplier", ("grade",)),
        ("grade", ("supplier",)),
        ("supplier_lot", ("supplier", "grade")),
        ("carton+", ("grade",)),
        ("pieces", ("grade",)),
    ),
    "expansion_runs": (
        ("scale", ()),
        ("silo", ("scale",)),
        ("bag", ("scale",)),
        ("charge", ("scale",)),
        ("expander", ("scale",)),
        ("run+", ()),
    ),
    "cups": (
        ("where", ("silo",)),
        ("silo", ("where",)),
        ("volume", ("where",)),
        ("instrument", ("where", "silo")),
    ),
    "adjustments": (("expander", ()),),
    "silo_temperatures": (("instrument", ("silo",)),),
    "mesh_samples": (
        ("sample", ()),
        ("silo", ("sample",)),
        ("grade", ("sample",)),
        ("instrument", ()),
    ),
    "silo_moves": (
        ("from", ("what",)),
        ("to", ("what", "from")),
        ("scale", ("what", "from")),
    ),
    "mould_runs": (
        ("product", ("press",)),
        ("mould", ("press", "product")),
        ("from", ("press",)),
        ("ties", ("press", "product")),
        ("run+", ("press",)),
        ("lot+", ("press",)),
        ("scrap_bin", ("press",)),
    ),
    "first_pieces": (),
    "reclaim": (("to+", ("what",)), ("scale", ("what",)), ("cut", ("what",))),
    "inspections": (
        ("state", ()),
        ("lot", ("state",)),
        ("specimen+", ("lot", "state")),
        ("instrument", ("state",)),
    ),
    "specimens": (("lot", ()), ("specimen+", ("lot",)), ("instrument", ())),
    "results": (
        ("lot", ()),
        ("method", ()),
        ("specimen+", ("lot", "method")),
        ("instrument", ("method",)),
    ),
    "samples": (("lot", ()), ("sample+", ()), ("kept_at", ()), ("fate", ())),
    "bundles": (("lot", ()), ("bundle+", ())),
    "shipments": (
        ("shipment", ()),
        ("receiver", ("shipment",)),
        ("trailer", ("shipment",)),
    ),
    "reports": (("laboratory", ()), ("products", ("laboratory",))),
    "calibrations": (("instrument", ()),),
    "expansion_open": (
        ("expander", ()),
        ("silo", ("expander",)),
        ("grade", ("silo",)),
        ("run+", ()),
    ),
    "bag_opened": (("bag", ()), ("scale", ())),
    "bag_off": (("scale", ()),),
    "silo_filled": (("charge", ()),),
    "mould_open": (
        ("product", ("press",)),
        ("mould", ("press", "product")),
        ("from", ("press",)),
        ("ties", ("press", "product")),
        ("foam_per_block", ("product",)),
        ("run+", ("press",)),
        ("lot+", ("press",)),
        ("scrap_bin", ("press",)),
    ),
    "downtime": (("place", ()),),
}
"""Fields proposed, each from the newest entry that agrees in the fields behind it."""


_TOLD_BY: Mapping[str, str] = {
    "expansion_open": "expansion_runs",
    "bag_opened": "expansion_runs",
    "silo_filled": "expansion_runs",
    "mould_open": "mould_runs",
}
"""The sheet kind that tells, of a run that is over, what this form tells while it runs."""

_OF_BEADS = frozenset({"cups", "bag_opened", "bag_off", "silo_filled", "expansion_close"})
"""Kinds that tell of the expansion run that is open."""


@dataclass(frozen=True, slots=True)
class Likely:
    """What the next form will likely hold, and the units beside it."""

    texts: Mapping[str, str]
    units: Mapping[str, str]
    """Of what is proposed; at the laboratory bench of what is to be measured too."""


def usual(plant: str, kind: str, context: Mapping[str, str]) -> Likely:
    """Propose the next entry of a kind; ``context``: fields that are known already.

    What is known is left as it is. A lot that is used up is not proposed: instead of a silo the
    one to use next, of a bag or carton the oldest of its grade that holds something.

    Raises
    ------
    Misuse
        If there is no such kind.
    """
    one = kind_named(kind)
    register = Noting(plant)
    rows = _rows(register, one)
    known = {name: text for name, text in context.items() if text}
    units: dict[str, str] = {}
    for field, keys in PLAN.get(kind, ()):
        name = field.removesuffix(_NEXT)
        row = None if name in known else _newest(rows, name, keys, known)
        if row is None:
            continue
        cell = row.cells[name]
        known[name] = cell.text if isinstance(cell, Measure) else row.keyed(name)
        if isinstance(cell, Measure):
            units[name] = cell.unit
        if field.endswith(_NEXT):
            taken = [other.keyed(name) for other in rows if _agrees(other, keys, known)]
            known[name] = _next_free(plant, known[name], taken)
    known |= _special(register, kind, known, {*context})
    proposed = {
        name: text
        for name, text in known.items()
        if text and name not in context and name in one.fields
    }
    beside = {name: unit for name, unit in units.items() if name in proposed}
    return Likely(proposed, _units_of(rows, one) | beside if kind in _AT_BENCH else beside)


_AT_BENCH = frozenset({"specimens"})
"""Kinds measured with the same balance and rule each time, whatever units a person reads by."""


def _units_of(rows: Sequence[Row], kind: SheetKind) -> dict[str, str]:
    """Units of the newest measures of each field: what its balance and its rule show."""
    found: dict[str, str] = {}
    for row in rows:
        for name in kind.fields:
            cell = row.cells.get(name)
            if isinstance(cell, Measure):
                found.setdefault(name, cell.unit)
    return found


def counted_up(code: str) -> str:
    """Give the code that follows, by its last number: ``L1-080`` gives ``L1-081``.

    >>> counted_up("BN-0999"), counted_up("F1-D5-05"), counted_up("bag")
    ('BN-1000', 'F1-D5-06', '')
    """
    match = _NUMBER.fullmatch(code)
    if match is None:
        return ""
    before, number, after = match.groups()
    return f"{before}{int(number) + 1:0{len(number)}d}{after}"


def _rows(register: Noting, kind: SheetKind) -> list[Row]:
    """Newest entries of a kind, and of the sheet kind that tells the same; newest first."""
    rows = list(recent_rows(register, kind))
    if kind.name in _TOLD_BY:
        rows += recent_rows(register, KINDS[_TOLD_BY[kind.name]])
        rows.sort(key=lambda row: -row.number_of(kind_named(row.kind).at))
    return rows


def _newest(
    rows: Sequence[Row], name: str, keys: Sequence[str], known: Mapping[str, str]
) -> Row | None:
    for row in rows:
        if name in row.cells and _agrees(row, keys, known):
            return row
    return None


def _agrees(row: Row, keys: Sequence[str], known: Mapping[str, str]) -> bool:
    return all(key not in known or row.keyed(key) == known[key] for key in keys)


def _next_free(plant: str, code: str, taken: Sequence[str]) -> str:
    """The code that follows, and is no lot and on no newer form."""
    no = lots.plant_number(plant)
    for _ in range(_MOST_TRIED):
        code = counted_up(code)
        if not code or (code not in taken and lots.get(no, code) is None):
            return code
    return ""


def _special(
    register: Noting, kind: str, known: Mapping[str, str], context: set[str]
) -> dict[str, str]:
    """What more than the last entry of the kind says."""
    found: dict[str, str] = {}
    if kind in {"mould_runs", "mould_open"}:
        found = _instead(register, known, "ties", "tie")
        if not _holds(register, known.get("from", "")) and "press" in known:
            board = silos(lots.plant_number(register.plant), moment(open_plant(register.plant)))
            advice = next_to_use(board, known["press"], known.get("product", ""))
            found["from"] = advice.place
    elif kind in {"expansion_runs", "bag_opened"}:
        found = _instead(register, known, "bag", "bead")
    elif kind == "bundles":
        found = _bundle(register, known)
    elif kind == "shipments":
        found = _shipment(register, known)
    elif kind in _PIECES and "specimen" not in known:
        found = {"specimen": _first_piece(register, kind, known)}
    elif kind == "cups" and known.get("where") in {"hot", "dried"}:
        made = _newest([*recent_rows(register, KINDS["expansion_runs"])], "run", ("silo",), known)
        found = {} if made is None else {"run": made.text("run"), "silo": made.text("silo")}
    elif kind == "first_pieces":
        made = _newest([*recent_rows(register, KINDS["mould_runs"])], "lot", ("press",), known)
        names = ("press", "run", "lot")
        found = {} if made is None else {name: made.text(name) for name in names}
    if kind in _OF_BEADS:
        found |= _running(register, known)
    return {name: text for name, text in found.items() if name not in context}


def _first_piece(register: Noting, kind: str, known: Mapping[str, str]) -> str:
    """The first piece of a lot that none was taken of: called as those of the last lot are."""
    row = _newest([*recent_rows(register, KINDS[kind])], "specimen", _PIECES[kind], known)
    lot = known.get("lot", "")
    if lots.get(lots.plant_number(register.plant), lot) is None:
        return ""
    if row is None:
        return _VERY_FIRST.get(kind, "")
    named, before = row.text("specimen"), row.text("lot")
    of = before if before and named.startswith(before) else ""
    match = _NUMBER.fullmatch(named.removeprefix(of))
    if match is None:
        return ""
    begin, number, end = match.groups()
    return f"{lot if of else ''}{begin}{1:0{len(number)}d}{end}"


_VERY_FIRST: Mapping[str, str] = {"results": "C1"}
"""Name of the first piece of a kind where nobody has named one."""

_PIECES: Mapping[str, tuple[str, ...]] = {
    "inspections": ("state",),
    "specimens": (),
    "results": ("method",),
}
"""Kinds of form that are about pieces of a lot, and what names them alike."""


def _running(register: Noting, known: Mapping[str, str]) -> dict[str, str]:
    """The expansion run that is open, and the silo it fills; the newest one of several."""
    runs = [
        one
        for one in open_runs(lots.plant_number(register.plant), moment(open_plant(register.plant)))
        if one.of_beads
    ]
    stated = known.get("run", "")
    its = [one for one in runs if stated in {"", one.code} and _fills(one, known)]
    return {"run": its[-1].code, "silo": its[-1].facts.get("silo", "")} if its else {}


def _fills(run: Run, known: Mapping[str, str]) -> bool:
    return known.get("silo", "") in {"", run.facts.get("silo", "")}


def _holds(register: Noting, code: str) -> bool:
    view = lots.get(lots.plant_number(register.plant), code) if code else None
    return view is not None and (view.mg > 0 or view.pieces > 0)


def _instead(register: Noting, known: Mapping[str, str], name: str, kind: str) -> dict[str, str]:
    """Another of the same grade where the last one is used up."""
    code = known.get(name, "")
    if not code or _holds(register, code):
        return {}
    no = lots.plant_number(register.plant)
    last = lots.get(no, code)
    grades = last.grades if last is not None else ()
    what = "" if last is None else last.what  # a bag; not beads in a run
    others = (
        view for view in lots.of_kind(no, kind, what) if view.mg > 0 and grades == view.grades
    )
    return {name: next((view.code for view in others), "")}


def _bundle(register: Noting, known: Mapping[str, str]) -> dict[str, str]:
    """The pieces that a bundle of the lot's product holds, no more than are left of the lot."""
    lot = lots.get(lots.plant_number(register.plant), known.get("lot", ""))
    if lot is None or lot.pieces <= 0:
        return {"lot": ""}
    found = register.setting("product", lot.product, moment(open_plant(register.plant)))
    size = found.body.get("bundle") if found is not None else None
    return {"pieces": str(min(size, lot.pieces))} if isinstance(size, int) and size else {}


def _shipment(register: Noting, known: Mapping[str, str]) -> dict[str, str]:
    """The shipment that is being loaded, or the next one."""
    rows = list(recent_rows(register, KINDS["shipments"]))
    last = _newest(rows, "shipment", ("shipment",), known)
    if last is None or moment(open_plant(register.plant)) - last.number_of("at") <= _LOADING_MS:
        return {}
    taken = [row.text("shipment") for row in rows]
    code = _next_free(register.plant, last.text("shipment"), taken)
    return {"shipment": code, "receiver": "", "trailer": ""}
