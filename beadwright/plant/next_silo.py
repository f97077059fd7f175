"""Which silo a press should draw of next, and why. Advice: it refuses nothing and orders nothing.

Read :func:`next_to_use`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.plant.silo import STATE_WORDS, Silo

__all__ = ["NextToUse", "PassedOver", "next_to_use"]

_LITTLE_H = 0.1


@dataclass(frozen=True, slots=True)
class PassedOver:
    """A place that feeds the press and is not the one to use next."""

    place: str
    why: str


@dataclass(frozen=True, slots=True)
class NextToUse:
    """What to draw of next for a product at a press."""

    press: str
    product: str
    place: str
    """Empty where nothing is ready."""
    why: str
    others: tuple[PassedOver, ...]


def next_to_use(board: Sequence[Silo], press: str, product: str) -> NextToUse:
    """Say which ready silo a press should draw of next: the oldest of an accepted grade, not held.

    Hoppers and lines beside a press are left out: what is in them is at the press already.
    """
    feeding = [
        one for one in board if press in one.presses and one.kind in {"silo", ""} and not one.empty
    ]
    fit = [one for one in feeding if one.usable and product in one.products]
    fit.sort(key=lambda one: (one.first_ms or 0, one.place))
    chosen = fit[0] if fit else None
    others = tuple(
        PassedOver(one.place, _why_not(one, product, chosen))
        for one in feeding
        if one is not chosen
    )
    if chosen is not None:
        return NextToUse(press, product, chosen.place, _why(chosen, product), others)
    soon = [
        one
        for one in feeding
        if {*one.states} & {"too_fresh", "filling"}
        and not {*one.states} & {"held", "too_old", "no_hours"}
        and product in one.products
        and one.ready_ms is not None
    ]
    if not soon:
        return NextToUse(press, product, "", f"nothing ready for {product}", others)
    first = min(soon, key=lambda one: one.ready_ms or 0)
    hours = ((first.ready_ms or 0) - first.at_ms) / 3_600_000
    why = (
        f"nothing ready for {product}; {first.place} is the next, in {max(hours, _LITTLE_H):.1f} h"
    )
    return NextToUse(press, product, "", why, others)


def _why(one: Silo, product: str) -> str:
    grades = " + ".join(grade.name for grade in one.grades)
    age = "" if one.oldest_h is None else f", {one.oldest_h:.0f} h old"
    end = ", near its end" if "near_end" in one.states else ""
    return f"the oldest that is ready{end}: {grades}{age}, on the approved list of {product}"


def _why_not(one: Silo, product: str, chosen: Silo | None) -> str:
    if "held" in one.states:
        return f"held: {'; '.join(one.why_held)}"
    if product not in one.products:
        grades = " + ".join(grade.name for grade in one.grades)
        return f"{grades or 'its grade'} is not on the approved list of {product}"
    if not one.usable:
        return ", ".join(STATE_WORDS[state] for state in one.states)
    return "ready, and younger" if chosen is not None else one.words
