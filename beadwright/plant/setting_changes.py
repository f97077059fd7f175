"""What a setting changed: key by key before and after, as it stood on the day it is dated.

Pure. Read :func:`change_of`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from beadwright.ledger.draft import SettingDraft
from beadwright.ledger.settings import Settings

__all__ = ["Key", "SettingChange", "change_of", "keys_of", "since_of", "value_of"]


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a setting: what it held before, and after; empty where it was not stated."""

    key: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class SettingChange:
    """A setting that is new, or says something else from a day on."""

    topic: str
    name: str
    since_ms: int
    new: bool
    """Whether nothing of that topic and name was in force on that day before."""
    keys: tuple[Key, ...]
    """None where it was stated again as it stood."""


def since_of(draft: SettingDraft) -> int:
    """Give the time from which a setting is in force."""
    return draft.happened_at if draft.since is None else draft.since


def change_of(draft: SettingDraft, known: Settings, seq: int | None = None) -> SettingChange:
    """Say what a setting changes against what ``known`` holds for its day.

    Of a setting that is in the record, ``seq`` is its entry: only what was entered before it
    counts, so that one dated back is told against what stood there until then.
    """
    since = since_of(draft)
    before: Mapping[str, object] | None = None
    for at_ms, entry, body in known.stated(draft.topic, draft.name):
        if at_ms <= since and (seq is None or entry < seq):
            before = body
    keys = tuple(keys_of(before or {}, draft.body))
    return SettingChange(draft.topic, draft.name, since, before is None, keys)


def keys_of(before: Mapping[str, object], after: Mapping[str, object]) -> Iterator[Key]:
    """Give the keys that differ between two bodies of one setting."""
    was, now = dict(_flat(before)), dict(_flat(after))
    for key in dict.fromkeys((*was, *now)):
        if was.get(key, "") != now.get(key, ""):
            yield Key(key, was.get(key, ""), now.get(key, ""))


def value_of(value: object) -> str:
    """Give a value as a settings file writes it, without quotation marks."""
    if isinstance(value, list | tuple):
        return ", ".join(value_of(one) for one in value)
    return str(value).lower() if isinstance(value, bool) else str(value)


def _flat(body: Mapping[str, object], above: str = "") -> Iterator[tuple[str, str]]:
    for name, value in body.items():
        if isinstance(value, Mapping):
            yield from _flat(value, f"{above}{name}.")
        else:
            yield f"{above}{name}", value_of(value)
