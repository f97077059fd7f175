"""A nonconformity file as its entries make it: what and how much, decided, done, checked, closed.

Pure. Read :func:`fold`, then :class:`File`. The entries are decisions of the kinds :data:`KINDS`,
taken in the order of the record; each was looked at by ``plant.nc_rules`` before it got there.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

__all__ = [
    "DISPOSITIONS",
    "KINDS",
    "ORIGINS",
    "Action",
    "Attachment",
    "Check",
    "Complaint",
    "Disposition",
    "File",
    "Note",
    "Quantity",
    "Remark",
    "Said",
    "attachments",
    "fold",
    "left",
    "no_fault_found",
    "quantities",
    "unsettled",
]

KINDS = (
    "nc_open", "nc_note", "nc_disposition", "nc_cause", "nc_action", "nc_check", "nc_close",
)  # fmt: skip
"""Kinds of decision that a file is made of."""

ORIGINS = ("record", "complaint", "photograph", "found")
"""Where a file comes from: the record's own nonconformities, a customer, a site, somebody's eye."""

DISPOSITIONS = ("concession", "rework", "downgrade", "scrap", "sort")
"""What may be done with a quantity. Sorting settles only what it found to conform."""


class Said(Protocol):
    """A decision as the record gives it back."""

    @property
    def seq(self) -> int:
        """Entry."""
        ...

    @property
    def kind(self) -> str:
        """One of :data:`KINDS`; others are passed over."""
        ...

    @property
    def about(self) -> str:
        """Number of the file."""
        ...

    @property
    def at_ms(self) -> int:
        """When."""
        ...

    @property
    def by(self) -> str:
        """Who."""
        ...

    @property
    def body(self) -> Mapping[str, Any]:
        """What."""
        ...


@dataclass(frozen=True, slots=True)
class Quantity:
    """So much of a lot: pieces where it is kept in pieces, else mass."""

    lot: str
    """Empty where nobody could tell which lot it is."""
    pieces: int = 0
    mg: int = 0
    what: str = ""
    """What it is, where there is no lot to ask."""

    @property
    def is_nothing(self) -> bool:
        """Whether there is none of it."""
        return not (self.pieces or self.mg)


@dataclass(frozen=True, slots=True)
class Attachment:
    """A photograph, a letter: kept beside the store under the hash of its content."""

    sha256: str
    name: str
    bytes: int


@dataclass(frozen=True, slots=True)
class Complaint:
    """What a receiver says, and of what."""

    receiver: str
    text: str
    received: str
    """Date, ISO."""
    shipment: str = ""
    lot: str = ""


@dataclass(frozen=True, slots=True)
class Remark:
    """Who said it and when, at which entry."""

    seq: int
    at_ms: int
    by: str
    text: str


@dataclass(frozen=True, slots=True)
class Note(Remark):
    """Something added to the file: words, attachments, more causes, more of the same."""

    files: tuple[Attachment, ...] = ()
    causes: tuple[str, ...] = ()
    items: tuple[Quantity, ...] = ()


@dataclass(frozen=True, slots=True)
class Disposition(Remark):
    """What is done with a quantity, on whose authority; ``text`` is the reason."""

    how: str
    of: Quantity
    conforming: Quantity
    """Of what was sorted, what conforms."""
    conceded: tuple[str, ...] = ()
    """Causes that a concession was given on with it."""
    holds: tuple[str, ...] = ()
    """Holds that were placed with it, on what is not for use."""

    @property
    def settled(self) -> Quantity:
        """So much of the lot needs no other decision."""
        return self.conforming if self.how == "sort" else self.of


@dataclass(frozen=True, slots=True)
class Check(Remark):
    """Whether an action worked."""

    worked: bool
    files: tuple[Attachment, ...] = ()


@dataclass(frozen=True, slots=True)
class Action(Remark):
    """A corrective action: what, by whom, by when; and the newest check of it."""

    number: int
    who: str
    due: str
    """Date, ISO."""
    replaces: int = 0
    """The action that it takes the place of; 0 where of none."""
    check: Check | None = None


@dataclass(frozen=True, slots=True)
class File:
    """Everything that stands under one number."""

    number: str
    title: str
    origin: str
    opened: Remark
    causes: tuple[str, ...] = ()
    """Causes of the record's nonconformities that it deals with."""
    items: tuple[Quantity, ...] = ()
    complaint: Complaint | None = None
    files: tuple[Attachment, ...] = ()
    """Those it was opened with."""
    holds: tuple[str, ...] = ()
    """Ids of holds that were placed for it."""
    notes: tuple[Note, ...] = ()
    dispositions: tuple[Disposition, ...] = ()
    cause: Remark | None = None
    """Why it happened, as last stated."""
    actions: tuple[Action, ...] = ()
    closed: Remark | None = None


def fold(decisions: Iterable[Said]) -> dict[str, File]:
    """Give every file by its number, from decisions in the order of the record."""
    found: dict[str, File] = {}
    for one in decisions:
        if one.kind not in KINDS:
            continue
        if one.kind == "nc_open":
            found.setdefault(one.about, _opened(one))
        elif one.about in found:
            found[one.about] = _ADDED[one.kind](found[one.about], one)
    return found


