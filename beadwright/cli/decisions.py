"""Decisions as drafts, brought to the door: holds, lifts, concessions, reversals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from beadwright.cli.persons import person_of
from beadwright.cli.session import Session
from beadwright.errors import Misuse
from beadwright.ledger import holds
from beadwright.ledger.draft import Concession, Draft, Hold, Lift, Reversal
from beadwright.plant.door import now_ms
from beadwright.plant.held import Reach, few, reach_of
from beadwright.plant.lot_named import one_lot
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.words import number

__all__ = ["Decided", "concede", "hold", "key_of", "lift", "reverse"]

_Said = tuple[str, str, str]
"""Id of a hold, reason, who decides."""


@dataclass(frozen=True, slots=True)
class Decided:
    """What was decided: about what, on which lots or nonconformities, at which entry."""

    about: str
    named: tuple[str, ...]
    seq: int
    reach: Reach | None = None
    """Of a hold or a lift: what the hold reaches from now on."""


def key_of(kind: str, at_ms: int) -> str:
    """Give the client key of a decision made at the shell, by when that was by the clock."""
    return f"shell/{kind}/{at_ms}"


def hold(session: Session, texts: Sequence[str], said: _Said) -> Decided:
    """Put lots on hold."""
    plant, (name, reason, by) = session.plant(), said
    codes = _codes(plant, texts)
    _require_text("--id", name)
    _require_text("--reason", reason)
    at_ms = moment(plant)
    who = person_of(plant.code, by)
    draft = Hold(key_of("hold", now_ms()), at_ms, name, reason, codes, by=who)
    done = _post(session, plant, draft, name, codes)
    return replace(done, reach=reach_of(plant.no, name))


def lift(session: Session, said: _Said, texts: Sequence[str], *, everything: bool) -> Decided:
    """Lift a hold from lots.

    Raises
    ------
    Misuse
        If neither lots nor all of them are named, or both.
    Refusal
        If a lot is named that the hold does not reach.
    """
    plant, (name, reason, by) = session.plant(), said
    _require_text("--reason", reason)
    reached = reach_of(plant.no, name).lots
    if everything == bool(texts):
        message = (
            f"say which lots, or --all: hold {name} reaches {number(len(reached), 'lot')}"
            f"{f': {few(reached)}' if reached else ''}"
        )
        raise Misuse(message)
    codes = reached if everything else _codes(plant, texts)
    if not codes:
        message = f"hold {name} reaches no lot: check its id"
        raise Misuse(message)
    at_ms = moment(plant)
    who = person_of(plant.code, by)
    draft = Lift(key_of("lift", now_ms()), at_ms, name, reason, codes, by=who)
    done = _post(session, plant, draft, name, codes)
    return replace(done, reach=reach_of(plant.no, name))


def concede(session: Session, cause: str, reason: str, by: str) -> Decided:
    """Close the nonconformities that share a cause.

    Raises
    ------
    Misuse
        If no nonconformity has that cause, or all that have are closed.
    """
    plant = session.plant()
    _require_text("--reason", reason)
    found = holds.nonconformities(plant.no, [cause])
    still = [one for one in found if not one.closed]
    if not still:
        open_ = sorted({one.cause for one in holds.nonconformities(plant.no) if not one.closed})
        what = "all of that cause are closed" if found else f"no nonconformity has cause {cause!r}"
        message = f"{what}; open are: {', '.join(open_) or 'none'}"
        raise Misuse(message)
    marks = tuple(one.mark for one in found)
    at_ms = moment(plant)
    who = person_of(plant.code, by)
    draft = Concession(key_of("concession", now_ms()), at_ms, cause, reason, marks, by=who)
    return _post(session, plant, draft, cause, tuple(one.step for one in found))


def reverse(session: Session, step: str, reason: str, by: str) -> Decided:
    """Undo a step."""
    plant = session.plant()
    _require_text("--reason", reason)
    at_ms = moment(plant)
    who = person_of(plant.code, by)
    draft = Reversal(key_of("reverse", now_ms()), step, reason, at_ms, by=who)
    return _post(session, plant, draft, step, (step,))


def _post(
    session: Session, plant: Plant, draft: Draft, about: str, named: tuple[str, ...]
) -> Decided:
    return Decided(about, named, session.post(plant, draft).seq)


def _codes(plant: Plant, texts: Sequence[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one_lot(plant, text).code for text in texts))


def _require_text(option: str, text: str) -> None:
    if not text.strip():
        message = f"{option} is empty: a decision without it would say nothing later"
        raise Misuse(message)
