"""A form through the door: asked first, planned, or recorded as it happened.

Read :func:`may` and :func:`post`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from beadwright.errors import Fault, Refusal
from beadwright.interop.keyed.form import Keyed
from beadwright.interop.keyed.repeated import held_already
from beadwright.interop.keyed.run_forms import foreseen
from beadwright.interop.recorded import RecordedOneByOne
from beadwright.ledger import entered, holds, lots
from beadwright.ledger.checks import codes_of
from beadwright.ledger.draft import Draft, StepDraft
from beadwright.plant.access import Who
from beadwright.plant.codes import CODES
from beadwright.plant.door import Answer, Posted
from beadwright.plant.opening import door_of
from beadwright.plant.whereabouts import elsewhere, whereabouts

__all__ = ["Done", "Nonconforming", "Stock", "done_with", "may", "post", "post_all", "stock_of"]

_MOULDED = "mould run"
"""What a lot of blocks came of."""


@dataclass(frozen=True, slots=True)
class Nonconforming:
    """A nonconformity that an entry raised."""

    code: str
    lot: str
    """Offending lot; empty where there is none."""
    what: str


@dataclass(frozen=True, slots=True)
class Stock:
    """A lot that an entry touched, as it stands now."""

    lot: str
    kind: str
    what: str
    """bag, carton, mould run, bundle … ; empty of a place."""
    product: str
    mg: int
    pieces: int
    """0 where it is accounted by mass."""
    causes: tuple[str, ...]
    """Causes of holds that hold it now."""
    elsewhere: tuple[str, ...] = ()
    """Of a lot of blocks, where the others of its pieces are: in which bundles, shipped."""


@dataclass(frozen=True, slots=True)
class Done:
    """What became of a form."""

    keyed: Keyed
    posted: bool
    """Whether it is in the record, now or from before."""
    repeated: bool = False
    """It was in the record already; nothing was written."""
    refused: tuple[Fault, ...] = ()
    """Why it was not taken: code, what is wrong, what to do."""
    may_have_happened: bool = False
    """Refused as planned only: where it has happened already, it is recorded, and held."""
    nonconformities: tuple[Nonconforming, ...] = ()
    stock: tuple[Stock, ...] = ()
    entries: tuple[int, ...] = ()
    """Numbers of its entries in the record."""


def may(plant: str, keyed: Keyed, who: Who) -> Answer:
    """Ask whether a form would be taken as planned; writes nothing.

    Of a form that opens a run or a bag, what it leads to is asked about too.
    """
    if not keyed.ready:
        return Answer(may=False, faults=_faults(keyed))
    door = door_of(plant)
    drafts = keyed.drafts if keyed.timed else tuple(map(_planned, keyed.drafts))
    answers = [door.may(draft, who) for draft in drafts]
    ahead = foreseen(keyed) if all(answer.may for answer in answers) else None
    if ahead is not None:
        answers += [door.may(draft, who) for draft in ahead.drafts]
        answers.append(Answer(may=not ahead.faults, faults=_faults(ahead)))
    found = dict.fromkeys(fault for answer in answers for fault in answer.faults)
    return Answer(may=all(answer.may for answer in answers), faults=tuple(found))


def _faults(keyed: Keyed) -> tuple[Fault, ...]:
    return tuple(fault for faults in keyed.faults.values() for fault in faults)


def post(plant: str, keyed: Keyed, who: Who, *, planned: bool = True) -> Done:
    """Bring a form to the record.

    Planned, it is refused where it is forbidden, and ``refused`` says why. A form on which a
    person stated when it happened is asked about first, and keeps its time. Otherwise it has
    happened: it is recorded as keyed, and what was forbidden about it is named. The same form
    posts once.
    """
    if not keyed.ready:
        return Done(keyed, posted=False, refused=may(plant, keyed, who).faults)
    known = RecordedOneByOne(plant)
    if held_already(keyed.drafts, known.posted):
        entries = tuple(entered.seqs_of(lots.plant_number(plant), _keys(keyed)).values())
        stock = stock_of(plant, keyed.drafts)
        return Done(keyed, posted=True, repeated=True, stock=stock, entries=entries)
    now = planned and not keyed.timed
    drafts = [_planned(draft) if now else draft for draft in keyed.drafts]
    try:
        asked_first = planned and (not now or foreseen(keyed) is not None)
        if asked_first and not (asked := may(plant, keyed, who)).may:
            return _refused(keyed, asked.faults, planned=True)
        posted = door_of(plant).post_many(drafts, who)
    except Refusal as refusal:
        return _refused(keyed, refusal.faults, planned=planned)
    return done_with(plant, keyed, posted)


def post_all(plant: str, forms: Sequence[Keyed], who: Who) -> tuple[Done, ...]:
    """Bring forms of what was found or measured to the record together, all or none, each once.

    For forms that are never forbidden, such as a stocktake's: of one that is, all are refused.
    """
    known = RecordedOneByOne(plant)
    new = [one for one in forms if not held_already(one.drafts, known.posted)]
    drafts = [
        draft if one.timed else _planned(draft) for one in new if one.ready for draft in one.drafts
    ]
    if any(not one.ready for one in new):
        return tuple(Done(one, posted=False, refused=_faults(one)) for one in forms)
    try:
        posted = dict(zip(map(_key, drafts), door_of(plant).post_many(drafts, who), strict=True))
    except Refusal as refusal:
        return tuple(_refused(one, refusal.faults, planned=False) for one in forms)
    return tuple(
        done_with(plant, one, [posted[key] for key in _keys(one)])
        if one in new
        else post(plant, one, who)
        for one in forms
    )


def done_with(plant: str, keyed: Keyed, posted: Sequence[Posted]) -> Done:
    """Say what became of a form that was taken."""
    stock = stock_of(plant, keyed.drafts)
    codes = {view.no: view.code for view in _views(plant, keyed.drafts).values()}
    found = (flaw for one in posted for flaw in one.found)
    return Done(
        keyed,
        posted=True,
        repeated=all(one.repeated for one in posted),
        nonconformities=tuple(
            Nonconforming(flaw.code, codes.get(flaw.lot or 0, ""), flaw.detail) for flaw in found
        ),
        stock=stock,
        entries=tuple(one.seq for one in posted),
    )


def stock_of(plant: str, drafts: Iterable[Draft]) -> tuple[Stock, ...]:
    """Give the lots that drafts name as they stand now, in order of their codes."""
    no = lots.plant_number(plant)
    views = _views(plant, drafts)
    packed = {code: one for code, one in views.items() if one.what == _MOULDED}
    where = whereabouts(no, packed, lots.makings(no, packed)) if packed else {}
    return tuple(
        Stock(
            code,
            one.kind,
            one.what,
            one.product,
            one.mg,
            one.pieces,
            holds.open_causes(no, "|".join(one.causes)),
            elsewhere(code, where[code]) if code in where else (),
        )
        for code, one in sorted(views.items())
    )


def _views(plant: str, drafts: Iterable[Draft]) -> dict[str, lots.LotView]:
    codes = {code for draft in drafts for code in codes_of(draft)}
    return lots.get_many(lots.plant_number(plant), codes)


def _refused(keyed: Keyed, faults: Sequence[Fault], *, planned: bool) -> Done:
    forbidden = all(CODES.get(one.code, ("",))[0] in {"forbidden", "notice"} for one in faults)
    happened = planned and forbidden
    return Done(keyed, posted=False, refused=tuple(faults), may_have_happened=happened)


def _key(draft: Draft) -> str:
    return draft.key


def _keys(keyed: Keyed) -> list[str]:
    return [draft.key for draft in keyed.drafts]


def _planned(draft: Draft) -> Draft:
    return replace(draft, planned=True) if isinstance(draft, StepDraft) else draft
