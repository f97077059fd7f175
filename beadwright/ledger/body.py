"""Drafts to the bodies of entries and back.

A body holds what the draft says, without the fields that are at their default, plus who keyed it
and when. Read :func:`encode` and :func:`decode`; they are each other's inverse.
"""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Callable, Mapping
from enum import Enum
from functools import cache
from operator import attrgetter
from typing import Any

from beadwright.ledger.chain import canonical
from beadwright.ledger.draft import (
    Concession,
    Correction,
    Decision,
    Draft,
    Evidence,
    Hold,
    Label,
    Lift,
    Line,
    Loss,
    Material,
    NewLot,
    Reading,
    ReadingsDraft,
    Release,
    Reversal,
    SettingDraft,
    StepDraft,
    Void,
)
from beadwright.ledger.fold import FoldLine

__all__ = [
    "KINDS",
    "SCHEMA",
    "decode",
    "digest",
    "digest_of",
    "encode",
    "fold_lines",
    "kind_of",
]

SCHEMA = 1
"""Version of the bodies written now; older ones stay readable for ever."""

KINDS: Mapping[str, type] = {
    "step": StepDraft,
    "readings": ReadingsDraft,
    "void": Void,
    "setting": SettingDraft,
    "hold": Hold,
    "lift": Lift,
    "release": Release,
    "concession": Concession,
    "decision": Decision,
    "correct": Correction,
    "reverse": Reversal,
}

_NAMES = {cls: kind for kind, cls in KINDS.items()}

_NESTED: Mapping[tuple[type, str], type] = {
    (StepDraft, "lines"): Line,
    (StepDraft, "losses"): Loss,
    (StepDraft, "new_lots"): NewLot,
    (NewLot, "labels"): Label,
    (ReadingsDraft, "readings"): Reading,
}

_ENUMS: Mapping[tuple[type, str], type[Enum]] = {
    (Line, "evidence"): Evidence,
    (NewLot, "kind"): Material,
}

_SIGN_ORDER = {-1: 0, 0: 1, 1: 2}


def kind_of(draft: Draft) -> str:
    """Kind of the entry a draft becomes."""
    return _NAMES[type(draft)]


@cache
def _fields(cls: type) -> tuple[tuple[str, Any], ...]:
    found = []
    for f in dataclasses.fields(cls):
        default = f.default
        if f.default_factory is not dataclasses.MISSING:
            default = f.default_factory()
        found.append((f.name, default))
    return tuple(found)


@cache
def _values(cls: type) -> Callable[[object], tuple[Any, ...]]:
    """Give what reads all fields of an object at once; every draft and part has several."""
    return attrgetter(*(name for name, _ in _fields(cls)))


def encode(item: object) -> dict[str, Any]:
    """Give the JSON map of a draft or a part of one, without what is at its default."""
    body: dict[str, Any] = {}
    cls: Any = type(item)
    for (name, default), value in zip(_fields(cls), _values(cls)(item), strict=True):
        if value is not default and value != default:
            kind = type(value)
            body[name] = value if kind is str or kind is int else _plain(value)
    return body


def _plain(value: Any) -> Any:
    kind = type(value)
    if kind is str or kind is int or kind is bool or value is None:
        return value
    if isinstance(value, Enum):
        return str(value.value)
    if dataclasses.is_dataclass(value):
        return encode(value)
    if isinstance(value, tuple | list):
        return [_plain(v) for v in value]
    if isinstance(value, Mapping):
        return {k: _plain(v) for k, v in value.items()}
    return value


def decode(kind: str, body: Mapping[str, Any]) -> Draft:
    """Give back the draft of an entry."""
    return _decode(KINDS[kind], body)  # type: ignore[no-any-return]


def _decode(cls: type, body: Mapping[str, Any]) -> Any:
    values: dict[str, Any] = {}
    for name, _ in _fields(cls):
        if name not in body:
            continue
        value = body[name]
        if (cls, name) in _NESTED:
            inner = _NESTED[cls, name]
            value = tuple(_decode(inner, v) for v in value)
        elif (cls, name) == (StepDraft, "labels"):
            value = {k: tuple(_decode(Label, v) for v in vs) for k, vs in value.items()}
        elif (cls, name) == (Correction, "restated"):
            value = _decode(StepDraft, value)
        elif (cls, name) in _ENUMS:
            value = _ENUMS[cls, name](value)
        elif isinstance(value, list):
            value = tuple(value)
        values[name] = value
    return cls(**values)


def fold_lines(draft: StepDraft, numbers: Mapping[str, int]) -> list[FoldLine]:
    """Lines of a step as the fold reads them: inputs, statements of stock, outputs."""
    lines = sorted(draft.lines, key=lambda line: _SIGN_ORDER[line.sign])
    return [
        FoldLine(i, numbers[d.lot], d.sign, d.mg, d.pieces, str(d.evidence), d.place)
        for i, d in enumerate(lines)
    ]


def digest_of(draft: Draft) -> str:
    """Hash of what a draft says: the same key may come again only with the same.

    Without what the record itself filled in: the time of a planned step, the start of a hold.
    """
    if isinstance(draft, StepDraft) and draft.planned:
        draft = dataclasses.replace(draft, happened_at=None)
    elif isinstance(draft, Hold):
        draft = dataclasses.replace(draft, since=None)
    return digest(canonical(encode(draft)))


def digest(content: str) -> str:
    """Hash of a canonical text."""
    return hashlib.sha256(content.encode()).hexdigest()
