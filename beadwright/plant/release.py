"""Which block lots may ship, and why: the answer with its reasons, limits, sources and evidence.

Read :func:`assess` first. It asks each question once for all lots: what a lot was made of, what
was read of it, what reaches it from above, where its pieces are; then it judges lot by lot.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from zoneinfo import ZoneInfo

from beadwright.errors import Misuse
from beadwright.ledger import lots, onward, releases, settings
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.releases import Approval
from beadwright.ledger.undisturbed import undisturbed
from beadwright.plant import (
    afterwards,
    apart,
    approved,
    calibrations,
    departed,
    doubted,
    eased,
    first_pieces,
    loosened,
    provenance,
    timelines,
)
from beadwright.plant.assessment import (
    REASONS,
    Answer,
    Asked,
    Assessment,
    LotAssessment,
    Reason,
)
from beadwright.plant.bases import basis_of
from beadwright.plant.block_age import ageing_of
from beadwright.plant.calibrations import Aside, Calibrations
from beadwright.plant.digest import Grounds, hashes_of, written
from beadwright.plant.door import now_ms
from beadwright.plant.first_pieces import FirstPiece
from beadwright.plant.holders import holders, notes
from beadwright.plant.inspection_plans.bearing import bearing, bearing_measured
from beadwright.plant.inspection_plans.lot_measured import JudgedBy, LotMeasured, measured_lots
from beadwright.plant.inspection_plans.variables_set import variables_in_force
from beadwright.plant.limits import Rulebook, rulebook
from beadwright.plant.lot_tests import Lot
from beadwright.plant.plan import LOT, Planbook
from beadwright.plant.provenance import Provenance
from beadwright.plant.reasons import answer_of, reasons_for, with_consequences
from beadwright.plant.restatements import Restatement, restating, sentences
from beadwright.plant.shifts import Shifts
from beadwright.plant.tested import SHARED, Judgement, Tests
from beadwright.plant.told import as_json
from beadwright.plant.upstream import Upstream, causes_of, zone_of
from beadwright.plant.weighings import evidence
from beadwright.plant.whereabouts import Whereabouts, followed, whereabouts
from beadwright.quality import readings, standing
from beadwright.quality.readings import ReadingView

__all__ = ["as_json", "assess", "upstream"]

_WORST: tuple[Answer, ...] = ("may_not_ship", "not_enough_evidence", "may_ship")
_MOULD_RUN = "mould run"


@dataclass(frozen=True, slots=True)
class _Known:
    """What was read for all lots assessed."""

    views: Mapping[str, lots.LotView]
    makings: Mapping[str, Sequence[lots.Making]]
    upstream: Mapping[str, tuple[Upstream, ...]]
    where: Mapping[str, Whereabouts]
    approvals: Mapping[str, tuple[Approval, ...]]
    rule: Mapping[str, object] | None
    """Who must release, where the plant has said so."""
    rules: Rulebook
    fit: Calibrations
    tests: Tests
    first: Mapping[str, tuple[FirstPiece, ...]]
    zone: ZoneInfo
    notes: Mapping[str, Sequence[Reason]]
    """What is to be known of a lot's pieces, and holds nothing of the lot."""
    company: Mapping[str, Sequence[lots.Making]]
    """Lots that may speak for one assessed, by the plan, with how they were made."""
    in_force: settings.Settings
    few: bool
    """Whether some lots were named, not all asked."""


