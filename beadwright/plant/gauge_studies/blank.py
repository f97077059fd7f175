"""A blank sheet of a study: every person every part every trial, in random order.

Read :func:`blank`. The order hides which part is which, and spreads over all what changes with
time. The same seed writes the same sheet.
"""

from __future__ import annotations

import csv
import io
import random
import re
from dataclasses import dataclass

from beadwright.errors import Misuse

__all__ = ["Size", "blank", "read_size"]

_SIZE = re.compile(r"(\d{1,3})\s*[x×]\s*(\d{1,2})\s*[x×]\s*(\d{1,2})")
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_MOST = 2000


@dataclass(frozen=True, slots=True)
class Size:
    """How many parts, people and trials."""

    parts: int
    people: int
    trials: int


def read_size(text: str) -> Size:
    """Read a size, such as ``10x3x3``.

    Raises
    ------
    Misuse
        If it is none, or there are fewer than two of anything.
    """
    found = _SIZE.fullmatch(text.strip())
    size = Size(*map(int, found.groups())) if found else None
    if size is None or min(size.parts, size.people, size.trials) < 2 or size.people > len(_LETTERS):  # noqa: PLR2004
        message = (
            f"{text!r} is no size of a blank sheet: write parts x people x trials, two of each at"
            " least, such as 10x3x3"
        )
        raise Misuse(message)
    if size.parts * size.people * size.trials > _MOST:
        message = f"a blank sheet of {text!r} has more than {_MOST} readings: nobody fills that in"
        raise Misuse(message)
    return size


def blank(size: Size, seed: int, *, unit: str = "", jig: bool = False) -> str:
    """Write a blank sheet as CSV.

    Every trial is a round of its own: a person sees all parts once, in another order each time,
    before any of them again. So nobody measures one part twice on end.
    """
    shuffled = random.Random(seed)  # noqa: S311 - an order that can be made again, no secret
    last = ["result", "reference"] if jig else [f"value [{unit or 'mm'}]"]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["order", "part", "person", "trial", *last])
    order = 0
    for trial in range(1, size.trials + 1):
        people = list(_LETTERS[: size.people])
        shuffled.shuffle(people)
        for person in people:
            parts = list(range(1, size.parts + 1))
            shuffled.shuffle(parts)
            for part in parts:
                order += 1
                writer.writerow([order, part, person, trial, *[""] * len(last)])
    return out.getvalue()
