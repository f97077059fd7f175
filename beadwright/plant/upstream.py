"""What stops a lot from above: holds and nonconformities that reach it, and by which path of lots.

Read :func:`causes_of` first. Which causes reach a lot is the fold's answer; the way they came is
looked for in :mod:`beadwright.plant.paths`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple
from zoneinfo import ZoneInfo

from beadwright.ledger import holds, lots
from beadwright.ledger.draft import RECLAIM
from beadwright.ledger.settings import Settings
from beadwright.plant.paths import Hit, Leg, Start, Target, Walk
from beadwright.quality import standing

__all__ = ["Upstream", "causes_of", "local", "zone_of"]

_HOLD = "hold:"
_OF_GRADE = frozenset({"wrong_grade", "reclaim_in_block"})


@dataclass(frozen=True, slots=True)
class Upstream:
    """A hold or nonconformity that reaches a lot."""

    cause: str
    code: str
    """Code of the nonconformity, or ``on_hold``."""
    sentence: str
    lot: str
    """The offending lot, or the one put on hold; empty where the step itself offends."""
    step: str
    """Client key of the step that did not conform; of a hold, empty."""
    at_ms: int
    at: str
    """That time, in the plant's zone."""
    path: str
    """How it came from there into the lot, in words."""
    closed: bool
    """Whether a concession closed it; a hold that was lifted does not reach the lot at all."""
    conceded: str = ""
    """The concession's reason."""


class _Flaw(NamedTuple):
    """A nonconformity found on the way, and the product of its step."""

    flaw: holds.Nonconformity
    product: str


_What = _Flaw | str
"""What is found: a nonconformity, or the lot that was put on hold."""


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known of the causes that reach any of the lots asked about."""

    flaws: Mapping[str, Sequence[holds.Nonconformity]]
    placed: Mapping[str, standing.Decided]
    conceded: Mapping[str, standing.Decided]
    targets: Mapping[str, Target[_What]]
    settings: Settings
    zone: ZoneInfo


def causes_of(
    plant_no: int,
    views: Mapping[str, lots.LotView],
    makings: Mapping[str, Sequence[lots.Making]],
    settings: Settings,
) -> dict[str, tuple[Upstream, ...]]:
    """Everything that reaches each lot, open before closed, oldest first."""
    marked = {code: view.causes for code, view in views.items() if view.causes}
    if not marked:
        return {}
    known = _know(plant_no, {cause for marks in marked.values() for cause in marks}, settings)
    walk = Walk(plant_no, dict(makings))
    walk.read(one.lot for code in marked for m in walk.makings.get(code, ()) for one in m.inputs)
    found: dict[str, tuple[Upstream, ...]] = {}
    for code, marks in marked.items():
        hits = walk.search(Start(code, views[code].what), [known.targets[cause] for cause in marks])
        reached: list[Upstream] = []
        for cause in marks:
            if cause.startswith(_HOLD):
                reached.append(_of_hold(code, cause, hits.get(cause, ()), known))
            else:
                reached += _of_flaws(cause, hits.get(cause, ()), walk, known)
        found[code] = tuple(sorted(reached, key=lambda u: (u.closed, u.at_ms, u.cause, u.step)))
    return found


def _know(plant_no: int, causes: set[str], settings: Settings) -> _Known:
    flawed = [cause for cause in causes if not cause.startswith(_HOLD)]
    flaws: dict[str, list[holds.Nonconformity]] = {}
    for one in holds.nonconformities(plant_no, flawed) if flawed else ():
        flaws.setdefault(one.cause, []).append(one)
    placed = standing.holds_placed(plant_no)
    targets: dict[str, Target[_What]] = {}
    for cause in causes:
        if cause.startswith(_HOLD):
            hold = placed.get(_hold_of(cause))
            targets[cause] = _put_on_hold(cause, frozenset(hold.lots) if hold else frozenset())
        else:
            targets[cause] = _not_conforming(cause, flaws.get(cause, ()))
    conceded = standing.concessions(plant_no)
    return _Known(flaws, placed, conceded, targets, settings, zone_of(settings))


def _put_on_hold(cause: str, named: frozenset[str]) -> Target[_What]:
    def is_it(_: lots.Making, source: lots.Ingredient) -> Sequence[_What]:
        return (source.lot,) if source.lot in named else ()

    return Target(cause, is_it)


def _not_conforming(cause: str, flaws: Iterable[holds.Nonconformity]) -> Target[_What]:
    """Recognise the steps that did not conform, by the offending lot where there is one."""
    steps: dict[str, list[holds.Nonconformity]] = {}
    for flaw in flaws:
        steps.setdefault(flaw.step, []).append(flaw)

    def is_it(making: lots.Making, source: lots.Ingredient) -> Sequence[_What]:
        first = making.inputs[0] is source
        return [
            _Flaw(flaw, making.product)
            for flaw in steps.get(making.step, ())
            if flaw.lot == source.lot or (not flaw.lot and first)
        ]

    return Target(cause, is_it)


def zone_of(settings: Settings) -> ZoneInfo:
    """Give the plant's time zone; UTC where none was set."""
    for _, body in settings.all("plant", 2**62):
        return ZoneInfo(str(body.get("zone", "UTC")))
    return ZoneInfo("UTC")


