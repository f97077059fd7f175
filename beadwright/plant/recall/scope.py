"""The scope of a recall: every lot that may hold any of what it starts from, and where it is now.

Read :func:`scope`. Lots come from the trace forward of each start, with shares and bounds as
:mod:`beadwright.ledger.traced` says. No start is left out: a silo that a bag was filled into gave
on other beads before.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from beadwright.ledger import lots, settings
from beadwright.ledger.account import OUTSIDE, Account, account
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.loaded import loaded
from beadwright.ledger.trace import reached
from beadwright.ledger.traced import Reached
from beadwright.ledger.walk import LotFacts, Reads
from beadwright.plant.mass_off import off_of
from beadwright.plant.recall.narrowed import WHOLE, Narrowing, left_out
from beadwright.plant.whereabouts import (
    Stand,
    Whereabouts,
    followed,
    reached_from,
    whereabouts,
)

__all__ = ["InScope", "Scope", "Sent", "scope"]

_MADE = "mould run"


@dataclass(frozen=True, slots=True)
class InScope:
    """One lot that may hold any of it."""

    lot: LotFacts
    share: float
    """As if each place had been well mixed."""
    least: float
    most: float
    mg: float
    """Expected mass of the starts in it."""


@dataclass(frozen=True, slots=True)
class Sent:
    """What a receiver has of one lot."""

    lot: str
    product: str
    """Of what is no block, its kind."""
    stand: Stand
    share: float
    most: float
    mg: int = 0
    """Mass of what is not counted in pieces."""
    title: str = ""
    """What the product was called when it left; empty of what is no product."""
    left_ms: tuple[int, ...] = ()
    """When it was loaded, the first time and the last; by these a receiver finds it."""


@dataclass(frozen=True, slots=True)
class Scope:
    """What a recall has to reach."""

    starts: tuple[str, ...]
    within: tuple[str, ...]
    """Starts that another one's trace reaches."""
    lots: tuple[InScope, ...]
    """Most likely first; the starts are among them."""
    here: tuple[tuple[str, Stand], ...]
    """Pieces in the plant, by lot: to be held."""
    stock: tuple[InScope, ...]
    """Other lots of which there is stock: beads, prefoam, regrind, ties.

    With their shares of what is there now. A place that was swept empty since is not among them.
    """
    receivers: tuple[tuple[str, tuple[Sent, ...]], ...]
    """Who has what, by name."""
    gone: int
    """Pieces of lots in scope that are neither here nor sent: rejected, sampled, scrapped."""
    cut_mg: float
    """Expected mass in lots with less than one bead each, which are not listed."""
    accounts: tuple[Account, ...]
    """The closing account of each start."""
    narrowing: Narrowing = WHOLE
    out: tuple[tuple[str, str], ...] = ()
    """Block lots that were left out by it, each with why."""
    out_sent: tuple[tuple[str, tuple[Sent, ...]], ...] = ()
    """Who has what of those, and is told of none of it, by name."""


def scope(plant_no: int, starts: Sequence[str], narrowing: Narrowing | None = None) -> Scope:
    """Work out the scope; narrowed where somebody said by what.

    Raises
    ------
    Misuse
        If a lot is not in the record.
    """
    by = narrowing or WHOLE
    off = off_of(plant_no)
    reads = {code: Reads() for code in starts}
    traces = [reached(plant_no, code, reads=read, off=off) for code, read in reads.items()]
    others = {code for found in traces for code in found.code}
    within = tuple(one.lot.code for one in traces if one.lot.code in others)
    whole = _joined(traces, frozenset(within))
    out = left_out(plant_no, _runs(whole, frozenset(starts)), by)
    every = _without(plant_no, whole, out)
    views = lots.get_many(plant_no, [
        one.lot.code for one in every if one.lot.kind in MOULDED and one.lot.what == _MADE
    ])  # fmt: skip
    stands = whereabouts(plant_no, views, lots.makings(plant_no, views))
    return Scope(
        tuple(reads),
        within,
        every,
        tuple((code, stand) for code in views for stand in stands[code].in_stock),
        _stock(traces, every, frozenset(within)),
        _receivers(plant_no, stands, every),
        sum(one.gone for one in stands.values()),
        sum(one.cut_mg for one in traces),
        tuple(account(plant_no, code, read) for code, read in reads.items()),
        by,
        tuple(sorted(out.items())),
        _sent(plant_no, [one for one in whole if one.lot.code in out]),
    )


def _sent(plant_no: int, some: Sequence[InScope]) -> tuple[tuple[str, tuple[Sent, ...]], ...]:
    views = lots.get_many(plant_no, [one.lot.code for one in some])
    stands = whereabouts(plant_no, views, lots.makings(plant_no, views)) if views else {}
    return _receivers(plant_no, stands, some)


def _runs(every: Iterable[InScope], starts: frozenset[str]) -> dict[str, float]:
    """Give the most that each block lot can hold; what somebody starts from is never left out."""
    return {
        one.lot.code: one.most
        for one in every
        if one.lot.kind in MOULDED and one.lot.what == _MADE and one.lot.code not in starts
    }


