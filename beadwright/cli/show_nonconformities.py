"""What `nonconformity` and its verbs say: one file whole, or all files with what is in none."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict
from typing import Any

from beadwright.cli.nc_work import Done
from beadwright.cli.printed import Page, local, write_json
from beadwright.plant import nonconforming
from beadwright.plant.caused import Caused
from beadwright.plant.named import Named
from beadwright.plant.nc_acts import to_lift
from beadwright.plant.nc_file import Action, Attachment, Disposition, Remark, attachments
from beadwright.plant.nc_rules import quantity_words
from beadwright.plant.nonconforming import FileAnswer, Standing
from beadwright.plant.opening import Plant
from beadwright.plant.words import KIND_WORDS, code_words, iso, number

__all__ = ["by_station", "done", "every", "file_json", "one"]

_LONGEST = 12
"""Rows of a list that are shown where the file is long; --json gives all."""

_STATE = {"open": "OPEN", "closed": "CLOSED", "reopened": "OPEN AGAIN"}
_HOW = {
    "concession": "use by concession",
    "rework": "rework",
    "downgrade": "downgrade",
    "scrap": "scrap",
    "sort": "sorted",
}
_ORIGIN = {
    "record": "found by the record",
    "complaint": "a complaint",
    "photograph": "a photograph",
    "found": "found by a person",
}


def done(what: Done, word: str) -> None:
    """Print what an entry has come to, and what is left to do."""
    page, answer = Page(), what.answer
    page.line(f"Entry {what.seq}: {answer.file.number} {word}.")
    standing = [held for held in answer.holds if held.standing]
    for held in standing:
        page.line(f"On hold {held.hold}: {_few(held.standing)}", indent=2)
    _to_lift(page, answer)
    if answer.state == "closed":
        page.line("Nothing is left to do in the file.", indent=2)
    for fault in answer.to_do:
        page.item(fault.what.partition(": ")[2])


def one(plant: Plant, name: str, *, json: bool) -> None:
    """Print one file."""
    answer = nonconforming.file_of(plant.no, name)
    if json:
        write_json({**plant.about, **file_json(plant, answer)})
        return
    page, file = Page(Named.of(plant).within), answer.file
    page.line(f"{file.number}  {_STATE[answer.state]}  {file.title}")
    opened = f"{_when(plant, file.opened)}; {_ORIGIN[file.origin]}"
    facts = [("opened", opened)]
    if file.complaint is not None:
        said = file.complaint
        of = f", of {said.shipment or said.lot}" if said.shipment or said.lot else ""
        facts.append(("complaint", f"{said.receiver}, {said.received}{of}: {said.text}"))
    facts += [("attached", _attached(each)) for each in attachments(file)]
    if file.cause is not None:
        facts.append(("why", f"{file.cause.text} ({_when(plant, file.cause)})"))
    page.facts(facts)
    _causes(page, plant, answer.causes)
    _quantities(page, answer.standing)
    _decided(page, plant, file.dispositions)
    _actions(page, plant, file.actions)
    _rest(page, plant, answer)


def _rest(page: Page, plant: Plant, answer: FileAnswer) -> None:
    """Print holds, notes, and what is left to do or how it was closed."""
    file = answer.file
    if answer.holds:
        page.heading("Holds")
        for held in answer.holds:
            state = f"stands on {_few(held.standing)}" if held.standing else "lifted"
            page.item(f"{held.hold}, placed on {_few(held.lots)}: {state}")
    _to_lift(page, answer)
    if file.notes:
        page.heading("Notes")
        for note in file.notes:
            more = [f"cause {cause}" for cause in note.causes]
            more += [f"{quantity_words(i.pieces, i.mg)} of {i.lot}" for i in note.items]
            added = f"; added {', '.join(more)}" if more else ""
            page.item(f"{note.text}{added} ({_when(plant, note)})")
    if file.closed is not None:
        page.heading(f"Closed {_when(plant, file.closed)}")
        page.line(file.closed.text, indent=2)
    if answer.to_do:
        page.heading("Left to do before it can be closed")
        for fault in answer.to_do[:_LONGEST]:
            page.item(fault.what.partition(": ")[2])
        _more(page, answer.to_do)


def _to_lift(page: Page, answer: FileAnswer) -> None:
    """Say which lots are decided for use and wait for a lift alone."""
    for hold, lots in to_lift(answer).items():
        page.item(
            f"{_few(lots)}: decided for use, and on hold until somebody lifts it:"
            f" `beadwright lift {hold} {' '.join(lots)} --reason WHY`"
        )


def _causes(page: Page, plant: Plant, causes: Sequence[Caused]) -> None:
    if not causes:
        return
    page.heading("Causes in the record")
    for cause in causes:
        state = f"closed by concession: {cause.reason}" if cause.closed else "open"
        steps = number(len(cause.steps), "time")
        first, last = cause.steps[0], cause.steps[-1]
        to = f" to {local(last.at_ms, plant.zone)}" if len(cause.steps) > 1 else ""
        page.item(
            f"{cause.cause} ({code_words(cause.code)}), {steps},"
            f" {local(first.at_ms, plant.zone)}{to}: {state}"
        )


def _quantities(page: Page, standing: Sequence[Standing]) -> None:
    if not standing:
        return
    page.heading("What and how much")
    rows = [
        (
            each.quantity.lot or "no lot known",
            KIND_WORDS.get(each.what, each.what),
            each.product,
            quantity_words(each.quantity.pieces, each.quantity.mg),
            quantity_words(each.undecided.pieces, each.undecided.mg),
            _place(each),
            ", ".join(_receivers(each)),
        )
        for each in standing[:_LONGEST]
    ]
    columns = ("!lot", "what", "product", "quantity>", "undecided>", "in the plant", "shipped to")
    page.table(columns, rows)
    _more(page, standing)


def _place(each: Standing) -> str:
    if each.where is None:
        at = f" at {each.place}" if each.place else ""
        return f"{quantity_words(0, each.mg)} left{at}" if each.quantity.lot else ""
    return _few([f"{stand.pieces} in {stand.lot}" for stand in each.where.in_stock], most=3)


def _receivers(each: Standing) -> list[str]:
    if each.where is None:
        return []
    shipped: dict[str, list[int]] = {}
    for stand in each.where.shipped:
        low, high = shipped.get(stand.receiver, (0, 0))
        shipped[stand.receiver] = [low + stand.at_least, high + stand.at_most]
    return [
        f"{receiver} {high if low == high else f'{low} to {high}'}"
        for receiver, (low, high) in shipped.items()
    ]


def _decided(page: Page, plant: Plant, found: Sequence[Disposition]) -> None:
    if not found:
        return
    page.heading("Decided")
    for each in found:
        of = quantity_words(each.of.pieces, each.of.mg)
        what = f"{_HOW[each.how]}: {of} of {each.of.lot}"
        if each.of.is_nothing:
            what = "causes closed, for nothing is left to decide on"
        if each.how == "sort":
            what += f", {quantity_words(each.conforming.pieces, each.conforming.mg)} conform"
        closed = f"; concession on {', '.join(each.conceded)}" if each.conceded else ""
        page.item(f"{what}: {each.text}{closed} ({_when(plant, each)})")


def _actions(page: Page, plant: Plant, found: Sequence[Action]) -> None:
    if not found:
        return
    page.heading("Corrective actions")
    named = Named.of(plant)
    for each in found:
        who = named(each.who)
        page.item(f"{each.text}; {who}, by {each.due}{_instead(each)}", mark=f"{each.number}.")
        if each.check is None:
            page.line("not checked yet", indent=5)
        else:
            state = "worked" if each.check.worked else "DID NOT WORK"
            page.line(f"{state}: {each.check.text} ({_when(plant, each.check)})", indent=5)


def _instead(each: Action) -> str:
    return f"; in place of action {each.replaces}" if each.replaces else ""


def _attached(each: Attachment) -> str:
    return f"{each.name}, {each.bytes} bytes, SHA-256 {each.sha256[:12]}…"


def _when(plant: Plant, said: Remark) -> str:
    by = f" by {said.by}" if said.by else ""
    return f"{local(said.at_ms, plant.zone)}{by}, entry {said.seq}"


def _few(texts: Sequence[str], most: int = 6) -> str:
    more = f" and {len(texts) - most} more" if len(texts) > most else ""
    return ", ".join(texts[:most]) + more


def _more(page: Page, found: Sequence[object]) -> None:
    if len(found) > _LONGEST:
        page.line(f"and {len(found) - _LONGEST} more; --json lists all", indent=2)


def every(plant: Plant, *, json: bool) -> None:
    """Print all files, and the open nonconformities that are in none."""
    found = nonconforming.files(plant.no)
    outside = nonconforming.not_in_a_file(plant.no)
    if json:
        files = [
            {
                "number": each.file.number,
                "title": each.file.title,
                "origin": each.file.origin,
                "state": each.state,
                "opened_at": iso(each.file.opened.at_ms, plant.zone),
                "left_to_do": len(each.to_do),
            }
            for each in found
        ]
        loose = [{"cause": one.cause, "code": one.code, "steps": len(one.steps)} for one in outside]
        write_json({**plant.about, "files": files, "not_in_a_file": loose})
        return
    page = Page()
    still = sum(each.state != "closed" for each in found)
    page.line(f"Nonconformity files of {plant.name}: {still} open, {len(found) - still} closed")
    rows = [
        (
            each.file.number,
            _STATE[each.state].lower(),
            local(each.file.opened.at_ms, plant.zone),
            each.file.title,
            f"{len(each.to_do)}" if each.to_do else "",
        )
        for each in found
    ]
    if rows:
        page.table(("!number", "state", "!opened", "what", "left to do>"), rows)
    page.heading(f"Not yet in a file: {number(len(outside), 'open cause')}")
    for one_ in outside:
        first = local(one_.steps[0].at_ms, plant.zone)
        page.item(f"{one_.cause} ({code_words(one_.code)}), first {first}")


def by_station(plant: Plant, *, json: bool) -> None:
    """Print how many nonconformities happened where, by code and week."""
    found = nonconforming.over_time(plant.no)
    if json:
        write_json({**plant.about, "counts": [asdict(each) for each in found]})
        return
    page = Page()
    page.line(f"Nonconformities of {plant.name} by station, code and week; {plant.zone.key}")
    weeks = sorted({each.week for each in found})[-_LONGEST:]
    rows: dict[tuple[str, str], dict[str, int]] = {}
    for each in found:
        rows.setdefault((each.station, each.code), {})[each.week] = each.count
    table = [
        (station, code_words(code), *(str(counts.get(week, "")) for week in weeks))
        for (station, code), counts in rows.items()
        if any(week in counts for week in weeks)
    ]
    page.table(("!station", "what", *(f"!{week}>" for week in weeks)), table)


def file_json(plant: Plant, answer: FileAnswer) -> dict[str, Any]:
    """Give a file as a map that JSON can hold."""
    file = answer.file
    return {
        "number": file.number,
        "title": file.title,
        "origin": file.origin,
        "state": answer.state,
        "opened": _remark(plant, file.opened),
        "complaint": None if file.complaint is None else asdict(file.complaint),
        "causes": [
            {"cause": one.cause, "code": one.code, "closed": one.closed, "concession": one.reason}
            for one in answer.causes
        ],
        "items": [_standing(each) for each in answer.standing],
        "attachments": [asdict(each) for each in attachments(file)],
        "holds": [
            {"hold": each.hold, "lots": list(each.lots), "standing": list(each.standing)}
            for each in answer.holds
        ],
        "notes": [_remark(plant, each) for each in file.notes],
        "dispositions": [
            {
                **_remark(plant, each),
                "how": each.how,
                "lot": each.of.lot,
                "pieces": each.of.pieces,
                "mass_mg": each.of.mg,
                "conforming_pieces": each.conforming.pieces,
                "conforming_mg": each.conforming.mg,
                "conceded": list(each.conceded),
            }
            for each in file.dispositions
        ],
        "why": None if file.cause is None else _remark(plant, file.cause),
        "actions": list(_actions_json(plant, file.actions)),
        "closed": None if file.closed is None else _remark(plant, file.closed),
        "to_do": [{"code": fault.code, "what": fault.what} for fault in answer.to_do],
    }


def _remark(plant: Plant, said: Remark) -> dict[str, Any]:
    at = iso(said.at_ms, plant.zone)
    return {"entry": said.seq, "at": at, "by": said.by, "text": said.text}


def _actions_json(plant: Plant, found: Iterable[Action]) -> Iterable[dict[str, Any]]:
    for each in found:
        check = each.check
        yield {
            **_remark(plant, each),
            "action": each.number,
            "who": each.who,
            "due": each.due,
            "replaces": each.replaces,
            "worked": None if check is None else check.worked,
            "check": None if check is None else _remark(plant, check),
        }


def _standing(each: Standing) -> dict[str, Any]:
    where = each.where
    stands = () if where is None else (*where.in_stock, *where.shipped)
    return {
        "lot": each.quantity.lot,
        "what": each.what,
        "product": each.product,
        "pieces": each.quantity.pieces,
        "mass_mg": each.quantity.mg,
        "undecided_pieces": each.undecided.pieces,
        "undecided_mg": each.undecided.mg,
        "place": each.place,
        "left_mg": each.mg,
        "stands": [
            {
                "lot": stand.lot,
                "place": stand.place,
                "receiver": stand.receiver,
                "pieces_at_least": stand.at_least,
                "pieces_at_most": stand.at_most,
            }
            for stand in stands
        ],
    }
