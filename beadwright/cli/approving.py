"""A release: assessed first, approved by the hash of the evidence, brought to the door."""

from __future__ import annotations

from beadwright.cli.decisions import Decided, key_of
from beadwright.cli.following import one_lot
from beadwright.cli.persons import person_of
from beadwright.cli.session import Session
from beadwright.cli.words import ANSWER_WORDS
from beadwright.errors import Fault, Misuse, Refusal
from beadwright.ledger.draft import Release
from beadwright.plant.door import now_ms
from beadwright.plant.release import assess

__all__ = ["released"]


def released(session: Session, text: str, by: str, note: str) -> Decided:
    """Release the lot that a text names.

    Raises
    ------
    Misuse
        If it is no block lot of a mould run.
    Refusal
        If the assessment does not say that it may ship.
    """
    plant = session.plant()
    lot = one_lot(plant, text).code
    who = person_of(plant.code, by)
    found = {one.lot: one for one in assess(plant.no, [lot]).lots}
    if lot not in found:
        message = f"{lot} was packed of {', '.join(found)}: release those"
        raise Misuse(message)
    told = found[lot]
    if told.answer != "may_ship":
        what = f"{lot}: {ANSWER_WORDS[told.answer]}: {told.reasons[0].sentence}"
        remedy = f"`beadwright assess {lot}` shows everything that stands in the way."
        raise Refusal([Fault("not_releasable", what, lot, told.reasons[0].source, remedy)])
    at_ms = now_ms()
    draft = Release(key_of("release", at_ms), at_ms, lot, told.evidence, by=who, note=note)
    return Decided(lot, (told.evidence,), session.post(plant, draft).seq)
