"""What may be entered in a nonconformity file: bodies that can be read, in a state that fits.

Pure. Read :func:`faults`, which the door asks under the lock, and :class:`Grounds`, all that it
must know of the record for that.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from beadwright.errors import Fault
from beadwright.ledger.draft import Decision
from beadwright.plant.nc_file import (
    DISPOSITIONS,
    KINDS,
    ORIGINS,
    File,
    left,
    no_fault_found,
    unsettled,
)

__all__ = ["Grounds", "closing_faults", "faults", "quantity_words"]

_LONGEST = 4000
_MOST = 2**53 - 1
_NUMBER = re.compile(r"[A-Z0-9-]{1,20}")
_SHA = re.compile(r"[0-9a-f]{64}")
_MG_PER_KG = 1_000_000

_Check = Callable[[Any], bool]


@dataclass(frozen=True, slots=True)
class Grounds:
    """What the record says about that which an entry names."""

    causes: Mapping[str, bool] = field(default_factory=dict)
    """Each cause that the record has, and whether it is open."""
    lots: frozenset[str] = frozenset()
    filed: Mapping[str, str] = field(default_factory=dict)
    """Each cause that is in a file, and that file's number."""


def _text(value: Any) -> bool:
    return isinstance(value, str) and 0 < len(value.strip()) <= _LONGEST


def _free(value: Any) -> bool:
    return isinstance(value, str) and len(value) <= _LONGEST


def _whole(value: Any) -> bool:
    return type(value) is int and 0 <= value <= _MOST


def _counting(value: Any) -> bool:
    return _whole(value) and bool(value)


def _day(value: Any) -> bool:
    try:
        return bool(date.fromisoformat(value).isoformat() == value)
    except (TypeError, ValueError):
        return False


def _sha(value: Any) -> bool:
    return isinstance(value, str) and _SHA.fullmatch(value) is not None


def _one_of(*words: str) -> _Check:
    return lambda value: value in words


def _list_of(check: _Check) -> _Check:
    return lambda value: isinstance(value, list | tuple) and all(map(check, value))


def _map_of(must: Mapping[str, _Check], may: Mapping[str, _Check]) -> _Check:
    return lambda value: isinstance(value, Mapping) and not list(_unread(value, must, may))


_ATTACHED = _list_of(_map_of({"sha256": _sha, "name": _text, "bytes": _whole}, {}))
_QUANTITY = {"pieces": _whole, "mg": _whole}
_ITEMS = _list_of(_map_of({"lot": _free}, {**_QUANTITY, "what": _free}))
_TEXTS = _list_of(_text)
_COMPLAINT = _map_of(
    {"receiver": _text, "text": _text, "received": _day}, {"shipment": _free, "lot": _free}
)

_MUST: Mapping[str, Mapping[str, _Check]] = {
    "nc_open": {"title": _text, "origin": _one_of(*ORIGINS)},
    "nc_note": {"text": _text},
    "nc_disposition": {"lot": _free, "how": _one_of(*DISPOSITIONS), "reason": _text},
    "nc_cause": {"text": _text},
    "nc_action": {"action": _counting, "text": _text, "who": _text, "due": _day},
    "nc_check": {"action": _counting, "result": _one_of("worked", "did_not_work"), "text": _text},
    "nc_close": {"text": _text},
}
_MAY: Mapping[str, Mapping[str, _Check]] = {
    "nc_open": {
        "causes": _TEXTS, "items": _ITEMS, "files": _ATTACHED, "complaint": _COMPLAINT,
        "holds": _TEXTS,
    },
    "nc_note": {"files": _ATTACHED, "causes": _TEXTS, "items": _ITEMS, "holds": _TEXTS},
    "nc_disposition": {
        **_QUANTITY, "conforming": _whole, "conforming_mg": _whole, "conceded": _TEXTS,
        "holds": _TEXTS,
    },
    "nc_action": {"replaces": _counting},
    "nc_check": {"files": _ATTACHED},
}  # fmt: skip


def _unread(
    body: Mapping[str, Any], must: Mapping[str, _Check], may: Mapping[str, _Check]
) -> Iterator[tuple[str, str]]:
    """Parts of a body that cannot be read, each with what is wrong."""
    for key, check in must.items():
        if key not in body:
            yield key, "is missing"
        elif not check(body[key]):
            yield key, "cannot be read"
    for key, value in body.items():
        if key not in must and key not in may:
            yield str(key), "is not known here"
        elif key in may and not may[key](value):
            yield key, "cannot be read"


