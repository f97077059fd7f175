"""What somebody of a role may do, what not, and whom that waits for: by role and by person.

Read :func:`duties`. A shift lead at night finds here who signs what, and whom to call.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import cast

from beadwright.ledger import people, settings
from beadwright.ledger.settings import Settings
from beadwright.plant.access import MAY_POST, Role, may_post
from beadwright.plant.opening import Plant

__all__ = ["ACTS", "Duties", "Waits", "duties", "may_sign_first_piece"]

ACTS: Mapping[str, str] = {
    "first_piece": "sign a first piece",
    "hold": "put a lot on hold",
    "swept_empty": "sweep a silo empty",
    "correct": "correct an entry",
    "void": "correct a reading",
    "ship": "let blocks leave",
    "lift": "lift a hold",
    "concession": "give a concession for what happened and was forbidden",
    "release": "release a lot",
    "setting": "set limits, ageing hours and approved lists",
}
"""What is asked about at night, by kind of step or entry."""


@dataclass(frozen=True, slots=True)
class Waits:
    """Something that a role may not do, and who may."""

    kind: str
    what: str
    roles: tuple[str, ...]
    persons: tuple[str, ...]
    """Initials and names, where the plant keeps any; else ids."""

    @property
    def whom(self) -> str:
        """Say for whom it waits: ``engineer: EI Edda Ivesworth``."""
        roles = " or ".join(self.roles)
        return f"{roles}: {', '.join(self.persons) or 'nobody has that role'}"


@dataclass(frozen=True, slots=True)
class Duties:
    """What a role may do, and what it may not."""

    role: str
    may: tuple[str, ...]
    waits: tuple[Waits, ...]

    def whom(self, kind: str) -> str:
        """Say whom something waits for, by role and person; empty where the role may do it."""
        return next((one.whom for one in self.waits if one.kind == kind), "")


def duties(plant: Plant, role: Role, at_ms: int) -> Duties:
    """Say what somebody of a role may do in a plant at a time."""
    in_force = settings.load(plant.no)
    may, waits = [], []
    for kind, what in ACTS.items():
        roles = [one for one in Role if _may(one, kind, in_force, at_ms)]
        if role in roles:
            may.append(what)
        else:
            words = tuple(str(one).replace("_", " ") for one in roles)
            waits.append(Waits(kind, what, words, _persons(plant, roles, in_force, at_ms)))
    return Duties(str(role).replace("_", " "), tuple(may), tuple(waits))


def may_sign_first_piece(plant_no: int, role: Role, at_ms: int) -> bool:
    """Whether the signature of a role under a first piece counts."""
    return _may(role, "first_piece", settings.load(plant_no), at_ms)


def _may(role: Role, kind: str, in_force: Settings, at_ms: int) -> bool:
    if role is Role.MACHINE or role not in MAY_POST or not may_post(role, kind):
        return False
    if kind != "first_piece":
        return True
    rule = in_force.at("first_piece", "rule", at_ms) or {}
    signed_by = cast("Iterable[str]", rule.get("signed_by", ()))
    return not signed_by or str(role) in signed_by


def _persons(
    plant: Plant, roles: Iterable[Role], in_force: Settings, at_ms: int
) -> tuple[str, ...]:
    """Who has one of the roles, by initials and name."""
    wanted = {str(one) for one in roles}
    names = {one.person: one for one in people.names(plant.code).values()}
    found = []
    for person, body in in_force.all("role", at_ms):
        if body.get("role") in wanted:
            one = names.get(person)
            found.append(person if one is None else f"{one.initials} {one.name}")
    return tuple(sorted(found))
