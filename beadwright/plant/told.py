"""An assessment as JSON, with field names that stay.

Read :func:`as_json`.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from beadwright.ledger.releases import Approval
from beadwright.plant.assessment import Answer, Asked, Assessment, Holder, LotAssessment
from beadwright.plant.calibrations import Aside
from beadwright.plant.inspection_plans.measured_told import lot_json as measured_json
from beadwright.plant.limit_rows import source_of
from beadwright.plant.proofs import PlannedTest, Proof
from beadwright.plant.provenance import EnteredLate, LateCalibration, Unproven
from beadwright.plant.restatements import Restatement
from beadwright.plant.upstream import Upstream
from beadwright.plant.verdicts import LimitResult
from beadwright.plant.weighings import TieQuestion
from beadwright.plant.whereabouts import Stand, Whereabouts

__all__ = ["as_json", "restatement_json"]


def as_json(assessment: Assessment) -> dict[str, Any]:
    """Give an assessment as a map that JSON can hold; times are ISO 8601 in the plant's zone.

    ``plant``, ``zone``, ``at``; ``counts``: block lots by answer (``may_ship``, ``may_not_ship``,
    ``not_enough_evidence``), and those that ``may_leave``; ``asked``: for each lot named, ``code``,
    ``what``, ``lots``, ``answer``, ``may_leave``, ``upstream``; ``held``: for each bundle or
    shipment that something of its own holds, the same with ``place``, ``receiver``, ``pieces``;
    ``lots``: for each block lot

    - ``lot``, ``product``, ``title``, ``made_at``, ``answer``, ``may_leave`` (it may ship and,
      where a rule of release is in force, a release stands), ``evidence`` (the hash that a
      release approves), ``released``, ``release_suspended``, ``released_at``, ``released_by``,
      ``persons`` (how many must release it), ``to_sign`` (how many have still to), ``approvals``:
      ``by``, ``at``, ``evidence``, ``entry``, ``account``, ``note``;
    - ``reasons``, worst first: ``code``, ``weight`` (``stops``, ``asks``, ``notes``),
      ``sentence``, ``source``;
    - ``decision_rule``: how it is held against its limits, in words;
    - ``limits``: ``name``, ``characteristic``, ``bound`` (``min``, ``max``), ``statistic``
      (``each``, ``mean``), ``limit``, ``unit``, ``finding`` (``met``, ``not_met``,
      ``not_enough_evidence``), ``value`` and ``margin`` as text in the limit's unit, ``value_si``,
      ``u_si`` (standard uncertainty), ``limit_si``, ``margin_si``, ``n``, ``specimens`` (asked
      for), ``state`` (``dry``, ``24h``, ``press``, ``specimen``), ``missing``, ``warning``,
      ``source`` (where it is written and who stands for it, as the pages say it), ``says`` (the
      text of the setting or of the printed limit alone), ``set_by_entry`` and ``set_how`` (of the
      plant's own: the entry that states it, who is named for it and how it came), ``standard``,
      ``edition``, ``clause``, ``verified`` (null of the plant's own),
      ``how_read``, ``verified_by``, ``verified_on``, ``row`` (id of a printed limit, as a
      signature names it), ``superseded``, ``covered_by``, ``readings`` (entry and number within
      it), ``acceptance`` (``simple``, ``guarded``), ``k`` (width of the guard band in standard
      uncertainties), ``guard`` as text and ``guard_si``;
    - ``limits_elsewhere``: limits that rest on other evidence than readings of the lot;
    - ``by_variables``: what it came to by each variables plan of its product, as ``inspection``
      tells it of a lot;
    - ``tests``: what the plan asks besides: ``plan`` (its row, or the limit that asks),
      ``characteristic``, ``evidence`` (``lot_test``, ``periodic_test``, ``type_test``), ``every``,
      ``state`` (``covers``, ``failed``, ``lapsed``, ``missing``), ``sentence``, ``until`` (last
      day of making that it covers), and ``proof``, null where there is none: ``report``, ``lot``,
      ``laboratory``, ``method``, ``specimens``, ``result``, ``sampled``, ``tested``, ``issued``,
      ``expires``, ``file``, ``entries``, and ``limits`` as above;
    - ``restated``: readings that a correction ``did`` something to (``restated``, ``taken out``,
      ``added``), of the lot or of what answers for it: ``correction`` (its client key),
      ``replaces`` (the entry before), ``void``, ``entry`` (the one that stands; null where there
      is none), ``by``, ``account``, ``reason``, ``dated``, ``entered_at``, ``lots``, ``readings``
      (how many), ``changes``: ``field``, ``before``, ``after``;
    - ``calibrated_late``: calibrations by which readings count and that were entered after them:
      ``instrument``, ``certificate``, ``done``, ``due``, ``by``, ``entry``, ``entered``,
      ``characteristics``, ``readings``; ``entered_late``: readings entered long after they were
      taken: ``taken``, ``entered``, ``by``, ``characteristics``, ``readings``;
      ``instrument_unproven``: readings that name no instrument (``instrument`` is empty), or one
      that is not listed: ``instrument``, ``characteristics``, ``readings``;
    - ``set_aside``: readings of instruments that were not fit: ``instrument``, ``why``, ``from``,
      ``characteristics``, ``readings``;
    - ``upstream``: ``code``, ``cause``, ``sentence``, ``lot``, ``step``, ``at``, ``path``,
      ``closed``, ``conceded``;
    - ``ties_in_doubt``: ``state``, ``pieces`` (none: all alike), ``ties_short``, ``shortfall_kg``;
    - ``checked``; ``defective``: pieces by kind;
    - ``made``, ``gone``, and ``in_stock`` and ``shipped``: ``lot``, ``what``, ``place``,
      ``receiver``, ``pieces_at_least``, ``pieces_at_most``.
    """
    zone = ZoneInfo(assessment.zone)
    answers: tuple[Answer, ...] = ("may_ship", "may_not_ship", "not_enough_evidence")
    return {
        "plant": assessment.plant,
        "zone": assessment.zone,
        "at": _iso(assessment.at_ms, zone),
        "counts": {
            **{answer: assessment.count(answer) for answer in answers},
            "may_leave": assessment.may_leave,
            "look_back_first": assessment.doubted,
        },
        "asked": [_asked(one, zone) for one in assessment.asked],
        "held": [_held(one, zone) for one in assessment.held],
        "lots": [_lot(one, zone) for one in assessment.lots],
    }


def _iso(at_ms: int | None, zone: ZoneInfo) -> str | None:
    if at_ms is None:
        return None
    return datetime.fromtimestamp(at_ms / 1000, zone).isoformat(timespec="seconds")


def _asked(one: Asked, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "code": one.code,
        "what": one.what,
        "lots": list(one.lots),
        "answer": one.answer,
        "may_leave": one.may_leave,
        "upstream": [_upstream(each, zone) for each in one.upstream],
    }


def _held(one: Holder, zone: ZoneInfo) -> dict[str, Any]:
    where = {"place": one.place, "receiver": one.receiver, "pieces": one.pieces}
    return {**_asked(one, zone), **where}


def _approval(one: Approval, zone: ZoneInfo) -> dict[str, Any]:
    said = {"by": one.by, "at": _iso(one.at_ms, zone), "evidence": one.evidence}
    return {**said, "entry": one.seq, "account": one.account, "note": one.note}


def _lot(one: LotAssessment, zone: ZoneInfo) -> dict[str, Any]:
    approval = one.approval
    return {
        "lot": one.lot,
        "product": one.product,
        "title": one.title,
        "made_at": _iso(one.made_at_ms, zone),
        "answer": one.answer,
        "may_leave": one.may_leave,
        "evidence": one.evidence,
        "released": one.released,
        "release_suspended": one.suspended,
        "released_at": None if approval is None else _iso(approval.at_ms, zone),
        "released_by": None if approval is None else approval.by,
        "persons": one.persons,
        "to_sign": one.to_sign,
        "approvals": [_approval(each, zone) for each in one.approvals],
        "reasons": [
            {"code": r.code, "weight": r.weight, "sentence": r.sentence, "source": r.source}
            for r in one.reasons
        ],
        "decision_rule": one.decision_rule,
        "limits": [_limit(result) for result in one.limits],
        "limits_elsewhere": list(one.elsewhere),
        "by_variables": [measured_json(zone, each) for each in one.measured],
        "tests": [_test(test) for test in one.tests],
        "restated": [restatement_json(each, zone) for each in one.restated],
        "calibrated_late": [_calibrated(each) for each in one.came.calibrations],
        "instrument_unproven": [_unproven(each) for each in one.came.unproven],
        "entered_late": [_entered(each) for each in one.came.late],
        "set_aside": [_aside(aside) for aside in one.aside],
        "upstream": [_upstream(each, zone) for each in one.upstream],
        "ties_in_doubt": [_doubt(doubt) for doubt in one.ties],
        "checked": one.defects.checked,
        "defective": dict(one.defects.defective),
        **_whereabouts(one.whereabouts),
    }


def _whereabouts(found: Whereabouts) -> dict[str, Any]:
    return {
        "made": found.made,
        "gone": found.gone,
        "in_stock": [_stand(stand) for stand in found.in_stock],
        "shipped": [_stand(stand) for stand in found.shipped],
    }


def _unproven(one: Unproven) -> dict[str, Any]:
    return {
        "instrument": one.instrument,
        "characteristics": list(one.characteristics),
        "readings": [list(id_) for id_ in one.ids],
    }


def restatement_json(one: Restatement, zone: ZoneInfo) -> dict[str, Any]:
    """Give a restatement of readings as a map that JSON can hold."""
    return {
        "did": one.did,
        "correction": one.correction,
        "replaces": one.replaces,
        "void": one.void,
        "entry": one.entry,
        "by": one.by,
        "account": one.account,
        "reason": one.reason,
        "dated": _iso(one.happened_at, zone),
        "entered_at": _iso(one.recorded_at, zone),
        "lots": list(one.lots),
        "readings": one.count,
        "changes": [
            {"field": each.field, "before": each.before, "after": each.after}
            for each in one.changes
        ],
    }


def _doubt(doubt: TieQuestion) -> dict[str, Any]:
    return {
        "state": doubt.state,
        "pieces": list(doubt.pieces),
        "ties_short": doubt.short,
        "shortfall_kg": doubt.shortfall_kg,
    }


def _limit(result: LimitResult) -> dict[str, Any]:
    limit = result.limit
    return {
        "name": limit.name,
        "characteristic": limit.characteristic,
        "bound": limit.bound,
        "statistic": limit.statistic,
        "limit": str(limit.value),
        "unit": limit.unit,
        "finding": result.finding,
        "value": result.value,
        "margin": result.margin,
        "value_si": result.value_si,
        "u_si": result.u_si,
        "limit_si": float(limit.value_si),
        "margin_si": result.margin_si,
        "n": result.n,
        "specimens": limit.specimens,
        "state": result.state,
        "missing": result.missing,
        "warning": result.warning,
        **_written(result),
        "standard": limit.standard,
        "edition": limit.edition,
        "clause": limit.clause,
        "verified": limit.verified,
        "how_read": limit.how_read,
        "verified_by": limit.verified_by,
        "verified_on": limit.verified_on,
        "row": "" if limit.printed is None else limit.printed.id,
        "superseded": limit.superseded,
        "covered_by": limit.covered_by,
        "acceptance": limit.rule.acceptance,
        "k": str(limit.rule.k),
        "guard": result.guard,
        "guard_si": result.guard_si,
        "readings": [list(one) for one in result.readings],
    }


def _written(result: LimitResult) -> dict[str, Any]:
    """Give where a limit is written and who stands for it."""
    limit = result.limit
    return {
        "source": source_of(result),
        "says": limit.source,
        "set_by_entry": limit.set_by or None,
        "set_how": limit.set_how,
    }


def _test(test: PlannedTest) -> dict[str, Any]:
    return {
        "plan": test.plan,
        "characteristic": test.characteristic,
        "evidence": test.evidence,
        "every": test.every,
        "state": test.state,
        "sentence": test.sentence,
        "until": _day(test.until),
        "proof": None if test.proof is None else _proof(test.proof),
    }


def _proof(proof: Proof) -> dict[str, Any]:
    return {
        "report": proof.report,
        "lot": proof.lot,
        "laboratory": proof.laboratory,
        "method": proof.method,
        "specimens": proof.specimens,
        "result": proof.result,
        "sampled": _day(proof.sampled),
        "tested": _day(proof.tested),
        "issued": _day(proof.issued),
        "expires": _day(proof.expires),
        "file": proof.file,
        "entries": [list(one) for one in proof.entries],
        "limits": [_limit(result) for result in proof.results],
    }


def _aside(aside: Aside) -> dict[str, Any]:
    return {
        "instrument": aside.instrument,
        "why": aside.words,
        "from": _day(aside.day),
        "characteristics": list(aside.characteristics),
        "readings": [list(one) for one in aside.ids],
    }


def _calibrated(late: LateCalibration) -> dict[str, Any]:
    one = late.calibration
    return {
        "instrument": one.instrument,
        "certificate": one.certificate,
        "done": _day(one.done),
        "due": _day(one.due),
        "by": one.by,
        "entry": one.seq,
        "entered": _day(late.entered),
        "characteristics": list(late.characteristics),
        "readings": [list(each) for each in late.ids],
    }


def _entered(late: EnteredLate) -> dict[str, Any]:
    return {
        "taken": _day(late.taken),
        "entered": _day(late.entered),
        "by": late.by,
        "characteristics": list(late.characteristics),
        "readings": [list(each) for each in late.ids],
    }


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _upstream(one: Upstream, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "code": one.code,
        "cause": one.cause,
        "sentence": one.sentence,
        "lot": one.lot,
        "step": one.step,
        "at": _iso(one.at_ms, zone),
        "path": one.path,
        "closed": one.closed,
        "conceded": one.conceded,
    }


def _stand(stand: Stand) -> dict[str, Any]:
    return {
        "lot": stand.lot,
        "what": stand.what,
        "place": stand.place,
        "receiver": stand.receiver,
        "pieces_at_least": stand.at_least,
        "pieces_at_most": stand.at_most,
    }
