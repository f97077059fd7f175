"""The plant as it stands: what is where, how much, how old, what waits for whom, what is held.

Read :func:`floor`. Stock is the record's newest; ages and states are those of the time asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from beadwright.ledger import settings, stock
from beadwright.ledger.settings import Settings
from beadwright.ledger.stock import LastAt, Shipped, Sum
from beadwright.plant import floor_lots
from beadwright.plant.floor_lots import WHO_WORDS, LotGroup, Who
from beadwright.plant.held import Held, holds_of
from beadwright.plant.next_silo import NextToUse, next_to_use
from beadwright.plant.plan import day_at, start_of
from beadwright.plant.silo import Silo
from beadwright.plant.silos import silos
from beadwright.plant.upstream import zone_of
from beadwright.plant.words import number

__all__ = ["NOW_MIN", "Floor", "Machine", "Standing", "Wait", "floor"]

NOW_MIN = 60
"""Minutes for which a machine counts as running after its last entry. Common practice, no source:
presses are counted every hour."""

_DAYS_BACK = 14
"""Days for which the last run of a machine is looked for."""

_DAY_MS = 86_400_000
_MINUTE_MS = 60_000
_RECLAIM = frozenset({"scrap", "regrind", "densified"})


@dataclass(frozen=True, slots=True)
class Standing:
    """Lots that stand together: of one grade, product or sort."""

    name: str
    what: str
    lots: int
    pieces: int
    mg: int
    held: int
    """Lots among them that a person's hold reaches."""
    rests: int
    """Used-up lots beside them of which the books have a rest; they are in no other figure."""
    rest_mg: int
    first_ms: int | None
    """Since when the oldest is there."""


@dataclass(frozen=True, slots=True)
class Machine:
    """An expander or a press, with what it made last."""

    place: str
    kind: str
    feeds: tuple[str, ...]
    last: LastAt | None
    """None where nothing was recorded of it for two weeks."""
    now: bool
    """Whether that is so short a while ago that it counts as running."""
    next: NextToUse | None = None
    """Of a press: what to draw of next for the product it made last."""


@dataclass(frozen=True, slots=True)
class Wait:
    """What waits for whom, in one line."""

    who: str
    what: str
    lots: tuple[str, ...] = ()
    holds: tuple[str, ...] = ()
    places: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Floor:
    """The plant as it stands."""

    at_ms: int
    zone: str
    beads: tuple[Standing, ...]
    ties: tuple[Standing, ...]
    expanders: tuple[Machine, ...]
    elsewhere: LastAt | None
    """The last expansion of which the record does not say on which expander it ran."""
    silos: tuple[Silo, ...]
    presses: tuple[Machine, ...]
    in_process: tuple[Standing, ...]
    lots: tuple[LotGroup, ...]
    bundles: tuple[Standing, ...]
    dock: tuple[Standing, ...]
    """What stands at a place that is a dock."""
    shipped: tuple[Shipped, ...]
    """Today, by the plant's clock."""
    reclaim: tuple[Standing, ...]
    """Scrap, regrind and densified foam."""
    holds: tuple[Held, ...]
    """Open ones."""
    flaws: tuple[str, ...]
    """Causes of open nonconformities."""
    waits: tuple[Wait, ...]


def floor(plant_no: int, at_ms: int) -> Floor:
    """Give the plant as it stands."""
    in_force = settings.load(plant_no)
    zone = zone_of(in_force)
    sums = stock.sums(plant_no)
    board = silos(plant_no, at_ms, in_force)
    last = stock.last_at(plant_no, at_ms - _DAYS_BACK * _DAY_MS)
    made = {(one.place, one.kind == "expand"): one for one in last if one.at_ms <= at_ms}
    places = {name: str(body.get("kind", "")) for name, body in in_force.all("place", at_ms)}
    docks = {name for name, kind in places.items() if kind == "dock"}
    groups = floor_lots.lot_groups(plant_no, at_ms)
    held = tuple(one for one in holds_of(plant_no) if one.open and not one.reach.empty)
    flaws = stock.open_flaws(plant_no)
    blocks = [one for one in sums if one.kind in {"block", "packaging"}]
    return Floor(
        at_ms=at_ms,
        zone=zone.key,
        beads=_standing(one for one in sums if one.kind == "bead"),
        ties=_standing(one for one in sums if one.kind == "tie"),
        expanders=tuple(_machines(places, "expander", made, (in_force, at_ms))),
        elsewhere=made.get(("", True)),
        silos=board,
        presses=tuple(_presses(_machines(places, "press", made, (in_force, at_ms)), board)),
        in_process=_standing(one for one in sums if one.what == "work in process"),
        lots=groups,
        bundles=_standing(one for one in blocks if one.what == "bundle"),
        dock=_standing(one for one in sums if one.place in docks),
        shipped=stock.shipped(plant_no, _midnight(at_ms, zone)),
        reclaim=_standing(one for one in sums if one.kind in _RECLAIM),
        holds=held,
        flaws=flaws,
        waits=tuple(_waits(groups, held, flaws, board)),
    )