def quantities(file: File) -> dict[str, Quantity]:
    """How much of each lot the file is about, everything added since included."""
    found: dict[str, Quantity] = {}
    for one in file.items:
        before = found.get(one.lot, Quantity(one.lot, what=one.what))
        found[one.lot] = replace(before, pieces=before.pieces + one.pieces, mg=before.mg + one.mg)
    return found


def left(file: File) -> dict[str, Quantity]:
    """How much of each lot nobody has decided on yet; lots that are settled are left out."""
    rest = quantities(file)
    for one in file.dispositions:
        before, done = rest.get(one.of.lot), one.settled
        if before is not None:
            pieces, mg = max(0, before.pieces - done.pieces), max(0, before.mg - done.mg)
            # Pieces are counted; their mass only follows from them.
            rest[one.of.lot] = replace(
                before, pieces=pieces, mg=0 if before.pieces and not pieces else mg
            )
    return {lot: one for lot, one in rest.items() if not one.is_nothing}


def unsettled(file: File) -> list[Action]:
    """Actions that were not checked, or did not work, and that no other took the place of."""
    replaced = {one.replaces for one in file.actions}
    return [
        one
        for one in file.actions
        if one.number not in replaced and (one.check is None or not one.check.worked)
    ]


def no_fault_found(file: File) -> bool:
    """Whether nothing of it was found not to conform, so that there is no cause to look for.

    The record names no cause, and all that it is about was sorted and conforms (sorting settles
    nothing else). A complaint must have been looked into so: words alone do not answer it.
    """
    looked = bool(file.dispositions) or file.complaint is None
    return (
        looked
        and not file.causes
        and not left(file)
        and all(one.how == "sort" for one in file.dispositions)
    )


def attachments(file: File) -> list[Attachment]:
    """Everything attached, in order."""
    found = [*file.files]
    for note in file.notes:
        found += note.files
    for action in file.actions:
        found += action.check.files if action.check is not None else ()
    return found


def _remark(one: Said, text: str) -> tuple[int, int, str, str]:
    return one.seq, one.at_ms, one.by, text


def _items(body: Mapping[str, Any]) -> tuple[Quantity, ...]:
    return tuple(Quantity(**item) for item in body.get("items", ()))


def _files(body: Mapping[str, Any]) -> tuple[Attachment, ...]:
    return tuple(Attachment(**file) for file in body.get("files", ()))


def _opened(one: Said) -> File:
    body = one.body
    said = body.get("complaint")
    return File(
        number=one.about,
        title=body["title"],
        origin=body["origin"],
        opened=Remark(*_remark(one, body["title"])),
        causes=tuple(body.get("causes", ())),
        items=_items(body),
        complaint=None if said is None else Complaint(**said),
        files=_files(body),
        holds=_named(body),
    )


def _named(body: Mapping[str, Any]) -> tuple[str, ...]:
    return tuple(body.get("holds", ()))


def _noted(file: File, one: Said) -> File:
    body = one.body
    note = Note(
        *_remark(one, body["text"]), _files(body), tuple(body.get("causes", ())), _items(body)
    )
    return replace(
        file,
        notes=(*file.notes, note),
        causes=tuple(dict.fromkeys((*file.causes, *note.causes))),
        items=(*file.items, *note.items),
        holds=(*file.holds, *_named(body)),
    )


def _disposed(file: File, one: Said) -> File:
    body = one.body
    lot = body["lot"]
    made = Disposition(
        *_remark(one, body["reason"]),
        body["how"],
        Quantity(lot, body.get("pieces", 0), body.get("mg", 0)),
        Quantity(lot, body.get("conforming", 0), body.get("conforming_mg", 0)),
        tuple(body.get("conceded", ())),
        _named(body),
    )
    return replace(
        file, dispositions=(*file.dispositions, made), holds=(*file.holds, *_named(body))
    )


def _caused(file: File, one: Said) -> File:
    return replace(file, cause=Remark(*_remark(one, one.body["text"])))


def _acted(file: File, one: Said) -> File:
    body = one.body
    action = Action(
        *_remark(one, body["text"]),
        body["action"],
        body["who"],
        body["due"],
        body.get("replaces", 0),
    )
    return replace(file, actions=(*file.actions, action))


def _checked(file: File, one: Said) -> File:
    body = one.body
    check = Check(*_remark(one, body["text"]), body["result"] == "worked", _files(body))
    return replace(file, actions=_with(file.actions, body["action"], check))


def _with(actions: Sequence[Action], number: int, check: Check) -> tuple[Action, ...]:
    return tuple(replace(a, check=check) if a.number == number else a for a in actions)


def _closed(file: File, one: Said) -> File:
    return replace(file, closed=Remark(*_remark(one, one.body["text"])))


_ADDED = {
    "nc_note": _noted,
    "nc_disposition": _disposed,
    "nc_cause": _caused,
    "nc_action": _acted,
    "nc_check": _checked,
    "nc_close": _closed,
}
