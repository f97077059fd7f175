"""Nonconformity files as they stand: contents, where the material is, what keeps one open.

Read :func:`file_of`. What its entries say is folded in ``plant.nc_file``; here that is set beside
the record: causes that are open, holds that stand, pieces in the plant and at receivers.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal
from zoneinfo import ZoneInfo

from beadwright.errors import Fault, Misuse
from beadwright.ledger import decided, holds, lots, matching, settings
from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.alike import looks
from beadwright.ledger.stations import found_at
from beadwright.plant.caused import Caused, by_cause
from beadwright.plant.nc_file import KINDS, Complaint, File, Quantity, fold, left, quantities
from beadwright.plant.nc_rules import Grounds, closing_faults
from beadwright.plant.upstream import zone_of
from beadwright.plant.whereabouts import Whereabouts, whereabouts

__all__ = [
    "Before",
    "Counted",
    "FileAnswer",
    "Held",
    "Standing",
    "State",
    "complained_of",
    "file_of",
    "filed",
    "files",
    "folded",
    "grounds_of",
    "known_receivers",
    "next_number",
    "not_in_a_file",
    "over_time",
]

State = Literal["open", "closed", "reopened"]
"""Reopened: a cause of a closed file is open again, since the record has changed under it."""

_NUMBERED = re.compile(r"NC-([0-9]{1,15})")


@dataclass(frozen=True, slots=True)
class Standing:
    """A quantity of the file, and where that lot is now."""

    quantity: Quantity
    undecided: Quantity
    what: str
    """What the lot is: mould run, bundle, bag."""
    product: str
    place: str
    """Where a lot that is kept by mass stands."""
    mg: int
    """What is left of it there by the books."""
    where: Whereabouts | None
    """Of a lot kept in pieces: where they are, and which receivers have some."""


@dataclass(frozen=True, slots=True)
class Held:
    """A hold of the file."""

    hold: str
    lots: tuple[str, ...]
    """Lots it was placed on."""
    standing: tuple[str, ...]
    """Those of them that it was not lifted for."""


@dataclass(frozen=True, slots=True)
class FileAnswer:
    """A file with all that the record says of what it is about."""

    file: File
    state: State
    causes: tuple[Caused, ...]
    standing: tuple[Standing, ...]
    holds: tuple[Held, ...]
    to_do: tuple[Fault, ...]
    """What keeps it from being closed; of a closed one, nothing."""


@dataclass(frozen=True, slots=True)
class Before:
    """A quantity that a file is about already, by the complaint of a receiver."""

    number: str
    state: State
    receiver: str
    received: str
    of: Quantity


@dataclass(frozen=True, slots=True)
class Counted:
    """How many nonconformities of one code happened at one station in one week."""

    station: str
    """A press, silo or hopper; of a complaint, the receiver."""
    code: str
    week: str
    """ISO week of the plant's clock, as 2026-W36."""
    count: int


def folded(plant_no: int) -> dict[str, File]:
    """Every file by its number, as its entries make it."""
    return fold(decided.of_kinds(plant_no, *KINDS))


def file_of(plant_no: int, number: str) -> FileAnswer:
    """Give the file of that number.

    Raises
    ------
    Misuse
        If there is none.
    """
    found = folded(plant_no)
    if number not in found:
        there = ", ".join(found) or "none"
        message = f"no nonconformity file has the number {number!r}; there are: {there}"
        raise Misuse(message)
    return _answers(plant_no, [found[number]])[0]


def files(plant_no: int) -> tuple[FileAnswer, ...]:
    """Every file, in order of opening."""
    return tuple(_answers(plant_no, list(folded(plant_no).values())))


def filed(plant_no: int) -> dict[str, str]:
    """Give the number of the file that each cause is in."""
    found = folded(plant_no).values()
    return {cause: file.number for file in found for cause in file.causes}


def not_in_a_file(plant_no: int) -> tuple[Caused, ...]:
    """Causes of open nonconformities that stand in no file, so that none is forgotten."""
    inside = filed(plant_no)
    return tuple(one for one in by_cause(plant_no) if not one.closed and one.cause not in inside)


def complained_of(
    plant_no: int, said: Complaint | None, items: Iterable[Quantity]
) -> tuple[Before, ...]:
    """Files of complaints by the same receiver about the same of a shipment or lot."""
    if said is None or not (said.shipment or said.lot):
        return ()
    asked = {one.lot for one in items}
    found = []
    for answer in files(plant_no):
        file, other = answer.file, answer.file.complaint
        if other is not None and _of_same(said, other):
            about = quantities(file)
            found += [
                Before(file.number, answer.state, other.receiver, other.received, about[lot])
                for lot in sorted(asked & set(about))
            ]
    return tuple(found)