@undisturbed()
def assess(
    plant_no: int,
    codes: Sequence[str] | None = None,
    *,
    at_ms: int | None = None,
    way_back: bool = True,
) -> Assessment:
    """Assess block lots: all that mould runs made, or those that the lots named hold pieces of.

    A lot is judged by the product and the limits in force when its last mould run began; that does
    not depend on ``at_ms``, when it was asked; how many people must release it does. Corrections
    of what it was made of, which are notes, are told of a few lots, and with ``way_back`` only.

    Raises
    ------
    Misuse
        If a lot named is not in the record, or holds no blocks.
    """
    in_force = settings.load(plant_no)
    at_ms = now_ms() if at_ms is None else at_ms
    named = {} if codes is None else _named(plant_no, codes)
    of_asked = None if codes is None else releases.mould_lots(plant_no, named)
    views, makings = _looked_at(plant_no, named, of_asked)
    fit, zone, plan = calibrations.load(plant_no, in_force), zone_of(in_force), Planbook(in_force)
    above = causes_of(plant_no, views, makings, in_force)
    into = followed(plant_no, views)
    held = holders(plant_no, in_force, *(() if codes is None else (views, into)))
    given = standing.approvals_given(plant_no, views)
    known = _Known(
        views,
        makings,
        above,
        whereabouts(plant_no, views, makings, into),
        given,
        in_force.at("release", "rule", at_ms),
        rulebook(plant_no, in_force),
        fit,
        Tests(plan, timelines.load(plant_no, plan, fit, zone), zone),
        first_pieces.of_lots(plant_no, in_force, makings),
        zone,
        _noted(
            notes(plant_no, held, above, zone), _besides(plant_no, in_force, (views, given), at_ms)
        ),
        {} if codes is None else _company(plant_no, plan, (views, makings), Shifts(in_force, zone)),
        in_force,
        codes is not None,
    )
    found = _assessed(plant_no, known, way_back=way_back)
    asked = () if of_asked is None else _answers(plant_no, (named, of_asked), found, in_force)
    names = in_force.names("plant")
    return Assessment(names[0] if names else "", zone_of(in_force).key, at_ms, found, asked, held)


def _besides(
    plant_no: int,
    in_force: settings.Settings,
    of: tuple[Mapping[str, lots.LotView], Mapping[str, Sequence[Approval]]],
    at_ms: int,
) -> Iterator[tuple[str, Reason]]:
    """Give what inspection plans say of lots, and what is to be known of who released them."""
    views, given = of
    yield from bearing(plant_no, in_force, views, at_ms)
    asked = {"rule_loosened": loosened.told, "set_up_by_other": apart.told}
    for code, told in asked.items():
        for lot, some in told(plant_no, in_force, given, at_ms).items():
            yield from ((lot, Reason(code, *one, REASONS[code][0])) for one in some)


def _looked_at(
    plant_no: int,
    named: Mapping[str, lots.LotView],
    of_asked: Mapping[str, tuple[str, ...]] | None,
) -> tuple[dict[str, lots.LotView], dict[str, list[lots.Making]]]:
    """Give the lots to assess with how they were made: those in what is named, or all."""
    if of_asked is None:
        views = {view.code: view for view in lots.of_kind(plant_no, "block", _MOULD_RUN)}
        makings = lots.makings(plant_no, views)
        return {code: view for code, view in views.items() if code in makings}, makings
    wanted = {lot for found in of_asked.values() for lot in found}
    views = lots.get_many(plant_no, sorted(wanted - named.keys()))
    views |= {code: named[code] for code in wanted & named.keys()}
    return views, lots.makings(plant_no, views)


def _noted(
    notes: Mapping[str, Sequence[Reason]], more: Iterable[tuple[str, Reason]]
) -> dict[str, Sequence[Reason]]:
    """Put what is to be known of a lot's release to what is to be known of its pieces."""
    found = {lot: [*some] for lot, some in notes.items()}
    for lot, reason in more:
        found.setdefault(lot, []).append(reason)
    return {**found}


def upstream(plant_no: int, code: str) -> tuple[Upstream, ...]:
    """Holds and nonconformities that reach a lot, each with the path of lots it came by."""
    views = lots.get_many(plant_no, [code])
    if code not in views:
        raise _unknown(code)
    makings = lots.makings(plant_no, views)
    return causes_of(plant_no, views, makings, settings.load(plant_no)).get(code, ())


def _unknown(code: str) -> Misuse:
    return Misuse(f"lot {code} is not in the record: check the code, or search by its label")


def _named(plant_no: int, codes: Sequence[str]) -> dict[str, lots.LotView]:
    """Give the lots asked about, where all of them are blocks."""
    views = lots.get_many(plant_no, dict.fromkeys(codes))
    for code in codes:
        if code not in views:
            raise _unknown(code)
        if views[code].kind not in MOULDED:
            message = f"{code} is {views[code].kind}; only blocks and what holds them are assessed"
            raise Misuse(message)
    return {code: views[code] for code in codes}


