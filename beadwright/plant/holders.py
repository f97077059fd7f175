"""Bundles and shipments that something of their own holds, and what went wrong with a lot's pieces.

Read :func:`holders` and :func:`notes`. What reaches a lot reaches everything packed of it; here is
what does not: a hold on the bundle itself, blocks shipped that no book had, a bundle wrapped young.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from zoneinfo import ZoneInfo

from beadwright.ledger import holds, lots, marked
from beadwright.ledger.lots import LotView
from beadwright.ledger.marked import Reached
from beadwright.ledger.settings import Settings
from beadwright.plant.assessment import REASONS, Holder, Reason
from beadwright.plant.upstream import Upstream, causes_of, local

__all__ = ["holders", "notes"]

_HOLD = "hold:"


def holders(
    plant_no: int,
    in_force: Settings,
    among: Collection[str] | None = None,
    followers: Iterable[str] | None = None,
) -> tuple[Holder, ...]:
    """Give what is held for its own sake: of a whole plant, or among what holds some lots.

    ``followers`` are all lots that took of those (``whereabouts.followed``): no other holds them.
    """
    found = marked.reached_holders(plant_no, followers)
    if among is not None:
        found = {code: one for code, one in found.items() if not {*among}.isdisjoint(one.inside)}
    sources = lots.get_many(plant_no, {lot for one in found.values() for lot in one.inside})
    own = {code: _own(one, sources) for code, one in found.items()}
    open_ = _open(plant_no, {cause for causes in own.values() for cause in causes})
    held = [code for code, causes in own.items() if causes & open_]
    known = lots.get_many(plant_no, held)
    views = {code: known[code] for code in held}
    reached = causes_of(plant_no, views, lots.makings(plant_no, views), in_force) if views else {}
    return tuple(
        Holder(
            code, view.what, found[code].inside, "may_not_ship",
            tuple(_first(one for one in reached.get(code, ()) if one.cause in own[code] & open_)),
            place=view.place, pieces=view.pieces,
        )
        for code, view in views.items()
    )  # fmt: skip


def _own(one: Reached, sources: Mapping[str, LotView]) -> set[str]:
    inner = {cause for code in one.inside if code in sources for cause in sources[code].causes}
    return set(one.causes) - inner


def _open(plant_no: int, causes: set[str]) -> set[str]:
    flawed = [cause for cause in causes if not cause.startswith(_HOLD)]
    return causes - holds.closed_causes(plant_no, flawed) if causes else set()


def _first(reached: Iterable[Upstream]) -> Iterator[Upstream]:
    """Give one of each cause: the others tell the same."""
    yield from {one.cause: one for one in reversed(tuple(reached))}.values()


def notes(
    plant_no: int,
    held: Iterable[Holder],
    reaching: Mapping[str, Iterable[Upstream]],
    zone: ZoneInfo,
) -> dict[str, list[Reason]]:
    """Give, for each lot, what holds pieces of it without holding the lot."""
    found: dict[str, list[Reason]] = {}
    for one in held:
        where = f"with {one.receiver}" if one.receiver else "in the plant"
        for cause in one.upstream:
            what = f"{one.code} ({one.what}, {one.pieces} pieces {where}) is held: {cause.sentence}"
            for lot in one.lots:
                found.setdefault(lot, []).append(_note("holder_held", what, cause.cause))
    flaws = [one for one in holds.about_blocks(plant_no) if not one.closed]
    inside = marked.moulded_into(plant_no, {one.lot for one in flaws})
    for flaw in flaws:
        for lot in inside.get(flaw.lot, ()):
            if flaw.cause not in {one.cause for one in reaching.get(lot, ())}:
                what = f"open nonconformity {flaw.cause}, {local(flaw.at_ms, zone)}: {flaw.detail}"
                found.setdefault(lot, []).append(_note("open_beside", what, f"step {flaw.step}"))
    return found


def _note(code: str, what: str, source: str) -> Reason:
    return Reason(code, what, source, REASONS[code][0])
