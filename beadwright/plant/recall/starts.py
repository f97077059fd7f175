"""What a recall starts from: lots, what a press made in a time, what an instrument had read.

Read :func:`starts`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import lots
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.trace import asked, made_of
from beadwright.plant.block_age import spanned
from beadwright.plant.machines import places_of
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.quality import readings

__all__ = ["Begin", "starts"]

_SOURCES = frozenset({"bead", "tie"})


@dataclass(frozen=True, slots=True)
class Begin:
    """What somebody starts from."""

    lots: tuple[str, ...] = ()
    """Codes or labels: a bag, a carton, a silo, a block lot, a bundle."""
    press: str = ""
    instrument: str = ""
    since_ms: int = 0
    until_ms: int = 2**62
    sources: bool = False
    """Whether to go back from the lots to the bags and cartons they were made of, and start there:
    a complaint about a block."""


def starts(plant: Plant, begin: Begin) -> tuple[str, ...]:
    """Give the lots to start from.

    Raises
    ------
    Misuse
        If a lot is unknown or a label is on several, or nothing was made or read then.
    """
    found = dict.fromkeys(_lot(plant, text) for text in begin.lots)
    if begin.press:
        found |= dict.fromkeys(_pressed(plant, begin))
    if begin.instrument:
        found |= dict.fromkeys(_read_with(plant, begin))
    if not found:
        message = "a recall starts from something: a lot, a press and a time, or an instrument"
        raise Misuse(message)
    return _sources(plant, list(found)) if begin.sources else tuple(found)


def _lot(plant: Plant, text: str) -> str:
    found = lots.find(plant.no, text.strip())
    if len(found) != 1:
        many = ", ".join(one.code for one in found)
        message = f"{text!r} is on {len(found)} lots: {many}" if found else f"no lot {text!r}"
        raise Misuse(message)
    return found[0].code


def _pressed(plant: Plant, begin: Begin) -> list[str]:
    there = places_of(plant.no, "press", moment(plant))
    if begin.press not in there:
        message = f"no press is called {begin.press}; there are: {', '.join(there) or 'none'}"
        raise Misuse(message)
    codes = [view.code for kind in MOULDED for view in lots.of_kind(plant.no, kind, "mould run")]
    made = [
        code
        for code, steps in lots.makings(plant.no, codes).items()
        if any(
            one.place == begin.press and began <= begin.until_ms and ended >= begin.since_ms
            for one in steps
            for began, ended in (spanned(one),)
        )
    ]
    if not made:
        message = f"nothing was moulded at {begin.press} in that time"
        raise Misuse(message)
    return sorted(made)


def _read_with(plant: Plant, begin: Begin) -> list[str]:
    read = readings.read_with(plant.no, begin.instrument, begin.since_ms, begin.until_ms)
    views = lots.get_many(plant.no, [one.subject for one in read])
    found = [one.code for one in views.values() if one.kind in MOULDED]
    if not found:
        message = f"{begin.instrument} read no lot of blocks in that time"
        raise Misuse(message)
    return sorted(found)


def _sources(plant: Plant, codes: Sequence[str]) -> tuple[str, ...]:
    """Give the bags and cartons that lots were made of; a bag or a carton is its own."""
    found: dict[str, None] = {}
    for code in codes:
        sources = [one.code for one, _ in made_of(plant.no, code) if one.kind in _SOURCES]
        own, _ = asked(plant.no, code)
        found |= dict.fromkeys(sources or ([code] if own.kind in _SOURCES else []))
    if not found:
        message = f"no bag and no carton is known of {', '.join(codes)}"
        raise Misuse(message)
    return tuple(found)
