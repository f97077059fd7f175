"""Who has compared a printed limit with the paid text and signed it, and what a signature must say.

Read :func:`signatures` first. A signature is a decision about one row of a standard; it holds for
the figure that the person read. Where that is not the figure we carry, the door refuses, and the
plant states its own limit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from beadwright.errors import Fault, Misuse, UnitError
from beadwright.ledger import decided
from beadwright.ledger.draft import Decision
from beadwright.standards import Limit, row
from beadwright.units import parse_number, to_si

__all__ = ["SIGNED", "WITHDRAWN", "Signature", "signatures", "signing_faults"]

SIGNED = "limit_signed"
WITHDRAWN = "limit_unsigned"

_TEXTS: Mapping[str, tuple[str, ...]] = {
    SIGNED: ("value", "unit", "page"),
    WITHDRAWN: ("reason",),
}
"""What the body of each must say; a signature may have a ``note`` besides."""


@dataclass(frozen=True, slots=True)
class Signature:
    """Somebody's word that a printed limit stands so in the paid text."""

    row: str
    by: str
    at_ms: int
    on: str
    """Day in the plant's zone, as ISO 8601 writes it."""
    value: str
    unit: str
    page: str
    note: str
    seq: int


def signatures(plant_no: int, zone: ZoneInfo) -> dict[str, Signature]:
    """Signatures that stand, by row: the newest of each row, unless it was withdrawn since."""
    found: dict[str, Signature] = {}
    for one in decided.of_kinds(plant_no, SIGNED, WITHDRAWN):
        if one.kind == WITHDRAWN:
            found.pop(one.about, None)
            continue
        said = {key: str(one.body.get(key, "")) for key in ("value", "unit", "page", "note")}
        on = datetime.fromtimestamp(one.at_ms / 1000, zone).date().isoformat()
        found[one.about] = Signature(one.about, one.by, one.at_ms, on, **said, seq=one.seq)
    return found


def signing_faults(draft: Decision) -> list[Fault]:
    """Everything that cannot be meant about a signature; nothing about other decisions."""
    if draft.kind not in _TEXTS:
        return []
    try:
        limit = row(draft.about)
    except Misuse as error:
        remedy = "Copy the id from the list of limits."
        return [Fault("unknown_limit", str(error), draft.about, draft.key, remedy)]
    faults = list(_unsaid(draft))
    if draft.kind == SIGNED and not faults:
        faults += _differing(draft, limit)
    return faults


def _unsaid(draft: Decision) -> Iterator[Fault]:
    name, remedy = f"{draft.kind} {draft.about}", "Say who, and what stands on which page."
    if not draft.by.strip():
        yield Fault("bad_decision", f"{name}: nobody signs it", "", draft.key, remedy)
    for key in _TEXTS[draft.kind]:
        text = draft.body.get(key)
        if not isinstance(text, str) or not text.strip():
            what = f"{name}: {key} must be text"
            yield Fault("bad_decision", what, str(text or ""), draft.key, remedy)
    note = draft.body.get("note", "")
    for key in draft.body.keys() - {*_TEXTS[draft.kind], "note"}:
        what = f"{name}: it knows no {key!r}"
        yield Fault("bad_decision", what, str(draft.body[key]), draft.key, remedy)
    if not isinstance(note, str):
        yield Fault("bad_decision", f"{name}: note must be text", str(note), draft.key, remedy)


def _differing(draft: Decision, limit: Limit) -> Iterator[Fault]:
    """Compare what was read with the column that decides, exactly, in whatever unit of its kind."""
    value, unit = str(draft.body["value"]), str(draft.body["unit"])
    try:
        read = to_si(parse_number(value, decimal="."), unit, limit.kind)
    except UnitError as error:
        yield Fault(error.code, f"{draft.about}: {error.what}", value, draft.key, error.remedy)
        return
    if read == limit.normative.si:
        return
    what = f"{draft.about}: the paid text says {value} {unit}, and here stands {limit.normative}"
    other = limit.informative
    if other is not None and read == other.si:
        what += f"; {other} is the column beside it, which does not decide"
    remedy = (
        f"Read it again, in {limit.normative.unit}. If the paid text differs, set a limit of the"
        " plant's own with that figure, and leave this one out of the product's standard."
    )
    yield Fault("limit_differs", what, f"{value} {unit}", draft.key, remedy)
