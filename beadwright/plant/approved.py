"""When approvals make a release: by how many people, over one and the same evidence. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import cast

from beadwright.ledger.releases import Approval

__all__ = ["counting", "persons", "stands"]


def persons(rule: Mapping[str, object] | None) -> int:
    """How many different people must approve; one where the plant has not said."""
    return 1 if rule is None else max(1, int(str(rule.get("persons") or 1)))


def stands(given: Mapping[str, object] | None, rule: Mapping[str, object] | None) -> bool:
    """Whether enough different people approved one and the same evidence."""
    approvals = cast("Sequence[Sequence[str]]", given.get("approvals", ()) if given else ())
    by: dict[str, set[str]] = {}
    for who, evidence in approvals:
        by.setdefault(evidence, set()).add(who)
    return any(len(who) >= persons(rule) for who in by.values())


def counting(given: Sequence[Approval], wanted: int) -> tuple[Approval, ...]:
    """Approvals that count: over the newest evidence that enough people approved, else the newest.

    One by each person, the oldest first. A later approval over other evidence takes none back.
    """
    by: dict[str, dict[str, Approval]] = {}
    for one in given:
        over = by.pop(one.evidence, {})
        over.setdefault(one.by, one)
        by[one.evidence] = over  # the evidence approved last stands last
    enough = [over for over in by.values() if len(over) >= wanted]
    return tuple((enough or [*by.values()])[-1].values()) if by else ()