def _answers(
    plant_no: int,
    asked: tuple[Mapping[str, lots.LotView], Mapping[str, tuple[str, ...]]],
    found: Sequence[LotAssessment],
    in_force: settings.Settings,
) -> tuple[Asked, ...]:
    """Answer for the lots asked about; a bundle's own hold counts besides those of its lots."""
    views, of_asked = asked
    by_lot = {one.lot: one for one in found}
    holders = {code: view for code, view in views.items() if of_asked[code] != (code,)}
    own = causes_of(plant_no, holders, lots.makings(plant_no, holders), in_force)
    answers = []
    for code, inside in of_asked.items():
        inner = {cause.cause for lot in inside for cause in by_lot[lot].upstream}
        more = tuple(one for one in own.get(code, ()) if one.cause not in inner)
        worst = min((by_lot[lot].answer for lot in inside), key=_WORST.index)
        if any(not one.closed for one in more):
            worst = "may_not_ship"
        leave = worst == "may_ship" and all(by_lot[lot].may_leave for lot in inside)
        answers.append(Asked(code, views[code].what, inside, worst, more, leave))
    return tuple(answers)


def _company(
    plant_no: int,
    plan: Planbook,
    asked: tuple[Mapping[str, lots.LotView], Mapping[str, Sequence[lots.Making]]],
    shifts: Shifts,
) -> dict[str, Sequence[lots.Making]]:
    """Find the lots made on the days of some lots, where the plan lets one speak for others."""
    views, makings = asked
    times: set[int] = set()
    every: set[str] = set()
    for code, view in views.items():
        made = makings[code][-1].at_ms if makings.get(code) else None
        rows = () if made is None else plan.rows(view.product, made)
        by = {row.every.by for row in rows if row.evidence == LOT and row.every is not None}
        if made is not None and by & SHARED:
            times.add(made)
            every |= by
    spans = shifts.spans_about(times, every)
    return dict(lots.makings(plant_no, set(onward.moulded_between(plant_no, spans)) - set(views)))


def _assessed(plant_no: int, known: _Known, *, way_back: bool) -> tuple[LotAssessment, ...]:
    views = {**lots.get_many(plant_no, known.company), **known.views}
    makings = {**known.company, **known.makings}
    said = readings.of_lots(plant_no, views, voided=True)
    bases, aside = [], {}
    for code, view in views.items():
        steps = makings.get(code, ())
        kept, aside[code] = known.fit.parted(_stand(said.get(code, ())))
        ageing = ageing_of(known.in_force, view.grades, (step.at_ms for step in steps))
        basis = basis_of(known.rules, (code, view.product), steps, kept)
        bases.append(replace(basis, first=known.first.get(code, ()), ageing=ageing))
    read, shifts = [], Shifts(known.in_force, known.zone)
    for basis, here in zip(bases, evidence(bases), strict=True):
        here.aside = aside[basis.lot]
        steps = makings.get(basis.lot, ())
        read.append(Lot.of((basis, here), views[basis.lot].product, steps, shifts.of_lot(steps)))
    # In order before they meet: of several of a day that could be named, the first is.
    read.sort(key=lambda one: views[one.basis.lot].no)
    known.tests.meet(read)
    told = [
        (one, known.tests.of(one, known.rules.limits(views[one.basis.lot].product, one.made_ms)))
        for one in read
        if one.basis.lot in known.views
    ]
    restated = restating(plant_no, said, ((one.basis.lot, has.tests) for one, has in told),
                         known.zone)  # fmt: skip
    came = _came(plant_no, told, said, known)
    later = _later(plant_no, told, known, way_back=way_back)
    read_of = [(one, known.views[one.basis.lot].first or 0) for one, _ in told]
    plans = variables_in_force(known.in_force)
    by_plan = measured_lots(read_of, JudgedBy(plans, known.rules, known.tests.plan, restated))
    return tuple(
        _lot(
            one,
            (has, aside[lot], by_plan[lot]),
            (restated[lot], came[lot], later.get(lot, ())),
            known,
        )
        for lot, (one, has) in ((each[0].basis.lot, each) for each in told)
    )


