"""A small form of a station: the fields that are asked, and behind one tap what is filled in.

Read :class:`Sheet`, then :func:`with_answers`. A station adds what is only its own.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeVar

from beadwright.interop.keyed import Likely, fields_of
from beadwright.web.stations.answers import questions
from beadwright.web.stations.page import Box
from beadwright.web.stations.taken import Answered
from beadwright.web.stations.told import Told

__all__ = ["Act", "Boxes", "Doing", "Sheet", "labelled", "with_answers"]

_WORD = 40
"""Signs of what is filled in, beyond which only its beginning is shown."""

_SHORT = 4
_IN_HUNDREDTHS = frozenset({"fusion", "humidity", "exposed_humidity"})
"""Shares that are told in hundredths; elsewhere a share has other units too."""
_OfSheet = TypeVar("_OfSheet", bound="Sheet")


@dataclass(frozen=True, slots=True)
class Act:
    """One thing that is done at a station."""

    name: str
    title: str
    button: str
    """What the button at its end says."""
    kind: str
    """Kind of form."""
    asked: tuple[str, ...]
    """Fields that are keyed."""
    says: str = field(default="", kw_only=True)
    """Under the word on its button."""
    done: str = field(default="It is in the record.", kw_only=True)
    """Said once it is."""


@dataclass(frozen=True, slots=True)
class Doing:
    """A button to a form."""

    to: str
    title: str
    says: str
    at: str
    now: bool
    """Whether it is what is waited for."""


@dataclass(frozen=True, slots=True)
class Boxes:
    """Fields that stand together."""

    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet(Answered):
    """One form as it is shown."""

    act: Act
    likely: Likely
    asked: tuple[Box, ...]
    filled: tuple[Box, ...]
    """What is known already."""
    says: tuple[str, ...] = ()
    """What to know before it is keyed."""
    key: str = ""

    @property
    def boxes(self) -> tuple[Box, ...]:
        """Every field that stands on it."""
        return (*self.asked, *self.filled)

    @property
    def of_asked(self) -> Boxes:
        """Fields that are keyed first."""
        return Boxes(self.asked)

    @property
    def of_filled(self) -> Boxes:
        """Fields that are filled in already."""
        return Boxes(self.filled)

    @property
    def short(self) -> str:
        """What is filled in, in a few words."""
        times = {one.name for one in fields_of(self.act.kind) if one.sort == "time"}
        said = [
            f"{one.text} {one.unit}".strip() if len(one.text) <= _WORD else f"{one.text[:8]}…"
            for one in self.filled
            if one.text not in {"", "0"} and one.name not in times
        ]
        return ", ".join(said[:_SHORT]) + (" …" if len(said) > _SHORT else "")

    @property
    def wrong(self) -> bool:
        """Whether something of what was filled in is wrong, or asked about: then it is shown."""
        unusual = {one.asked.field for one in self.questions}
        return any(one.wrong or one.asked or one.name in unusual for one in self.filled)

    @property
    def has_numbers(self) -> bool:
        """Whether a decimal sign may be keyed."""
        return any(one.mode == "decimal" for one in self.asked)


def labelled(
    act: Act,
    some: Iterable[Box],
    labels: Mapping[tuple[str, str], str],
    must: Collection[tuple[str, str]],
) -> dict[str, Box]:
    """Give fields by name, with the words that a form has for them, and those it must have."""
    return {
        one.name: replace(
            one,
            label=labels.get((act.name, one.name), one.label),
            hint="" if (act.name, one.name) in labels else one.hint,
            required=one.required or (act.name, one.name) in must,
            folded=False,  # what is not asked stands behind one tap as it is
            unit="%" if one.name in _IN_HUNDREDTHS else one.unit,
            units=() if one.name in _IN_HUNDREDTHS else one.units,
        )
        for one in some
    }


def with_answers(form: _OfSheet, sent: Told) -> _OfSheet:
    """Give a form as it was sent, with what is wrong with it and what is asked.

    Of its kind's fields it holds a few: what was scanned is asked beside those alone.
    """
    there = {one.name for one in form.boxes if one.scan}
    scans = tuple(name for name in form.fits.scans if name in there)
    return replace(
        form,
        fits=replace(form.fits, scans=scans),
        key=sent.key,
        kept=sent.kept,
        then=sent.do,
        live=sent.live,
        faults=sent.said_apart,
        questions=questions(sent.form.questions, sent.filled),
    )
