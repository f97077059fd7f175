"""The newest entries of a form's kind, as they stand now, each with the way to correct it.

Read :func:`newest`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.interop import keyed
from beadwright.interop.keyed import Again
from beadwright.ledger import entered
from beadwright.ledger.draft import ReadingsDraft, StepDraft
from beadwright.ledger.entered import seqs_of
from beadwright.ledger.newest import newest_of
from beadwright.ledger.said import posted
from beadwright.plant.access import Role, may_restate
from beadwright.plant.opening import Plant

__all__ = ["Earlier", "newest", "newest_entries"]

_SHOWN = 10
_LOOKED_AT = 20 * _SHOWN
"""Entries of a kind among which those of one test are looked for."""
_NOT_SAID = frozenset({"by", "scale", "instrument", "departed", "uncertainty", "curve"})


@dataclass(frozen=True, slots=True)
class Earlier:
    """One entry that was keyed before, by its newest version."""

    seq: int
    at_ms: int | None
    says: str
    by: str
    may_be_corrected: bool
    """By whom it is shown to; what somebody else corrects is looked at."""


def newest(plant: Plant, kind: str, role: Role, read: str = "") -> tuple[Earlier, ...]:
    """Give the last ten of a kind, newest first; ``role`` is of whom they are shown to.

    ``read`` names a characteristic: then those that read it.
    """
    if read:
        some = newest_of(plant.code, kind, _LOOKED_AT)
        return _earlier(plant, [one for one in some if _reads(one, read)], role)
    # A row may be a step and readings: two entries, one form.
    return _earlier(plant, newest_of(plant.code, kind, 2 * _SHOWN), role)


def _reads(one: StepDraft | ReadingsDraft, characteristic: str) -> bool:
    return isinstance(one, ReadingsDraft) and any(
        each.characteristic == characteristic for each in one.readings
    )


def newest_entries(plant: Plant, seqs: Iterable[int], role: Role) -> tuple[Earlier, ...]:
    """Give the first ten of some entries of readings, as the forms that they were keyed into."""
    some = list(seqs)[:_SHOWN]
    read = entered.by_number(plant.code, some)
    drafts = [read[seq].draft for seq in some if seq in read]
    readings = [one for one in drafts if isinstance(one, ReadingsDraft)]
    steps = [step for one in readings if (step := _step_of(plant, one)) is not None]
    return _earlier(plant, [*readings, *steps], role)


def _step_of(plant: Plant, readings: ReadingsDraft) -> StepDraft | None:
    """Give the step that the same form became; most became none."""
    key = readings.key.removesuffix("/readings")
    step = posted(plant.code, plant.no, key) if key != readings.key else None
    return step if isinstance(step, StepDraft) else None


def _earlier(
    plant: Plant, drafts: Sequence[StepDraft | ReadingsDraft], role: Role
) -> tuple[Earlier, ...]:
    by_form: dict[str, StepDraft | ReadingsDraft] = {}
    became: dict[str, set[type]] = {}
    for draft in drafts:
        key = draft.key.removesuffix("/readings")
        by_form.setdefault(key, draft)
        became.setdefault(key, set()).add(type(draft))
    first = dict(list(by_form.items())[:_SHOWN])
    seqs = seqs_of(plant.no, [draft.key for draft in first.values()])
    found = []
    for key, draft in first.items():
        try:
            now = keyed.again(plant.code, key)
        except Misuse:  # it was reversed since, or no form says it
            continue
        step, readings = StepDraft in became[key], ReadingsDraft in became[key]
        may = now.corrected and may_restate(role, step=step, readings=readings)
        by = now.texts.get("by", "")
        found.append(Earlier(seqs[draft.key], draft.happened_at, _says(now), by, may))
    return tuple(found)


def _says(now: Again) -> str:
    """Say what a form holds: not when, not by whom, and not with what."""
    fields = keyed.fields_of(now.kind)
    times = {one.name for one in fields if one.sort == "time"}
    words = {one.name for one in fields if one.choices}
    return ", ".join(
        text.replace("_", " ") if name in words else f"{text} {now.units.get(name, '')}".strip()
        for name, text in now.texts.items()
        if text and name not in times | _NOT_SAID
    )
