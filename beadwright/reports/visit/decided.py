"""What people decided and changed since a day: holds, releases, concessions, settings, roles.

Read :func:`decisions` and :func:`changes`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from zoneinfo import ZoneInfo

from beadwright.ledger.draft import (
    Concession,
    Correction,
    Decision,
    Draft,
    Hold,
    Lift,
    Release,
    Reversal,
    SettingDraft,
    Void,
)
from beadwright.ledger.settings import Settings
from beadwright.reports.visit.entries import Entry, Person, Since
from beadwright.reports.visit.parts import Part, Table, table
from beadwright.reports.words import in_words, local

__all__ = ["changes", "decisions", "people"]

_MANY = 12
_ROLE = "role"


def decisions(since: Since, zone: ZoneInfo) -> Part:
    """Holds, lifts, releases, concessions; corrections, reversals, voids; other decisions."""
    kinds: tuple[tuple[str, tuple[type, ...]], ...] = (
        ("Holds and lifts", (Hold, Lift)),
        ("Releases", (Release,)),
        ("Concessions", (Concession,)),
        ("Corrections, reversals, readings taken out", (Correction, Reversal, Void)),
        ("Other decisions", (Decision,)),
    )
    columns = "entry>|when|recorded|by|what:4|reason:4"
    tables = [
        table(
            title,
            columns,
            [
                (
                    str(one.seq), local(one.draft.happened_at or 0, zone),
                    local(one.recorded_at, zone), one.draft.by or one.account, *_said(one),
                )
                for one in since.entries
                if isinstance(one.draft, classes)
            ],
        )
        for title, classes in kinds
    ]  # fmt: skip
    return Part("Decisions since", tables=tuple(tables))


def _said(one: Entry) -> tuple[str, str]:
    """Say what was decided, and why."""
    draft = one.draft
    if isinstance(draft, Decision):
        return f"{in_words(draft.kind)}: {draft.about}", _brief(draft.body)
    return _what(draft), str(getattr(draft, "reason", getattr(draft, "note", "")))


def _what(draft: Draft) -> str:
    match draft:
        case Hold():
            what = f"hold {draft.hold} on {_few(draft.lots)}"
        case Lift():
            what = f"hold {draft.hold} lifted from {_few(draft.lots)}"
        case Release():
            what = f"{draft.lot} released over evidence {draft.evidence[:12]}…"
        case Concession():
            what = f"concession on {draft.cause}, covers {len(draft.covers)}"
        case Correction() | Reversal():
            how = "restated" if isinstance(draft, Correction) else "undone"
            what = f"step {draft.step} {how}"
        case Void():
            what = f"readings {draft.readings} taken out"
        case _:
            what = type(draft).__name__
    return what


def _few(codes: Iterable[str]) -> str:
    named = list(codes)
    more = f" and {len(named) - _MANY} more" if len(named) > _MANY else ""
    return ", ".join(named[:_MANY]) + more


def _brief(body: Mapping[str, object]) -> str:
    """Say a body in one line; what a certificate holds is a paper of its own."""
    told = {key: value for key, value in body.items() if key != "content"}
    return "; ".join(f"{in_words(key)} {_value(value)}" for key, value in told.items())


def _value(value: object) -> str:
    if isinstance(value, list | tuple):
        return ", ".join(_value(one) for one in value)
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {_value(one)}" for key, one in value.items())
    return "yes" if value is True else "no" if value is False else str(value)


def changes(since: Since, settings: Settings, since_ms: int, zone: ZoneInfo) -> Part:
    """Settings in force from a day since, and those entered since for a time before."""
    drafts = [one for one in since.entries if isinstance(one.draft, SettingDraft)]
    fresh = [one for one in drafts if _from(one) >= since_ms]
    rows = [
        (str(one.seq), local(_from(one), zone), _by(one), _name(one), _changed(one, settings))
        for one in fresh
    ]
    columns = "entry>|in force from|by|setting:3|what changed:5"
    return Part(
        "Changes of settings since",
        tables=(
            table("In force from a day since", columns, rows),
            _entered_late([one for one in drafts if _from(one) < since_ms], zone),
        ),
    )


def _entered_late(drafts: list[Entry], zone: ZoneInfo) -> Table:
    """List by topic what was entered since and is dated before: on a first import, everything."""
    by_topic: dict[str, list[Entry]] = {}
    for one in drafts:
        assert isinstance(one.draft, SettingDraft)  # noqa: S101 - for the reader of types
        by_topic.setdefault(one.draft.topic, []).append(one)
    rows = [
        (topic, str(len(some)), local(min(map(_from, some)), zone),
         local(max(map(_from, some)), zone),
         ", ".join(dict.fromkeys(getattr(one.draft, "name", "") for one in some)))
        for topic, some in sorted(by_topic.items())
    ]  # fmt: skip
    columns = "topic|entries>|in force from|to|names:5"
    return table("Entered since, in force from a day before", columns, rows)


def _from(one: Entry) -> int:
    draft = one.draft
    if isinstance(draft, SettingDraft) and draft.since is not None:
        return draft.since
    return draft.happened_at or 0


def _by(one: Entry) -> str:
    return one.draft.by or one.account


def _name(one: Entry) -> str:
    return f"{getattr(one.draft, 'topic', '')} {getattr(one.draft, 'name', '')}"


def _changed(one: Entry, settings: Settings) -> str:
    """Say what differs from the version before: key by key, or all of a new one."""
    draft = one.draft
    assert isinstance(draft, SettingDraft)  # noqa: S101 - for the reader of types
    before: Mapping[str, object] | None = None
    for since, body in settings.versions(draft.topic, draft.name):
        if since < _from(one):
            before = body
    if before is None:
        return f"new: {_brief(draft.body)}"
    return "; ".join(_differing(before, draft.body)) or "stated again, nothing changed"


def _differing(before: Mapping[str, object], now: Mapping[str, object]) -> Iterator[str]:
    for key in sorted({*before, *now}):
        if key not in now:
            yield f"{in_words(key)}: {_value(before[key])}, now not stated"
        elif key not in before:
            yield f"{in_words(key)}: now {_value(now[key])}"
        elif _value(before[key]) != _value(now[key]):
            yield f"{in_words(key)}: {_value(before[key])}, now {_value(now[key])}"


def people(since: Since, settings: Settings, since_ms: int, zone: ZoneInfo) -> Part:
    """Tell who is new since, who was not seen again, and which roles were given."""
    rows = [
        (person, _standing(seen, since_ms), local(seen.first, zone), local(seen.last, zone),
         str(seen.count))
        for person, seen in sorted(since.people.items())
    ]  # fmt: skip
    roles = [
        (local(at_ms, zone), account, str(body.get("role", "")))
        for account in settings.names(_ROLE)
        for at_ms, body in settings.versions(_ROLE, account)
        if at_ms >= since_ms
    ]
    return Part(
        "People since",
        ("People are named by the ids of the record; the plant keeps their names apart.",),
        tables=(
            table("Who did something", "id|since the last visit|first|last|entries>", rows),
            table("Roles given to accounts since", "in force from|account|role", roles),
        ),
    )


def _standing(seen: Person, since_ms: int) -> str:
    if seen.first >= since_ms:
        return "new: did nothing before"
    return "active" if seen.last >= since_ms else "did nothing since"
