"""A certificate issued: gathered, set and entered in the record in one go, or not at all.

Read :func:`issue`.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from django.db import transaction

from beadwright.errors import Fault, Misuse, Refusal
from beadwright.ledger import heads
from beadwright.ledger.draft import Decision
from beadwright.plant.access import Who
from beadwright.plant.assessment import LotAssessment, Reason
from beadwright.plant.borne_out import not_borne_out, tables_differ
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant, door_of, open_plant
from beadwright.plant.release import assess
from beadwright.reports.certificate import content, render
from beadwright.reports.issued import KIND, issued, of_lot
from beadwright.reports.setting import SETTER, require_size

__all__ = ["Paper", "again", "issue"]


@dataclass(frozen=True, slots=True)
class Paper:
    """A certificate's PDF, with its number and the entry it stands in."""

    number: str
    seq: int
    pdf: bytes
    sha256: str


def issue(plant: Plant, lot: str, who: Who, *, by: str, paper: str = "a4") -> Paper:
    """Issue a certificate for a released block lot.

    The head of the record is locked from the question to the entry: what the paper says is so when
    the record takes it.

    Raises
    ------
    Misuse
        If the lot is no block lot of a mould run, or the paper is of no known size.
    Refusal
        ``not_certifiable``, where no release of it stands; ``tables_differ``, where what it rests
        on is not what the record says; ``not_allowed``, by the role.
    """
    require_size(paper)
    with transaction.atomic():
        heads.lock(plant.code)
        plant = open_plant(plant.code)
        told = _released(plant, lot)
        at_ms = moment(plant) // 1000 * 1000
        number = f"C-{lot}-{len(of_lot(plant.no, lot)) + 1}"
        text = content(plant, told, number, (at_ms, by, paper)).text
        pdf = render(text)
        own = hashlib.sha256(pdf).hexdigest()
        body = {"lot": lot, "content": text, "sha256": own, "set_by": SETTER}
        draft = Decision(f"certificate/{number}", at_ms, KIND, number, body, by=by)
        posted = door_of(plant.code).post(draft, who)
    return Paper(number, posted.seq, pdf, own)


def again(plant: Plant, number: str) -> Paper:
    """Set a certificate that was issued once more, from the record; issues nothing.

    Raises
    ------
    Misuse
        If none of that number was issued.
    """
    found = issued(plant.no, number)
    if not found:
        message = f"no certificate {number} was issued: check its number"
        raise Misuse(message)
    pdf = render(found[-1].text)
    return Paper(number, found[-1].seq, pdf, hashlib.sha256(pdf).hexdigest())


def _released(plant: Plant, lot: str) -> LotAssessment:
    found = {one.lot: one for one in assess(plant.no, [lot]).lots}
    if lot not in found:
        message = f"{lot} was packed of {', '.join(found)}: certify those"
        raise Misuse(message)
    told = found[lot]
    tables = not_borne_out(plant.no, lot)
    if tables:
        raise Refusal([tables_differ(tables, lot)])
    what = _why_not(told)
    if what:
        remedy = f"`beadwright assess {lot}` shows everything that stands in its way."
        if told.answer == "may_ship":
            remedy = f"`beadwright release {lot}` releases it."
        raise Refusal([Fault("not_certifiable", what, lot, "", remedy)])
    return told


def _why_not(told: LotAssessment) -> str:
    """Say why a lot gets no certificate; empty where it gets one."""
    no = f"no certificate for {told.lot}"
    if told.answer != "may_ship":
        first = told.reasons[0]
        return f"{no}: {first.sentence}{'' if first.source in first.sentence else _of(first)}"
    if not told.approvals:
        return f"{no}: it is not released"
    if not told.released:
        return f"{no}: {told.persons - told.to_sign} of {told.persons} people have released it"
    if not all(told.same(one.evidence) for one in told.approvals):
        who = told.approvals[-1].by or "somebody unnamed"
        return f"{no}: its evidence has changed since {who} released it"
    return ""


def _of(reason: Reason) -> str:
    return f" ({reason.source})" if reason.source else ""
