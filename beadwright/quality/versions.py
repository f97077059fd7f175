"""Versions of readings: which correction voided some, and which were put in their place.

Pure. Readings are never changed: a correction voids a draft of them and posts another. Read
:func:`next_key`.
"""

from __future__ import annotations

import re

from beadwright.ledger.draft import ReadingsDraft, Void

__all__ = ["MARK", "correction_of", "key_of", "next_key", "void_key"]

MARK = "correction"
"""Fact of restated readings, of the first of a draft: client key of the correction."""

_VOID = "/void"
_NUMBERED = re.compile(r"(.+/readings)/([0-9]+)")


def key_of(first: str, number: int) -> str:
    """Give the client key of a version of readings, of which ``first`` is the first one's."""
    return first if number == 1 else f"{first}/{number}"


def next_key(key: str) -> str:
    """Give the client key of the version after one.

    >>> next_key("inspections/152/readings"), next_key("inspections/152/readings/2")
    ('inspections/152/readings/2', 'inspections/152/readings/3')
    """
    found = _NUMBERED.fullmatch(key)
    return key_of(key, 2) if found is None else key_of(found[1], int(found[2]) + 1)


def void_key(correction: str) -> str:
    """Give the client key of the void that a correction posts."""
    return f"{correction}{_VOID}"


def correction_of(draft: Void | ReadingsDraft) -> str:
    """Give the client key of the correction that a void or readings came of; empty of none."""
    if isinstance(draft, Void):
        return draft.key.removesuffix(_VOID) if draft.key.endswith(_VOID) else ""
    return draft.readings[0].facts.get(MARK, "") if draft.readings else ""