def _came(
    plant_no: int,
    told: Sequence[tuple[Lot, Judgement]],
    said: Mapping[str, Sequence[ReadingView]],
    known: _Known,
) -> Mapping[str, Provenance]:
    """Say how the readings that lots rest on came into the record."""
    asked = [(one.basis.lot, has, known.views[one.basis.lot].seq) for one, has in told]
    plant = (plant_no, lots.plant_code(plant_no))
    return provenance.of_lots(plant, asked, said, (known.fit, known.zone, known.in_force))


def _later(
    plant_no: int, told: Sequence[tuple[Lot, Judgement]], known: _Known, *, way_back: bool
) -> dict[str, list[afterwards.Told]]:
    """Say what lots are judged by that was entered after them."""
    asked = [
        afterwards.Asked(
            one.basis.lot, known.views[one.basis.lot].product, one.made_ms,
            known.views[one.basis.lot].seq, tuple(has.tests),
        )
        for one, has in told
    ]  # fmt: skip
    found = afterwards.told(plant_no, known.in_force, asked, known.zone, way_back=way_back)
    judged = [
        (one.basis.lot, one.made_ms, frozenset(limit.characteristic for limit in has.judged_by))
        for one, has in told
    ]
    for lot, line in eased.told(plant_no, known.in_force, judged, known.zone):
        found.setdefault(lot, []).append(line)
    return found


def _stand(said: Sequence[ReadingView]) -> tuple[ReadingView, ...]:
    return tuple(one for one in said if one.voided_by is None)


def _to_be_known(lot: Lot, measured: Iterable[LotMeasured], known: _Known) -> Iterator[Reason]:
    """Say what of its first pieces, of its pieces, plans and tests is to be known of a lot."""
    basis = lot.basis
    yield from first_pieces.reasons_of(basis.first, known.zone)
    yield from known.notes.get(basis.lot, ())
    yield from bearing_measured(measured)
    yield from departed.reasons_of_departures(departed.departed(basis.readings))
    yield from doubted.reasons_of_doubt(known.fit, basis.readings, known.zone)


def _lot(
    lot: Lot,
    found: tuple[Judgement, tuple[Aside, ...], tuple[LotMeasured, ...]],
    history: tuple[tuple[Restatement, ...], Provenance, Sequence[afterwards.Told]],
    known: _Known,
) -> LotAssessment:
    basis, here, view = lot.basis, lot.here, known.views[lot.basis.lot]
    (told, aside, measured), (restated, came, later) = found, history
    above = known.upstream.get(basis.lot, ())
    others = [*_to_be_known(lot, measured, known), *_told(restated, came, later)]
    answer = answer_of(reasons := reasons_for(lot, told, aside, above, others))
    given, persons = known.approvals.get(view.code, ()), approved.persons(known.rule)
    where, count = known.where[basis.lot], approved.counting(given, persons)
    hashes = hashes_of(of := Grounds(basis, told, aside, above, answer), given)
    return LotAssessment(
        lot=basis.lot,
        product=view.product,
        title=basis.product.title if basis.product is not None else view.product,
        made_at_ms=basis.made_at_ms,
        answer=answer,
        reasons=with_consequences(reasons, where, count if len(count) >= persons else ()),
        limits=told.limits,
        elsewhere=told.elsewhere,
        tests=told.tests,
        aside=aside,
        upstream=above,
        ties=tuple(here.questions),
        defects=here.defects,
        whereabouts=where,
        approvals=count,
        persons=persons,
        ruled=known.rule is not None,
        given=given,
        evidence=hashes[0],
        restated=restated,
        came=came,
        earlier=hashes[1:],
        measured=measured,
        written=written(of) if known.few else "",
    )


def _told(
    restated: Sequence[Restatement], came: Provenance, later: Sequence[afterwards.Told]
) -> Iterator[Reason]:
    """Give what is to be known of how what a lot is judged by came to be what it is."""
    said = (("readings_restated", *one) for one in sentences(restated))
    for code, sentence, source in (*said, *came.reasons, *later):
        yield Reason(code, sentence, source, REASONS[code][0])
