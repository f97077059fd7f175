"""What a press has counted of a run: good, scrap by cause, since when, and for how long it stood.

Read :func:`tally`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from beadwright.ledger.pressed import PressStep
from beadwright.ledger.runs import RunMark

__all__ = ["COUNT_MIN", "SCRAP", "STOPS", "Count", "Stop", "Tally", "of_ties", "tally",
           "usual_causes"]  # fmt: skip

COUNT_MIN = 60
"""Minutes after which a press is counted again. Common practice, no source."""

SCRAP = ("first shots", "short fill", "poor fusion", "stuck in the mould", "tie out of place",
         "poor surface")  # fmt: skip
"""Why blocks are scrapped at a press, where the plant has said nothing yet. Common practice, no
source."""

STOPS = ("mould change", "no beads ready", "steam", "cooling water", "tie feed", "cleaning")
"""Why a press stands, likewise."""

_CAUSES = 6
_MINUTE_MS = 60_000
_UNSAID = "no cause said"


@dataclass(frozen=True, slots=True)
class Count:
    """What was counted of a time."""

    step: str
    started_ms: int
    ended_ms: int
    shots: int
    good: int
    scrap: int
    cause: str
    by: str
    cavity: str = ""
    """The one that its scrap came out of, where that was said."""

    @property
    def why(self) -> str:
        """Why blocks were scrapped, and out of which cavity they came; empty: neither is said."""
        cavity = f"cavity {self.cavity}" if self.cavity else ""
        return ", ".join(filter(None, (self.cause, cavity)))


@dataclass(frozen=True, slots=True)
class Stop:
    """A time for which the press stood, and why."""

    step: str
    started_ms: int
    ended_ms: int
    cause: str
    by: str

    @property
    def minutes(self) -> int:
        """For how long, in min."""
        return round((self.ended_ms - self.started_ms) / _MINUTE_MS)


@dataclass(frozen=True, slots=True)
class Tally:
    """What a run has counted until now."""

    since_ms: int
    """Since when nothing was counted."""
    due: bool
    """Whether it is to be counted again."""
    counts: tuple[Count, ...] = ()
    """Newest first; scrap told by itself has no shots."""
    stops: tuple[Stop, ...] = ()
    """Newest first."""
    scrap_apart: int = 0
    """Scrap told since the last count."""

    @property
    def shots(self) -> int:
        """Shots counted."""
        return sum(one.shots for one in self.counts)

    @property
    def good(self) -> int:
        """Good blocks counted."""
        return sum(one.good for one in self.counts)

    @property
    def scrap(self) -> int:
        """Scrapped blocks."""
        return sum(one.scrap for one in self.counts)

    @property
    def causes(self) -> tuple[tuple[str, int], ...]:
        """Scrapped blocks by cause, and by cavity where that was said, most first."""
        found: dict[str, int] = {}
        for one in self.counts:
            if one.scrap:
                why = one.why if one.cause else ", ".join(filter(None, (_UNSAID, one.why)))
                found[why] = found.get(why, 0) + one.scrap
        return tuple(sorted(found.items(), key=lambda pair: (-pair[1], pair[0])))

    @property
    def stood(self) -> tuple[tuple[str, int], ...]:
        """Minutes stood by cause, most first."""
        found: dict[str, int] = {}
        for one in self.stops:
            found[one.cause] = found.get(one.cause, 0) + one.minutes
        return tuple(sorted(found.items(), key=lambda pair: (-pair[1], pair[0])))


def tally(
    steps: Iterable[PressStep], marks: Iterable[RunMark], opened_ms: int, at_ms: int
) -> Tally:
    """Sum up the counts and stops of one run, which are told in any order."""
    counts = sorted(
        (_count(one) for one in steps if one.kind == "mould"),
        key=lambda one: (-one.ended_ms, -one.started_ms),
    )
    stops = tuple(sorted(_stops(marks), key=lambda one: -one.ended_ms))
    since = max((one.ended_ms for one in counts if one.shots), default=opened_ms)
    # Told since the last count, scrap begins where that ended, be it within the same minute.
    minute = since - since % _MINUTE_MS  # to which forms tell a time
    apart = sum(one.scrap for one in counts if not one.shots and one.started_ms >= minute)
    due = at_ms - since > COUNT_MIN * _MINUTE_MS
    return Tally(since, due, tuple(counts), stops, apart)


def usual_causes(said: Iterable[str], common: Sequence[str]) -> tuple[str, ...]:
    """Give the causes to choose from: those said most of late, then what is common."""
    number = Counter(cause for cause in said if cause)
    mine = sorted(number, key=lambda cause: (-number[cause], cause))
    return tuple(dict.fromkeys((*mine, *common)))[:_CAUSES]


def of_ties(cause: str) -> bool:
    """Whether a cause speaks of ties: it is none of a product that has none.

    >>> of_ties("tie out of place"), of_ties("stuck in the mould")
    (True, False)
    """
    return any(word in {"tie", "ties"} for word in cause.lower().split())


def _count(one: PressStep) -> Count:
    facts = one.facts
    ended = int(facts["ended"]) if facts.get("ended", "").isdigit() else one.at_ms
    shots, good, scrap = (int(facts.get(name) or 0) for name in ("shots", "good", "scrap"))
    why = (facts.get("cause", ""), one.by, facts.get("cavity", ""))
    return Count(one.step, one.at_ms, ended, shots, good, scrap, *why)


def _stops(marks: Iterable[RunMark]) -> Sequence[Stop]:
    return [
        Stop(one.step, int(one.facts["started"]), int(one.facts["ended"]), one.facts["cause"],
             one.by)
        for one in marks
        if {"started", "ended", "cause"} <= one.facts.keys()
    ]  # fmt: skip
