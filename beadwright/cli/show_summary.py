"""What `assess` says of a whole plant: the counts, what stands behind each group, who may ship."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from zoneinfo import ZoneInfo

from beadwright.cli.asking import Assessed
from beadwright.cli.ending import say
from beadwright.cli.grouping import Cause, Group, groups, said_of, sources_of
from beadwright.cli.in_common import in_common, lacking
from beadwright.cli.printed import Page, local
from beadwright.plant.assessment import Assessment, Holder, LotAssessment
from beadwright.plant.doubted import look_back_first
from beadwright.plant.limits import LimitInForce
from beadwright.plant.opening import Plant
from beadwright.plant.release_words import ONCE_RELEASED, signing
from beadwright.plant.words import code_words, in_runs, number

__all__ = ["show"]

_ROWS = 12
"""Lots of a group that get a line each; of a larger one the rest is named in runs."""

_HASH = 12
_GONE = "no piece is in the plant any more"


def show(found: Assessed) -> None:
    """Print the release summary."""
    page = Page()
    if found.plant is None or found.assessment is None:
        page.line("No lots: the store holds no plant. Import a plant's files into it.")
        return
    plant, told = found.plant, found.assessment
    _head(page, plant, told)
    if not told.lots:
        return
    behind = groups(plant.no, told)
    for answer, title in (
        ("may_not_ship", "MAY NOT SHIP"),
        ("not_enough_evidence", "NOT ENOUGH EVIDENCE YET"),
    ):
        here = [one for one in behind if one.answer == answer]
        if here:
            page.heading(f"{title}: {number(sum(len(one.lots) for one in here), 'lot')}")
        for one in here:
            if answer == "may_not_ship":
                _stopped(page, plant, one)
            else:
                _undecided(page, one)
    _held(page, told.held)
    may = [lot for lot in told.lots if lot.answer == "may_ship"]
    _may_ship(page, [lot for lot in may if lot.may_leave])
    _waiting(page, [lot for lot in may if not lot.may_leave])
    _unverified(page, told)
    say(
        "All about one lot: `beadwright assess LOT`; where it came from: `beadwright trace LOT"
        " --back`."
    )


def _head(page: Page, plant: Plant, told: Assessment) -> None:
    seq, own = plant.head
    page.line(f"{plant.name}, plant {plant.code}")
    page.line(f"Record to entry {seq}, head {seq}:{own[:_HASH]}…; times in {plant.zone.key}")
    page.line()
    if not told.lots:
        page.line("No lots: nothing that was moulded is in the record yet.")
        return
    waiting = told.count("may_ship") - told.may_leave
    doubted = f" ({told.doubted} of them look back first)" if told.doubted else ""
    once = f" {waiting} may once released{doubted}," if waiting else ""
    counts = (
        f"{told.may_leave} may ship,{once} {told.count('may_not_ship')} may not,"
        f" {told.count('not_enough_evidence')} have not enough evidence yet"
    )
    page.line(f"{number(len(told.lots), 'lot')} moulded: {counts}.")


def _stopped(page: Page, plant: Plant, group: Group) -> None:
    page.line()
    causes = group.causes
    page.line(_title(group, causes), indent=2)
    for cause in causes:
        page.item(_cause(cause, group), indent=4)
    if causes and ", " in causes[0].first.path:  # of one leg only, the title says it
        page.item(f"the way of it: {causes[0].first.path}", indent=4)
    if not causes:
        what = (
            "source of the limit" if group.code in {"limit_not_met", "guard_not_met"} else "source"
        )
        for sentence in in_common(group.lots, lambda lot: [f"{what}: {lot.reasons[0].source}"]):
            page.item(sentence, indent=4)
        _sources(page, plant, group.lots[0])
    _lots(page, plant.zone, group, with_reason=not causes)


def _title(group: Group, causes: Sequence[Cause]) -> str:
    what = code_words(causes[0].first.code if causes else group.code)
    where = causes[0].first.lot if causes else " and ".join(group.sources)
    of = f", from {where}" if where else ""
    return f"{what.upper()}{of}: {number(len(group.lots), 'lot')}"


def _cause(cause: Cause, group: Group) -> str:
    times = f", the first of {len(cause.steps)} times" if len(cause.steps) > 1 else ""
    part = f"; {len(cause.lots)} of these lots" if len(cause.lots) < len(group.lots) else ""
    return f"{cause.first.sentence} ({cause.first.at}{times}{part})"


def _sources(page: Page, plant: Plant, lot: LotAssessment) -> None:
    said = said_of(sources_of(plant.no, lot.lot))
    if said:
        page.item(f"foam of {lot.lot} came (estimated) from {said}", indent=4)


def _lots(page: Page, zone: ZoneInfo, group: Group, *, with_reason: bool) -> None:
    for lot in group.lots[:_ROWS]:
        made = "" if lot.made_at_ms is None else f", last run {local(lot.made_at_ms, zone)}"
        reason = f": {lot.reasons[0].sentence}" if with_reason else ""
        page.item(f"{lot.product}{made}, {_pieces(lot)}{reason}", mark=lot.lot, indent=4)
    rest = group.lots[_ROWS:]
    if rest:
        page.line(f"and {number(len(rest), 'lot')} more: {_named(rest)}", indent=4)


def _pieces(lot: LotAssessment) -> str:
    where = lot.whereabouts
    here, gone = (sum(one.at_most for one in stands) for stands in (where.in_stock, where.shipped))
    if not gone:
        return f"{here} in the plant"
    return f"{gone} SHIPPED" + (f", {here} in the plant" if here else "")


def _undecided(page: Page, group: Group) -> None:
    page.line(_named(group.lots), indent=2)
    for sentence in in_common(group.lots, lacking):
        page.item(sentence, indent=4)


def _held(page: Page, held: Sequence[Holder]) -> None:
    """Bundles and shipments that are held though the lots in them are not."""
    if held:
        page.heading(f"BUNDLES AND SHIPMENTS ON HOLD BESIDES: {len(held)}")
    for one in held:
        where = f"with {one.receiver}" if one.receiver else "in the plant"
        pieces = number(one.pieces, "piece")
        why = "; ".join(cause.sentence for cause in one.upstream)
        page.item(f"{one.what} of {in_runs(one.lots)}, {pieces} {where}: {why}", mark=one.code)


def _may_ship(page: Page, may: Sequence[LotAssessment]) -> None:
    if not may:
        return
    released = sum(lot.released for lot in may)
    gone = sum(bool(lot.whereabouts.shipped) and not lot.released for lot in may)
    more = f", {gone} shipped without a release" if gone else ""
    page.heading(f"MAY SHIP: {number(len(may), 'lot')}; {released} released{more}")
    page.line(_named(may), indent=2)


def _waiting(page: Page, may: Sequence[LotAssessment]) -> None:
    """Lots that may ship, and of which the plant's rule asks a release that does not stand."""
    if not may:
        return
    page.heading(f"{ONCE_RELEASED.upper()}: {number(len(may), 'lot')}")
    told: dict[str, list[LotAssessment]] = {}
    for lot in sorted(may, key=lambda one: one.to_sign):
        what = signing(lot.to_sign, lot.persons) if lot.whereabouts.in_stock else _GONE
        first = f"; {look_back_first(lot.doubts)}" if lot.in_doubt else ""
        told.setdefault(f"{what}{first}", []).append(lot)
    for what, lots in sorted(told.items(), key=lambda one: one[0] == _GONE):
        page.item(f"{what}: {_named(lots)}")


def _named(lots: Sequence[LotAssessment]) -> str:
    return in_runs([lot.lot for lot in lots])


def _deciding(lot: LotAssessment) -> Iterator[LimitInForce]:
    """Limits that decide on a lot: of its own readings, and of the tests that the plan asks for."""
    yield from (result.limit for result in lot.limits)
    for test in lot.tests:
        if test.proof is None:
            yield from test.limits
        else:
            yield from (result.limit for result in test.proof.results)


def _unverified(page: Page, told: Assessment) -> None:
    limits = {
        limit.name: limit
        for lot in told.lots
        for limit in _deciding(lot)
        if limit.verified is False and not limit.unusable
    }
    if limits:
        page.heading("Printed limits that nobody has signed against the paid text yet")
    for one in limits.values():
        bound = "at least" if one.bound == "min" else "at most"
        page.item(f"{one.name}, {bound} {one.value} {one.unit}: {one.how_read}")
