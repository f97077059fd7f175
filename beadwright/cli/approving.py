"""A release: the evidence as it stands is assessed, approved by its hash, brought to the door."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from beadwright.cli.decisions import key_of
from beadwright.cli.persons import person_of
from beadwright.cli.session import Session
from beadwright.errors import Misuse
from beadwright.ledger.draft import Release
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.door import now_ms
from beadwright.plant.lot_named import one_lot
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.plant.release import assess

__all__ = ["Released", "released"]


@dataclass(frozen=True, slots=True)
class Released:
    """An approval that was entered, and how the lot stands with it."""

    seq: int
    evidence: str
    told: LotAssessment
    zone: ZoneInfo
    named: Callable[[str], str]
    """Puts names beside the ids in a text."""


def released(session: Session, text: str, by: str, note: str) -> Released:
    """Release the lot that a text names.

    Raises
    ------
    Misuse
        If it is no block lot of a mould run.
    Refusal
        If the door does not take the release: see ``plant.release_entry``.
    """
    plant = session.plant()
    lot = one_lot(plant, text).code
    who = person_of(plant.code, by)
    found = {one.lot: one for one in assess(plant.no, [lot]).lots}
    if lot not in found:
        message = f"{lot} was packed of {', '.join(found)}: release those"
        raise Misuse(message)
    evidence, at_ms = found[lot].evidence, moment(plant)
    draft = Release(key_of("release", now_ms()), at_ms, lot, evidence, by=who, note=note)
    seq = session.post(plant, draft).seq
    after = {one.lot: one for one in assess(plant.no, [lot]).lots}
    return Released(seq, evidence, after[lot], plant.zone, Named.of(plant).within)
