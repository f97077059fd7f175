"""Expanders and presses: what each made last, whether that is now, what a press should draw next.

Read :class:`Made`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from beadwright.ledger import settings, stock
from beadwright.ledger.settings import Settings
from beadwright.ledger.stock import LastAt
from beadwright.plant.next_silo import NextToUse, next_to_use
from beadwright.plant.runs import Run, open_runs
from beadwright.plant.silo import Silo
from beadwright.plant.silos import silos

__all__ = ["DAYS_BACK", "NOW_MIN", "Board", "Machine", "Made", "board", "places_of"]

NOW_MIN = 60
"""Minutes for which a machine counts as running after its last entry. Common practice, no source:
presses are counted every hour."""

DAYS_BACK = 14
"""Days for which the last run of a machine is looked for."""

_DAY_MS = 86_400_000
_MINUTE_MS = 60_000


@dataclass(frozen=True, slots=True)
class Machine:
    """An expander or a press, with what it made last."""

    place: str
    kind: str
    feeds: tuple[str, ...]
    last: LastAt | None
    """None where nothing was recorded of it for two weeks."""
    now: bool
    """Whether that is so short a while ago that it counts as running."""
    next: NextToUse | None = None
    """Of a press: what to draw of next for the product it makes, or made last."""
    run: Run | None = None
    """The run that is open at it, which counts as running; at a press none that was forgotten."""


@dataclass(frozen=True, slots=True)
class Made:
    """What was made last at each machine, before a time."""

    in_force: Settings
    at_ms: int
    last: Mapping[tuple[str, bool], LastAt]
    """By place, and whether it is an expansion."""
    runs: Mapping[tuple[str, bool], Run] = field(default_factory=dict)
    """Runs that are open, likewise; the newest of several."""

    @classmethod
    def of(cls, plant_no: int, in_force: Settings, at_ms: int) -> Made:
        """Read what was made in the two weeks before a time."""
        last = stock.last_at(plant_no, at_ms - DAYS_BACK * _DAY_MS)
        made = {(one.place, one.kind == "expand"): one for one in last if one.at_ms <= at_ms}
        open_ = (one for one in open_runs(plant_no, at_ms) if one.of_beads or not one.long(at_ms))
        runs = {(one.place, one.of_beads): one for one in open_}
        return cls(in_force, at_ms, made, runs)

    @property
    def elsewhere(self) -> LastAt | None:
        """The last expansion of which the record does not say on which expander it ran."""
        return self.last.get(("", True))

    def expanders(self) -> tuple[Machine, ...]:
        """Every expander, by its code."""
        return tuple(self._of_kind("expander", ()))

    def presses(self, board: Sequence[Silo]) -> tuple[Machine, ...]:
        """Every press, by its code, with what it should draw of next."""
        return tuple(self._of_kind("press", board))

    def _of_kind(self, kind: str, board: Sequence[Silo]) -> Iterator[Machine]:
        for name, body in self.in_force.all("place", self.at_ms):
            if body.get("kind") != kind:
                continue
            feeds = body.get("feeds", ())
            here = (name, kind == "expander")
            last, run = self.last.get(here), self.runs.get(here)
            now = last is not None and self.at_ms - last.at_ms < NOW_MIN * _MINUTE_MS
            product = run.product if run is not None else "" if last is None else last.product
            told = next_to_use(board, name, product) if kind == "press" and product else None
            to = tuple(feeds) if isinstance(feeds, list) else ()
            yield Machine(name, kind, to, last, now or run is not None, told, run)


@dataclass(frozen=True, slots=True)
class Board:
    """The silo board: every place that holds beads, and every press with what to use next."""

    at_ms: int
    silos: tuple[Silo, ...]
    presses: tuple[Machine, ...]


def board(plant_no: int, at_ms: int) -> Board:
    """Give the silo board."""
    in_force = settings.load(plant_no)
    found = silos(plant_no, at_ms, in_force)
    return Board(at_ms, found, Made.of(plant_no, in_force, at_ms).presses(found))


def places_of(plant_no: int, kind: str, at_ms: int) -> tuple[str, ...]:
    """Give the places of a kind, such as ``press``, that are set at a time, by their codes."""
    found = settings.load(plant_no).all("place", at_ms)
    return tuple(sorted(name for name, body in found if body.get("kind") == kind))
