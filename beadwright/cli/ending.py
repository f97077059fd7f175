"""How a command ends: its exit status, and the one message a person gets when it fails.

Read :func:`told`. A traceback is shown only where it was asked for.
"""

from __future__ import annotations

import re
import sys
import textwrap
import traceback
from collections.abc import Iterable
from dataclasses import replace

from beadwright.cli.called import retyped
from beadwright.errors import (
    BeadwrightError,
    Fault,
    Misuse,
    OutOfRange,
    RecordBroken,
    Refusal,
    StoreUnreachable,
    UnitError,
    plain,
)

__all__ = [
    "BROKEN",
    "CUT_OFF",
    "DONE",
    "MISUSE",
    "NO_STORE",
    "OURS",
    "REFUSED",
    "UNKNOWN",
    "UNREAD",
    "say",
    "status_of",
    "told",
]

DONE = 0
REFUSED = 1
"""Refused, or the answer is that not all may ship."""
MISUSE = 2
BROKEN = 3
"""The record does not verify."""
NO_STORE = 4
OURS = 70
"""A fault of this program (the number that sysexits.h gives such faults)."""
CUT_OFF = 130
"""Stopped from the keyboard."""
UNREAD = 141
"""Who was reading stopped doing so: not a word about whether all may ship."""

UNKNOWN = frozenset(
    {
        "unknown_lot", "unknown_step", "unknown_cause", "unknown_hold", "unknown_readings",
        "unknown_limit", "unknown_file", "unknown_action",
    }
)  # fmt: skip
"""Codes of refusals that say a name was given that the record does not know. At the shell that is
misuse, wherever it is found: by a question, by a decision before the door, or by the door."""

_WIDTH = 80
_COMMAND = re.compile(r"`[^`]{1,200}`")
_KEPT = "\0"
_SMALL_WORDS = frozenset({"all", "no", "nobody", "say", "the", "there"})
_GLOBAL = ("--store", "--plant", "--debug")


def say(text: str) -> None:
    """Tell a person something that is no data: on the error stream, wrapped.

    Paths and what stands between `backticks` may be copied, so they are kept whole.
    """
    for line in retyped(plain(text)).splitlines() or [""]:
        filled = textwrap.fill(
            _COMMAND.sub(lambda match: match[0].replace(" ", _KEPT), line),
            _WIDTH,
            break_long_words=False,
            break_on_hyphens=False,
            subsequent_indent="  ",
        )
        sys.stderr.write(filled.replace(_KEPT, " ") + "\n")


def told(error: Exception, *, debug: bool) -> int:
    """Say what went wrong, and give the exit status."""
    if debug:
        traceback.print_exception(error, file=sys.stderr)
    status, lines = status_of(error)
    for line in lines:
        say(line)
    return status


def status_of(error: Exception) -> tuple[int, Iterable[str]]:
    """Exit status of a fault, and what a person is told."""
    match error:
        case Refusal():
            lines = (str(_without_key(fault)) for fault in error.faults)
            mistyped = all(fault.code in UNKNOWN for fault in error.faults)
            status = MISUSE if mistyped else REFUSED
            return status, ["Refused; nothing of it was recorded.", *lines]
        case Misuse() | UnitError() | OutOfRange():
            return MISUSE, [_sentence(str(error))]
        case RecordBroken():
            return BROKEN, [f"The record does not verify: {error}"]
        case StoreUnreachable():
            return NO_STORE, [_sentence(str(error))]
        case BeadwrightError():
            return REFUSED, [str(error)]
        case _:
            return _foreign(error)


def _foreign(error: Exception) -> tuple[int, list[str]]:
    """Faults of the shell's arguments, of the database, of files; else one of ours."""
    kinds = {f"{kind.__module__}.{kind.__name__}" for kind in type(error).__mro__}
    if "typer.exceptions.TyperException" in kinds:
        return _of_arguments(error)
    if "django.core.exceptions.ImproperlyConfigured" in kinds:
        return NO_STORE, [str(error)]
    if "django.db.utils.Error" in kinds or "sqlite3.Error" in kinds:
        return NO_STORE, _of_database(str(error))
    if isinstance(error, OSError):
        return MISUSE, [f"{error.filename or 'a file'}: {error.strerror or error}."]
    what = f"{type(error).__name__}: {error}"
    return OURS, [
        f"This is a fault of the program, not of your files: {what}",
        "Run the command again with --debug before the verb, and send us what it prints.",
    ]


def _of_arguments(error: Exception) -> tuple[int, list[str]]:
    text = str(getattr(error, "format_message", error.__str__)())
    if type(error).__name__ == "NoArgsIsHelpError":
        return MISUSE, [text]
    context = getattr(error, "ctx", None)
    lines = [] if context is None else [context.get_usage()]
    lines.append(text)
    late = [name for name in _GLOBAL if name in text]
    if late and "No such option" in text:
        lines.append(f"{late[0]} is written before the verb: `beadwright {late[0]} … VERB`")
    elif context is not None:
        lines.append(f"Try: `{context.command_path} --help`")
    return int(getattr(error, "exit_code", MISUSE)), lines


def _of_database(text: str) -> list[str]:
    if "locked" in text:
        return [
            "Another program is writing to the store and did not finish in time.",
            "Wait until it is done, and run the command again.",
        ]
    return [
        f"The store cannot be used: {text.strip()}",
        "`beadwright doctor` says what state it is in.",
    ]


def _without_key(fault: Fault) -> Fault:
    """Leave out where a fault stands if that is only the key this shell made up."""
    return replace(fault, where="") if fault.where.startswith("shell/") else fault


def _sentence(text: str) -> str:
    """Begin with a capital, unless the first word may be a path, a code or an argument."""
    first = text.partition(" ")[0]
    return text[:1].upper() + text[1:] if first in _SMALL_WORDS else text
