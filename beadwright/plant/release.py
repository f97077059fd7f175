"""Which block lots may ship, and why: the answer with its reasons, limits, sources and evidence.

Read :func:`assess` first. It asks each question once for all lots: what a lot was made of, what
was read of it, what reaches it from above, where its pieces are; then it judges lot by lot.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import lots, releases, settings
from beadwright.ledger.chain import canonical
from beadwright.ledger.releases import Approval
from beadwright.plant.assessment import Answer, Asked, Assessment, LotAssessment
from beadwright.plant.door import now_ms
from beadwright.plant.limits import LOT_TEST, Rulebook, rulebook
from beadwright.plant.pieces import Basis, ties_of
from beadwright.plant.reasons import answer_of, reasons_for, with_consequences
from beadwright.plant.told import as_json
from beadwright.plant.upstream import Upstream, causes_of, zone_of
from beadwright.plant.verdicts import LimitResult, judged
from beadwright.plant.weighings import Evidence, evidence
from beadwright.plant.whereabouts import Whereabouts, whereabouts
from beadwright.quality import readings, standing

__all__ = ["as_json", "assess", "upstream"]

_VERSION = 1
"""Of what the hash of evidence is made from."""

_PIECES = frozenset({"block", "packaging"})
_WORST: tuple[Answer, ...] = ("may_not_ship", "not_enough_evidence", "may_ship")
_MOULD_RUN = "mould run"


@dataclass(frozen=True, slots=True)
class _Known:
    """What was read for all lots assessed."""

    views: Mapping[str, lots.LotView]
    makings: Mapping[str, Sequence[lots.Making]]
    upstream: Mapping[str, tuple[Upstream, ...]]
    where: Mapping[str, Whereabouts]
    approvals: Mapping[str, Approval]
    rules: Rulebook


def assess(
    plant_no: int, codes: Sequence[str] | None = None, *, at_ms: int | None = None
) -> Assessment:
    """Assess block lots: all that mould runs made, or those that the lots named hold pieces of.

    A lot is judged by the product and the limits in force when its last mould run began; it does
    not depend on ``at_ms``, which only says when it was asked.

    Raises
    ------
    Misuse
        If a lot named is not in the record, or holds no blocks.
    """
    in_force = settings.load(plant_no)
    of_asked = None if codes is None else _of_asked(plant_no, codes)
    if of_asked is None:
        views = {view.code: view for view in lots.of_kind(plant_no, "block", _MOULD_RUN)}
    else:
        wanted = {lot for found in of_asked.values() for lot in found}
        views = lots.get_many(plant_no, sorted(wanted))
    makings = lots.makings(plant_no, views)
    if of_asked is None:
        views = {code: view for code, view in views.items() if code in makings}
    known = _Known(
        views,
        makings,
        causes_of(plant_no, views, makings, in_force),
        whereabouts(plant_no, views, makings),
        standing.approvals(plant_no, views),
        rulebook(plant_no, in_force),
    )
    found = _assessed(plant_no, known)
    asked = () if of_asked is None else _answers(plant_no, of_asked, found, in_force)
    names = in_force.names("plant")
    at_ms = now_ms() if at_ms is None else at_ms
    return Assessment(names[0] if names else "", zone_of(in_force).key, at_ms, found, asked)


def upstream(plant_no: int, code: str) -> tuple[Upstream, ...]:
    """Holds and nonconformities that reach a lot, each with the path of lots it came by."""
    views = lots.get_many(plant_no, [code])
    if code not in views:
        raise _unknown(code)
    makings = lots.makings(plant_no, views)
    return causes_of(plant_no, views, makings, settings.load(plant_no)).get(code, ())


def _unknown(code: str) -> Misuse:
    return Misuse(f"lot {code} is not in the record: check the code, or search by its label")


def _of_asked(plant_no: int, codes: Sequence[str]) -> dict[str, tuple[str, ...]]:
    """Give the block lots that each lot asked about holds pieces of."""
    views = lots.get_many(plant_no, dict.fromkeys(codes))
    for code in codes:
        if code not in views:
            raise _unknown(code)
        if views[code].kind not in _PIECES:
            message = f"{code} is {views[code].kind}; only blocks and what holds them are assessed"
            raise Misuse(message)
    return {
        code: (code,) if views[code].what == _MOULD_RUN else releases.mould_lots(plant_no, code)
        for code in dict.fromkeys(codes)
    }


def _answers(
    plant_no: int,
    of_asked: Mapping[str, tuple[str, ...]],
    found: Sequence[LotAssessment],
    in_force: settings.Settings,
) -> tuple[Asked, ...]:
    """Answer for the lots asked about; a bundle's own hold counts besides those of its lots."""
    by_lot = {one.lot: one for one in found}
    views = lots.get_many(plant_no, of_asked)
    holders = {code: view for code, view in views.items() if of_asked[code] != (code,)}
    own = causes_of(plant_no, holders, lots.makings(plant_no, holders), in_force)
    answers = []
    for code, inside in of_asked.items():
        inner = {cause.cause for lot in inside for cause in by_lot[lot].upstream}
        more = tuple(one for one in own.get(code, ()) if one.cause not in inner)
        worst = min((by_lot[lot].answer for lot in inside), key=_WORST.index)
        if any(not one.closed for one in more):
            worst = "may_not_ship"
        answers.append(Asked(code, views[code].what, inside, worst, more))
    return tuple(answers)


