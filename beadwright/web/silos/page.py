"""What the silo board shows: each place as words in the units a person chose.

Read :func:`page`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from beadwright.charts import vessel
from beadwright.charts.vessel import Vessel
from beadwright.ledger.places import Emptying
from beadwright.plant.figures import percent, whole_mass
from beadwright.plant.machines import Board
from beadwright.plant.masses_said import round_masses_in
from beadwright.plant.next_silo import NextToUse
from beadwright.plant.silo import STATE_WORDS, GradeIs, Silo, SiloState
from beadwright.units import System

__all__ = ["Plate", "SilosPage", "page"]

_HOUR_MS = 3_600_000
_LONG_H = 96

_SORTS: dict[SiloState, str] = {
    "held": "stop",
    "too_old": "stop",
    "mixed_grades": "ask",
    "filling": "note",
    "too_fresh": "ask",
    "near_end": "ask",
    "ready": "good",
    "no_hours": "ask",
    "swept": "note",
    "ran_empty": "note",
    "empty": "note",
}
_FLAME = {"yes": "flame retardant", "no": "NO flame retardant", "n/a": ""}


@dataclass(frozen=True, slots=True)
class Plate:
    """One place of the board."""

    place: str
    kind: str
    states: tuple[tuple[str, str], ...]
    """Sort and word of each, worst first."""
    svg: str
    mass: str
    band: str
    """Between which masses it lies; empty where it is empty."""
    why: str
    grades: tuple[str, ...]
    rest: bool
    """Whether the grades are those of a rest that may lie in it."""
    ages: str
    ready_ms: int | None
    use_by_ms: int | None
    hours: str
    silo: Silo
    short: str
    remainder: str
    next_for: tuple[str, ...]
    swept: str
    """By whom it was swept and who inspected it."""
    emptied: str
    """How it was last empty, and by whom."""


@dataclass(frozen=True, slots=True)
class SilosPage:
    """The board."""

    at_ms: int
    plates: tuple[Plate, ...]
    nexts: tuple[NextToUse, ...]
    print: str
    """Of all that is shown but the time: the same print, the same page."""


def page(board: Board, units: System, named: Callable[[str], str]) -> SilosPage:
    """Give what is shown of a board: silos first, then hoppers and lines."""
    nexts = tuple(one.next for one in board.presses if one.next is not None)
    order = sorted(board.silos, key=lambda one: (one.kind != "silo", one.place))
    most = max((one.band.high_mg for one in order if one.kind == "silo"), default=0)
    plates = tuple(
        _plate(one, _drawn(one, n, most, units), nexts, (units, named))
        for n, one in enumerate(order)
    )
    shown = hashlib.sha256(repr((nexts, [_lasting(one) for one in plates])).encode())
    return SilosPage(board.at_ms, plates, nexts, shown.hexdigest()[:16])


def _plate(
    one: Silo, svg: str, nexts: Sequence[NextToUse], told: tuple[System, Callable[[str], str]]
) -> Plate:
    units, named = told
    low, high = (whole_mass(mg, units) for mg in (one.band.low_mg, one.band.high_mg))
    window = one.window
    return Plate(
        place=one.place,
        kind=one.kind or "place",
        states=tuple((_SORTS[state], STATE_WORDS[state]) for state in one.states),
        svg=svg,
        mass=whole_mass(one.mg, units),
        band="" if one.empty else f"{low} to {high}",
        why=round_masses_in("; ".join(one.band.why), units),
        grades=tuple(map(_grade, one.grades)),
        rest=one.empty,
        ages=_ages(one),
        ready_ms=one.ready_ms,
        use_by_ms=one.use_by_ms,
        hours="" if window is None else f"{window.min_h:g} to {window.max_h:g}\u00a0h",
        silo=one,
        short=whole_mass(one.short_mg, units) if one.short_mg else "",
        remainder=_remainder(one, units),
        next_for=tuple(use.press for use in nexts if use.place == one.place),
        swept=_by(one.swept, named),
        emptied=_emptied(one.emptied, named),
    )


def _lasting(one: Plate) -> tuple[object, ...]:
    """Give what is shown of a plate, but the time that it was asked for."""
    silo = one.silo
    return (
        one.svg, one.states, one.band, one.grades, one.ages, one.ready_ms, one.use_by_ms, one.short,
        one.remainder, one.next_for, one.swept, one.emptied, silo.feeds, silo.products,
        silo.accepts, silo.why_held,
    )  # fmt: skip


def _by(one: Emptying | None, named: Callable[[str], str]) -> str:
    if one is None:
        return ""
    by = f"by {named(one.by)}" if one.by else ""
    looked = f"inspected by {named(one.inspected_by)}" if one.inspected_by else ""
    return ", ".join(filter(None, (by, looked)))


def _emptied(one: Emptying | None, named: Callable[[str], str]) -> str:
    if one is None:
        return ""
    return " ".join(filter(None, (one.kind.replace("_", " "), _by(one, named))))


def _drawn(one: Silo, at: int, most: int, units: System) -> str:
    whole = max(1, most)
    title = f"How full {one.place} is"
    words = f"{one.place} holds {whole_mass(one.mg, units)} by the books."
    shares = (one.mg / whole, one.band.low_mg / whole, one.band.high_mg / whole)
    held = "held" in one.states
    return vessel.draw(Vessel(f"vessel-{at}", title, words, *shares, held=held)).svg


def _grade(grade: GradeIs) -> str:
    mixed = "" if grade.share is None else f"{percent(grade.share)}\u00a0% if well mixed"
    flame = _FLAME.get(grade.flame_retardant, "")
    said = (flame, grade.colour, grade.bead_class, grade.title, mixed)
    more = ", ".join(filter(None, said))
    return f"{grade.name}: {more}" if more else grade.name


def _ages(one: Silo) -> str:
    if one.oldest_h is None or one.youngest_h is None:
        return ""
    oldest, youngest = _hours(one.oldest_h), _hours(one.youngest_h)
    return oldest if oldest == youngest else f"{youngest} to {oldest}"


def _hours(hours: float) -> str:
    return f"{hours:.0f} h" if hours < _LONG_H else f"{hours / 24:.0f} days"


def _remainder(one: Silo, units: System) -> str:
    if not one.remainder_mg:
        return ""
    mass = whole_mass(abs(one.remainder_mg), units)
    return (
        f"{mass} went missing at its fillings"
        if one.remainder_mg > 0
        else (f"{mass} more came in than went in at its fillings")
    )