def _of_same(one: Complaint, other: Complaint) -> bool:
    return (looks(one.receiver), one.shipment, one.lot) == (
        looks(other.receiver), other.shipment, other.lot
    )  # fmt: skip


def known_receivers(plant_no: int, name: str) -> tuple[str, ...]:
    """Give the receivers of the record that a name is read as: that one too, where it is one."""
    wanted = looks(name)
    return tuple(one for one in matching.receivers(plant_no) if looks(one) == wanted)


def next_number(plant_no: int) -> str:
    """Give the number after the highest that was given; a person may have taken it meanwhile."""
    taken = [int(m[1]) for one in folded(plant_no) if (m := _NUMBERED.fullmatch(one))]
    return f"NC-{max(taken, default=0) + 1:04d}"


def grounds_of(
    plant_no: int, among: Mapping[str, File], causes: Iterable[str], codes: Iterable[str]
) -> Grounds:
    """What the record says of the causes and lots named, and of all causes in the files."""
    inside = {cause: file.number for file in among.values() for cause in file.causes}
    return Grounds(
        _open(holds.nonconformities(plant_no, {*causes, *inside})),
        frozenset(lots.get_many(plant_no, sorted(set(codes)))),
        inside,
    )


def over_time(plant_no: int) -> tuple[Counted, ...]:
    """Count nonconformities, and complaints, by station, code and week."""
    zone = zone_of(settings.load(plant_no))
    counts: Counter[tuple[str, str, str]] = Counter(
        (one.station, one.code, _week(one.at_ms, zone)) for one in found_at(plant_no)
    )
    for file in folded(plant_no).values():
        if file.complaint is not None:
            day = datetime.fromisoformat(file.complaint.received)
            counts[file.complaint.receiver, "complaint", day.strftime("%G-W%V")] += 1
    return tuple(Counted(*key, count) for key, count in sorted(counts.items()))


def _week(at_ms: int, zone: ZoneInfo) -> str:
    return datetime.fromtimestamp(at_ms / 1000, zone).strftime("%G-W%V")


def _open(found: Iterable[holds.Nonconformity]) -> dict[str, bool]:
    """Whether each cause is open: it is while one nonconformity that has it is."""
    causes: dict[str, bool] = {}
    for one in found:
        causes[one.cause] = causes.get(one.cause, False) or not one.closed
    return causes


def _answers(plant_no: int, found: Sequence[File]) -> list[FileAnswer]:
    causes = {cause for file in found for cause in file.causes}
    by_name = {one.cause: one for one in by_cause(plant_no, causes)} if causes else {}
    grounds = Grounds({name: not one.closed for name, one in by_name.items()})
    views = lots.get_many(plant_no, sorted({c for file in found for c in _codes(file)} - {""}))
    counted = {code: view for code, view in views.items() if view.unit_mg}
    where = whereabouts(plant_no, counted, lots.makings(plant_no, counted)) if counted else {}
    placed = {one.hold: one for one in holds.placed(plant_no)}
    answers = []
    for file in found:
        reopened = any(grounds.causes.get(cause, False) for cause in file.causes)
        state: State = "open" if file.closed is None else "reopened" if reopened else "closed"
        answers.append(
            FileAnswer(
                file,
                state,
                tuple(by_name[cause] for cause in file.causes if cause in by_name),
                tuple(_standings(file, views, where)),
                tuple(_held(placed[name]) for name in file.holds if name in placed),
                () if state == "closed" else tuple(closing_faults(file, grounds)),
            )
        )
    return answers


def _codes(file: File) -> list[str]:
    said: Complaint | None = file.complaint
    return [*(item.lot for item in file.items), *((said.shipment, said.lot) if said else ())]


def _standings(
    file: File, views: Mapping[str, lots.LotView], where: Mapping[str, Whereabouts]
) -> Iterable[Standing]:
    rest = left(file)
    for lot, quantity in quantities(file).items():
        view, undecided = views.get(lot), rest.get(lot, Quantity(lot))
        if view is None:
            yield Standing(quantity, undecided, quantity.what, "", "", 0, None)
            continue
        place = view.place.removeprefix(OUTSIDE)
        yield Standing(quantity, undecided, view.what, view.product, place, view.mg, where.get(lot))


def _held(one: holds.HoldView) -> Held:
    return Held(one.hold, one.lots, tuple(lot for lot in one.lots if lot not in one.lifted))