def faults(files: Mapping[str, File], draft: Decision, grounds: Grounds) -> list[Fault]:
    """Everything that keeps a decision about a file out of the record; none for other kinds."""
    if draft.kind not in KINDS:
        return []
    must, may = _MUST[draft.kind], _MAY.get(draft.kind, {})
    unread = list(_unread(draft.body, must, may))
    if unread:
        remedy = "State it as the manual's page on nonconformities does."
        return [
            Fault(
                "bad_decision", f"{draft.kind}: {key} {what}", str(draft.body.get(key, ""))[:60],
                draft.key, remedy,
            )
            for key, what in unread
        ]  # fmt: skip
    if draft.kind == "nc_open":
        return [*_opening(files, draft), *_named(draft, grounds)]
    file = files.get(draft.about)
    if file is None:
        there = ", ".join(sorted(files)) or "none"
        what = f"no nonconformity file has the number {draft.about!r}; there are: {there}"
        return [Fault("unknown_file", what, draft.about, draft.key, "Check the number.")]
    if file.closed is not None and not _reopened(file, grounds):
        what = f"{file.number} is closed"
        remedy = "Open a new file that names this one."
        return [Fault("file_closed", what, file.number, draft.key, remedy)]
    of_kind = _OF_KIND.get(draft.kind)
    return [] if of_kind is None else list(of_kind(file, draft, grounds))


def _reopened(file: File, grounds: Grounds) -> bool:
    """Whether the record has changed under a closed file: a cause of it is open again."""
    return any(grounds.causes.get(cause, False) for cause in file.causes)


def _opening(files: Mapping[str, File], draft: Decision) -> Iterator[Fault]:
    number, body = draft.about, draft.body
    if not _NUMBER.fullmatch(number):
        what = f"{number!r} is no number of a file"
        remedy = "Use 1 to 20 of A-Z, 0-9 and hyphen, as NC-0001."
        yield Fault("bad_decision", what, number, draft.key, remedy)
    if number in files:
        what = f"a nonconformity file has the number {number} already"
        yield Fault("number_used", what, number, draft.key, "Take the next number.")
    needed = {"record": "causes", "complaint": "complaint", "photograph": "files"}
    part = needed.get(str(body["origin"]))
    if part is not None and not body.get(part):
        what = f"a file whose origin is {body['origin']} needs its {part}"
        yield Fault("bad_decision", what, number, draft.key, "State it.")


def _named(draft: Decision, grounds: Grounds) -> Iterator[Fault]:
    """Causes and lots that an entry names and the record does not have."""
    body = draft.body
    for cause in _list(body, "causes"):
        if cause not in grounds.causes:
            what = f"no nonconformity has the cause {cause}"
            remedy = "List the nonconformities; take the cause as it is written there."
            yield Fault("unknown_cause", what, cause, draft.key, remedy)
        other = grounds.filed.get(cause, draft.about)
        if other != draft.about:
            what = f"{cause} is in the file {other}"
            yield Fault("cause_filed", what, cause, draft.key, f"Add to {other} instead.")
    complaint = body.get("complaint")
    codes = [item["lot"] for item in _list(body, "items")]
    if isinstance(complaint, Mapping):
        codes += [complaint.get("shipment", ""), complaint.get("lot", "")]
    for code in dict.fromkeys(codes):
        if code and code not in grounds.lots:
            what = f"lot {code} is not in the record"
            remedy = "Check the code; leave it out where nobody can tell."
            yield Fault("unknown_lot", what, code, draft.key, remedy)
    for item in _list(body, "items"):
        if not (item.get("pieces") or item.get("mg")):
            what = f"no quantity is stated of {item['lot'] or 'what has no lot'}"
            yield Fault("bad_decision", what, "", draft.key, "Say how many pieces, or what mass.")


def _list(body: Mapping[str, Any], key: str) -> list[Any]:
    return list(body.get(key, ()))


def _noting(file: File, draft: Decision, grounds: Grounds) -> Iterator[Fault]:
    del file
    yield from _named(draft, grounds)


