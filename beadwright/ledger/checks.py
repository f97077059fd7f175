"""What cannot be meant: structural faults of a draft, whoever posts it, happened or planned.

No fault here depends on what the plant allows; that is the judge's.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime

from beadwright.errors import Fault
from beadwright.ledger.draft import (
    RANK,
    Correction,
    Draft,
    Hold,
    Lift,
    Line,
    Material,
    NewLot,
    ReadingsDraft,
    Release,
    SettingDraft,
    StepDraft,
)
from beadwright.ledger.fold import FoldLot

__all__ = [
    "CODE",
    "KEY_LENGTH",
    "SKEW_MS",
    "codes_of",
    "key_faults",
    "lot_fault",
    "place_faults",
    "step_faults",
    "time_fault",
]

CODE = re.compile(r"[A-Z0-9-]{1,20}")
"""Lot codes of our own: what every label and scanner carries."""

KEY_LENGTH = 160
"""Characters of a client key; a cause that names the step by it is somewhat longer."""

SKEW_MS = 300_000
"""How far ahead a clock may be before a time counts as in the future."""

_TWO_DAYS = 2 * 1440  # in minutes

_FROM_OUTSIDE = frozenset({"receipt", "return"})
_KEEPS_PIECES = frozenset({"split", "merge", "bundle", "ship"})
_MATERIALS = frozenset(m.value for m in Material)
_UNIT = re.compile(r"[^\d\s.,'+-]")


def key_faults(key: str) -> Iterator[Fault]:
    """A client key that is missing, or longer than the record keeps."""
    if not 0 < len(key) <= KEY_LENGTH:
        what = f"a draft needs a client key of 1 to {KEY_LENGTH} characters"
        yield Fault("key_missing", what, "", key, "Give it a key of its own, and keep it.")


def _utc(at_ms: int) -> str:
    """Write a time as people do; one that no calendar holds, as it is."""
    try:
        return f"{datetime.fromtimestamp(at_ms / 1000, UTC):%Y-%m-%d %H:%M} UTC"
    except (OverflowError, ValueError, OSError):
        return str(at_ms)


def time_fault(at_ms: int | None, now_ms: int, where: str) -> Fault | None:
    """A time that is missing, in the future, or before there were such records."""
    if at_ms is None:
        return Fault("time_missing", "no time is given", "", where, "Say when it happened.")
    if at_ms < 0:
        return Fault(
            "time_early", "the time lies before 1970", _utc(at_ms), where, "Check the date's year."
        )
    if at_ms > now_ms + SKEW_MS:
        minutes = (at_ms - now_ms) / 60_000
        ahead = f"{minutes:.0f} minutes" if minutes < _TWO_DAYS else f"{minutes / 1440:.0f} days"
        return Fault(
            "time_ahead",
            f"the time lies {ahead} in the future",
            _utc(at_ms),
            where,
            "Check the date and the time zone.",
        )
    return None


def lot_fault(code: str, where: str) -> Fault:
    """A lot neither in the record nor introduced in the same batch."""
    return Fault(
        "unknown_lot",
        f"lot {code} is not in the record",
        code,
        where,
        "Record its receipt first, or check the code.",
    )


def place_faults(new: NewLot | None, lots: Mapping[str, FoldLot], where: str) -> Iterator[Fault]:
    """A place that holds beads, and so is a lot, with a code that is none or is another lot's."""
    if new is None:
        return
    if not CODE.fullmatch(new.code):
        yield _code_fault(new.code, where)
    old = lots.get(new.code)
    if old is not None and old.what != new.what:
        what = f"lot {new.code} is in the record already, and is no place"
        remedy = "Give the place a code of its own."
        yield Fault("lot_exists", what, new.code, where, remedy)


def _code_fault(code: str, where: str) -> Fault:
    remedy = "Use 1 to 20 of A-Z, 0-9 and hyphen."
    return Fault("bad_code", f"{code!r} is no lot code", code, where, remedy)


