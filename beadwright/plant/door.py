"""The only door to the record: every form, command, file and machine brings its draft here.

:func:`may` asks without writing; :func:`post` and :func:`post_many` check and write. A *planned*
draft is refused where it is forbidden; one that has *happened* is recorded as keyed, and what was
forbidden about it becomes a nonconformity.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from beadwright.errors import Fault, Refusal
from beadwright.ledger import lots, record, settings
from beadwright.ledger.draft import Decision, Draft, SettingDraft, StepDraft
from beadwright.ledger.record import Posted, Stamp
from beadwright.ledger.rules import Rules
from beadwright.plant import access
from beadwright.plant.bodies import setting_faults
from beadwright.plant.decided_bodies import decision_faults
from beadwright.plant.nc_entry import checked, entry_faults
from beadwright.plant.roles import roles
from beadwright.plant.signed_settings import engineers, unsigned

__all__ = ["Answer", "Door", "Posted", "happened", "now_ms"]


def now_ms() -> int:
    """UTC milliseconds now."""
    return time.time_ns() // 1_000_000


@dataclass(frozen=True, slots=True)
class Answer:
    """Whether a planned draft would be taken, and every reason why not."""

    may: bool
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class Door:
    """The door of one plant: its code, and the rules that ``site`` hands down."""

    plant: str
    rules: Rules
    clock: Callable[[], int] = now_ms

    def may(self, draft: Draft, who: access.Who) -> Answer:
        """Ask whether a draft would be taken, without writing and without the lock."""
        try:
            self._admit([draft], who)
            faults = entry_faults(self.plant, [draft])
            faults = faults or record.foresee(self.plant, draft, self.clock(), self.rules)
        except Refusal as refusal:
            return Answer(may=False, faults=refusal.faults)
        return Answer(may=not faults, faults=tuple(faults))

    def post(self, draft: Draft, who: access.Who) -> Posted:
        """Check and record one draft.

        Raises
        ------
        Refusal
            If it cannot be meant, if the role may not post it, or if it is planned and forbidden.
        """
        return self.post_many([draft], who)[0]

    def post_many(self, drafts: Sequence[Draft], who: access.Who) -> tuple[Posted, ...]:
        """Check and record drafts in one transaction, all or none; refusals as :meth:`post`."""
        self._admit(drafts, who)
        stamp = Stamp(who.account, self.clock())
        with checked(self.plant, drafts):
            return record.append(self.plant, drafts, stamp, self.rules)

    def _admit(self, drafts: Sequence[Draft], who: access.Who) -> None:
        """Let through what the account may bring, what can be read, what its person may decide."""
        known = roles(self.plant, drafts)
        signed = self._signed(drafts, who)
        for draft in drafts:
            access.allow(who, draft)
            faults: list[Fault] = []
            if isinstance(draft, SettingDraft):
                faults = setting_faults(draft)
            elif isinstance(draft, Decision):
                faults = decision_faults(draft, known.zone(), known.every(draft))
            if faults:
                raise Refusal(faults)
        access.allow_persons(who, [one for one in drafts if one.key not in signed], known)

    def _signed(self, drafts: Sequence[Draft], who: access.Who) -> frozenset[str]:
        """Keys of settings that a file changes and an engineer signs for; refuse those unsigned."""
        changed = [one for one in drafts if isinstance(one, SettingDraft)]
        if not changed or not access.brings_files(who) or self.plant not in lots.plants():
            return frozenset()
        in_force, now = settings.load(lots.plant_number(self.plant)), self.clock()
        faults = unsigned(changed, in_force, now)
        if faults:
            raise Refusal(faults)
        return frozenset(one.key for one in changed if engineers(in_force, now))


def happened(draft: StepDraft, at_ms: int) -> StepDraft:
    """Give a planned step as one that happened at that time."""
    return replace(draft, happened_at=at_ms, planned=False)
