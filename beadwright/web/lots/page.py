"""What the page of a lot shows: every text ready, every address left to the template.

Read :func:`page`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from beadwright.charts.against_limits import draw
from beadwright.charts.svg import Drawing
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.trace import TraceLot
from beadwright.plant.assessment import Reason
from beadwright.plant.conformity import chance, chance_said
from beadwright.plant.departed import unrecorded
from beadwright.plant.figures import mass, percent
from beadwright.plant.history import EntryView
from beadwright.plant.limit_rows import LimitRow, rows
from beadwright.plant.masses_said import masses_in
from beadwright.plant.measured import Measured
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.reasons import BOUND_WORDS
from beadwright.plant.reasons_in_units import in_units
from beadwright.plant.release_words import AGAINST, against, headline, tells_left
from beadwright.plant.restatements import sentences
from beadwright.plant.sample_words import standing
from beadwright.plant.story import Event, Story, Verdict
from beadwright.plant.upstream import Upstream, local
from beadwright.plant.verdicts import LimitResult
from beadwright.plant.whereabouts import Stand
from beadwright.plant.words import KIND_WORDS, capital, code_words, number, place_of
from beadwright.units import System
from beadwright.web.lots.pictures import against_limits

__all__ = [
    "Answer",
    "Cause",
    "Day",
    "Line",
    "LotPage",
    "Place",
    "Source",
    "Told",
    "page",
]

_HOLD = "hold:"
_ENOUGH = 0.0005
_FIRST = 2
"""Pictures that are always open."""


@dataclass(frozen=True, slots=True)
class Told:
    """A reason: the sentence, and where it comes from."""

    sentence: str
    source: str
    weight: str
    """``stops``, ``asks`` or ``notes``."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer first, with the one thing that stands before it."""

    words: str
    sort: str
    """``good``, ``ask`` (something is missing, or somebody has still to release it), ``stop``."""
    lead: str
    """What the first reason is: the worst, what is missing, or why."""
    first: Told
    against: tuple[Told, ...]
    """What stands against it though it holds nothing of it."""
    others: tuple[Told, ...]
    standing: tuple[str, ...]
    lots: tuple[tuple[str, str], ...]
    """Of what holds several: the block lots, each with its own answer."""


@dataclass(frozen=True, slots=True)
class Cause:
    """A hold or nonconformity that reaches the lot."""

    open: bool
    what: str
    at: str
    sentence: str
    way: str
    conceded: str
    hold: str
    """The hold, where it is one."""


@dataclass(frozen=True, slots=True)
class Source:
    """A lot that it was made of."""

    code: str
    what: str
    mass: str
    share: str
    bounds: str


@dataclass(frozen=True, slots=True)
class Place:
    """Pieces that stand together."""

    pieces: str
    where: str
    lot: str
    """The bundle or shipment they are in; empty of loose pieces."""
    what: str


@dataclass(frozen=True, slots=True)
class Line:
    """One entry of the story."""

    seq: int
    time: str
    group: str
    what: str
    sentence: str
    by: str
    after: tuple[tuple[str, int], ...]
    """What later entries did to it: the word, and the entry."""
    stands: bool
    changes: tuple[tuple[str, str, str], ...]
    may_be_corrected: bool


@dataclass(frozen=True, slots=True)
class Day:
    """The entries of one day of the plant's calendar."""

    day: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class LotPage:
    """A lot as its page shows it."""

    code: str
    what: str
    product: str
    at: str
    stock: str
    labels: tuple[str, ...]
    answer: Answer | None
    is_released: bool
    """Whether it is released by its own code, as a block lot of a mould run is."""
    causes: tuple[Cause, ...]
    sources: tuple[Source, ...]
    others: int
    came: str
    """What ever came into it."""
    limits: tuple[LimitRow, ...]
    rule: str
    """By which decision rule it is held against them."""
    chances: tuple[tuple[str, str], ...]
    """Of each limit, how probable it is that what was held against it conforms."""
    pictures: tuple[Drawing, ...]
    departed: tuple[str, ...]
    """In what its tests were otherwise than their methods ask."""
    unrecorded: tuple[str, ...]
    """Of each test, what its method asks about and nobody recorded."""
    samples: tuple[tuple[str, str, str], ...]
    """Samples taken from it, or the sample that it is: code, pieces, how it stands."""
    restated: tuple[str, ...]
    """Which readings a correction restated, took out or added; who did, and when."""
    folded: tuple[Drawing, ...]
    """Pictures past the first few whose limits are all met: they open."""
    places: tuple[Place, ...]
    made: str
    gone: int
    papers: tuple[tuple[str, int], ...]
    days: tuple[Day, ...]
    earlier: int
    before: int | None
    """The first entry told, before which there are others."""
    zone: str


