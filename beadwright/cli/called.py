"""Commands that a message names, as the person could type them again.

Read :func:`retyped`. Messages of every floor write `beadwright VERB` between backticks; here the
program becomes what it was called as, with the store and the plant that were named on the line.
"""

from __future__ import annotations

import re
import shlex
import shutil
from contextvars import ContextVar
from dataclasses import dataclass
from pathlib import Path

__all__ = ["PROGRAM", "Called", "remember", "retyped", "typed"]

PROGRAM = "beadwright"
_COMMAND = re.compile(r"`beadwright( [^`]*)?`")
_STORELESS = ("demo", "layout", "--")
"""What a command goes on with where no store is to be named: verbs without one, or options."""


@dataclass(frozen=True, slots=True)
class Called:
    """How the program was called."""

    program: str = PROGRAM
    store: Path | None = None
    """As it was given on the line; None where the environment names it."""
    plant: str = ""

    @property
    def words(self) -> str:
        """What stands before a verb."""
        words = [shlex.quote(self.program)]
        if self.store is not None:
            words += ["--store", shlex.quote(str(self.store))]
        if self.plant:
            words += ["--plant", shlex.quote(self.plant)]
        return " ".join(words)


_NOW: ContextVar[Called] = ContextVar("called", default=Called())  # noqa: B039 - it is frozen


def remember(called: Called) -> None:
    """Keep how the program was called, for the messages of this call."""
    _NOW.set(called)


def typed(first: str) -> str:
    """Give the program as it was typed: its name where the shell finds it by that."""
    if not first or first == "-c" or first.endswith(".py"):
        return PROGRAM
    found = shutil.which(PROGRAM)
    if found is not None and Path(found).resolve() == Path(first).resolve():
        return PROGRAM
    return first


def retyped(text: str) -> str:
    """Give a text with its commands as the person could type them now."""
    if f"`{PROGRAM}" not in text:
        return text
    called = _NOW.get()

    def again(found: re.Match[str]) -> str:
        rest = found[1] or ""
        bare = rest.strip().startswith(_STORELESS)
        return f"`{shlex.quote(called.program) if bare else called.words}{rest}`"

    return _COMMAND.sub(again, text)
