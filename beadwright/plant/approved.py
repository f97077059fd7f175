"""When approvals make a release: by how many people, over one and the same evidence. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import cast

from beadwright.ledger.releases import Approval

__all__ = ["over_the_last", "persons", "stands"]


def persons(rule: Mapping[str, object] | None) -> int:
    """How many different people must approve; one where the plant has not said."""
    return 1 if rule is None else max(1, int(str(rule.get("persons") or 1)))


def stands(given: Mapping[str, object] | None, rule: Mapping[str, object] | None) -> bool:
    """Whether enough different people approved the evidence that the last of them approved."""
    approvals = cast("Sequence[Sequence[str]]", given.get("approvals", ()) if given else ())
    if not approvals:
        return False
    who = {by for by, evidence in approvals if evidence == approvals[-1][1]}
    return len(who) >= persons(rule)


def over_the_last(given: Sequence[Approval]) -> tuple[Approval, ...]:
    """Approvals over the evidence that the last of them is over, the first by each person."""
    first: dict[str, Approval] = {}
    for one in given:
        if one.evidence == given[-1].evidence:
            first.setdefault(one.by, one)
    return tuple(first.values())
