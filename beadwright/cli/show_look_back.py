"""What `look-back` says: what was found and since when, the answer, then lot by lot."""

from __future__ import annotations

from datetime import date

from beadwright.cli.printed import Page, local, write_json
from beadwright.errors import Misuse
from beadwright.plant.as_found import AsFound, as_found
from beadwright.plant.frequency import day_of
from beadwright.plant.keyed_in_units import value_in
from beadwright.plant.look_back import LookBack, LotBack, Taken, look_back, taken
from beadwright.plant.look_back.told import look_back_json, taken_json
from beadwright.plant.look_back.words import (
    STANDING,
    not_looked_at,
    pieces_of,
    taken_since,
    words_of,
)
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.words import in_runs, number
from beadwright.units import System

__all__ = ["asked", "readings_asked", "show", "show_readings"]


def asked(plant: Plant, instrument: str, done: str, error: str) -> LookBack:
    """Give the look back.

    Raises
    ------
    Misuse
        If the day or the error cannot be read, or the plant cannot answer.
    """
    return look_back(
        plant.no, instrument, moment(plant), done=_day(done, "--done"), error=_error(error)
    )


def _day(text: str, option: str) -> date | None:
    try:
        return day_of(text) if text else None
    except ValueError as error:
        message = f"{option} {text!r} is no day, as 2026-09-01"
        raise Misuse(message) from error


def _error(text: str) -> AsFound | None:
    try:
        return as_found(text) if text else None
    except ValueError as error:
        message = f"--error: {error}"
        raise Misuse(message) from error


def show(plant: Plant, back: LookBack, *, json: bool) -> None:
    """Print the look back."""
    if json:
        write_json(look_back_json(plant, back))
        return
    words = words_of(back)
    page = Page(Named.of(plant).within)
    page.line(f"{words.found}.")
    page.line(f"{words.since[0].upper()}{words.since[1:]}.")
    page.line(f"{words.read[0].upper()}{words.read[1:]}.")
    page.line()
    page.line(words.answer)
    for one in back.lots:
        if one.standing not in {"same", "unknown"}:
            _lot(page, plant, one)
    _unknown(page, plant, back.of("unknown"))
    same = [one.lot for one in back.of("same")]
    if same:
        page.heading(f"Unchanged: {number(len(same), 'lot')}")
        page.line(in_runs(same), indent=2)
    if words.do:
        page.line()
        page.line(words.do)
        page.line(f'beadwright hold {" ".join(back.to_hold)} --reason "…" --by WHO', indent=2)
    page.line()
    page.line(f"Not looked at: {not_looked_at(back)}.")


def _lot(page: Page, plant: Plant, one: LotBack) -> None:
    page.heading(f"{one.lot}  {STANDING[one.standing].upper()}")
    made = local(one.made_at_ms, plant.zone)
    spoken = "" if one.readings else "; what was read of another lot speaks for it"
    page.line(f"{one.product}, made {made}; {number(one.readings, 'reading')}{spoken}", indent=2)
    for each in one.changes:
        page.item(f"{each.name}: as read {each.as_read}; without the error {each.without}")
    _released(page, plant, one)


def _released(page: Page, plant: Plant, one: LotBack) -> None:
    for each in one.approvals:
        page.item(f"released {local(each.at_ms, plant.zone)} by {each.by}")
    if not one.approvals:
        page.item("nobody released it")
    for text in pieces_of(one):
        page.item(text)


def _unknown(page: Page, plant: Plant, some: tuple[LotBack, ...]) -> None:
    """Print lots that cannot be judged: those released or shipped one by one, the rest together."""
    out = [one for one in some if one.approvals or (one.where and one.where.shipped)]
    for one in out:
        page.heading(f"{one.lot}  CANNOT BE JUDGED")
        _released(page, plant, one)
    rest = [one.lot for one in some if one not in out]
    if rest:
        page.heading(f"Cannot be judged, and nobody released: {number(len(rest), 'lot')}")
        page.line(in_runs(rest), indent=2)


def readings_asked(plant: Plant, instrument: str, since: str) -> Taken:
    """Give what an instrument read, one by one.

    Raises
    ------
    Misuse
        If the day cannot be read, or no such instrument is listed.
    """
    return taken(plant.no, instrument, moment(plant), since=_day(since, "--since"))


def show_readings(plant: Plant, found: Taken, units: System, *, json: bool) -> None:
    """Print what an instrument read, one by one."""
    if json:
        write_json(taken_json(plant, found))
        return
    named = Named.of(plant)
    page = Page(named.within)
    page.line(f"{taken_since(found)}: {number(len(found.readings), 'reading')}.")
    rows = [
        (local(one.at_ms, plant.zone), str(one.seq), one.lot or one.step, one.specimen,
         one.characteristic.replace("_", " "), value_in(one, units), one.by,
         str(one.voided_by or ""))
        for one in found.readings
    ]  # fmt: skip
    if rows:
        page.table(
            ("when", "!entry>", "of", "piece", "what", "!value>", "by", "voided by entry"), rows
        )
