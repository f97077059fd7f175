"""A release at the door: assessed under the record's lock, as everything stands that it is over.

Read :func:`releasable`. What a person looked at may have changed since; so the hash they approve
must be the one there is now. What it is over is kept, so that it can be looked at again.
"""

from __future__ import annotations

from collections.abc import Mapping

from beadwright.errors import Fault, Misuse
from beadwright.ledger import settings
from beadwright.ledger.draft import Release
from beadwright.plant.apart import not_apart
from beadwright.plant.approved import persons
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.borne_out import not_borne_out, tables_differ
from beadwright.plant.release import assess
from beadwright.plant.signed_evidence import keep_signed
from beadwright.quality import readings, standing

__all__ = ["releasable"]

_SHORT = 12


def releasable(plant_no: int, draft: Release, now_ms: int) -> list[Fault]:
    """Give why a release may not be entered now: one fault, the first that stands in its way."""
    try:
        found = assess(plant_no, [draft.lot], at_ms=now_ms).lots
    except Misuse as wrong:
        return [_fault("not_releasable", draft, str(wrong), "Release the lots of mould runs.")]
    told = next((one for one in found if one.lot == draft.lot), None)
    if told is None:
        what = f"{draft.lot} was packed of {', '.join(one.lot for one in found)}"
        return [_fault("not_releasable", draft, what, "Release those.")]
    tables = not_borne_out(plant_no, draft.lot)
    if tables:
        return [tables_differ(tables, draft.lot, draft.key)]
    if told.answer != "may_ship":
        words = told.answer.replace("_", " ")
        remedy = f"`beadwright assess {draft.lot}` shows everything that stands in the way."
        what = f"{draft.lot}: {words}: {told.reasons[0].sentence}"
        return [_fault("not_releasable", draft, what, remedy)]
    faults = _over(plant_no, draft, told, now_ms)
    if not faults:
        keep_signed(told)
    return faults


def _over(plant_no: int, draft: Release, told: LotAssessment, now_ms: int) -> list[Fault]:
    """Faults of who approves, and over which evidence."""
    if draft.evidence != told.evidence:
        what = (
            f"the evidence of {draft.lot} is now {told.evidence[:_SHORT]}…,"
            f" not {draft.evidence[:_SHORT] or 'any'}…"
        )
        return [_fault("evidence_changed", draft, what, "Look at it again, then release it.")]
    if told.doubts and not draft.note.strip():
        what = f"{draft.lot}: {told.doubts[0].sentence}"
        remedy = "Look back on it, then release with a note that says why the lot may leave."
        return [_fault("doubt_not_answered", draft, what, remedy)]
    given = standing.approvals_given(plant_no, [draft.lot]).get(draft.lot, ())
    over = {one.by for one in given if one.evidence == draft.evidence}
    if draft.by in over:
        who = draft.by or "somebody unnamed"
        what = f"{who} has released {draft.lot} over this evidence before"
        return [_fault("already_released", draft, what, "Nothing is left to do, or another must.")]
    in_force = settings.load(plant_no)
    rule = in_force.at("release", "rule", now_ms)
    if over and persons(rule) > 1:
        alone = not_apart(plant_no, draft.by, sorted(over), in_force)
        if alone is not None:
            return [_fault("persons_not_apart", draft, alone.what, alone.remedy)]
    return _tested(plant_no, draft, told, (over, rule))


def _tested(
    plant_no: int,
    draft: Release,
    told: LotAssessment,
    given: tuple[set[str], Mapping[str, object] | None],
) -> list[Fault]:
    """Fault of a release by nobody but those whose readings it rests on."""
    over, rule = given
    taken = {one.by for one in readings.of_lots(plant_no, [draft.lot]).get(draft.lot, ())}
    restated = {one.by for one in told.restated if draft.lot in one.lots}
    if rule and rule.get("tester_apart") and over | {draft.by} <= taken | restated:
        did = "took" if draft.by in taken else "restated"
        what = f"{draft.by or 'somebody unnamed'} {did} readings of {draft.lot}"
        remedy = "Somebody who took and restated none of them releases it, or does so first."
        return [_fault("tester_alone", draft, what, remedy)]
    return []


def _fault(code: str, draft: Release, what: str, remedy: str) -> Fault:
    return Fault(code, what, draft.lot, draft.key, remedy)
