"""What was changed since a day of settings, key by key, and of people and their roles.

Read :func:`changes`. Since is when the record took an entry: what is dated back stands here too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from beadwright.ledger.decided import approvals_given
from beadwright.ledger.draft import SettingDraft
from beadwright.ledger.settings import RELEASED, Settings
from beadwright.plant.loosened import loosenings, noted
from beadwright.plant.opening import Plant
from beadwright.plant.setting_changes import Key, SettingChange, change_of
from beadwright.reports.visit.entries import Entry, Person, Since
from beadwright.reports.visit.parts import Part, Table, table
from beadwright.reports.words import NAMES_APART, by_whom, in_words, local

__all__ = ["changes", "people"]

_ROLE = "role"
_COLUMNS = "entry>|recorded|in force from|by|setting:3|what changed:5"


@dataclass(frozen=True, slots=True)
class _Set:
    """A setting that was entered since, and what it changed."""

    entry: Entry
    change: SettingChange

    def row(self, zone: ZoneInfo) -> tuple[str, ...]:
        one, change = self.entry, self.change
        told = "; ".join(map(_key, change.keys)) or "stated again, nothing changed"
        if change.new:
            told = f"new: {'; '.join(f'{in_words(key.key)} {key.after}' for key in change.keys)}"
        return (
            str(one.seq), local(one.recorded_at, zone), local(change.since_ms, zone),
            by_whom(one.draft.by, one.account), f"{in_words(change.topic)} {change.name}", told,
        )  # fmt: skip


def _key(key: Key) -> str:
    name = in_words(key.key)
    if not key.before:
        return f"{name}: now {key.after}"
    return f"{name}: {key.before}, now {key.after or 'not stated'}"


def _sets(since: Since, settings: Settings) -> Iterator[_Set]:
    for one in since.entries:
        if isinstance(one.draft, SettingDraft):
            yield _Set(one, change_of(one.draft, settings, one.seq))


def changes(plant: Plant, since: Since, settings: Settings, span: tuple[int, int]) -> Part:
    """Settings in force from a day since, those entered since for a time before, the first ones.

    ``span`` says since when, and when it is asked.
    """
    since_ms, zone = span[0], plant.zone
    every = list(_sets(since, settings))
    later = [one for one in every if one.entry.seq > since.set_up]
    first = [one for one in every if one.entry.seq <= since.set_up]
    fresh = [one.row(zone) for one in later if one.change.since_ms >= since_ms]
    late = [one.row(zone) for one in later if one.change.since_ms < since_ms]
    return Part(
        "Changes of settings since",
        facts=tuple(_loosened(plant, since, settings, span[1])),
        tables=(
            table("In force from a day since", _COLUMNS, fresh),
            table("Entered since, in force from a day before", _COLUMNS, late),
            *([_first(first, zone)] if first else []),
        ),
    )


def _loosened(
    plant: Plant, since: Since, settings: Settings, at_ms: int
) -> Iterator[tuple[str, str]]:
    """Tell the rules of release that were loosened for a day before, and what left by them."""
    entered = {one.seq for one in since.entries}
    given = approvals_given(plant.no, settings.names(RELEASED))
    for one in loosenings(plant.code, settings, plant.zone):
        if one.seq in entered:
            under = ", ".join(noted([one], settings, given, at_ms)) or "none"
            yield (
                "Rule of release loosened",
                f"{one.words}, entry {one.seq}; lots released under it: {under}",
            )


def _first(sets: list[_Set], zone: ZoneInfo) -> Table:
    """List by topic the settings that the record begins with: nothing was changed by them."""
    by_topic: dict[str, list[_Set]] = {}
    for one in sets:
        by_topic.setdefault(one.change.topic, []).append(one)
    rows = []
    for topic, some in sorted(by_topic.items()):
        days = [one.change.since_ms for one in some]
        names = ", ".join(dict.fromkeys(one.change.name for one in some))
        rows.append(
            (in_words(topic), str(len(some)), local(min(days), zone), local(max(days), zone), names)
        )
    columns = "topic|entries>|in force from|to|names:5"
    return table("Settings that the record begins with", columns, rows)


def people(since: Since, settings: Settings, since_ms: int, zone: ZoneInfo) -> Part:
    """Tell who is new since, who was not seen again, and which roles were given."""
    rows = [
        (person, _standing(seen, since_ms), local(seen.first, zone), local(seen.last, zone),
         str(seen.count))
        for person, seen in sorted(since.people.items())
    ]  # fmt: skip
    roles = [
        (*row[:4], one.change.name, _role(one.change))
        for one in _sets(since, settings)
        if one.change.topic == _ROLE
        for row in [one.row(zone)]
    ]
    columns = "entry>|recorded|in force from|by|given to|role:2"
    return Part(
        "People since",
        (NAMES_APART,),
        tables=(
            table("Who did something", "id|since the last visit|first|last|entries>", rows),
            table("Roles given since", columns, roles),
        ),
    )


def _role(change: SettingChange) -> str:
    for key in change.keys:
        if key.key == _ROLE:
            return f"{key.before}, now {key.after}" if key.before else key.after
    return "stated again"


def _standing(seen: Person, since_ms: int) -> str:
    if seen.first >= since_ms:
        return "new: did nothing before"
    return "active" if seen.last >= since_ms else "did nothing since"
