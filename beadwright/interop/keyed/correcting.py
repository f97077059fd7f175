"""An entry as it was keyed, and its correction in place.

Read :func:`again`, which fills the form, then :func:`correct`, which posts what was changed as a
row of the corrections sheet would.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from beadwright.errors import Fault, Misuse, Refusal
from beadwright.interop.keyed.cells import FORM, Noting, Texts, cells_of, clock_of, new_row
from beadwright.interop.keyed.form import FORMS, Keyed
from beadwright.interop.keyed.posting import Done, done_with, stock_of
from beadwright.interop.keyed.reading import answered
from beadwright.interop.keyed.repeated import held_already
from beadwright.interop.sheets.cells import Cell, Measure, Row, Sort, written
from beadwright.interop.sheets.corrections import Restated, drafts_of
from beadwright.interop.sheets.following import followers
from beadwright.interop.sheets.history import Version, stood
from beadwright.interop.sheets.kinds.kind import SheetKind
from beadwright.ledger import people
from beadwright.plant.access import Who
from beadwright.plant.door import now_ms
from beadwright.plant.opening import door_of
from beadwright.quality.versions import void_key

__all__ = ["Again", "again", "correct"]

_MINUTE_MS = 60_000


@dataclass(frozen=True, slots=True)
class Again:
    """An entry as its form shows it: by the newest version, corrections included."""

    kind: str
    key: str
    texts: Mapping[str, str]
    units: Mapping[str, str]
    corrected: bool
    """Whether its kind is corrected; a report or a calibration is entered again."""


def again(plant: str, key: str, *, decimal: Literal[".", ","] = ".") -> Again:
    """Give the texts and units of an entry as keyed; times in the plant's zone.

    Raises
    ------
    Misuse
        If the record holds no form or row of that client key.
    """
    register = Noting(plant)
    kind, version = _version(register, key, "")
    return _as_keyed(register, kind, version, decimal)


def _as_keyed(
    register: Noting, kind: SheetKind, version: Version, decimal: Literal[".", ","]
) -> Again:
    shown = {
        name: _shown(register.plant, kind.fields[name].sort, cell, register.zone())
        for name, cell in version.row.cells.items()
        if name in kind.fields
    }
    units = {name: one.unit for name, one in version.row.cells.items() if isinstance(one, Measure)}
    signed = {
        name: text.replace(".", decimal) if name in units else text for name, text in shown.items()
    }
    return Again(kind.name, version.row.key, signed, units, kind.corrected)


def correct(  # noqa: PLR0913 - the parts of a form that a page holds apart
    plant: str,
    key: str,
    texts: Mapping[str, str],
    units: Mapping[str, str],
    reason: str,
    *,
    who: Who,
    correction: str,
    kept: frozenset[str] = frozenset(),
    decimal: Literal[".", ","] = ".",
) -> Done:
    """Post what was changed in a form that :func:`again` filled; both versions stay.

    ``correction`` is the client key of the correcting form. Where pieces weigh otherwise by it,
    what was recorded of such pieces follows, each by a correction of its own. A fault or a
    question comes back in ``Done.keyed``; nothing is posted then.

    Raises
    ------
    Misuse
        If the record holds no form or row of that client key.
    """
    register = Noting(plant)
    said = _correction(register, correction, reason, who)
    kind, before = _version(register, key, said.key)
    shown = _as_keyed(register, kind, before, decimal)
    if not kind.corrected:
        return _refused(kind, before.row, _ENTER_AGAIN)
    if not reason.strip():
        return _refused(kind, before.row, _NO_REASON)
    after = _after(kind, before, register, (shown, Texts(texts, units, decimal)))
    restated = Restated(said, kind, before, after)
    if not after.bad and not before.settled:
        register.declare(after, kind.outputs(after, register), (after.number_of(kind.at), 0, 0))
        register.renew(after, kind.outputs(after, register))
    keyed = replace(answered(kind, after, register, kept), plant=plant)
    if keyed.faults or keyed.questions:
        return Done(keyed, posted=False, refused=_faults(keyed))
    following = () if before.settled else tuple(one for _, one in followers([restated], register))
    drafts = (*drafts_of(restated, register), *following)
    keyed = replace(keyed, drafts=drafts, faults=register.noted())
    return _post(plant, keyed, who, register)


_ENTER_AGAIN = Fault(
    "correction_unclear",
    "a report or a calibration is not corrected",
    remedy="Enter it again: the newest of one number, or of one instrument, counts.",
)
_NO_REASON = Fault("field_missing", "no reason is given", "", '"reason"', "Say why it was wrong.")
_SAME = Fault(
    "correction_unclear", "nothing was changed", "", "", "Change a field, or leave it as it is."
)


def _refused(kind: SheetKind, row: Row, fault: Fault) -> Done:
    keyed = Keyed("", kind.name, row.key, (), {"": (fault,)}, ())
    return Done(keyed, posted=False, refused=(fault,))


def _faults(keyed: Keyed) -> tuple[Fault, ...]:
    return tuple(fault for faults in keyed.faults.values() for fault in faults)


def _post(plant: str, keyed: Keyed, who: Who, register: Noting) -> Done:
    if keyed.faults:
        return Done(keyed, posted=False, refused=_faults(keyed))
    if not keyed.drafts:
        return Done(keyed, posted=False, refused=(_SAME,))
    if held_already(keyed.drafts, register.known.posted):
        return Done(keyed, posted=True, repeated=True, stock=stock_of(plant, keyed.drafts))
    try:
        posted = door_of(plant).post_many(keyed.drafts, who)
    except Refusal as refusal:
        return Done(keyed, posted=False, refused=refusal.faults)
    return done_with(plant, keyed, posted)


def _correction(register: Noting, key: str, reason: str, who: Who) -> Row:
    """The row of the corrections sheet that this would be."""
    own = key.removeprefix("corrections/")
    row = Row("corrections", own, FORM, 0, {}, times=frozenset({"at"}))
    row.clock = clock_of(register.zone()).text
    posted = [register.known.posted(one) for one in (row.key, void_key(row.key))]
    times = [draft.happened_at for draft in posted if draft is not None]
    at = next((at for at in times if at is not None), now_ms())
    row.cells = {"at": at, "reason": reason.strip(), "by": who.account}
    return row


def _version(register: Noting, key: str, correction: str) -> tuple[SheetKind, Version]:
    name, _, own = key.removesuffix("/readings").partition("/")
    kind = FORMS.get(name)
    found = None
    if kind is not None:
        found = stood(register.known, kind, f"{name}/{own}", correction)
    if kind is None or found is None:
        message = f"no entry of the record was keyed as {key} into a form or a sheet"
        raise Misuse(message)
    return kind, found


def _after(kind: SheetKind, before: Version, register: Noting, forms: tuple[Again, Texts]) -> Row:
    """The row with what was changed; a field that shows what it showed stays to the digit."""
    shown, said = forms
    row = new_row(kind, before.row.key, register.zone())
    same = frozenset(
        name
        for name in kind.fields
        if said.of(name).replace("T", " ") == shown.texts.get(name, "").replace("T", " ")
        and (name not in shown.units or said.units.get(name, "") == shown.units[name])
    )
    row.cells = {name: cell for name, cell in before.row.cells.items() if name in same}
    cells_of(kind, said, row, register, same)
    row.kept = before.row.kept & (same | {"as keyed"})
    return row


def _shown(plant: str, sort: Sort, cell: Cell, zone: str) -> str:
    if isinstance(cell, Measure):
        return cell.text
    if sort is Sort.TIME and isinstance(cell, int):
        style = "YYYY-MM-DD hh:mm" if cell % _MINUTE_MS == 0 else "YYYY-MM-DD hh:mm:ss"
        return clock_of(zone, style).text(cell)
    if sort is Sort.PERSON:
        known = people.names(plant).items()
        return next((name for name, one in known if one.person == cell), written(cell))
    return written(cell)
