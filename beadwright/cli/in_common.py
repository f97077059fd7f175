"""What is said of several lots at once, so that it is true of each of them.

Read :func:`in_common`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence

from beadwright.cli.grouping import by_limit, missing_of
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.words import in_runs, number

__all__ = ["in_common", "lacking"]

_MADE = re.compile(r"(?<=\bmade )\d{4}-\d\d-\d\d\b")
"""The day on which a lot was made, as sentences say it: the one thing that differs of many."""

_MOST = 6
"""Sentences that are true of some lots of a group only, and get a line each."""


def lacking(lot: LotAssessment) -> list[str]:
    """Say what a lot has not enough evidence of, sentence by sentence."""
    missing = missing_of([lot])
    return [
        *(f"{', '.join(named)}: {what}" for what, named in missing.items()),
        *(
            one.sentence
            for one in lot.reasons
            if one.weight != "notes" and not (missing and by_limit(lot, one))
        ),
    ]


def in_common(
    lots: Sequence[LotAssessment], said_of: Callable[[LotAssessment], Iterable[str]]
) -> list[str]:
    """Give the sentences of several lots, each once: first what is true of all.

    Sentences that differ only by the day on which the lot was made become one, with the span of
    days; one that is true of some lots only names them.
    """
    found: dict[str, dict[str, list[str]]] = {}
    for lot in lots:
        for text in said_of(lot):
            found.setdefault(_MADE.sub("\0", text), {})[lot.lot] = _MADE.findall(text)
    whole = [_said(text, of) for text, of in found.items() if len(of) == len(lots)]
    part = {text: of for text, of in found.items() if len(of) < len(lots)}
    told = [f"{in_runs(tuple(of))}: {_said(text, of)}" for text, of in part.items()]
    rest = {lot for of in list(part.values())[_MOST:] for lot in of}
    if rest:
        many = number(len(told) - _MOST, "sentence")
        told = [*told[:_MOST], f"{in_runs(tuple(rest))}: {many} more, each lot's own"]
    return [*whole, *told]


def _said(text: str, of: dict[str, list[str]]) -> str:
    """Put the days back, at each place the first to the last."""
    days = zip(*of.values(), strict=True)
    for there in days:
        first, last = min(there), max(there)
        text = text.replace("\0", first if first == last else f"{first} to {last}", 1)
    return text
