"""What `assess LOT` says: the answer first, what to do first, then everything it rests on."""

from __future__ import annotations

from collections.abc import Container, Sequence

from beadwright.cli import show_rests
from beadwright.cli.asking import Assessed
from beadwright.cli.choices import Units
from beadwright.cli.grouping import by_limit, missing_of, said_of, sources_of
from beadwright.cli.printed import Page, local
from beadwright.plant.assessment import Asked, LotAssessment, Reason
from beadwright.plant.limit_rows import LimitRow, rows
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.release_words import headline, standing, tells_left
from beadwright.plant.upstream import Upstream
from beadwright.plant.whereabouts import Stand
from beadwright.plant.words import capital, code_words, in_runs, number

__all__ = ["show"]

_FIRST = {"may_not_ship": "Worst", "not_enough_evidence": "Missing", "may_ship": "Because"}
_FINDINGS = {"met": "met", "not_met": "NOT MET", "not_enough_evidence": "open"}
_EVIDENCE = {"lot_test": "lot test", "periodic_test": "periodic test", "type_test": "type test"}
_TESTED = {"covers": "in time", "failed": "FAILED", "lapsed": "LAPSED", "missing": "MISSING"}
_TESTS_COVER = "tests_cover"
"""Code of the reason that only the list of planned tests tells; what is amiss stands above too."""

_STATES = {"dry": "dry", "24h": "24 h", "press": "wet", "specimen": "cut", "": ""}


def show(found: Assessed, *, units: Units | None) -> None:
    """Print a page for each lot asked about."""
    if found.plant is None or found.assessment is None:
        return
    page, plant = Page(Named.of(found.plant).within), found.plant
    by_lot = {lot.lot: lot for lot in found.assessment.lots}
    held = frozenset(one.code for one in found.assessment.held)
    for number_, asked in enumerate(found.assessment.asked):
        if number_:
            page.line("=" * 72)
        if asked.lots != (asked.code,):
            _holder(page, asked, [by_lot[code] for code in asked.lots])
        for code in asked.lots:
            _lot(page, (plant, held), by_lot[code], units)
    seq, own = plant.head
    page.line()
    page.line(f"Plant {plant.code}, times in {plant.zone.key}; record head {seq}:{own[:12]}…")


def _holder(page: Page, asked: Asked, inside: Sequence[LotAssessment]) -> None:
    page.line(f"{asked.code} ({asked.what}): {headline(asked, inside=inside).upper()}")
    page.line(f"It holds pieces of {in_runs(asked.lots)}; its answer is the worst of theirs.")
    for one in asked.upstream:
        page.item(_cause(one))
    page.line()


def _lot(
    page: Page, known: tuple[Plant, frozenset[str]], lot: LotAssessment, units: Units | None
) -> None:
    plant, held = known
    page.line(f"{lot.lot}: {headline(lot).upper()}")
    made = "" if lot.made_at_ms is None else f", last run begun {local(lot.made_at_ms, plant.zone)}"
    pieces = number(lot.whereabouts.made, "piece")
    page.line(f"{lot.title} ({lot.product}), {pieces} made{made}")
    for line in standing(lot, plant.zone):
        page.line(line)
    for one in lot.doubts:  # who releases must have read it: it stands before the good news
        page.line(f"{capital(one.sentence)} [{one.source}].")
    first = _first(lot)
    page.line()
    left = tells_left(headline(lot))
    page.line(f"{'The evidence' if left else _FIRST[lot.answer]}: {first.sentence}.")
    if first.source and first.weight == "stops":
        page.line(f"Source: {first.source}", indent=2)
    _missing(page, lot)
    told = (first, *lot.doubts)
    others = [one for one in lot.reasons if one not in told and not by_limit(lot, one)]
    _reasons(page, others, lot.upstream)
    _limits(page, lot, units)
    show_rests.show(page, plant, lot)
    _tests(page, lot)
    _upstream(page, lot.upstream)
    _sources(page, plant, lot)
    _where(page, lot, held)
    page.line()
    page.line(f"Hash of this evidence, which a release approves: {lot.evidence[:16]}…")


def _first(lot: LotAssessment) -> Reason:
    """Give the reason to be read first: the worst, or that all limits are met."""
    if lot.answer == "may_ship":
        return next((one for one in lot.reasons if one.code == "limits_met"), lot.reasons[0])
    return lot.reasons[0]


def _missing(page: Page, lot: LotAssessment) -> None:
    missing = missing_of([lot])
    if missing:
        page.heading("Missing, limit by limit")
    for what, named in missing.items():
        page.item(f"{', '.join(named)}: {what}")


