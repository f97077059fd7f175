"""Nonconformity files as a shell works on them: what was written becomes drafts for the door."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date, datetime
from pathlib import Path

from beadwright import units
from beadwright.cli.ending import say
from beadwright.cli.persons import person_of
from beadwright.cli.session import ACCOUNT, Session
from beadwright.errors import BeadwrightError, Misuse, Refusal
from beadwright.ledger import holds
from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.alike import looks
from beadwright.ledger.draft import Draft
from beadwright.ledger.texts import visible
from beadwright.plant import attached, nc_acts, nc_days, nonconforming
from beadwright.plant.access import Role, Who
from beadwright.plant.lot_named import one_lot
from beadwright.plant.moment import moment
from beadwright.plant.nc_acts import Disposal, Opening, entry
from beadwright.plant.nc_file import DISPOSITIONS, Attachment, Complaint, Quantity, left
from beadwright.plant.nc_rules import quantity_words
from beadwright.plant.nonconforming import FileAnswer
from beadwright.plant.opening import Plant, door_of

__all__ = ["Done", "Wanted", "acted", "checked", "disposed", "noted", "opened", "said"]

_TRIES = 20
"""How often a number is taken anew, where somebody else has just taken it."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What was written on the command line about something to put into a file."""

    text: str
    by: str
    causes: Sequence[str] = ()
    lots: Sequence[str] = ()
    files: Sequence[Path] = ()
    held: bool = False
    receiver: str = ""
    shipment: str = ""
    received: str = ""
    complaint: str = ""
    another: bool = False
    keep: bool = False
    """Whether an unusual day stands."""


@dataclass(frozen=True, slots=True)
class Done:
    """What came of it: the file as it now stands, and the entry."""

    plant: Plant
    answer: FileAnswer
    seq: int


def opened(session: Session, wanted: Wanted, number: str) -> Done:
    """Open a file, under the number given or the next."""
    plant = session.plant()
    said = _wanted(plant, wanted)
    if not said.items:
        codes = [code for code in (_complained(said),) if code]
        found = nc_acts.whole_of(plant.no, codes).values() if codes else ()
        items = tuple(one for one in found if not one.is_nothing)
        said = replace(said, items=items or nc_acts.affected(plant.no, said.causes))
    if said.complaint is not None:
        doubt = nc_days.received_doubt(said.complaint.received, _today(plant))
        _require_kept(plant, f"the complaint: {doubt}" if doubt else "", keep=wanted.keep)
    _require_another(plant, said, another=wanted.another)
    at_ms = moment(plant)
    if number:
        return _post(plant, number, nc_acts.opening(plant.no, number, said, at_ms))
    for _ in range(_TRIES):
        number = nonconforming.next_number(plant.no)
        try:
            return _post(plant, number, nc_acts.opening(plant.no, number, said, at_ms))
        except Refusal as refusal:
            if "number_used" not in refusal.codes:
                raise
    message = "others are opening files all the time: name a number with --number"
    raise Misuse(message)


def _require_another(plant: Plant, said: Opening, *, another: bool) -> None:
    """Ask once whether a complaint that stands in a file already is another one."""
    before = nonconforming.complained_of(plant.no, said.complaint, said.items)
    if not before or another:
        return
    told = "; ".join(
        f"{one.number} ({one.state}) is about {quantity_words(one.of.pieces, one.of.mg)} of"
        f" {one.of.lot}, as {one.receiver} said on {one.received}"
        for one in before
    )
    message = (
        f"{told}. Add to that file with `beadwright nc-note {before[0].number}`;"
        " if this is another complaint, say so with --another"
    )
    raise Misuse(message)


def _require_kept(plant: Plant, doubt: str, *, keep: bool) -> None:
    """Ask once about an unusual day; of an invented plant, whose weeks are over, all are old."""
    if doubt and not keep and not plant.invented:
        message = f"{doubt}; if that is so, say --keep"
        raise Misuse(message)


def _today(plant: Plant) -> date:
    return datetime.now(plant.zone).date()


def _complained(said: Opening) -> str:
    return "" if said.complaint is None else said.complaint.lot or said.complaint.shipment


def noted(session: Session, number: str, wanted: Wanted) -> Done:
    """Add words, files, causes, quantities to a file."""
    plant = session.plant()
    said = _wanted(plant, wanted)
    return _post(plant, number, nc_acts.noting(plant.no, number, said, moment(plant)))


def disposed(
    session: Session, number: str, lots: Sequence[str], said: Disposal, conforming: str
) -> Done:
    """Decide on quantities of a file; without a lot on all that is left."""
    plant = session.plant()
    answer = nonconforming.file_of(plant.no, number)
    rest = left(answer.file)
    if said.how not in DISPOSITIONS:
        message = f"--as is one of {', '.join(DISPOSITIONS)}, not {said.how!r}"
        raise Misuse(message)
    of = tuple(_quantity(plant, text, rest.get) for text in lots) if lots else tuple(rest.values())
    if not of and said.how != "concession":
        message = f"{number} has nothing left to decide on: its quantity is settled"
        raise Misuse(message)
    good = None
    if conforming:
        if len(of) != 1:
            message = "name the one lot that was sorted: --conforming is of one lot"
            raise Misuse(message)
        good = _amount(of[0].lot, conforming, counted=bool(of[0].pieces))
    who = person_of(plant.code, said.by)
    made = Disposal(said.how, of, said.reason, who, good)
    return _post(plant, number, nc_acts.disposing(plant.no, answer, made, moment(plant)))


def said(session: Session, kind: str, number: str, text: str, by: str) -> Done:
    """State the cause of a file, or close it."""
    plant = session.plant()
    made = entry(kind, number, moment(plant), person_of(plant.code, by), {"text": text})
    return _post(plant, number, [made])


