"""The next free name of a row of names that the tool gives itself: ``H-01``, ``H-02``, ``R-01``.

Read :func:`next_name`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

__all__ = ["next_name"]


def next_name(letter: str, taken: Iterable[str]) -> str:
    """Give the name after the highest that is taken; names of another form count for nothing.

    >>> next_name("H", ["H-02", "H-11", "the smell", "R-40"])
    'H-12'
    """
    ours = re.compile(f"{re.escape(letter)}-([0-9]{{1,6}})")
    numbers = (ours.fullmatch(one) for one in taken)
    return f"{letter}-{max((int(one[1]) for one in numbers if one), default=0) + 1:02d}"
