"""What the pages of holds show.

Read :class:`HoldsPage` and :class:`HoldPage`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from beadwright.errors import BeadwrightError, Fault, Refusal
from beadwright.plant.caused import Caused
from beadwright.plant.duties import Duties
from beadwright.plant.figures import whole_mass
from beadwright.plant.held import Held, Reach
from beadwright.plant.masses_said import masses_in
from beadwright.plant.named import Named
from beadwright.plant.words import code_words, in_runs, number
from beadwright.units import System

__all__ = [
    "MOST",
    "Codes",
    "Flaw",
    "HoldLine",
    "HoldPage",
    "HoldsPage",
    "flaw",
    "line",
    "reach",
    "ticks",
    "why",
]

_LINKED = 8

MOST = 40
"""Lots that are listed one by one, to be ticked."""


@dataclass(frozen=True, slots=True)
class Codes:
    """Lots that are linked, and how many more there are."""

    first: tuple[str, ...]
    more: int

    @classmethod
    def of(cls, some: Sequence[str]) -> Codes:
        """Give the first few of some lots."""
        return cls(tuple(some[:_LINKED]), max(0, len(some) - _LINKED))


@dataclass(frozen=True, slots=True)
class HoldLine:
    """A hold in a list."""

    hold: str
    reason: str
    at_ms: int
    by: str
    reach: str
    on: Codes
    """Lots that it was placed on."""


@dataclass(frozen=True, slots=True)
class Flaw:
    """Nonconformities of one cause."""

    cause: str
    what: str
    lot: str
    """Offending lot; empty where there is none."""
    about: str
    """The step, where there is no lot."""
    times: int
    first_ms: int
    detail: str
    reach: str
    """What it holds now; empty where it holds nothing that is anywhere."""
    lots: Codes
    """The block lots that it holds."""


@dataclass(frozen=True, slots=True)
class HoldsPage:
    """All that is held, and whom it waits for."""

    holds: tuple[HoldLine, ...]
    flaws: tuple[Flaw, ...]
    duties: Duties
    may_concede: bool
    """Whether who looks may give a concession."""


@dataclass(frozen=True, slots=True)
class HoldPage:
    """One hold, with what it reaches."""

    line: HoldLine
    lifted: str
    """Lots that it was lifted from."""
    lots: tuple[str, ...]
    """Those it reaches that can be ticked."""
    all_: int
    """How many it reaches."""
    may_lift: bool
    whom: str
    """Whom its lifting waits for, where who looks may not."""
    key: str
    ticked: frozenset[str] = frozenset()
    reason: str = ""
    faults: tuple[Fault, ...] = ()
    done: str = ""

    @property
    def waits(self) -> str:
        """Say whom its lifting waits for."""
        return f"It waits for {self.whom}."

    @property
    def all_words(self) -> str:
        """Say how many it reaches."""
        return number(self.all_, "lot")

    @property
    def more(self) -> int:
        """Lots that it reaches besides those listed."""
        return self.all_ - len(self.lots)


def line(held: Held, named: Named, system: System) -> HoldLine:
    """Give a hold in a list."""
    by, reaches = named(held.by), reach(held.reach, system)
    return HoldLine(held.hold, held.reason, held.at_ms, by, reaches, Codes.of(held.named))


def reach(found: Reach, system: System) -> str:
    """Say what a hold reaches now."""
    parts = [", ".join(found.places)] if found.places else []
    parts += [number(found.runs, "block lot")] if found.runs else []
    parts += [_bundles(found.bundles)] if found.bundles else []
    parts += [number(found.pieces, "block")] if found.pieces else []
    parts += [f"{whole_mass(found.mg, system)} of other material"] if found.mg else []
    parts += [f"ALREADY SHIPPED: {blocks} to {to}" for to, blocks in found.receivers]
    return "; ".join(parts) or (in_runs(found.lots) if found.lots else "nothing any more")


def _bundles(count: int) -> str:
    return "1 bundle or other lot" if count == 1 else f"{count} bundles or other lots"


def flaw(one: Caused, found: Reach | None, named: Named, system: System) -> Flaw:
    """Give what is open of one cause, and what it holds."""
    holds = found is not None and not found.empty
    first = one.steps[0]
    return Flaw(
        one.cause,
        code_words(one.code),
        one.lot or first.lot,
        first.step,
        len(one.steps),
        first.at_ms,
        masses_in(named.within(first.detail), system),
        reach(found, system) if found is not None and holds else "",
        Codes.of(found.moulded if found is not None and holds else ()),
    )


def ticks(lots: Iterable[str]) -> tuple[str, ...]:
    """Give the lots that are listed one by one."""
    return tuple(lots)[:MOST]


def why(no: BeadwrightError) -> tuple[Fault, ...]:
    """Give why something was not taken, as faults."""
    if isinstance(no, Refusal):
        return tuple(no.faults)
    return (Fault("", str(no), "", "", ""),)
