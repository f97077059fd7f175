"""Settings that an import changes: what each changes, from which day, and who signs for it.

Read :func:`set_anew`, then :func:`signer`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from beadwright.errors import Misuse
from beadwright.interop.sheets.known import Person
from beadwright.ledger import lots, people, settings
from beadwright.ledger.draft import Draft, SettingDraft
from beadwright.plant.setting_changes import SettingChange, change_of
from beadwright.plant.upstream import zone_of

__all__ = ["SetAnew", "initials", "set_anew", "signer"]


@dataclass(frozen=True, slots=True)
class SetAnew:
    """One setting that an import states for the first time, or changes."""

    change: SettingChange
    since: date
    days_back: int
    """Days before today from which it is in force; 0 where it is dated back by none."""
    steps: int
    """Steps in the record that happened on that day or later."""


def set_anew(plant_no: int, drafts: Iterable[Draft], now_ms: int) -> tuple[SetAnew, ...]:
    """Say what settings that are not in the record change against what is."""
    changed = [draft for draft in drafts if isinstance(draft, SettingDraft)]
    if not changed:
        return ()
    known = settings.load(plant_no)
    zone = zone_of(known)
    today = datetime.fromtimestamp(now_ms / 1000, zone).date()
    steps: dict[int, int] = {}
    found = []
    for draft in changed:
        change = change_of(draft, known)
        since = datetime.fromtimestamp(change.since_ms / 1000, zone).date()
        if change.since_ms not in steps:
            steps[change.since_ms] = settings.steps_from(plant_no, change.since_ms)
        back = max(0, (today - since).days)
        found.append(SetAnew(change, since, back, steps[change.since_ms]))
    return tuple(found)


def initials(plant: str) -> Mapping[str, str]:
    """Give initials by the ids that the plant keeps names of."""
    return {one.person: one.initials for one in people.names(plant).values()}


def signer(plant: str, by: str, stated: Sequence[Person], *, new: bool) -> str:
    """Give the id of whoever signs, by initials or id; in a new plant as its files name them.

    Raises
    ------
    Misuse
        If nobody is called so.
    """
    if new:
        known, ids = {one.initials: one.id for one in stated}, set[str]()
    else:
        known = {one.initials: one.person for one in people.names(plant).values()}
        ids = set(settings.load(lots.plant_number(plant)).names("role"))  # a name may be erased
    if by in known:
        return known[by]
    if by in ids.union(known.values()):
        return by
    there = ", ".join(known) or "none"
    message = f"nobody here signs {by!r}: write initials or an id. Known initials: {there}"
    raise Misuse(message)