def _midnight(at_ms: int, zone: ZoneInfo) -> int:
    return start_of(day_at(at_ms, zone), zone)


def _standing(some: Iterable[Sum]) -> tuple[Standing, ...]:
    """Sum up by product or grade, and by sort where that says no more than the kind."""
    found: dict[tuple[str, str], list[Sum]] = {}
    for one in some:
        name = one.product or " + ".join(one.grades)
        if one.kind in _RECLAIM:
            name = one.what or one.kind
        found.setdefault((name, one.what), []).append(one)
    return tuple(_together(*key, found[key]) for key in sorted(found))


def _together(name: str, what: str, some: Sequence[Sum]) -> Standing:
    whole = [one for one in some if not one.rest]
    rests = [one for one in some if one.rest]
    return Standing(
        name,
        what,
        sum(one.lots for one in whole),
        sum(one.pieces for one in whole),
        sum(one.mg for one in whole),
        sum(one.lots for one in some if one.held),
        sum(one.lots for one in rests),
        sum(one.mg for one in rests),
        min((one.first for one in whole if one.first is not None), default=None),
    )


def _machines(
    places: dict[str, str],
    kind: str,
    made: dict[tuple[str, bool], LastAt],
    when: tuple[Settings, int],
) -> Iterator[Machine]:
    in_force, at_ms = when
    for name in sorted(place for place, said in places.items() if said == kind):
        body = in_force.at("place", name, at_ms) or {}
        feeds = body.get("feeds", ())
        last = made.get((name, kind == "expander"))
        now = last is not None and at_ms - last.at_ms < NOW_MIN * _MINUTE_MS
        yield Machine(name, kind, tuple(feeds) if isinstance(feeds, list) else (), last, now)


def _presses(presses: Iterable[Machine], board: Sequence[Silo]) -> Iterator[Machine]:
    for one in presses:
        told = next_to_use(board, one.place, one.last.product) if one.last is not None else None
        yield Machine(one.place, one.kind, one.feeds, one.last, one.now, told)


def _waits(
    groups: Iterable[LotGroup], held: Sequence[Held], flaws: Sequence[str], board: Iterable[Silo]
) -> Iterator[Wait]:
    """Say what waits for whom: the engineer first, then along the plant."""
    if held:
        what = f"{number(len(held), 'hold')} to look into or lift"
        yield Wait(WHO_WORDS["engineer"], what, holds=tuple(one.hold for one in held))
    if flaws:
        yield Wait(WHO_WORDS["engineer"], f"{_nonconformities(len(flaws))} open")
    by: dict[Who, list[LotGroup]] = {}
    for group in groups:
        if group.who:
            by.setdefault(group.who, []).append(group)
    for who, some in by.items():
        lots = tuple(lot for group in some for lot in group.lots)
        yield Wait(WHO_WORDS[who], _lots_wait(who, len(lots)), lots=lots)
    old = tuple(one.place for one in board if "too_old" in one.states)
    if old:
        yield Wait(WHO_WORDS["engineer"], f"beads too old in {', '.join(old)}", places=old)


def _nonconformities(count: int) -> str:
    return "1 nonconformity" if count == 1 else f"{count} nonconformities"


def _lots_wait(who: Who, count: int) -> str:
    lots = number(count, "block lot")
    return {
        "engineer": f"{lots} that may not ship as they are",
        "laboratory": f"{lots} to measure or test",
        "first_piece": f"{lots} without an approved first piece",
        "inspection": f"{lots} with ties to be counted",
        "releaser": f"{lots} that may ship, once released",
    }[who]
