"""The plant as it stands: what is where, how much, how old, what waits for whom, what is held.

Read :func:`floor`. Stock is the record's newest; ages and states are those of the time asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from zoneinfo import ZoneInfo

from beadwright.ledger import settings, stock
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.stock import LastAt, Shipped, Sum
from beadwright.plant import floor_lots
from beadwright.plant.door import now_ms
from beadwright.plant.floor_lots import WHO_WORDS, LotGroup, Who
from beadwright.plant.held import Held, holds_of
from beadwright.plant.machines import Machine, Made
from beadwright.plant.plan import day_at, start_of
from beadwright.plant.silo import Silo
from beadwright.plant.silos import silos
from beadwright.plant.upstream import zone_of
from beadwright.plant.words import number

__all__ = ["Floor", "Standing", "Wait", "floor"]

_RECLAIM = frozenset({"scrap", "regrind", "densified"})

# Beads taken into a run are no bag any more, though they are beads still.
_WORK = "work in process"


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
    held, flaws = _open(plant_no, stock.head(plant_no))
    board = silos(plant_no, at_ms, in_force)
    made = Made.of(plant_no, in_force, at_ms)
    places = {name: str(body.get("kind", "")) for name, body in in_force.all("place", at_ms)}
    docks = {name for name, kind in places.items() if kind == "dock"}
    # Who must release is a matter of the day on which it is entered, at the door too.
    groups = floor_lots.lot_groups(plant_no, now_ms())
    blocks = [one for one in sums if one.kind in MOULDED]
    return Floor(
        at_ms=at_ms,
        zone=zone.key,
        beads=_standing(one for one in sums if one.kind == "bead" and one.what != _WORK),
        ties=_standing(one for one in sums if one.kind == "tie"),
        expanders=made.expanders(),
        elsewhere=made.elsewhere,
        silos=board,
        presses=made.presses(board),
        in_process=_standing(one for one in sums if one.what == _WORK),
        lots=groups,
        bundles=_standing(one for one in blocks if one.what == "bundle"),
        dock=_standing(one for one in sums if one.place in docks),
        shipped=stock.shipped(plant_no, _midnight(at_ms, zone)),
        reclaim=_standing(one for one in sums if one.kind in _RECLAIM),
        holds=held,
        flaws=flaws,
        waits=tuple(_waits(groups, held, flaws, board)),
    )


@lru_cache(maxsize=4)
def _open(plant_no: int, head: str) -> tuple[tuple[Held, ...], tuple[str, ...]]:
    """Read open holds and open nonconformities, once for each head of the record."""
    del head  # stands for all that is read
    held = tuple(one for one in holds_of(plant_no) if one.open and not one.reach.empty)
    return held, stock.open_flaws(plant_no)


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