def _reasons(page: Page, reasons: Sequence[Reason], upstream: Sequence[Upstream]) -> None:
    told_below = {one.code for one in upstream} | {_TESTS_COVER}
    rest = [one for one in reasons if one.code not in told_below]
    for weight, title in (("stops", "Also stops it"), ("asks", "Also missing"), ("notes", "Note")):
        told = [one for one in rest if one.weight == weight]
        if told:
            page.heading(title)
        for one in told:
            source = f" [{one.source}]" if one.source and weight != "notes" else ""
            page.item(f"{one.sentence}{source}")


def _limits(page: Page, lot: LotAssessment, units: Units | None) -> None:
    if not lot.limits:
        return
    page.heading("Limits that every lot is tested against")
    told = rows(lot.limits, None if units is None else units.system)
    sources = list(dict.fromkeys(one.source for one in told))
    said = [_row(one, sources.index(one.source) + 1) for one in told]
    columns = ("characteristic", "!found>", "!limit", "!margin>", "!n>", "!blocks", "!result", "!")
    page.table(columns, said)
    for place, origin in enumerate(sources, 1):
        page.item(origin, mark=f"[{place}]")
    _unsure(page, told)
    if lot.elsewhere:
        page.line(f"Not by its own readings: {', '.join(lot.elsewhere)}", indent=2)
    page.line(f"Decision rule: {lot.decision_rule}.", indent=2)


def _unsure(page: Page, told: Sequence[LimitRow]) -> None:
    """Say how sure each figure is, those of which nobody knows it together."""
    known = {_figure_of(one) for one in told if one.u}
    both = known.intersection(_figure_of(one) for one in told if one.sure == "unknown")

    def named(one: LimitRow) -> str:
        """Name the limit too, where a figure of that name is known by one and not by another."""
        name = _figure_of(one)
        state = f", {_STATES[one.state]}" if _STATES[one.state] else ""
        return f"{name}, {one.limit}{state}" if name in both else name

    said = dict.fromkeys(
        f"{named(one)} {'at least ' if one.sure == 'least' else ''}"
        f"{one.u} {one.limit.rpartition(' ')[2]}"
        for one in told if one.u
    )  # fmt: skip
    unknown = dict.fromkeys(named(one) for one in told if one.sure == "unknown")
    said |= {f"not known of {'; '.join(unknown)}": None} if unknown else {}
    if said:
        page.line(f"Expanded uncertainty (k = 2): {'; '.join(said)}.", indent=2)


def _figure_of(one: LimitRow) -> str:
    return f"{one.characteristic}, {one.statistic}"


def _tests(page: Page, lot: LotAssessment) -> None:
    if not lot.tests:
        return
    page.heading("Tests that the plan asks for besides")
    for test in lot.tests:
        words = f"{_EVIDENCE[test.evidence]}, {_TESTED[test.state]}: {test.sentence}"
        page.item(f"{words} [plan {test.plan}]")


def _row(one: LimitRow, source: int) -> tuple[str, ...]:
    return (
        f"{one.characteristic}, {one.statistic}",
        one.found,
        one.limit,
        one.margin,
        str(one.n) if one.n else "",
        _STATES.get(one.state, one.state),
        _FINDINGS[one.finding],
        f"[{source}]",
    )


def _upstream(page: Page, reached: Sequence[Upstream]) -> None:
    if not reached:
        return
    page.heading("Holds and nonconformities that reach it")
    for one in reached:
        page.item(_cause(one))


def _cause(one: Upstream) -> str:
    state = f"CLOSED by concession ({one.conceded})" if one.closed else "OPEN"
    way = f" Way: {one.path}." if one.path else ""
    step = f" Step {one.step}." if one.step else ""
    return f"{state}, {code_words(one.code)}, {one.at}: {one.sentence}.{way}{step}"


def _sources(page: Page, plant: Plant, lot: LotAssessment) -> None:
    said = said_of(sources_of(plant.no, lot.lot))
    if said:
        page.heading("Where its foam came from (estimated; trace LOT --back gives bounds)")
        page.line(said, indent=2)


def _where(page: Page, lot: LotAssessment, held: Container[str]) -> None:
    page.heading("Where its pieces are")
    where = lot.whereabouts
    for one in where.in_stock:
        stop = ", ON HOLD" if one.lot in held else ""
        page.item(f"{one.pieces} in the plant{_in(one, lot.lot)}{_at(one)}{stop}")
    for one in where.shipped:
        stop = ", ON HOLD" if one.lot in held else ""
        page.item(f"{one.pieces} shipped to {one.receiver}{_in(one, lot.lot)}{stop}")
    if where.gone:
        page.item(f"{where.gone} rejected, sampled or not found again")


def _in(stand: Stand, lot: str) -> str:
    return "" if stand.lot == lot else f", in {stand.lot}"


def _at(stand: Stand) -> str:
    return f", at {stand.place}" if stand.place else ""
