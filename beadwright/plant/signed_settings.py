"""Who signs for settings that a file brings: an engineer, once the record knows one.

Read :func:`unsigned`. Whoever can write to a settings file could else give himself a role, or
loosen what the plant asks for, and nobody would stand for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from beadwright.errors import Fault
from beadwright.ledger.draft import Draft, SettingDraft
from beadwright.ledger.settings import Settings
from beadwright.plant.access import Role

__all__ = ["engineers", "unsigned"]

_ROLE = "role"
_FEW = 6


def engineers(in_force: Settings, at_ms: int) -> tuple[str, ...]:
    """Give the ids of the people who are engineers at a time."""
    return tuple(
        name for name, body in in_force.all(_ROLE, at_ms) if body.get("role") == Role.ENGINEER
    )


def unsigned(
    drafts: Iterable[Draft],
    in_force: Settings,
    now_ms: int,
    named: Mapping[str, str] | None = None,
) -> list[Fault]:
    """Faults of settings that no engineer signs for; ``named`` gives initials by id.

    Asked is the role that the record knows now, not one that the same file gives. While nobody is
    an engineer the plant is being set up, and none is asked for.
    """
    may = engineers(in_force, now_ms)
    found = [draft for draft in drafts if isinstance(draft, SettingDraft)]
    if not may:
        return []
    known = named or {}
    who = ", ".join(known.get(one, one) for one in may[:_FEW])
    remedy = f"Import again with --by and the initials of an engineer who stands for it: {who}."
    faults: list[Fault] = []
    by_signer: dict[str, list[SettingDraft]] = {}
    for draft in found:
        if draft.by not in may:
            by_signer.setdefault(draft.by, []).append(draft)
    for by, some in by_signer.items():
        told = _told(some)
        if by:
            role = (in_force.at(_ROLE, by, now_ms) or {}).get("role", "no role")
            what = f"{known.get(by, by)} ({role}) may not change settings ({told})"
            faults.append(Fault("not_allowed", what, "", some[0].key, remedy))
        else:
            what = f"settings change, and no engineer signs for it ({told})"
            faults.append(Fault("setting_unsigned", what, "", some[0].key, remedy))
    return faults


def _told(drafts: list[SettingDraft]) -> str:
    names = [f"{draft.topic} {draft.name}" for draft in drafts[:_FEW]]
    more = f" and {len(drafts) - _FEW} more" if len(drafts) > _FEW else ""
    return ", ".join(names) + more
