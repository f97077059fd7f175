"""The answers a person gave about a machine's exports, kept so that they are not asked again.

Read first: :class:`Layout`. It is recognised by the form of the file; another form asks again.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from beadwright.errors import Misuse
from beadwright.interop.load_frame.found import Found, Question, Signature

__all__ = ["ONE_FILE", "Asking", "Layout", "keepable", "layout_of", "layout_to_keep"]

ONE_FILE = ("check.", "gaps", "layout", "size.")
"""How the fields begin that are about one file's figures and not about its form: not kept."""

_FORM = "beadwright load-frame layout 1"


@dataclass(frozen=True, slots=True)
class Layout:
    """Answers that hold for every file of one form."""

    signature: Signature
    answers: tuple[tuple[str, str], ...]

    def to_json(self) -> str:
        """Write it as JSON."""
        mine = self.signature
        body = {
            "form": _FORM,
            "delimiter": mine.delimiter,
            "decimal": mine.decimal,
            "headings": list(mine.headings),
            "units": list(mine.units),
            "answers": dict(self.answers),
        }
        return f"{json.dumps(body, ensure_ascii=False, indent=2)}\n"

    @classmethod
    def from_json(cls, text: str) -> Layout:
        """Read it back, or say what is wrong with it."""
        try:
            body: dict[str, Any] = json.loads(text)
            _same(body["form"])
            parts = [tuple(map(_text, body[name])) for name in ("headings", "units")]
            signs = [_text(body[name]) for name in ("delimiter", "decimal")]
            answers = tuple((_text(k), _text(v)) for k, v in dict(body["answers"]).items())
        except (ValueError, KeyError, TypeError) as error:
            message = (
                f"the layout cannot be read ({' '.join(str(error).split())[:80]}): "
                "write it anew with --keep-layout."
            )
            raise Misuse(message) from None
        return cls(Signature(signs[0], signs[1], parts[0], parts[1]), answers)


def layout_of(found: Found) -> Layout:
    """Return the layout to keep of a file: the answers that are about its form."""
    kept = tuple((k, v) for k, v in found.answers if not k.startswith(ONE_FILE))
    return Layout(found.signature, kept)


def keepable(found: Found) -> bool:
    """Whether something was answered about the form of a file, and nothing of it is open."""
    return not found.questions and bool(layout_of(found).answers)


def layout_to_keep(found: Found) -> Layout:
    """Give the layout of a file that has one to keep.

    Raises
    ------
    Misuse
        If it has none: see :func:`keepable`.
    """
    if not keepable(found):
        message = "nothing was answered about the form of this file, or something is open"
        raise Misuse(message)
    return layout_of(found)


@dataclass(slots=True)
class Asking:
    """What has been asked about one file so far, and what is answered."""

    answers: Mapping[str, str]
    open: dict[str, Question] = field(default_factory=dict)
    used: dict[str, str] = field(default_factory=dict)
    _asked: dict[str, Question] = field(default_factory=dict)

    def ask(self, name: str, what: str, choices: tuple[str, ...]) -> str | None:
        """Return the answer to a question; None, and the question is open, where nobody gave it."""
        key, count = name, 1
        while key in self._asked and self._asked[key].choices != choices:
            count += 1
            key = f"{name}.{count}"
        self._asked.setdefault(key, Question(key, what, choices))
        given = self.answers.get(key)
        if given is None:
            self.open.setdefault(key, self._asked[key])
            return None
        if given not in choices:
            message = f'"{given}" is no answer to {key}: write one of {", ".join(choices)}.'
            raise Misuse(message)
        self.used[key] = given
        return given

    @property
    def answered(self) -> tuple[Question, ...]:
        """Give the questions that were answered, in the order in which they were asked."""
        return tuple(self._asked[key] for key in self.used)


def _same(form: object) -> None:
    if form != _FORM:
        raise KeyError(form)


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError(value)
    return value
