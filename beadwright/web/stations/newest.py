"""The newest entries of a form's kind, as they stand now, each with the way to correct it.

Read :func:`newest`.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.interop import keyed
from beadwright.ledger.draft import ReadingsDraft, StepDraft
from beadwright.ledger.entered import seqs_of
from beadwright.ledger.newest import newest_of
from beadwright.plant.access import Role, may_restate
from beadwright.plant.opening import Plant

__all__ = ["Earlier", "newest"]

_SHOWN = 10
_NOT_SAID = frozenset({"by", "scale", "instrument"})


@dataclass(frozen=True, slots=True)
class Earlier:
    """One entry that was keyed before, by its newest version."""

    seq: int
    at_ms: int | None
    says: str
    by: str
    may_be_corrected: bool
    """By whom it is shown to; what somebody else corrects is looked at."""


def newest(plant: Plant, kind: str, role: Role) -> tuple[Earlier, ...]:
    """Give the last ten of a kind, newest first; ``role`` is of whom they are shown to."""
    # A row may be a step and readings: two entries, one form.
    both = newest_of(plant.code, kind, 2 * _SHOWN)
    by_form = {draft.key.removesuffix("/readings"): draft for draft in both}
    drafts = dict(list(by_form.items())[:_SHOWN])
    seqs = seqs_of(plant.no, [draft.key for draft in drafts.values()])
    fields = keyed.fields_of(kind)
    times = {one.name for one in fields if one.sort == "time"}
    words = {one.name for one in fields if one.choices}
    found = []
    for key, draft in drafts.items():
        try:
            now = keyed.again(plant.code, key)
        except Misuse:  # it was reversed since: no form holds it any more
            continue
        said = [
            text.replace("_", " ") if name in words else f"{text} {now.units.get(name, '')}".strip()
            for name, text in now.texts.items()
            if text and name not in times | _NOT_SAID
        ]
        by = now.texts.get("by", "")
        became = {type(one) for one in both if one.key.removesuffix("/readings") == key}
        step, readings = StepDraft in became, ReadingsDraft in became
        may = now.corrected and may_restate(role, step=step, readings=readings)
        found.append(Earlier(seqs[draft.key], draft.happened_at, ", ".join(said), by, may))
    return tuple(found)
