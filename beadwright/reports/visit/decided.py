"""What people decided since a day: holds, releases, concessions, corrections.

Read :func:`decisions`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
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
    Void,
)
from beadwright.reports.visit.entries import Entry, Since
from beadwright.reports.visit.parts import Part, table
from beadwright.reports.words import in_words, local

__all__ = ["decisions"]

_MANY = 12


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
