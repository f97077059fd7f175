"""What a person does with a nonconformity file, as drafts for the door: open it, decide, hold.

Read :func:`opening` and :func:`disposing`. Drafts that belong together are posted together: a
concession that frees a lot, and the hold on those of its cause that nobody has decided on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from beadwright.ledger import holds, lots
from beadwright.ledger.draft import MOULDED, Concession, Decision, Draft, Hold
from beadwright.plant.nc_file import Attachment, Complaint, Disposition, File, Quantity, left
from beadwright.plant.nonconforming import FileAnswer
from beadwright.plant.whereabouts import whereabouts

__all__ = [
    "Disposal",
    "Opening",
    "affected",
    "disposing",
    "entry",
    "noting",
    "opening",
    "to_lift",
    "whole_of",
]

_MOULD_RUN = "mould run"
_CONTENT = "content"


@dataclass(frozen=True, slots=True)
class Opening:
    """What a file is opened with, or what a note adds to it."""

    text: str
    """Title of the file; words of the note."""
    by: str
    causes: tuple[str, ...] = ()
    items: tuple[Quantity, ...] = ()
    files: tuple[Attachment, ...] = ()
    complaint: Complaint | None = None
    held: bool = False
    """Whether to put the lots of its items on hold."""

    @property
    def origin(self) -> str:
        """Where it comes from."""
        if self.complaint is not None:
            return "complaint"
        return "record" if self.causes else "photograph" if self.files else "found"


@dataclass(frozen=True, slots=True)
class Disposal:
    """What is done with quantities of a file, on whose authority and why."""

    how: str
    of: tuple[Quantity, ...]
    reason: str
    by: str
    conforming: Quantity | None = None
    """Of the one that was sorted, what conforms."""


def whole_of(plant_no: int, codes: Iterable[str]) -> dict[str, Quantity]:
    """Give all there is of lots: pieces in the plant and with receivers, or mass by the books."""
    views = lots.get_many(plant_no, sorted(set(codes)))
    counted = {code: view for code, view in views.items() if view.unit_mg}
    where = whereabouts(plant_no, counted, lots.makings(plant_no, counted)) if counted else {}
    found = {}
    for code, view in views.items():
        pieces = where[code].made - where[code].gone if code in where else 0
        mg = pieces * view.unit_mg if code in where else view.mg
        found[code] = Quantity(code, pieces, mg)
    return found


def affected(plant_no: int, causes: Iterable[str]) -> tuple[Quantity, ...]:
    """Give what causes reach: the mould runs, or where there is none the offending lots."""
    wanted = set(causes)
    reached = [
        view.code
        for kind in MOULDED
        for view in lots.of_kind(plant_no, kind, _MOULD_RUN)
        if wanted & set(view.causes)
    ]
    codes = reached or [one.lot for one in holds.nonconformities(plant_no, wanted) if one.lot]
    found = whole_of(plant_no, codes)
    return tuple(found[code] for code in dict.fromkeys(codes) if not found[code].is_nothing)


def entry(kind: str, number: str, at_ms: int, by: str, body: Mapping[str, Any]) -> Decision:
    """Give one entry of a file, without the parts of its body that say nothing."""
    said = {name: value for name, value in body.items() if value not in ("", 0, [], (), None)}
    return Decision(f"shell/nc_{kind}/{number}/{at_ms}", at_ms, f"nc_{kind}", number, said, by)


def opening(plant_no: int, number: str, said: Opening, at_ms: int) -> list[Draft]:
    """Give the drafts that open a file, with the holds it places."""
    drafts, names = _held(plant_no, number, said, at_ms)
    complaint = None if said.complaint is None else _filled(asdict(said.complaint))
    body = {"title": said.text, "origin": said.origin, "complaint": complaint, **_added(said)}
    return [*drafts, entry("open", number, at_ms, said.by, {**body, "holds": names})]


def noting(plant_no: int, number: str, said: Opening, at_ms: int) -> list[Draft]:
    """Give the drafts that add to a file, with the holds it places."""
    drafts, names = _held(plant_no, number, said, at_ms)
    body = {"text": said.text, **_added(said), "holds": names}
    return [*drafts, entry("note", number, at_ms, said.by, body)]


def _added(said: Opening) -> dict[str, Any]:
    return {
        "causes": list(said.causes),
        "items": [{"lot": one.lot, **_filled(asdict(one))} for one in said.items],
        "files": [asdict(one) for one in said.files],
    }


def _filled(body: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in body.items() if value}


def _held(plant_no: int, number: str, said: Opening, at_ms: int) -> tuple[list[Hold], list[str]]:
    codes = [one.lot for one in said.items if one.lot] if said.held else []
    drafts = list(_holds(plant_no, number, codes, (at_ms, said.by, said.text)))
    return drafts, [one.hold for one in drafts]


def _holds(
    plant_no: int, number: str, codes: Sequence[str], said: tuple[int, str, str]
) -> Iterator[Hold]:
    """Holds on lots, under ids that nobody has taken: places that hold beads stand alone."""
    at_ms, by, text = said
    views = lots.get_many(plant_no, codes)
    places = [code for code in codes if code in views and views[code].what == _CONTENT]
    parts = [[code for code in codes if code not in places], *([place] for place in places)]
    taken = {one.hold for one in holds.placed(plant_no)}
    count = 1
    for part in filter(None, parts):
        while (name := number if count == 1 else f"{number}-{count}") in taken:
            count += 1
        taken.add(name)
        yield Hold(
            f"shell/hold/{name}/{at_ms}", at_ms, name, f"{number}: {text}", tuple(part), by=by
        )


def disposing(plant_no: int, answer: FileAnswer, said: Disposal, at_ms: int) -> list[Draft]:
    """Give the drafts that decide on quantities of a file.

    Use by concession gives the concession on its open causes. That frees everything they hold, so
    what nobody decided on, or is not for use, goes on hold with it.
    """
    number = answer.file.number
    drafts: list[Draft] = []
    conceded: list[str] = []
    names: list[str] = []
    if said.how == "concession":
        drafts += _concessions(answer, said, at_ms)
        conceded = [one.cause for one in answer.causes if not one.closed]
        if conceded:
            reached = [one.lot for one in affected(plant_no, conceded)]
            codes = _not_for_use(answer, said, reached)
            text = "not decided on, or not for use"
            placed = list(_holds(plant_no, number, codes, (at_ms, said.by, text)))
            drafts += placed
            names = [one.hold for one in placed]
    for place, one in enumerate(said.of or (Quantity(""),)):
        body = {**_disposed(said, one), "conceded": conceded, "holds": names}
        made = entry("disposition", number, at_ms, said.by, body)
        said_lot = {**made.body, "lot": one.lot}
        drafts.append(replace(made, key=f"{made.key}/{place}", body=said_lot))
        conceded, names = [], []
    return drafts


def _concessions(answer: FileAnswer, said: Disposal, at_ms: int) -> Iterator[Concession]:
    for count, one in enumerate(cause for cause in answer.causes if not cause.closed):
        key = f"shell/concession/{answer.file.number}/{at_ms}/{count}"
        covers = tuple(step.mark for step in one.steps)
        reason = f"{answer.file.number}: {said.reason}"
        yield Concession(key, at_ms, one.cause, reason, covers, by=said.by)


def _disposed(said: Disposal, of: Quantity) -> dict[str, Any]:
    good = said.conforming or Quantity(of.lot)
    return {
        "how": said.how,
        "reason": said.reason,
        "pieces": of.pieces,
        "mg": 0 if of.pieces else of.mg,
        "conforming": good.pieces,
        "conforming_mg": 0 if good.pieces else good.mg,
    }


def _not_for_use(answer: FileAnswer, said: Disposal, reached: Iterable[str]) -> list[str]:
    """Lots of the file, and others reached, to be stopped after a decision and not stopped yet."""
    file = answer.file
    coming = tuple(
        Disposition(0, 0, said.by, said.reason, said.how, one, Quantity(one.lot)) for one in said.of
    )
    after = replace(file, dispositions=(*file.dispositions, *coming))
    undecided = left(after)
    stopped = {lot for held in answer.holds for lot in held.standing}
    codes = dict.fromkeys([*(one.quantity.lot for one in answer.standing), *reached])
    return [
        code
        for code in codes
        if code and code not in stopped and (code in undecided or not _for_use(after, code))
    ]


def to_lift(answer: FileAnswer) -> dict[str, tuple[str, ...]]:
    """Holds of a file that nothing but a lift ends now, with the lots that are decided for use.

    Lots of which some is undecided, scrapped or reworked are not among them: they stay on hold.
    """
    file, undecided = answer.file, left(answer.file)
    if any(not cause.closed for cause in answer.causes):
        return {}
    free = {
        held.hold: tuple(
            lot for lot in held.standing if lot not in undecided and _for_use(file, lot)
        )
        for held in answer.holds
    }
    return {hold: lots for hold, lots in free.items() if lots}


def _for_use(file: File, lot: str) -> bool:
    """Whether what was decided lets some of a lot be used as it is."""
    how = [one.how for one in file.dispositions if one.of.lot == lot and not one.settled.is_nothing]
    return "rework" not in how and bool({"concession", "sort", "downgrade"} & set(how))
