"""What `assess LOT` says: the answer, the one missing thing first, then all it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from zoneinfo import ZoneInfo

from beadwright.cli.asking import Assessed
from beadwright.cli.choices import Units
from beadwright.cli.grouping import sources_of
from beadwright.cli.printed import Page, local, percent
from beadwright.cli.words import ANSWER_WORDS, number
from beadwright.plant.assessment import Asked, LotAssessment
from beadwright.plant.opening import Plant
from beadwright.plant.upstream import Upstream
from beadwright.plant.verdicts import STATE_WORDS, LimitResult
from beadwright.plant.whereabouts import Stand
from beadwright.units import show as show_unit

__all__ = ["show"]

_FINDING = {"met": "met", "not_met": "NOT MET", "not_enough_evidence": "open"}


def show(found: Assessed, *, units: Units | None) -> None:
    """Print everything about the lots asked about."""
    page = Page()
    if found.plant is None or found.assessment is None:
        return
    plant = found.plant
    seq, own = plant.head
    page.line(f"{plant.name}, plant {plant.code}; head {seq}:{own}; times in {plant.zone.key}")
    for asked in found.assessment.asked:
        if asked.lots != (asked.code,):
            _holder(page, asked)
    for lot in found.assessment.lots:
        _lot(page, plant, lot, units)


def _holder(page: Page, asked: Asked) -> None:
    page.heading(f"{asked.code}, {asked.what}: {ANSWER_WORDS[asked.answer].upper()}")
    page.line(f"holds pieces of {', '.join(asked.lots) or 'no block lot'}", indent=2)
    for one in asked.upstream:
        _upstream(page, one)


def _lot(page: Page, plant: Plant, lot: LotAssessment, units: Units | None) -> None:
    made = "" if lot.made_at_ms is None else f", moulded {local(lot.made_at_ms, plant.zone)}"
    page.heading(f"{lot.lot}: {ANSWER_WORDS[lot.answer].upper()}")
    page.line(
        f"{lot.product}, {lot.title}{made}; {number(lot.whereabouts.made, 'piece')}", indent=2
    )
    page.line("Why, worst first:", indent=2)
    for reason in lot.reasons:
        source = f" [{reason.source}]" if reason.source else ""
        page.item(f"{reason.sentence}{source}", indent=4)
    if lot.limits:
        _limits(page, lot.limits, units)
    if lot.elsewhere:
        page.line(
            f"Limits that rest on periodic or type tests: {', '.join(lot.elsewhere)}", indent=2
        )
    if lot.upstream:
        page.line("Holds and nonconformities that reach it:", indent=2)
        for one in lot.upstream:
            _upstream(page, one)
    said = [f"{one.code} {percent(one.share)} %" for one in sources_of(plant.no, lot.lot)]
    if said:
        page.line(f"Its foam came from (estimated shares): {', '.join(said)}", indent=2)
    _standing(page, lot)
    _release(page, lot, plant.zone)


def _limits(page: Page, limits: Sequence[LimitResult], units: Units | None) -> None:
    page.line("Limits:", indent=2)
    rows = []
    for one in limits:
        limit = one.limit
        bound = "at least" if limit.bound == "min" else "at most"
        rows.append((
            _FINDING[one.finding],
            limit.characteristic.replace("_", " "),
            f"{bound} {limit.value} {limit.unit} ({limit.statistic})",
            _value(one, units) or one.missing,
            one.margin,
            str(one.n),
        ))  # fmt: skip
    page.table(("!", "characteristic", "limit", "found", "margin>", "n>"), rows, indent=4)
    own = sorted({one.limit.source for one in limits if one.limit.verified is None})
    for source in own:
        page.item(f"limits of the plant: {source}", indent=4)
    for one in limits:
        if one.limit.verified is not None or one.warning:
            _source(page, one)


def _source(page: Page, one: LimitResult) -> None:
    limit = one.limit
    signed = {True: "verified", False: "not verified against the paid text", None: "plant's own"}
    state = STATE_WORDS.get(one.state, one.state)
    how = f"; judged on pieces {state}" if state else ""
    page.item(f"{limit.name}: {limit.source} ({signed[limit.verified]}){how}", indent=4)
    if one.warning:
        page.line(f"note: {one.warning}", indent=6)


def _value(one: LimitResult, units: Units | None) -> str:
    if units is None or one.value_si is None or one.limit.kind == "fraction":
        return one.value
    shown = show_unit(Decimal(repr(one.value_si)), one.limit.kind, system=units.value, digits=2)
    return f"{one.value} ({shown})"


def _upstream(page: Page, one: Upstream) -> None:
    closed = f"; closed by concession: {one.conceded}" if one.closed else ""
    page.item(f"{one.sentence} ({one.at}{closed})", indent=4)
    if one.path:
        page.line(f"the way of it: {one.path}", indent=6)
    page.line(f"cause: {one.cause}", indent=6)


def _standing(page: Page, lot: LotAssessment) -> None:
    where = lot.whereabouts
    page.line(
        f"Where it is: {number(where.made, 'piece')} made, {where.gone} scrapped or sampled", 2
    )
    for title, stands in (("in the plant", where.in_stock), ("shipped", where.shipped)):
        for one in stands:
            page.item(f"{title}: {_pieces(one)} in {one.lot} {_at(one)}", indent=4)


def _pieces(one: Stand) -> str:
    if one.at_least == one.at_most:
        return number(one.at_most, "piece")
    return f"{one.at_least} to {one.at_most} pieces"


def _at(one: Stand) -> str:
    if one.receiver:
        return f"at {one.receiver}"
    return f"at {one.place}" if one.place else ""


def _release(page: Page, lot: LotAssessment, zone: ZoneInfo) -> None:
    if lot.approval is None:
        page.line("Not released.", indent=2)
    else:
        when = f"{local(lot.approval.at_ms, zone)} by {lot.approval.by}"
        said = "Released" if lot.released else "Release SUSPENDED: the grounds have changed; given"
        page.line(f"{said} {when}.", indent=2)
    page.line(f"Evidence {lot.evidence}", indent=2)
