"""A concession given where somebody looks at a nonconformity: on what they saw, and no more.

Read :func:`concede_cause`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import said
from beadwright.ledger.draft import Concession
from beadwright.plant.access import Who, allow
from beadwright.plant.caused import Caused, by_cause
from beadwright.plant.door import Posted
from beadwright.plant.moment import moment_of
from beadwright.plant.nonconforming import filed
from beadwright.plant.opening import Plant, door_of

__all__ = ["Conceding", "concede_cause", "open_cause", "seen_of"]


@dataclass(frozen=True, slots=True)
class Conceding:
    """What is conceded: the cause, why, and which nonconformities of it were looked at."""

    cause: str
    reason: str
    seen: str
    """As :func:`seen_of` gave it with the page."""


def open_cause(plant_no: int, cause: str) -> Caused | None:
    """Give what happened of a cause; None where nothing did."""
    return next(iter(by_cause(plant_no, [cause])), None)


def seen_of(one: Caused) -> str:
    """Give a short sign of the nonconformities as they stand: another if one comes or changes."""
    return _sign(step.mark for step in one.steps)


def concede_cause(plant: Plant, who: Who, what: Conceding, key: str) -> Posted:
    """Close every nonconformity of a cause that was looked at. The same key concedes once.

    Raises
    ------
    Misuse
        If no reason is given, nothing of the cause is open, it is in a file, which decides by
        quantity, or it changed since it was looked at.
    Refusal
        If the role may not concede.
    """
    key = f"concession/{key}"
    before = said.posted(plant.code, plant.no, key)
    covers = before.covers if isinstance(before, Concession) else _open_now(plant, what)
    at_ms = moment_of(plant, key)
    draft = Concession(key, at_ms, what.cause, what.reason.strip(), covers, by=who.account)
    allow(who, draft)
    if not draft.reason:
        message = "a concession needs a reason: say why these are fit for use all the same"
        raise Misuse(message)
    return door_of(plant.code).post(draft, who)


def _open_now(plant: Plant, what: Conceding) -> tuple[str, ...]:
    found = open_cause(plant.no, what.cause)
    if found is None or found.closed:
        message = f"nothing of cause {what.cause} is open"
        raise Misuse(message)
    number = filed(plant.no).get(what.cause)
    if number is not None:
        message = f"{what.cause} is in file {number}: decide on it there, quantity by quantity"
        raise Misuse(message)
    if seen_of(found) != what.seen:
        message = "more has happened of this cause, or it changed, since you looked: look again"
        raise Misuse(message)
    return tuple(step.mark for step in found.steps)


def _sign(marks: Iterable[str]) -> str:
    return hashlib.sha256("\n".join(sorted(marks)).encode()).hexdigest()[:16]
