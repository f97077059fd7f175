"""Texts that the record cannot keep: too long, or with a sign that parts what is kept.

Read :func:`text_faults`. Found before posting, so that no store refuses what another one takes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from beadwright.errors import BeadwrightError, Fault, Refusal
from beadwright.ledger.body import encode
from beadwright.ledger.chain import canonical
from beadwright.ledger.draft import (
    Concession,
    Correction,
    Decision,
    Draft,
    Hold,
    Label,
    Lift,
    Loss,
    NewLot,
    Reading,
    ReadingsDraft,
    Release,
    SettingDraft,
    StepDraft,
    Void,
)

__all__ = ["content_of", "text_faults"]

_LONGEST: Mapping[type, tuple[tuple[str, int], ...]] = {
    StepDraft: (("product", 40), ("place", 40), ("run", 40), ("by", 40)),
    NewLot: (("what", 40), ("product", 40), ("id", 36)),
    Label: (("issuer", 80), ("text", 120)),
    Loss: (("name", 60),),
    Reading: (
        ("step", 200), ("value", 40), ("unit", 20), ("instrument", 60), ("method", 80),
        ("specimen", 60),
    ),
    ReadingsDraft: (("by", 40),),
    Void: (("readings", 200), ("by", 40)),
    SettingDraft: (("topic", 40), ("name", 80), ("by", 40)),
    Hold: (("hold", 40), ("by", 40)),
    Lift: (("hold", 40), ("by", 40)),
    Release: (("by", 40),),
    Concession: (("cause", 200), ("by", 40)),
    Decision: (("kind", 20), ("about", 200), ("by", 40)),
}  # fmt: skip
"""Characters that a field may have: as wide as its column."""

_REASON = 2000
"""Characters that a reason may have: a page; more belongs in an attachment."""

_HOLD_ID = re.compile(r"\w(?:[\w ./-]*\w)?")
"""What a hold may be called: what can be said, written on a tag and typed again."""

_PARTS = "|"
"""Parts the marks of a lot: its grades, and the causes of its holds."""


def content_of(draft: Draft) -> str:
    """Give the canonical text of a draft.

    Raises
    ------
    Refusal
        ``bad_text``, where it cannot be written so on every store.
    """
    try:
        content = canonical(encode(draft))
    except BeadwrightError as error:
        raise Refusal([Fault("bad_text", str(error), "", draft.key)]) from error
    if "\\u0000" in content:
        what = "a text holds the character NUL"
        raise Refusal([Fault("bad_text", what, "", draft.key, "Key it again, or leave it out.")])
    return content


def text_faults(draft: Draft) -> Iterator[Fault]:
    """Every text of a draft that is too long, or holds a sign that it cannot."""
    where = draft.key
    if isinstance(draft, Correction):
        draft = draft.restated
    yield from _long(draft, where)
    if isinstance(draft, StepDraft):
        yield from _of_step(draft, where)
    elif isinstance(draft, ReadingsDraft):
        for reading in draft.readings:
            yield from _long(reading, where)
    elif isinstance(draft, Hold):
        yield from _hold_id(draft.hold, where)
    elif isinstance(draft, Lift):
        yield from _parted("hold", [draft.hold], where)
    if isinstance(draft, Hold | Lift | Concession):
        yield from _reason(draft.reason, where)


def _hold_id(name: str, where: str) -> Iterator[Fault]:
    if not _HOLD_ID.fullmatch(name):
        what = f"hold: {name[:60]!r} is no id that a tag can carry"
        remedy = "Write letters, digits, spaces and . / - _, with a letter or digit at both ends."
        yield Fault("bad_text", what, name[:60], where, remedy)


def _reason(text: str, where: str) -> Iterator[Fault]:
    if len(text) > _REASON:
        what = f"reason has {len(text)} characters; the record keeps {_REASON}"
        yield Fault("bad_text", what, text[:60], where, "Shorten it, or attach a file.")
    odd = sorted({sign for sign in text if not sign.isprintable() and sign not in "\n\t"})
    if odd:
        what = f"reason holds {', '.join(map(ascii, odd[:3]))}, which nobody can read"
        yield Fault("bad_text", what, ascii(text[:60]), where, "Key it again without.")


def _of_step(draft: StepDraft, where: str) -> Iterator[Fault]:
    for loss in draft.losses:
        yield from _long(loss, where)
    for new in draft.new_lots:
        yield from _long(new, where)
        yield from _parted(f"grade of {new.code}", new.grades, where)
        for label in new.labels:
            yield from _long(label, where)
    for labels in draft.labels.values():
        for label in labels:
            yield from _long(label, where)


def _long(item: object, where: str) -> Iterator[Fault]:
    for name, longest in _LONGEST.get(type(item), ()):
        text = getattr(item, name)
        if len(text) > longest:
            what = f"{name} has {len(text)} characters; the record keeps {longest}"
            yield Fault("bad_text", what, text[:60], where, "Shorten it.")


def _parted(name: str, texts: Iterable[str], where: str) -> Iterator[Fault]:
    for text in texts:
        if not text or _PARTS in text:
            what = f"{name}: {text!r} is empty or holds a {_PARTS}"
            yield Fault("bad_text", what, text, where, f"Write it without {_PARTS}.")