def _disposing(file: File, draft: Decision, grounds: Grounds) -> Iterator[Fault]:
    body: Mapping[str, Any] = draft.body
    lot = str(body["lot"])
    rest = left(file).get(lot)
    asked = (body.get("pieces", 0), body.get("mg", 0))
    good = (body.get("conforming", 0), body.get("conforming_mg", 0))
    there = (rest.pieces, rest.mg) if rest is not None else (0, 0)
    by_pieces = bool(there[0])
    # A concession may close the causes alone, where there is or was left nothing to decide on.
    nothing = body["how"] == "concession" and not lot and rest is None and not any(asked)
    beyond = asked[0] > there[0] if by_pieces else asked[0] > 0 or asked[1] > there[1]
    if beyond or (rest is None and not nothing):
        what = (
            f"{quantity_words(*asked)} of {lot or 'no lot'}: {file.number} has"
            f" {quantity_words(*there)} of it to decide on"
        )
        remedy = f"Add to the quantity of {file.number} with a note, or decide on less."
        yield Fault("more_than_quantity", what, lot, draft.key, remedy)
    elif not nothing and not (asked[0] if by_pieces else asked[1]):
        unit = "how many pieces" if by_pieces else "what mass"
        yield Fault("bad_decision", f"{lot}: no quantity is stated", "", draft.key, f"Say {unit}.")
    if asked[0] and asked[1]:
        what = f"{lot}: both pieces and a mass are stated"
        yield Fault("bad_decision", what, "", draft.key, "State the pieces alone.")
    if any(good) and body["how"] != "sort":
        what = "only sorting finds how much conforms"
        yield Fault("bad_decision", what, str(body["how"]), draft.key, "Leave it out.")
    if good[0] > asked[0] or good[1] > asked[1]:
        what = f"{quantity_words(*good)} conform of {quantity_words(*asked)} that were sorted"
        yield Fault("more_than_quantity", what, lot, draft.key, "Count again.")
    for cause in _list(body, "conceded"):
        if cause not in file.causes or body["how"] != "concession":
            what = f"{cause} is no cause of {file.number} to concede here"
            yield Fault("unknown_cause", what, cause, draft.key, "Name a cause of the file.")
    del grounds


def _acting(file: File, draft: Decision, grounds: Grounds) -> Iterator[Fault]:
    del grounds
    numbers = {one.number for one in file.actions}
    body: Mapping[str, Any] = draft.body
    number, replaces = body["action"], body.get("replaces")
    if number in numbers:
        what = f"{file.number} has an action {number} already"
        yield Fault("number_used", what, str(number), draft.key, "Take the next number.")
    if replaces is not None and replaces not in numbers:
        yield _unknown_action(file, draft, replaces)


def _checking(file: File, draft: Decision, grounds: Grounds) -> Iterator[Fault]:
    del grounds
    body: Mapping[str, Any] = draft.body
    number: int = body["action"]
    if number not in {one.number for one in file.actions}:
        yield _unknown_action(file, draft, number)


def _unknown_action(file: File, draft: Decision, number: int) -> Fault:
    there = ", ".join(str(one.number) for one in file.actions) or "none"
    what = f"{file.number} has no action {number}; it has: {there}"
    return Fault("unknown_action", what, str(number), draft.key, "Check the action's number.")


def _closing(file: File, draft: Decision, grounds: Grounds) -> Iterator[Fault]:
    yield from closing_faults(file, grounds, draft.key)


def closing_faults(file: File, grounds: Grounds, key: str = "") -> Iterator[Fault]:
    """Everything that stands in the way of closing a file."""
    for cause in file.causes:
        if grounds.causes.get(cause, False):
            remedy = "Give a concession in the file; what is not for use stays on hold."
            yield Fault("cause_open", f"{file.number}: {cause} is open", cause, key, remedy)
    for one in left(file).values():
        name = one.lot or one.what or "what has no lot"
        what = f"{file.number}: {quantity_words(one.pieces, one.mg)} of {name} undecided"
        remedy = f"Say what is done with it: {', '.join(DISPOSITIONS)}."
        yield Fault("quantity_left", what, one.lot, key, remedy)
    if not no_fault_found(file):
        yield from _unexplained(file, key)
    for action in unsettled(file):
        state = "was not checked" if action.check is None else "did not work"
        what = f"{file.number}: action {action.number} {state}"
        remedy = "Check that it worked, or state an action that replaces it."
        yield Fault("action_unchecked", what, str(action.number), key, remedy)


def _unexplained(file: File, key: str) -> Iterator[Fault]:
    """What was nonconforming has a reason, and something is done about it."""
    if file.cause is None:
        what = f"{file.number}: why it happened is not stated"
        yield Fault("cause_not_stated", what, "", key, "State the cause with `nc-cause`.")
    if not file.actions:
        what = f"{file.number}: no corrective action is stated"
        remedy = "State with `nc-action` what is done, by whom and by when."
        yield Fault("action_not_stated", what, "", key, remedy)


def quantity_words(pieces: int, mg: int) -> str:
    """Give a quantity in words: pieces where it is counted, else kilograms."""
    if pieces:
        return "1 piece" if pieces == 1 else f"{pieces} pieces"
    return f"{mg / _MG_PER_KG:.6g} kg" if mg else "nothing"


_OF_KIND: Mapping[str, Callable[[File, Decision, Grounds], Iterator[Fault]]] = {
    "nc_note": _noting,
    "nc_disposition": _disposing,
    "nc_action": _acting,
    "nc_check": _checking,
    "nc_close": _closing,
}