def _assessed(plant_no: int, known: _Known) -> tuple[LotAssessment, ...]:
    by_lot = readings.of_lots(plant_no, known.views)
    bases = []
    for code, view in known.views.items():
        makings = known.makings.get(code, ())
        made = makings[-1].at_ms if makings else None
        product = known.rules.product(view.product, made or 0)
        bases.append(Basis(code, product, ties_of(makings), by_lot.get(code, ()), made))
    pairs = sorted(zip(bases, evidence(bases), strict=True), key=lambda p: known.views[p[0].lot].no)
    return tuple(_lot(basis, here, known) for basis, here in pairs)


def _lot(basis: Basis, here: Evidence, known: _Known) -> LotAssessment:
    view = known.views[basis.lot]
    in_force = known.rules.limits(view.product, basis.made_at_ms or 0)
    limits = tuple(judged(one, here) for one in in_force if one.evidence == LOT_TEST)
    above = known.upstream.get(basis.lot, ())
    reasons = reasons_for(basis, here, limits, above)
    answer = answer_of(reasons)
    where, approval = known.where[basis.lot], known.approvals.get(basis.lot)
    digest = _digest(basis, limits, above, answer)
    return LotAssessment(
        lot=basis.lot,
        product=view.product,
        title=basis.product.title if basis.product is not None else view.product,
        made_at_ms=basis.made_at_ms,
        answer=answer,
        reasons=with_consequences(reasons, where, approval),
        limits=limits,
        elsewhere=tuple(one.name for one in in_force if one.evidence != LOT_TEST),
        upstream=above,
        ties=tuple(here.questions),
        defects=here.defects,
        whereabouts=where,
        approval=approval,
        evidence=digest,
    )


def _digest(
    basis: Basis, limits: Iterable[LimitResult], above: Iterable[Upstream], answer: Answer
) -> str:
    """Hash all that an answer rests on: not where the pieces are, nor when it was asked."""
    product = basis.product
    body = {
        "version": _VERSION,
        "lot": basis.lot,
        "answer": answer,
        "product": []
        if product is None
        else [
            product.name, product.ties, repr(product.foam_volume_m3), repr(product.foam_mass_kg),
            [[state, repr(share)] for state, share in sorted(product.water.items())],
        ],
        "ties": [list(carton) for carton in basis.ties.cartons] if basis.ties else [],
        "readings": [
            [r.seq, r.line, r.characteristic, r.value, r.unit, r.specimen, r.replicate]
            for r in sorted(basis.readings, key=lambda r: (r.seq, r.line))
        ],
        "limits": [
            [
                one.limit.name, one.limit.characteristic, one.limit.bound, one.limit.statistic,
                one.bound, one.limit.specimens, one.limit.source, one.finding,
                one.limit.verified_by, one.limit.verified_on,
            ]
            for one in limits
        ],
        "causes": [[one.cause, one.step, one.closed] for one in above],
    }  # fmt: skip
    return hashlib.sha256(canonical(body).encode()).hexdigest()