def local(at_ms: int, zone: ZoneInfo) -> str:
    """Give a time as the plant's clock showed it, to the minute."""
    return datetime.fromtimestamp(at_ms / 1000, zone).strftime("%Y-%m-%d %H:%M")


def _hold_of(cause: str) -> str:
    return cause[len(_HOLD) :].rpartition("@")[0]


def _of_hold(code: str, cause: str, hits: Sequence[Hit[_What]], known: _Known) -> Upstream:
    name = _hold_of(cause)
    hold = known.placed.get(name)
    at_ms = int(cause.rpartition("@")[2])
    # A hold on the lot itself has no way to come; else the newest way is told.
    own = hold is None or code in hold.lots or not hits
    legs = () if own else hits[0].legs
    lot = legs[0].source if legs else code
    reason = hold.reason if hold is not None else ""
    by = f" by {hold.by}" if hold is not None and hold.by else ""
    at = local(at_ms, known.zone)
    sentence = f"hold {name} on {lot}, placed {at}{by}: {reason}"
    path = _words(legs, known.zone)
    return Upstream(cause, "on_hold", sentence, lot, "", at_ms, at, path, closed=False)


def _of_flaws(
    cause: str, hits: Sequence[Hit[_What]], walk: Walk, known: _Known
) -> Iterator[Upstream]:
    """Tell the nonconformities of a cause that are nearest to a lot; all where no way is found."""
    flaws = known.flaws.get(cause, ())
    shut = all(flaw.closed for flaw in flaws)  # a cause is closed when all that share it are
    reason = known.conceded[cause].reason if shut and cause in known.conceded else ""
    ways: dict[str, tuple[_Flaw, tuple[Leg, ...]]] = {}
    for hit in hits:
        if isinstance(hit.what, _Flaw):
            ways.setdefault(hit.what.flaw.mark, (hit.what, hit.legs))
    for found, legs in ways.values() or [(_Flaw(flaw, ""), ()) for flaw in flaws]:
        flaw = found.flaw
        way = legs
        if legs and flaw.code in _OF_GRADE:
            way = (*_origin(found, walk, known), *legs)
        at, path = local(flaw.at_ms, known.zone), _words(way, known.zone)
        yield Upstream(
            cause, flaw.code, flaw.detail, flaw.lot, flaw.step, flaw.at_ms, at, path, shut, reason
        )


def _origin(found: _Flaw, walk: Walk, known: _Known) -> tuple[Leg, ...]:
    """Give the legs from the newest bag that brought the wrong grade into the offending place."""
    flaw = found.flaw
    approved = known.settings.at("approved", found.product, flaw.at_ms) or {}
    listed = approved.get("grades", ())
    right = frozenset(map(str, listed)) if isinstance(listed, Sequence) else frozenset()

    def is_it(_: lots.Making, source: lots.Ingredient) -> Sequence[str]:
        marks = walk.grades_of(source.lot)
        wrong = {RECLAIM} & marks if flaw.code == "reclaim_in_block" else marks - right - {RECLAIM}
        return (source.lot,) if wrong and source.what != "content" else ()

    start = Start(flaw.lot, "content", flaw.at_ms)
    hits = walk.search(start, [Target((flaw.code, right), is_it)])
    return next((hit.legs for some in hits.values() for hit in some), ())


def _words(legs: Sequence[Leg], zone: ZoneInfo) -> str:
    return ", ".join(f"{leg.source} into {leg.into} {local(leg.at_ms, zone)}" for leg in legs)