def step_faults(draft: StepDraft, lots: Mapping[str, FoldLot], now_ms: int) -> Iterator[Fault]:
    """Every structural fault of a step; ``lots`` are those known, the step's new ones included."""
    where = draft.key
    yield from _head_faults(draft, now_ms)
    for new in draft.new_lots:
        if not CODE.fullmatch(new.code):
            yield _code_fault(new.code, where)
        if str(new.kind) not in _MATERIALS:
            yield Fault("unknown_material", f"no material is called {new.kind!r}", "", where)
    known = True
    for line in draft.lines:
        lot = lots.get(line.lot)
        if lot is None:
            known = False
            yield lot_fault(line.lot, where)
        else:
            yield from _line_faults(line, lot, draft.kind, where)
    for code in draft.labels:
        if code not in lots:
            yield lot_fault(code, where)
    if known:
        yield from _sum_faults(draft, where)


def _head_faults(draft: StepDraft, now_ms: int) -> Iterator[Fault]:
    where = draft.key
    if draft.kind not in RANK:
        yield Fault("unknown_kind", f"no step is called {draft.kind!r}", draft.kind, where)
    yield from key_faults(draft.key)
    fault = None if draft.planned else time_fault(draft.happened_at, now_ms, where)
    if fault is not None:
        yield fault


def _line_faults(line: Line, lot: FoldLot, kind: str, where: str) -> Iterator[Fault]:
    if line.mg < 0 or line.pieces < 0:
        yield Fault(
            "amount_negative",
            f"lot {line.lot}: an amount is below zero",
            line.keyed or f"{line.mg} mg, {line.pieces} pieces",
            where,
            "Amounts are positive; the direction says whether they go in or out.",
        )
    if line.keyed and not _UNIT.search(line.keyed):
        remedy = "Write the unit, e.g. 40.0 kg."
        yield Fault("unit_missing", f"lot {line.lot}: no unit", line.keyed, where, remedy)
    if lot.unit_mg and line.mg and not line.pieces and line.sign and kind != "scrap":
        remedy = "Say how many pieces."
        yield Fault("pieces_missing", f"lot {line.lot} is kept in pieces", "", where, remedy)


def _sum_faults(draft: StepDraft, where: str) -> Iterator[Fault]:
    came = sum(line.mg for line in draft.lines if line.sign < 0)
    left = sum(line.mg for line in draft.lines if line.sign > 0)
    lost = sum(loss.mg for loss in draft.losses)
    rest = came - left - lost - draft.remainder_mg
    if rest and draft.kind not in _FROM_OUTSIDE:
        yield Fault(
            "not_added_up",
            f"in {came} mg is not out {left} mg + losses {lost} mg + remainder"
            f" {draft.remainder_mg} mg: {rest} mg are nowhere",
            f"{rest} mg",
            where,
            "State the difference as the remainder.",
        )
    if draft.kind in _KEEPS_PIECES:
        pieces = sum(line.sign * line.pieces for line in draft.lines)
        if pieces:
            remedy = "Count again: pieces in must equal pieces out."
            yield Fault(
                "pieces_not_added_up", f"{pieces:+d} pieces out over in", str(pieces), where, remedy
            )


def codes_of(draft: Draft) -> set[str]:
    """Codes of every lot that a draft names."""
    match draft:
        case StepDraft():
            codes = {line.lot for line in draft.lines}
            codes.update(new.code for new in draft.new_lots)
            codes.update(draft.labels)
        case Correction():
            codes = codes_of(draft.restated)
        case Hold() | Lift():
            codes = set(draft.lots)
        case Release():
            codes = {draft.lot}
        case ReadingsDraft():
            codes = {reading.lot for reading in draft.readings} - {""}
        case SettingDraft() if draft.topic == "place":
            codes = {draft.name}
        case _:
            codes = set()
    return codes
