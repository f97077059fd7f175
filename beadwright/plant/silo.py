"""What a silo board says of one place that holds beads: frozen answers, and their words.

Read :class:`Silo` first; :mod:`beadwright.plant.silos` makes them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from beadwright.ledger.places import Arrival, Emptying

__all__ = [
    "STATE_WORDS",
    "Band",
    "GradeIs",
    "Silo",
    "SiloFinding",
    "SiloHold",
    "SiloState",
    "Window",
]

SiloState = Literal[
    "held", "too_old", "mixed_grades", "filling", "too_fresh", "near_end", "ready", "no_hours",
    "swept", "ran_empty", "empty",
]  # fmt: skip
"""Worst first; ``no_hours`` where no ageing hours are signed for a grade in it."""

STATE_WORDS: Mapping[SiloState, str] = {
    "held": "held",
    "too_old": "too old",
    "mixed_grades": "mixed grades",
    "filling": "filling",
    "too_fresh": "too fresh",
    "near_end": "near its end",
    "ready": "ready",
    "no_hours": "hours not signed",
    "swept": "swept empty",
    "ran_empty": "ran empty",
    "empty": "empty",
}

_HOUR_MS = 3_600_000
_USABLE = frozenset({"near_end", "ready"})
_KEPT_BACK = frozenset({"held", "too_old", "filling", "too_fresh", "no_hours"})


@dataclass(frozen=True, slots=True)
class GradeIs:
    """A grade in a place, with what it is; empty where that was not set."""

    name: str
    title: str = ""
    flame_retardant: str = ""
    """``yes``, ``no`` or ``n/a``."""
    colour: str = ""
    bead_class: str = ""
    share: float | None = None
    """Of foam that was moulded before, its share of all, as if the place were well mixed."""


@dataclass(frozen=True, slots=True)
class Window:
    """The ageing hours of a content: the strictest of all grades in it."""

    min_h: float
    """Since the last bead came in."""
    max_h: float
    """Since the first."""
    grades: tuple[str, ...]
    """Whose hours were signed."""
    unsigned: tuple[str, ...]
    """Grades in it that no hours are signed for."""


@dataclass(frozen=True, slots=True)
class Band:
    """Between which masses a content lies, and how that was worked out. An estimate."""

    low_mg: int
    high_mg: int
    why: tuple[str, ...]
    """One sentence for each part, and where its share comes from."""


@dataclass(frozen=True, slots=True)
class SiloHold:
    """A person's hold that reaches the content."""

    hold: str
    reason: str
    at_ms: int
    by: str


@dataclass(frozen=True, slots=True)
class SiloFinding:
    """An open nonconformity that reaches the content."""

    cause: str
    code: str
    words: str
    detail: str
    at_ms: int
    step: str


@dataclass(frozen=True, slots=True)
class Silo:
    """A place that holds beads, as it stands by the books."""

    place: str
    kind: str
    """``silo``, ``hopper``, ``line``; empty where it was not said."""
    at_ms: int
    states: tuple[SiloState, ...]
    """All that apply, worst first; never empty."""
    grades: tuple[GradeIs, ...]
    """Of a place that ran empty, those of which a rest may lie in it until it is swept."""
    mg: int
    in_mg: int
    """What came in since it was last empty."""
    band: Band
    short_mg: int
    """Drawn since then beyond what the books held."""
    remainder_mg: int
    """What its fillings since then could not account for."""
    first_ms: int | None
    """When the first bead in it came in."""
    last_ms: int | None
    """When the last did."""
    window: Window | None
    """None where it is empty, or no hours are signed for any grade in it."""
    arrival: Arrival | None
    emptied: Emptying | None
    swept: Emptying | None
    accepts: tuple[str, ...]
    """Grades on its plate; none: no plate."""
    feeds: tuple[str, ...]
    """Places that it feeds itself."""
    presses: tuple[str, ...]
    """Presses that it reaches, over hoppers and lines."""
    products: tuple[str, ...]
    """Products whose approved list takes everything in it."""
    holds: tuple[SiloHold, ...]
    findings: tuple[SiloFinding, ...]

    @property
    def state(self) -> SiloState:
        """The worst state."""
        return self.states[0]

    @property
    def words(self) -> str:
        """Its states in words."""
        return ", ".join(STATE_WORDS[one] for one in self.states)

    @property
    def empty(self) -> bool:
        """Whether nothing is in it by the books."""
        return not self.mg

    @property
    def usable(self) -> bool:
        """Whether a press may draw of it now: within the signed hours, not held, not filling."""
        return bool(_USABLE & {*self.states}) and not _KEPT_BACK & {*self.states}

    @property
    def oldest_h(self) -> float | None:
        """Age of the oldest bead in it, in h."""
        return None if self.first_ms is None else (self.at_ms - self.first_ms) / _HOUR_MS

    @property
    def youngest_h(self) -> float | None:
        """Age of the youngest bead in it, in h."""
        return None if self.last_ms is None else (self.at_ms - self.last_ms) / _HOUR_MS

    @property
    def ready_ms(self) -> int | None:
        """From when it is ready; None where that is not known."""
        if self.window is None or self.last_ms is None:
            return None
        return self.last_ms + round(self.window.min_h * _HOUR_MS)

    @property
    def use_by_ms(self) -> int | None:
        """Until when it may be used; None where that is not known."""
        if self.window is None or self.first_ms is None:
            return None
        return self.first_ms + round(self.window.max_h * _HOUR_MS)

    @property
    def why_held(self) -> tuple[str, ...]:
        """What holds it, in words: each hold with its reason, each open nonconformity."""
        return (
            *(f"{one.hold}: {one.reason}" for one in self.holds),
            *(f"{one.words}: {one.detail}" for one in self.findings),
        )

    @property
    def share(self) -> float:
        """How much is left of what came in since it was last empty, from 0 to 1."""
        return min(1.0, self.mg / self.in_mg) if self.in_mg > 0 else float(bool(self.mg))
