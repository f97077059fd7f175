"""What people decided since a day: holds, releases, concessions, corrections.

Read :func:`decisions`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

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
from beadwright.plant.history import EntryView, views
from beadwright.plant.opening import Plant
from beadwright.plant.recall.on_record import KIND as RECALL
from beadwright.plant.signed_how import signed_how
from beadwright.reports.visit.entries import Entry, Since
from beadwright.reports.visit.parts import Part, table
from beadwright.reports.words import by_whom, in_words, local

__all__ = ["decisions"]

_MANY = 12


def decisions(plant: Plant, since: Since) -> Part:
    """Holds, lifts, releases, concessions; corrections, reversals, voids; other decisions."""
    zone = plant.zone
    restating = [one.seq for one in since.entries if isinstance(one.draft, Correction | Void)]
    seen = views(plant, restating)
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
                    local(one.recorded_at, zone), by_whom(one.draft.by, one.account),
                    *_said(one, seen.get(one.seq)),
                )
                for one in since.entries
                if isinstance(one.draft, classes) and not _is_recall(one.draft)
            ],
        )
        for title, classes in kinds
    ]  # fmt: skip
    return Part("Decisions since", tables=tuple(tables))


def _is_recall(draft: Draft) -> bool:
    """Whether a decision is a stage of a recall, which has a part of its own."""
    return isinstance(draft, Decision) and draft.kind == RECALL


def _said(one: Entry, view: EntryView | None) -> tuple[str, str]:
    """Say what was decided, and why."""
    draft = one.draft
    if isinstance(draft, Decision):
        return f"{in_words(draft.kind)}: {draft.about}", _brief(draft.body)
    what = f"{_what(draft)}{_changed(view)}"
    if isinstance(draft, Release):
        what += f", {signed_how(draft.by, one.account)}"
    return what, str(getattr(draft, "reason", getattr(draft, "note", "")))


def _changed(view: EntryView | None) -> str:
    """Say what a correction changed: of a step field by field, of readings what replaced them."""
    if view is None or not view.changes:
        return ""
    one = view.restated
    if one is not None:
        place = "" if one.entry is None else f"; entry {one.entry} in place of entry {one.replaces}"
        return f"{place}: {one.said}"
    told = [f"{x.field} {x.before or 'nothing'} → {x.after or 'nothing'}" for x in view.changes]
    more = f"; and {len(told) - _MANY} more" if len(told) > _MANY else ""
    return f": {'; '.join(told[:_MANY])}{more}"


def _what(draft: Draft) -> str:
    match draft:
        case Hold():
            what = f"hold {draft.hold} on {_few(draft.lots)}"
        case Lift():
            what = f"hold {draft.hold} lifted from {_few(draft.lots)}"
        case Release():
            what = f"release of {draft.lot} signed, over evidence {draft.evidence[:12]}…"
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
