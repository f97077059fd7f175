"""A look back in words, the same in the shell and on a page.

Read :func:`words_of`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.plant.look_back.answer import LookBack, LotBack, Standing
from beadwright.plant.look_back.taken import Taken
from beadwright.plant.words import in_runs, number

__all__ = ["STANDING", "LookWords", "not_looked_at", "pieces_of", "taken_since", "words_of"]

STANDING: dict[Standing, str] = {
    "worse": "would not have passed",
    "may": "may not have passed, by what the error is uncertain",
    "unknown": "cannot be judged",
    "better": "would have passed what failed",
    "same": "unchanged",
}

_SIGN = "what it said less the truth"

_NOT_LOOKED_AT = (
    "masses of steps and of ties weighed with it, for the record names no instrument of them;"
    " reports of other laboratories"
)


@dataclass(frozen=True, slots=True)
class LookWords:
    """The answer, sentence by sentence."""

    found: str
    since: str
    read: str
    answer: str
    do: str
    """What to do next; empty where there is nothing."""


def words_of(back: LookBack) -> LookWords:
    """Say what was found, what was looked at, and what rests on it."""
    return LookWords(_found(back), _since(back), _read(back), _answer(back), _do(back))


def not_looked_at(back: LookBack) -> str:
    """Say what the answer leaves out."""
    error = back.span.error
    if error is None or error.expanded is not None:
        return _NOT_LOOKED_AT
    return f"{_NOT_LOOKED_AT}; the error's own uncertainty, which nobody stated"


def taken_since(found: Taken) -> str:
    """Say from when readings of an instrument are listed, and why from then."""
    name, right = found.instrument, found.last_right
    if found.since is None:
        return f"What {name} ever read, for no calibration found it right"
    if right is not None and right.done == found.since:
        named = f" ({right.certificate})" if right.certificate else ""
        return f"What {name} read since {found.since}, when a calibration{named} found it right"
    return f"What {name} read since {found.since}"


def pieces_of(one: LotBack) -> tuple[str, ...]:
    """Say where the pieces of a lot are."""
    if one.where is None:
        return ()
    told = [
        f"ALREADY SHIPPED: {stand.pieces} to {stand.receiver} in {stand.lot}"
        for stand in one.where.shipped
    ]
    if one.where.in_stock:
        few = sum(stand.at_least for stand in one.where.in_stock)
        many = sum(stand.at_most for stand in one.where.in_stock)
        pieces = f"{many}" if few == many else f"{few} to {many}"
        told.append(f"{pieces} in the plant: {in_runs([it.lot for it in one.where.in_stock])}")
    if one.where.gone:
        told.append(f"{number(one.where.gone, 'piece')} rejected, sampled or counted less")
    return tuple(told)


def _found(back: LookBack) -> str:
    span = back.span
    error = "" if span.error is None else f"an error of {span.error.text} ({_SIGN})"
    if span.found is None:
        return f"What if {span.instrument} had {error}"
    how = "failed" if not span.found.passed else "passed once it was adjusted"
    named = f", {span.found.certificate}" if span.found.certificate else ""
    tail = f", found with {error}" if error else "; nobody said how far off it was"
    return f"{span.instrument}'s calibration of {span.found.done} {how}{named}{tail}"


def _since(back: LookBack) -> str:
    last = back.span.last_good
    until = "until now" if back.span.found is None else f"until {back.span.found.done}"
    if last is None:
        return f"it never passed before, so all that it read {until} is looked at"
    return f"it last passed on {last.done}; what it read from that day {until} is looked at"


def _read(back: LookBack) -> str:
    if not back.readings:
        return "it read nothing in that time"
    names = ", ".join(f"{n} of {name.replace('_', ' ')}" for name, n in back.read)
    lots = [one for one in back.lots if one.readings]
    text = f"{number(back.readings, 'reading')} ({names}) on {number(len(lots), 'block lot')}"
    if back.elsewhere:
        of = ", ".join(f"{n} of {code}" for code, n in back.elsewhere)
        text += f"; no release rests on {of}, but what people did by them may"
    if back.unanswered and back.span.error is not None:
        text += (
            f"; of {back.unanswered}, in other units, the error says nothing: they stand as read"
        )
    return text


def _answer(back: LookBack) -> str:
    if not back.lots:
        return "No block lot rests on what it read."
    parts = [_part(back.of(one), words) for one, words in STANDING.items() if back.of(one)]
    held = f"{back.released} of them" if back.released else "none of them"
    return f"Without the error: {'; '.join(parts)}. Released was {held}."


def _part(some: Sequence[LotBack], words: str) -> str:
    released = sum(bool(one.approvals) for one in some)
    tail = f" ({released} released)" if released else ""
    return f"{number(len(some), 'lot')} {words}{tail}"


def _do(back: LookBack) -> str:
    if not back.to_hold:
        return ""
    if back.span.error is None:
        return "State the error as found to have the lots judged, or hold them until it is known."
    return "Put them on hold until they are measured again, or decide on each as a nonconformity."
