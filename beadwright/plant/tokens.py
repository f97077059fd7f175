"""Tokens: a machine or a program is let in by what it shows, in a role and, mostly, at one place.

Read :func:`give`, then :func:`holder`, which every request asks: a token that was closed or given
anew is out at once.
"""

from __future__ import annotations

import hashlib
import re
import secrets
from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.errors import Fault, Misuse
from beadwright.ledger import lots, settings, tokens
from beadwright.ledger.draft import Draft, ReadingsDraft, StepDraft
from beadwright.plant.access import Role, Who
from beadwright.plant.door import now_ms
from beadwright.plant.opening import Plant
from beadwright.plant.runs import run_named

__all__ = ["Holder", "close", "elsewhere", "give", "holder"]

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,31}")
_BYTES = 32
_LONGEST = 200


@dataclass(frozen=True, slots=True)
class Holder:
    """Who shows a token."""

    name: str
    role: Role
    station: str
    """Place whose forms alone it may post; empty: it is not bound to one."""

    @property
    def who(self) -> Who:
        """Who is at the door."""
        return Who(f"token:{self.name}", self.role)


def give(plant: Plant, name: str, role: str, station: str = "") -> str:
    """Make a token, in place of one of the same name; what is given is kept nowhere.

    Raises
    ------
    Misuse
        If the name or the role cannot be, or the plant has no such place.
    """
    if not _NAME.fullmatch(name):
        message = (
            f"a token cannot be named {name!r}: 1 to 32 letters, digits, dots and hyphens,"
            " the first a letter or digit"
        )
        raise Misuse(message)
    if role not in set(Role):
        message = f"there is no role {role!r}: write one of {', '.join(Role)}"
        raise Misuse(message)
    places = [known for known, _ in settings.load(plant.no).all("place", now_ms())]
    if station and station not in places:
        message = f"{plant.code} has no place {station}: there are {', '.join(places)}"
        raise Misuse(message)
    secret = secrets.token_urlsafe(_BYTES)
    token = tokens.Token(name, role, station, open=True)
    tokens.keep(plant.code, token, _hash(secret))
    return secret


def close(plant: Plant, name: str) -> bool:
    """Let a token in no more; tells whether it was let in before."""
    return tokens.close(plant.code, name)


def holder(plant: Plant, secret: str) -> Holder | None:
    """Give who shows a token that is open; else None."""
    if not secret.isascii() or len(secret) > _LONGEST:
        return None
    # It is drawn at random and as long as its hash, so it needs no salt and no slow hash.
    found = tokens.by_secret(plant.code, _hash(secret))
    if found is None or not found.open:
        return None
    return Holder(found.name, Role(found.role), found.station)


def elsewhere(plant: Plant, who: Holder, drafts: Iterable[Draft]) -> tuple[Fault, ...]:
    """Say which drafts are not of the place that a token is bound to; default: they are not.

    A step is of the place it names, else of its run's; readings are of the place of their run or
    lot.
    """
    if not who.station:
        return ()
    found = []
    for draft in drafts:
        places = _places(plant, draft)
        if places != {who.station}:
            where = ", ".join(sorted(places - {who.station})) or "no place that is known"
            what = f"the token {who.name} is of {who.station}, and this is of {where}"
            remedy = f"Send what happens at {who.station}, or use a token of the other place."
            found.append(Fault("not_allowed", what, "", draft.key, remedy))
    return tuple(dict.fromkeys(found))


def _places(plant: Plant, draft: Draft) -> set[str]:
    if isinstance(draft, StepDraft):
        return {draft.place or _of_run(plant, draft.run)} - {""}
    if not isinstance(draft, ReadingsDraft):
        return set()
    named = {_of_run(plant, one.facts.get("run", "")) for one in draft.readings} - {""}
    if named:
        return named
    views = lots.get_many(plant.no, {one.lot for one in draft.readings if one.lot})
    return {_of_run(plant, code) or view.place for code, view in views.items()} - {""}


def _of_run(plant: Plant, code: str) -> str:
    run = run_named(plant.no, code) if code else None
    return "" if run is None else run.place


def _hash(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
