"""Texts that the record cannot keep: too long, or with a sign that nobody can read or type again.

Read :func:`text_faults`; :func:`unreadable` is asked of every text that people write, here and by
whatever reads a sheet. Found before posting, so that no store refuses what another one takes.
"""

from __future__ import annotations

import re
import unicodedata
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

__all__ = ["content_of", "text_faults", "unreadable", "visible"]

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

_HIDDEN = frozenset({"Cc", "Cf", "Cn", "Co", "Cs", "Zl", "Zp"})
"""Classes of signs (Unicode's general categories) that show as nothing, turn the text beside them
around, or are none: controls, format marks, unassigned, private, halves, separators of lines."""

_PICTURES = re.compile(
    "[\u2600-\u2712\u2719-\u27bf\u2b00-\u2bff\ufe00-\ufe0f\U0001f000-\U0001faff]"
)
"""Pictures and their variants, ticks and crosses aside: no paper of ours can print them."""

_OF_LINES = "\t\n\r"
"""May stand in a text of several lines."""

_WRITTEN = {"report", "report_withdrawn", "calibration", "limit_signed", "gauge_study"}
"""Decisions whose body a person writes, beside those of nonconformity files; in others the program
repeats what was taken before, which must not be refused then."""

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


def unreadable(text: str, *, lines: bool = False) -> list[str]:
    """Signs of a text that nobody can read or type again; ``lines`` lets it have several lines."""
    if text.isascii() and text.isprintable():
        return []
    allowed = _OF_LINES if lines else ""
    return sorted({sign for sign in text if sign not in allowed and _is_unreadable(sign)})


def visible(text: str) -> str:
    """Give a text with what nobody can read written out, as a message may repeat it."""
    odd = set(unreadable(text))
    return "".join(ascii(sign)[1:-1] if sign in odd else sign for sign in text)


def _is_unreadable(sign: str) -> bool:
    return unicodedata.category(sign) in _HIDDEN or _PICTURES.match(sign) is not None


def _unread(name: str, text: str, where: str, *, lines: bool = False) -> Iterator[Fault]:
    odd = unreadable(text, lines=lines)
    if odd:
        what = f"{name} holds {', '.join(map(ascii, odd[:3]))}, which nobody can read"
        yield Fault("bad_text", what, visible(text[:60]), where, "Key it again without.")


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
    elif isinstance(draft, Decision) and (draft.kind in _WRITTEN or draft.kind[:3] == "nc_"):
        for name, text in _within("", draft.body):
            yield from _unread(name, text, where, lines=True)
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
    yield from _unread("reason", text, where, lines=True)


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
            yield Fault("bad_text", what, visible(text[:60]), where, "Shorten it.")
        yield from _unread(name, text, where)


def _within(name: str, part: object) -> Iterator[tuple[str, str]]:
    """Every text of a body, with the name of its part."""
    if isinstance(part, str):
        yield name, part
    elif isinstance(part, Mapping):
        for key, value in part.items():
            yield from _within(str(key), value)
    elif isinstance(part, list | tuple):
        for value in part:
            yield from _within(name, value)


def _parted(name: str, texts: Iterable[str], where: str) -> Iterator[Fault]:
    for text in texts:
        if not text or _PARTS in text:
            what = f"{name}: {text!r} is empty or holds a {_PARTS}"
            yield Fault("bad_text", what, text, where, f"Write it without {_PARTS}.")
