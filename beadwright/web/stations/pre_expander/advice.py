"""Leave or change, and the last cup, in words.

Read :func:`advised`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from zoneinfo import ZoneInfo

from beadwright.plant.dead_band import Aim, Side, Taken
from beadwright.plant.expanding import Expanding
from beadwright.plant.steering import Steering, said
from beadwright.units import System
from beadwright.web.stations.pre_expander.words import clock, figure, target, unit_of

__all__ = ["Advised", "LastCup", "advised", "last_cup"]

_SIDES: dict[Side, tuple[str, str]] = {
    "inside": ("good", "within"),
    "above": ("ask", "above"),
    "below": ("ask", "below"),
    "": ("note", "no target"),
}
_OF_EARLIER = "No run is open: this is by the cups of earlier runs."
_SETS_NOTHING = "This page sets nothing on the machine. Once it is set there, tell it: Adjusted."
_SORTS = {"leave": "good", "change": "stop", "wait": "ask", "lacks": "ask"}


@dataclass(frozen=True, slots=True)
class Advised:
    """Leave or change, and why."""

    sort: str
    word: str
    why: str
    note: str = ""
    rests: tuple[str, ...] = ()
    """What it rests on, and what it would need."""


@dataclass(frozen=True, slots=True)
class LastCup:
    """The newest cup."""

    figure: str
    unit: str
    where: str
    when: str
    keyed: str
    sort: str
    side: str


def last_cup(one: Taken | None, now_ms: int, units: System, zone: ZoneInfo) -> LastCup | None:
    """Put the newest cup into words; one of another day with that day."""
    if one is None:
        return None
    sort, side = _SIDES[one.side]
    when = clock(one.at_ms, now_ms, zone)
    keyed = f"{one.keyed} in {one.volume}"
    return LastCup(figure(one.density_kg_m3, units), unit_of(units), one.where, when, keyed,
                   sort, side)  # fmt: skip


def advised(found: Expanding, steered: Steering, units: System) -> Advised:
    """Put the advice into words: by the machine's drift, else by the plain dead-band."""
    if steered.advice is not None:
        told = said(steered, units)
        note = _SETS_NOTHING if told.sort == "change" else ""
        if found.run is None:
            note = f"{_OF_EARLIER} {note}".strip()
        return Advised(_SORTS[told.sort], told.word, told.why, note, told.lines)
    if found.run is None:
        lacks = "; ".join(steered.lacks)
        return Advised("note", "No advice", f"No run is open, and it would need {lacks}.")
    plain = _by_band(found, units)
    return replace(plain, rests=(f"For a forecast it would need {'; '.join(steered.lacks)}.",))


def _by_band(found: Expanding, units: System) -> Advised:
    advice = found.advice
    last, aim = advice.last, advice.aim
    if last is None:
        return Advised("note", "No cup yet", "Take a cup: of this run nothing is known.")
    if aim is None:
        why = f"Nothing to hold {last.where} cups against"
        return Advised("ask", "No target", f"{why}.")
    if advice.word == "leave":
        return Advised("good", "Leave", _within(last, aim, advice.count, units))
    many = f"{_number(advice.count)} {last.where} {'cup' if advice.count == 1 else 'cups'}"
    beyond = f"{last.side} {target(aim, units)} {unit_of(units)}"
    if advice.word == "again":
        why = f"{many} {beyond}: too few to change by."
        return Advised("ask", "Leave, and take a second cup", why)
    way = "more" if last.side == "above" else "less"
    return Advised("stop", f"Change: expand {way}", f"{many} in a row {beyond}.", _SETS_NOTHING)


def _within(last: Taken, aim: Aim, count: int, units: System) -> str:
    cups = f"{count} {last.where} cup{'' if count == 1 else 's'}"
    value = f"{figure(last.density_kg_m3, units)} {unit_of(units)}"
    return f"{value} within {target(aim, units)}, {cups}."


def _number(count: int) -> str:
    words = ("No", "One", "Two", "Three", "Four", "Five", "Six")
    return words[count] if count < len(words) else str(count)