def acted(session: Session, number: str, said: Sequence[str], replaces: int, *, keep: bool) -> Done:
    """State a corrective action; ``said`` is what, who does it, by when, and who says so."""
    plant = session.plant()
    text, who, due, by = said
    doubt = nc_days.due_doubt(_day("--due", due), _today(plant))
    _require_kept(plant, f"the action: {doubt}" if doubt else "", keep=keep)
    file = nonconforming.file_of(plant.no, number).file
    body = {
        "action": max((one.number for one in file.actions), default=0) + 1,
        "text": text,
        "who": person_of(plant.code, who),
        "due": _day("--due", due),
        "replaces": replaces,
    }
    made = entry("action", number, moment(plant), person_of(plant.code, by), body)
    return _post(plant, number, [made])


def checked(session: Session, number: str, action: int, wanted: Wanted, *, worked: bool) -> Done:
    """State whether an action worked."""
    plant = session.plant()
    said = _wanted(plant, wanted)
    body = {
        "action": action,
        "result": "worked" if worked else "did_not_work",
        "text": said.text,
        "files": [asdict(one) for one in said.files],
    }
    return _post(plant, number, [entry("check", number, moment(plant), said.by, body)])


def _post(plant: Plant, number: str, drafts: Sequence[Draft]) -> Done:
    posted = door_of(plant.code).post_many(drafts, Who(ACCOUNT, Role.ENGINEER))
    return Done(plant, nonconforming.file_of(plant.no, number), posted[-1].seq)


def _wanted(plant: Plant, wanted: Wanted) -> Opening:
    if not wanted.text.strip():
        message = "the text is empty: an entry without it would say nothing later"
        raise Misuse(message)
    by = person_of(plant.code, wanted.by)
    known = {one.cause for one in holds.nonconformities(plant.no)} if wanted.causes else set()
    for cause in wanted.causes:
        if cause not in known:
            there = ", ".join(sorted(known)) or "none"
            message = f"no nonconformity has cause {cause!r}; there are: {there}"
            raise Misuse(message)
    items = tuple(_quantity(plant, text, None) for text in wanted.lots)
    complaint = _complaint(plant, wanted)
    files = _kept(wanted.files)
    causes = tuple(dict.fromkeys(wanted.causes))
    return Opening(wanted.text, by, causes, items, files, complaint, wanted.held)


def _kept(paths: Sequence[Path]) -> tuple[Attachment, ...]:
    where = attached.folder() if paths else Path()
    return tuple(attached.keep(path, where) for path in paths)


def _complaint(plant: Plant, wanted: Wanted) -> Complaint | None:
    given = [wanted.shipment, wanted.received, wanted.complaint]
    if not wanted.receiver:
        if any(given):
            message = "say with --receiver who complains"
            raise Misuse(message)
        return None
    received = _day("--received", wanted.received) if wanted.received else ""
    words = wanted.complaint or wanted.text
    said = Complaint(wanted.receiver, words, received or _today(plant).isoformat())
    known = nonconforming.known_receivers(plant.no, wanted.receiver)
    if known and wanted.receiver not in known:
        say(
            f'"{visible(wanted.receiver)}" looks like the receiver {", ".join(known)} of the record'
            " and is written otherwise: kept as you say it."
        )
    if not wanted.shipment:
        return said
    of = one_lot(plant, wanted.shipment)
    if of.what == "mould run":
        return replace(said, lot=of.code)
    went = of.place.removeprefix(OUTSIDE) if of.place.startswith(OUTSIDE) else ""
    if went and looks(went) != looks(wanted.receiver):
        say(
            f"By the record {of.code} went to {went}, not to {wanted.receiver}: kept as you say it."
        )
    return replace(said, shipment=of.code)


def _quantity(plant: Plant, text: str, rest: Callable[[str], Quantity | None] | None) -> Quantity:
    """Read ``LOT`` or ``LOT=QUANTITY``; without a quantity all that is left, or all there is."""
    name, sign, amount = text.rpartition("=")
    lot = one_lot(plant, name if sign else text)
    if sign:
        return _amount(lot.code, amount, counted=bool(lot.unit_mg), unit_mg=lot.unit_mg)
    if rest is not None:
        found = rest(lot.code)
        if found is None:
            message = f"nothing of {lot.code} is left to decide on in this file"
            raise Misuse(message)
        return found
    whole = nc_acts.whole_of(plant.no, [lot.code])[lot.code]
    if whole.is_nothing:
        message = f"nothing of {lot.code} is left by the books: write {lot.code}=QUANTITY"
        raise Misuse(message)
    return whole


def _amount(lot: str, text: str, *, counted: bool, unit_mg: int = 0) -> Quantity:
    """Read a number of pieces of a lot that is kept in pieces, else a mass."""
    if counted:
        if not text.strip().isdecimal() or not int(text):
            message = f"{lot} is kept in pieces: write a number of pieces above 0, not {text!r}"
            raise Misuse(message)
        return Quantity(lot, int(text), int(text) * unit_mg)
    number, _, unit = text.strip().partition(" ")
    try:
        mg = units.to_mg(units.parse_number(number, decimal=".", thousands=None), unit.strip())
    except BeadwrightError as error:
        message = f'{lot} is kept by mass: write it with its unit, as "{lot}=41.2 kg": {error}'
        raise Misuse(message) from error
    return Quantity(lot, 0, mg)


def _day(option: str, text: str) -> str:
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError as error:
        message = f"{option} is a date as 2026-10-01, not {text!r}"
        raise Misuse(message) from error
