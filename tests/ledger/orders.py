"""Other orders in which the same entries may be posted: each lot is introduced before its use."""

from __future__ import annotations

from collections.abc import Sequence

from beadwright.ledger.draft import (
    Concession,
    Correction,
    Draft,
    Hold,
    Lift,
    ReadingsDraft,
    Release,
    Reversal,
    SettingDraft,
    StepDraft,
    Void,
)
from tests.strategies import Choice

__all__ = ["another"]


def another(sent: Sequence[Draft], pick: Choice) -> list[int]:
    """Places of the entries in an order that keeps what must come before what."""
    before = _before(sent)
    left = list(range(len(sent)))
    order: list[int] = []
    while left:
        ready = [i for i in left if not before[i] - set(order)]
        # The last ones are the plainest choice: as far from the old order as can be.
        i = ready[-1 - pick.whole(0, min(3, len(ready) - 1))]
        order.append(i)
        left.remove(i)
    return order


def uses(draft: Draft) -> set[str]:
    """Codes of the lots that a draft names."""
    match draft:
        case StepDraft():
            return {line.lot for line in draft.lines} | set(draft.labels)
        case Correction():
            return uses(draft.restated)
        case Hold() | Lift():
            return set(draft.lots)
        case Release():
            return {draft.lot}
        case ReadingsDraft():
            return {one.lot for one in draft.readings}
    return set()


def _introduces(draft: Draft) -> set[str]:
    step = draft.restated if isinstance(draft, Correction) else draft
    if isinstance(step, StepDraft):
        return {new.code for new in step.new_lots}
    if isinstance(step, SettingDraft) and step.topic == "place":
        return {step.name}
    return set()


def _before(sent: Sequence[Draft]) -> list[set[int]]:
    """For each entry, those that must stand before it."""
    introduced: dict[str, int] = {}
    versions: dict[str, list[int]] = {}
    found: list[set[int]] = []
    for i, draft in enumerate(sent):
        for code in _introduces(draft):
            introduced.setdefault(code, i)
        must = {introduced[code] for code in uses(draft) | _introduces(draft)}
        match draft:
            case StepDraft() | ReadingsDraft():
                versions[draft.key] = [i]
            case Correction() | Reversal():
                must |= set(versions[draft.step])
                versions[draft.step].append(i)
            case Void():
                must |= set(versions[draft.readings])
            case Lift():
                must |= {j for j, h in enumerate(sent[:i]) if _same_hold(h, draft)}
            case Concession():
                must |= set(range(i))
        found.append(must - {i})
    _keep_reversals(sent, versions, found)
    return found


def _same_hold(draft: Draft, lift: Lift) -> bool:
    return isinstance(draft, Hold) and draft.hold == lift.hold


def _keep_reversals(
    sent: Sequence[Draft], versions: dict[str, list[int]], found: list[set[int]]
) -> None:
    """A reversal is refused once its outputs have moved: all that uses them keeps its side."""
    used = [uses(draft) for draft in sent]
    for i, draft in enumerate(sent):
        if isinstance(draft, Correction | Reversal):  # it takes away what was said before
            used[i] |= {code for j in versions[draft.step] for code in used[j]}
    for i, draft in enumerate(sent):
        if isinstance(draft, Reversal):
            for j in range(len(sent)):
                if j != i and used[i] & used[j]:
                    found[max(i, j)].add(min(i, j))
