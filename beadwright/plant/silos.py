"""The silo board: every place that holds beads, how much, how old, ready when, held and why.

Read :func:`silos` first. Stock, clocks and grades are the record's newest; ages, signed hours and
states are those of the time asked for. What a press should draw next is told by
:func:`beadwright.plant.next_silo.next_to_use`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import cast

from beadwright.ledger import holds, places, settings
from beadwright.ledger.draft import RECLAIM
from beadwright.ledger.fold import Dated
from beadwright.ledger.places import Content, Moved
from beadwright.ledger.settings import Settings
from beadwright.plant.listing import not_listed
from beadwright.plant.silo import (
    STATE_WORDS,
    Band,
    GradeIs,
    Silo,
    SiloFinding,
    SiloHold,
    SiloState,
    Window,
)
from beadwright.plant.words import code_words

__all__ = ["FILLING_MIN", "NEAR_END_H", "WEIGHED", "reached", "silos"]

FILLING_MIN = 30
"""Minutes after the last bead in during which a place counts as filling. Common practice, no
source: the next batch comes within a minute or two, a change of bag within half an hour."""

NEAR_END_H = 8.0
"""Hours before its end from which a content is near it: one shift. Common practice, no source."""

WEIGHED = 0.01
"""Share by which a weighed mass may be wrong. Common practice, no source."""

_BACKFLUSHED = 0.05
"""Share by which a backflushed mass may be wrong. Common practice, no source; where the plant has
set how far a draw may pass the books (``tolerance`` of ``mould``), that is taken."""

_HOUR_MS, _MINUTE_MS = 3_600_000, 60_000
_HOLD = "hold:"
_NONE: Mapping[str, object] = {}
_ORDER = tuple(STATE_WORDS)


@dataclass(frozen=True, slots=True)
class _Known:
    """What was read for all places."""

    settings: Settings
    at_ms: int
    placed: Mapping[str, holds.HoldView]
    flaws: Mapping[str, Sequence[holds.Nonconformity]]


def silos(plant_no: int, at_ms: int, in_force: Settings | None = None) -> tuple[Silo, ...]:
    """Give every place that holds beads, in order of its code."""
    in_force = settings.load(plant_no) if in_force is None else in_force
    found = places.contents(plant_no)
    causes = {cause for one in found for cause in one.causes}
    flawed = {cause for cause in causes if not cause.startswith(_HOLD)}
    flaws: dict[str, list[holds.Nonconformity]] = {}
    for flaw in holds.nonconformities(plant_no, flawed) if flawed else ():
        flaws.setdefault(flaw.cause, []).append(flaw)
    placed = {one.hold: one for one in holds.placed(plant_no)} if causes - flawed else {}
    known = _Known(in_force, at_ms, placed, flaws)
    return tuple(_silo(one, known) for one in found)


def reached(in_force: Dated, place: str, at_ms: int) -> tuple[str, ...]:
    """Give the places that a place feeds, and all those that these feed, nearest first."""
    found: dict[str, None] = {}
    ask = list(_feeds(in_force, place, at_ms))
    while ask:
        name = ask.pop(0)
        if name not in found and name != place:
            found[name] = None
            ask += _feeds(in_force, name, at_ms)
    return tuple(found)


def _feeds(in_force: Dated, place: str, at_ms: int) -> tuple[str, ...]:
    body = in_force.at("place", place, at_ms) or _NONE
    return tuple(cast("Iterable[str]", body.get("feeds", ())))


def _silo(one: Content, known: _Known) -> Silo:
    body = known.settings.at("place", one.code, known.at_ms) or _NONE
    window = _window(one, known)
    held, findings = tuple(_holds(one, known)), tuple(_findings(one, known))
    return Silo(
        place=one.code,
        kind=str(body.get("kind", "")),
        at_ms=known.at_ms,
        states=_states(one, window, held=bool(held or findings), at_ms=known.at_ms),
        grades=tuple(_grade(name, one, known) for name in one.grades),
        mg=one.mg,
        in_mg=one.in_mg,
        band=_band(one, known),
        short_mg=sum(moved.short_mg for moved in one.moved),
        remainder_mg=sum(moved.remainder_mg for moved in one.moved),
        first_ms=one.first if one.mg else None,
        last_ms=one.last if one.mg else None,
        window=window,
        arrival=one.arrival,
        emptied=one.emptied,
        swept=one.swept,
        accepts=tuple(cast("Iterable[str]", body.get("accepts", ()))),
        feeds=_feeds(known.settings, one.code, known.at_ms),
        presses=_presses(one.code, known),
        products=tuple(_products(one, known)),
        holds=held,
        findings=findings,
    )


def _presses(place: str, known: _Known) -> tuple[str, ...]:
    def kind(name: str) -> object:
        return (known.settings.at("place", name, known.at_ms) or _NONE).get("kind")

    ways = reached(known.settings, place, known.at_ms)
    return tuple(name for name in ways if kind(name) == "press")


def _grade(name: str, one: Content, known: _Known) -> GradeIs:
    if name == RECLAIM:
        return GradeIs(RECLAIM, "foam that was moulded before", share=one.reclaim)
    body = known.settings.at("grade", name, known.at_ms) or _NONE
    keys = ("title", "flame_retardant", "colour", "bead_class")
    title, retardant, colour, bead_class = (str(body.get(key, "")) for key in keys)
    return GradeIs(name, title, retardant, colour, bead_class)


def _window(one: Content, known: _Known) -> Window | None:
    """Take the strictest of the hours signed for each grade in it, as the judge does."""
    signed: dict[str, tuple[float, float]] = {}
    if not one.mg:
        return None
    for grade in one.grades:
        hours = known.settings.at("ageing", grade, known.at_ms)
        hours = hours or known.settings.at("ageing", "*", known.at_ms)
        if hours is not None:
            signed[grade] = (float(str(hours["min_h"])), float(str(hours["max_h"])))
    if not signed:
        return None
    return Window(
        max(least for least, _ in signed.values()),
        min(most for _, most in signed.values()),
        tuple(signed),
        tuple(g for g in one.grades if g not in signed and g != RECLAIM),
    )


def _states(
    one: Content, window: Window | None, *, held: bool, at_ms: int
) -> tuple[SiloState, ...]:
    found: list[SiloState] = ["held"] if held else []
    if not one.mg:
        swept = one.emptied is not None and one.emptied.kind == "swept_empty"
        found.append("empty" if one.emptied is None else "swept" if swept else "ran_empty")
        return tuple(found)
    if len([grade for grade in one.grades if grade != RECLAIM]) > 1:
        found.append("mixed_grades")
    if _is_filling(one, at_ms):
        found.append("filling")
    if one.first is None or one.last is None:
        return (*found, "ready")  # ground foam alone: it has no hours to age
    if window is None or window.unsigned:
        found.append("no_hours")
    if window is not None:
        found += _aged((at_ms - one.first) / _HOUR_MS, (at_ms - one.last) / _HOUR_MS, window)
    return tuple(sorted(found, key=_ORDER.index))


def _aged(oldest_h: float, youngest_h: float, window: Window) -> Iterator[SiloState]:
    """Too fresh counts from the last bead in, too old from the first."""
    old, fresh = oldest_h > window.max_h, youngest_h < window.min_h
    if old:
        yield "too_old"
    if fresh:
        yield "too_fresh"
    if not old and not fresh:
        yield "near_end" if window.max_h - oldest_h <= NEAR_END_H else "ready"


def _is_filling(one: Content, at_ms: int) -> bool:
    """Whether beads came in a short while ago, and nobody has drawn from it yet."""
    if one.arrival is None or one.arrival.kind not in {"expand", "fill"}:
        return False
    drawn = any(moved.sign < 0 for moved in one.moved)
    return not drawn and 0 <= at_ms - one.arrival.at_ms < FILLING_MIN * _MINUTE_MS


def _band(one: Content, known: _Known) -> Band:
    """Work out how far the content may lie from the books.

    Each mass may be wrong by a share that goes with how it is known; the errors of many draws
    point the same way, for they rest on one mass of a block, so they add up and are no root of
    squares. What a filling could not account for may lie in the place, or may be missing from it.
    """
    off = WEIGHED * one.known_mg if one.counted else 0.0
    why = [f"{_share(WEIGHED)} of what was found there"] if one.counted else []
    for moved in one.moved:
        share, source = _wrong(moved, known)
        off += share * moved.mg
        went = "came in" if moved.sign > 0 else "was drawn"
        why.append(f"{_share(share)} of the {moved.mg / 1e6:.0f} kg that {went}, {source}")
    rest = sum(moved.remainder_mg for moved in one.moved)
    if rest:
        way = "may lie in it" if rest > 0 else "came in beyond what went in"
        why.append(f"{abs(rest) / 1e6:.1f} kg that its fillings could not account for: {way}")
    if not one.mg:
        return Band(0, 0, ("empty by the books",))
    low = max(0, round(one.mg - off + min(0, rest)))
    return Band(low, round(one.mg + off + max(0, rest)), tuple(why))


def _wrong(moved: Moved, known: _Known) -> tuple[float, str]:
    if moved.how != "backflushed":
        return WEIGHED, f"{moved.how} (common practice, no source)"
    if moved.sign < 0:
        body = known.settings.at("tolerance", "mould", known.at_ms) or _NONE
        if body.get("shortage"):
            return float(str(body["shortage"])), "backflushed (the plant's own tolerance)"
        return _BACKFLUSHED, "backflushed (common practice, no source)"
    # A filling that was not weighed itself is the weighed bag less its named losses.
    return WEIGHED, "worked out from what was weighed (common practice, no source)"


def _share(share: float) -> str:
    return f"{100 * share:g} %"


def _products(one: Content, known: _Known) -> Iterator[str]:
    """Give the products whose approved list takes every grade in it."""
    marks = set(one.grades)
    if not one.mg or not marks:
        return
    for product, listed in known.settings.all("approved", known.at_ms):
        body = known.settings.at("product", product, known.at_ms) or _NONE
        if RECLAIM in marks and body.get("family") == "form":
            continue
        listing = (listed, known.settings, known.at_ms)
        if next(not_listed(one.code, product, marks - {RECLAIM}, listing), None) is None:
            yield product


def _holds(one: Content, known: _Known) -> Iterator[SiloHold]:
    for cause in one.causes:
        if cause.startswith(_HOLD):
            name, _, placed = cause[len(_HOLD) :].rpartition("@")
            hold = known.placed.get(name)
            yield SiloHold(name, hold.reason if hold else "", int(placed), hold.by if hold else "")


def _findings(one: Content, known: _Known) -> Iterator[SiloFinding]:
    """Give each cause that is still open, with the newest nonconformity that shares it."""
    for cause in one.causes:
        flaws = known.flaws.get(cause, ())
        if flaws and not all(flaw.closed for flaw in flaws):
            last = [flaw for flaw in flaws if not flaw.closed][-1]
            yield SiloFinding(
                cause, last.code, code_words(last.code), last.detail, last.at_ms, last.step
            )
