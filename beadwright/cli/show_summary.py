"""What `assess` says of a whole plant: the counts, what stands behind each group, who may ship."""

from __future__ import annotations

from collections.abc import Sequence
from zoneinfo import ZoneInfo

from beadwright.cli.asking import Assessed
from beadwright.cli.grouping import Cause, Group, groups, in_runs, sources_of
from beadwright.cli.printed import Page, local, percent
from beadwright.cli.words import code_words, number
from beadwright.plant.assessment import Assessment, LotAssessment
from beadwright.plant.opening import Plant

__all__ = ["show"]

_ROWS = 12
"""Lots of a group that get a line each; of a larger one the rest is named in runs."""

_HASH = 12


def show(found: Assessed) -> None:
    """Print the release summary."""
    page = Page()
    if found.plant is None or found.assessment is None:
        page.line("No lot yet: the store holds no plant. Import a plant's files into it.")
        return
    plant, told = found.plant, found.assessment
    _head(page, plant, told)
    behind = groups(plant.no, told)
    for answer, title in (
        ("may_not_ship", "MAY NOT SHIP"),
        ("not_enough_evidence", "NOT ENOUGH EVIDENCE YET"),
    ):
        here = [one for one in behind if one.answer == answer]
        if here:
            page.heading(f"{title}: {number(sum(len(one.lots) for one in here), 'lot')}")
        for one in here:
            show_group = _stopped if answer == "may_not_ship" else _undecided
            show_group(page, plant, one)
    _may_ship(page, [lot for lot in told.lots if lot.answer == "may_ship"])
    _unverified(page, told)
    page.line()
    page.line("All of one lot: beadwright assess LOT. Where it came from: trace LOT --back.")


def _head(page: Page, plant: Plant, told: Assessment) -> None:
    seq, own = plant.head
    page.line(f"{plant.name}, plant {plant.code}")
    page.line(f"Record to entry {seq}, head {seq}:{own[:_HASH]}…; times in {plant.zone.key}")
    page.line()
    counts = (
        f"{told.count('may_ship')} may ship, {told.count('may_not_ship')} may not,"
        f" {told.count('not_enough_evidence')} have not enough evidence yet"
    )
    page.line(f"{number(len(told.lots), 'lot')} moulded: {counts}.")


def _stopped(page: Page, plant: Plant, group: Group) -> None:
    page.line()
    causes = group.causes
    page.line(_title(group, causes), indent=2)
    for cause in causes:
        page.item(_cause(cause, group), indent=4)
    if causes and causes[0].first.path:
        page.item(f"the way of it: {causes[0].first.path}", indent=4)
    if not causes:
        for reason in group.reasons[:1]:
            page.item(f"source of the limit: {reason.source}", indent=4)
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
    said = [f"{one.code} {percent(one.share)} %" for one in sources_of(plant.no, lot.lot)]
    if said:
        page.item(f"foam of {lot.lot} came from (estimated): {', '.join(said)}", indent=4)


def _lots(page: Page, zone: ZoneInfo, group: Group, *, with_reason: bool) -> None:
    rows = []
    for lot in group.lots[:_ROWS]:
        made = "" if lot.made_at_ms is None else local(lot.made_at_ms, zone)
        here, gone = _pieces(lot)
        rows.append((lot.lot, lot.product, made, here, gone, *_worst(lot, with_reason=with_reason)))
    columns = ["!lot", "!product", "!moulded", "!in plant>", "!shipped>"]
    page.table([*columns, *(["worst reason"] if with_reason else [])], rows, indent=4)
    rest = group.lots[_ROWS:]
    if rest:
        page.line(f"and {number(len(rest), 'lot')} more: {_named(rest)}", indent=4)


def _worst(lot: LotAssessment, *, with_reason: bool) -> list[str]:
    return [lot.reasons[0].sentence] if with_reason else []


def _pieces(lot: LotAssessment) -> tuple[str, str]:
    return tuple(
        str(sum(one.at_most for one in stands))
        for stands in (lot.whereabouts.in_stock, lot.whereabouts.shipped)
    )  # type: ignore[return-value]


def _undecided(page: Page, plant: Plant, group: Group) -> None:
    _ = plant
    page.line(_named(group.lots), indent=2)
    missing: dict[str, list[str]] = {}
    for lot in group.lots:
        for result in lot.limits:
            if result.finding == "not_enough_evidence":
                words = result.limit.characteristic.replace("_", " ")
                named = missing.setdefault(_general(result.missing, words), [])
                if words not in named:
                    named.append(words)
    for what, named in missing.items():
        page.item(f"{', '.join(named)}: {what}", indent=4)
    if not missing:
        for reason in group.reasons:
            page.item(reason.sentence, indent=4)


def _general(missing: str, words: str) -> str:
    """Give what is missing without the figures of one lot."""
    if missing == f"no reading of {words}":
        return "not measured"
    return missing.split(";", maxsplit=1)[0]


def _may_ship(page: Page, may: Sequence[LotAssessment]) -> None:
    if not may:
        return
    released = sum(lot.released for lot in may)
    page.heading(f"MAY SHIP: {number(len(may), 'lot')}, {released} of them released")
    page.line(_named(may), indent=2)


def _named(lots: Sequence[LotAssessment]) -> str:
    return in_runs([lot.lot for lot in lots])


def _unverified(page: Page, told: Assessment) -> None:
    limits = {
        result.limit.name: result.limit
        for lot in told.lots
        for result in lot.limits
        if result.limit.verified is False and not result.limit.unusable
    }
    if limits:
        page.heading("Printed limits that nobody has signed against the paid text yet")
    for one in limits.values():
        bound = "at least" if one.bound == "min" else "at most"
        page.item(f"{one.name}, {bound} {one.value} {one.unit}: {one.how_read}")
