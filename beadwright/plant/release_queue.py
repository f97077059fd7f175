"""What waits for a release: who may sign it now, and of the rest the one thing that is missing.

Read :func:`queue`. Lots that wait for the same stand together, so that one thing done clears many.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from beadwright.ledger import lots, settings
from beadwright.ledger.holds import closed_causes
from beadwright.plant import approved
from beadwright.plant.assessment import Answer, LotAssessment, Reason
from beadwright.plant.floor_lots import WHO_WORDS, open_lots, who_of
from beadwright.plant.kept_out import KeptOut
from beadwright.plant.plan import day_at
from beadwright.plant.upstream import zone_of
from beadwright.plant.verdicts import LimitResult

__all__ = ["Load", "Loading", "Queue", "Ready", "Waiting", "loading", "queue"]


@dataclass(frozen=True, slots=True)
class Ready:
    """A lot whose evidence is complete and that waits for signatures."""

    lot: str
    product: str
    made_at_ms: int | None
    pieces: int
    """In the plant, at most."""
    signed: tuple[str, ...]
    """Ids of those who approved the evidence there is now."""
    to_sign: int
    doubts: tuple[Reason, ...] = ()
    """Readings by an instrument that was found wrong since they were taken."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """Lots that wait for the same one thing."""

    answer: Answer
    reason: Reason
    """The first that stands in the way."""
    limits: tuple[LimitResult, ...]
    """What the first of the lots was judged by."""
    who: str
    """Who can do something about it, in words."""
    lots: tuple[str, ...]
    """Oldest first."""
    pieces: int


@dataclass(frozen=True, slots=True)
class Queue:
    """Block lots with pieces in the plant, by what they wait for."""

    ready: tuple[Ready, ...]
    """Oldest first; nothing stands against them."""
    doubted: tuple[Ready, ...]
    """Oldest first: their evidence is complete, but somebody must look back first."""
    asked: tuple[Waiting, ...]
    """Evidence is missing; what clears most pieces first."""
    stopped: tuple[Waiting, ...]
    """May not ship as they are."""
    leaving: tuple[str, ...]
    """May leave: released, or the plant has no rule of release."""
    rule: str
    """How many release a lot, and since when, in words."""


@dataclass(frozen=True, slots=True)
class Load:
    """A bundle, or the loose blocks of a lot, that may be loaded."""

    code: str
    product: str
    pieces: int
    """At most."""


@dataclass(frozen=True, slots=True)
class Loading:
    """What of the blocks in the plant may be loaded, and what waits for a release."""

    may: tuple[Load, ...]
    """Oldest lots first: every lot in it may leave, and no hold reaches it."""
    waits: frozenset[str]
    """Bundles and lots of which a lot may not leave."""


def loading(plant_no: int, at_ms: int) -> Loading:
    """Give what may be loaded; how old blocks must be for a closed trailer is not asked here."""
    found = sorted(open_lots(plant_no, at_ms), key=lambda one: (one.made_at_ms or 0, one.lot))
    waits = {stand.lot for one in found if not one.may_leave for stand in one.whereabouts.in_stock}
    may: dict[str, Load] = {}
    for one in found:
        for stand in one.whereabouts.in_stock if one.may_leave else ():
            if stand.at_most and stand.lot not in waits:
                before = may[stand.lot].pieces if stand.lot in may else 0
                may[stand.lot] = Load(stand.lot, one.product, before + stand.at_most)
    marked = {code: view.causes for code, view in lots.get_many(plant_no, may).items()}
    closed = closed_causes(plant_no, [cause for some in marked.values() for cause in some])
    held = {code for code, some in marked.items() if any(cause not in closed for cause in some)}
    return Loading(tuple(x for code, x in may.items() if code not in held), frozenset(waits))


def queue(plant_no: int, at_ms: int) -> Queue:
    """Give what waits for a release."""
    found = sorted(open_lots(plant_no, at_ms), key=lambda one: (one.made_at_ms or 0, one.lot))
    ready = [_ready(one) for one in found if one.answer == "may_ship" and not one.may_leave]
    return Queue(
        tuple(one for one in ready if not one.doubts),
        tuple(one for one in ready if one.doubts),
        _waiting(one for one in found if one.answer == "not_enough_evidence"),
        _waiting(one for one in found if one.answer == "may_not_ship"),
        tuple(one.lot for one in found if one.may_leave),
        _rule(plant_no, at_ms),
    )


def _rule(plant_no: int, at_ms: int) -> str:
    """Say the rule of release, and from when on it asks."""
    in_force = settings.load(plant_no)
    dated = [one for one in in_force.versions("release", "rule") if one[0] <= at_ms]
    if not dated:
        return "The plant has set no rule of release: what may ship may leave."
    many = approved.persons(dated[-1][1])
    first = day_at(dated[0][0], zone_of(in_force))
    who = "one person releases" if many == 1 else f"{many} different people release"
    since = f"It asks from {first} on: what left before needed none."
    return f"By the plant's rule {who} each lot. {since}"


def _ready(one: LotAssessment) -> Ready:
    signed = tuple(dict.fromkeys(x.by for x in one.given if x.evidence == one.evidence))
    return Ready(
        one.lot, one.product, one.made_at_ms, _pieces(one), signed, one.to_sign, one.doubts
    )


def _waiting(some: Iterable[LotAssessment]) -> tuple[Waiting, ...]:
    """Put together what waits for the same, as its first reason says it."""
    together: dict[tuple[str, str], list[LotAssessment]] = {}
    for one in some:
        together.setdefault(_same(one), []).append(one)
    groups = [
        Waiting(
            lots[0].answer,
            _of_all(lots),
            lots[0].limits,
            WHO_WORDS[who_of(lots[0])],
            tuple(one.lot for one in lots),
            sum(map(_pieces, lots)),
        )
        for lots in together.values()
    ]
    return tuple(sorted(groups, key=lambda group: -group.pieces))


def _same(one: LotAssessment) -> tuple[str, str]:
    """Tell reasons of one cause: a hold by its name, else what is said but for the lot's way.

    Readings that do not count are told by why, whatever they are of and however many.
    """
    reason, out = one.reasons[0], _out(one)
    if out is not None:
        return reason.code, f"{out.why}; {out.source}"
    held = reason.code == "on_hold"
    return reason.code, reason.source if held else _less_way(reason.sentence)


def _out(one: LotAssessment) -> KeptOut | None:
    """Give the readings that do not count where they are the first that stands in a lot's way."""
    outs = (limit.kept_out for limit in one.limits)
    code = one.reasons[0].code
    return next((out for out in outs if out is not None and out.code == code), None)


def _of_all(some: Sequence[LotAssessment]) -> Reason:
    """Give what is said of all: without the way by which it reached the first of several."""
    first = some[0].reasons[0]
    if all(one.reasons[0].sentence == first.sentence for one in some):
        return first
    out = _out(some[0])
    if out is None:
        return replace(first, sentence=_less_way(first.sentence))
    verbs = dict.fromkeys(each.verb for one in some if (each := _out(one)) is not None)
    return replace(first, sentence=f"{' or '.join(verbs)}, and none counts: {out.why}")


def _less_way(sentence: str) -> str:
    """Take off the way that stands in brackets at the end."""
    return (
        sentence.rpartition(" (")[0]
        if sentence.endswith(")") and " into " in sentence
        else sentence
    )


def _pieces(one: LotAssessment) -> int:
    return sum(stand.at_most for stand in one.whereabouts.in_stock)