def _without(
    plant_no: int, every: tuple[InScope, ...], out: Mapping[str, str]
) -> tuple[InScope, ...]:
    """Take lots out, with what was packed of them and of no lot that stays."""
    if not out:
        return every
    blocks = [one.lot.code for one in every if one.lot.kind in MOULDED]
    into = followed(plant_no, blocks)
    stay = {
        code
        for one in every
        if one.lot.what == _MADE and one.lot.code not in out
        for code in reached_from(one.lot.code, into)
    }
    gone = {code for lot in out for code in reached_from(lot, into)} - stay
    return tuple(one for one in every if one.lot.code not in gone)


def _joined(traces: Sequence[Reached], within: frozenset[str]) -> tuple[InScope, ...]:
    """Join what each start reaches: all of it, and each part of it once.

    What starts that nothing else reaches have in a lot is different material, and is added. What a
    start has that another one reaches may be the same again: there the greater counts, and of the
    most the sum.
    """
    found: dict[str, InScope] = {}
    for start in sorted(traces, key=lambda one: one.lot.code in within):
        own = InScope(start.lot, 1.0, 1.0, 1.0, float(start.mg))
        figures = (one.tolist() for one in (start.share, start.least, start.most, start.came))
        for one in (own, *map(InScope, start.facts(), *figures)):
            before = found.get(one.lot.code)
            again = start.lot.code in within
            found[one.lot.code] = one if before is None else _with(before, one, again=again)
    return tuple(sorted(found.values(), key=lambda one: (-one.share, -one.mg, one.lot.code)))


def _with(before: InScope, one: InScope, *, again: bool) -> InScope:
    most = min(1.0, before.most + one.most)
    if again:
        return InScope(
            one.lot, max(before.share, one.share), max(before.least, one.least), most,
            max(before.mg, one.mg),
        )  # fmt: skip
    return InScope(
        one.lot, min(1.0, before.share + one.share), min(1.0, before.least + one.least), most,
        before.mg + one.mg,
    )  # fmt: skip


def _stock(
    traces: Sequence[Reached], every: Sequence[InScope], within: frozenset[str]
) -> tuple[InScope, ...]:
    """Give what there is now that may hold some, most likely first."""
    starts = {one.lot.no for one in traces}
    in_order = sorted(traces, key=lambda one: one.lot.code in within)
    found: dict[int, InScope] = {}
    for one in every:
        no = one.lot.no
        if not _is_stock(one.lot):
            continue
        if no in starts:
            found[no] = one
            continue
        for each in in_order:
            if (now := each.now.get(no)) is not None:
                some, again = (
                    InScope(one.lot, now.share, 0.0, now.most, now.mg),
                    each.lot.code in within,
                )
                found[no] = _with(found[no], some, again=again) if no in found else some
    return tuple(sorted(found.values(), key=lambda one: (-one.share, -one.mg, one.lot.code)))


def _is_stock(lot: LotFacts) -> bool:
    return lot.kind not in MOULDED and lot.mg > 0 and not lot.place.startswith(OUTSIDE)


def _receivers(
    plant_no: int, stands: Mapping[str, Whereabouts], every: Sequence[InScope]
) -> tuple[tuple[str, tuple[Sent, ...]], ...]:
    """Give who has what: pieces of blocks, and all else that was sent, such as foam for others."""
    found: dict[str, list[Sent]] = {}
    for one in every:
        code, lot = one.lot.code, one.lot
        shipped = stands[code].shipped if code in stands else ()
        if lot.kind not in MOULDED and lot.mg > 0 and lot.place.startswith(OUTSIDE):
            shipped = (Stand(code, lot.what, lot.place, 0, 0),)
        for stand in shipped:
            mg = 0 if code in stands else lot.mg
            sent = Sent(code, lot.product or lot.kind, stand, one.share, one.most, mg)
            found.setdefault(stand.receiver, []).append(sent)
    told = _told(plant_no, [one for some in found.values() for one in some], every)
    return tuple(
        (name, tuple(sorted(map(told, some), key=lambda one: one.lot)))
        for name, some in sorted(found.items())
    )


def _told(plant_no: int, sent: Iterable[Sent], every: Iterable[InScope]) -> Callable[[Sent], Sent]:
    """Give what says of what was sent by which words and days its receiver knows it."""
    into = {one.stand.lot for one in sent}
    numbers = {one.lot.code: one.lot.no for one in every if one.lot.code in into}
    more = lots.get_many(plant_no, into - numbers.keys())
    numbers |= {code: view.no for code, view in more.items()}
    times, in_force = loaded(plant_no, numbers.values()), settings.load(plant_no)

    def told(one: Sent) -> Sent:
        left = times.get(numbers.get(one.stand.lot, 0), ())
        if not left:
            return one
        product = in_force.at("product", one.product, left[-1]) or {}
        return replace(one, title=str(product.get("title", "")), left_ms=left)

    return told