def page(plant: Plant, found: Story, units: System) -> LotPage:
    """Put a story into words, in units of choice."""
    lot, where = found.lot, found.where
    verdict = found.verdict
    own = verdict is not None and verdict.asked.lots == (lot.code,)
    limits = rows(verdict.lots[0].limits, units) if own and verdict is not None else ()
    drawn = [draw(against_limits(lot.code, at, x, units)) for at, x in enumerate(found.measured)]
    restated = verdict.lots[0].restated if own and verdict is not None else ()
    named = Named.of(plant)
    fold = {at for at, one in enumerate(found.measured) if at >= _FIRST and _all_met(one)}
    return LotPage(
        lot.code,
        found.what,
        lot.product,
        "" if lot.place == lot.code else place_of(lot.place),
        _stock(found, units),
        tuple(f"{issuer} {text}".strip() for issuer, text in found.labels),
        None if verdict is None else _answer(verdict, units),
        own,
        tuple(_cause(one, units) for one in found.upstream),
        tuple(_source(one, units) for one in found.sources.named),
        found.sources.others,
        mass(found.sources.mg, units),
        limits,
        verdict.lots[0].decision_rule if own and verdict is not None else "",
        _chances(verdict.lots[0].limits) if own and verdict is not None else (),
        tuple(one for at, one in enumerate(drawn) if at not in fold),
        tuple(one.sentence for one in found.departed if one.was_recorded),
        unrecorded(found.departed),
        _samples(plant, found),
        tuple(named.within(f"{text} ({source})") for text, source in sentences(restated)),
        tuple(one for at, one in enumerate(drawn) if at in fold),
        () if where is None else tuple(map(_place, (*where.in_stock, *where.shipped))),
        "" if where is None else number(where.made, "piece"),
        0 if where is None else where.gone,
        tuple((one.number, one.seq) for one in found.papers),
        _days(plant, found.events),
        found.earlier,
        found.events[0].seq if found.earlier else None,
        plant.zone.key,
    )


def _chances(limits: Sequence[LimitResult]) -> tuple[tuple[str, str], ...]:
    found = []
    for one in limits:
        known = chance(one)
        if known is not None:
            what = f"{one.limit.characteristic.replace('_', ' ')}, {one.value}, {_bound(one)}"
            found.append((what, chance_said(known)))
    return tuple(found)


def _bound(one: LimitResult) -> str:
    return f"{BOUND_WORDS[one.limit.bound]} {one.bound}"


def _samples(plant: Plant, found: Story) -> tuple[tuple[str, str, str], ...]:
    now = moment(plant)
    return tuple(
        (one.code, number(one.pieces, "piece"), standing(one, plant.zone, now))
        for one in found.samples
    )


def _all_met(one: Measured) -> bool:
    return bool(one.limits) and all(each.finding == "met" for each in one.limits)


def _stock(found: Story, units: System) -> str:
    lot = found.lot
    if not lot.mg and not lot.pieces:
        return "Nothing of it is left by the books"
    if lot.kind in MOULDED and not lot.pieces:  # less than a piece: no block of it is anywhere
        return (
            f"No piece of it is left by the books; {mass(lot.mg, units)} is between what its runs"
            " made by weight and what left it by the piece"
        )
    pieces = f"{number(lot.pieces, 'piece')}, " if lot.pieces else ""
    before = f"; {percent(lot.reclaim)}\u00a0% of it moulded before, if well mixed"
    return f"{pieces}{mass(lot.mg, units)} left by the books{before if lot.reclaim else ''}"


_LEADS = {"may_not_ship": "Worst", "not_enough_evidence": "Missing", "may_ship": "Because"}


def _answer(verdict: Verdict, units: System) -> Answer:
    asked = verdict.asked
    several = asked.lots != (asked.code,)
    reasons: tuple[Reason, ...] = (verdict.first, *verdict.others)
    for one in verdict.lots:
        reasons = in_units(reasons, one.limits, units)
    return Answer(
        verdict.words,
        _sort(verdict),
        "The evidence" if tells_left(verdict.words) else _LEADS[asked.answer],
        _told(reasons[0]),
        tuple(_told(one) for one in reasons[1:] if one.code in AGAINST),
        tuple(_told(one) for one in reasons[1:] if one.code not in AGAINST),
        verdict.standing,
        tuple((one.lot, headline(one)) for one in verdict.lots) if several else (),
    )


def _sort(verdict: Verdict) -> str:
    if verdict.asked.answer == "may_not_ship":
        return "stop"
    return "good" if verdict.asked.may_leave and not against(verdict.lots) else "ask"


def _told(one: Reason) -> Told:
    return Told(capital(one.sentence).rstrip(".") + ".", one.source, one.weight)


def _cause(one: Upstream, units: System) -> Cause:
    what, hold = code_words(one.code), ""
    if one.cause.startswith(_HOLD):
        hold = one.cause.removeprefix(_HOLD).rpartition("@")[0]
    sentence = masses_in(one.sentence, units)
    return Cause(not one.closed, what, one.at, sentence, one.path, one.conceded, hold)


def _source(one: TraceLot, units: System) -> Source:
    what = KIND_WORDS.get(one.lot.what or one.lot.kind, one.lot.what or one.lot.kind)
    close = one.most - one.least < _ENOUGH
    bounds = "" if close else f"{percent(one.least)} to {percent(one.most)}"
    return Source(one.lot.code, what, mass(one.mg, units), percent(one.share), bounds)


def _place(one: Stand) -> Place:
    where = f"with {one.receiver}" if one.receiver else one.place or "in the plant"
    return Place(one.pieces, where, one.lot, one.what)


def _days(plant: Plant, events: Sequence[Event]) -> tuple[Day, ...]:
    def day(one: Event) -> str:
        return local(one.at_ms, plant.zone).partition(" ")[0]

    return tuple(
        Day(name, tuple(_line(plant, one) for one in some)) for name, some in groupby(events, day)
    )


def _line(plant: Plant, one: Event) -> Line:
    view = one.view
    return Line(
        one.seq,
        local(one.at_ms, plant.zone).partition(" ")[2],
        one.group,
        one.what,
        one.sentence,
        one.by,
        _after(view),
        view.stands,
        tuple((x.field, x.before or "nothing", x.after or "nothing") for x in view.changes),
        one.may_be_corrected,
    )


def _after(view: EntryView) -> tuple[tuple[str, int], ...]:
    return tuple((one.did, one.seq) for one in view.followers)
