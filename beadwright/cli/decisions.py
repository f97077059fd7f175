"""Decisions a shell brings to the door: the draft of each, and what became of it."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.cli.following import one_lot
from beadwright.cli.persons import person_of
from beadwright.cli.session import Session
from beadwright.ledger import holds
from beadwright.ledger.draft import Concession, Draft, Hold, Lift, Reversal
from beadwright.plant.door import now_ms
from beadwright.plant.opening import Plant

__all__ = ["Decided", "Why", "concede", "hold", "key", "lift", "reverse"]

Why = tuple[str, str]
"""A reason, and the initials or id of who decides."""


@dataclass(frozen=True, slots=True)
class Decided:
    """What was recorded: in words, and as which entry."""

    what: str
    seq: int
    hash: str


def key() -> str:
    """Give a client key of our own: a shell's decision is made once."""
    return f"shell/{uuid.uuid4()}"


def hold(session: Session, texts: Sequence[str], hold_id: str, why: Why) -> Decided:
    """Put the lots that the texts name on hold."""
    plant = session.plant()
    codes = _codes(plant, texts)
    by = person_of(plant.code, why[1])
    draft = Hold(key(), now_ms(), hold_id, why[0], codes, by=by)
    return _post(session, plant, draft, f"{', '.join(codes)} on hold {hold_id}")


def lift(session: Session, texts: Sequence[str], hold_id: str, why: Why) -> Decided:
    """Lift a hold for the lots that the texts name."""
    plant = session.plant()
    codes = _codes(plant, texts)
    draft = Lift(key(), now_ms(), hold_id, why[0], codes, by=person_of(plant.code, why[1]))
    return _post(session, plant, draft, f"hold {hold_id} lifted for {', '.join(codes)}")


def concede(session: Session, cause: str, why: Why) -> Decided:
    """Close the nonconformities of a cause, as they are known now."""
    plant = session.plant()
    by = person_of(plant.code, why[1])
    covers = tuple(one.mark for one in holds.nonconformities(plant.no, [cause]))
    draft = Concession(key(), now_ms(), cause, why[0], covers, by=by)
    return _post(session, plant, draft, f"concession on {cause}, {len(covers)} covered")


def reverse(session: Session, step: str, why: Why) -> Decided:
    """Undo a step."""
    plant = session.plant()
    draft = Reversal(key(), step, why[0], now_ms(), by=person_of(plant.code, why[1]))
    return _post(session, plant, draft, f"{step} reversed")


def _codes(plant: Plant, texts: Sequence[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one_lot(plant, text).code for text in texts))


def _post(session: Session, plant: Plant, draft: Draft, what: str) -> Decided:
    posted = session.post(plant, draft)
    return Decided(what, posted.seq, posted.hash)
