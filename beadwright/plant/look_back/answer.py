"""What a look back says: frozen answers, and nothing that computes them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from beadwright.ledger.releases import Approval
from beadwright.plant.look_back.span import Span
from beadwright.plant.whereabouts import Whereabouts

__all__ = ["Change", "LookBack", "LotBack", "Standing"]

Standing = Literal["worse", "may", "better", "same", "unknown"]
"""How a lot stands without the error: by its limits and planned tests worse than as read, better,
the same; worse only where the error's own uncertainty goes against it (``may``); or nobody can say,
for the error is not known or its unit is of nothing that was read."""


@dataclass(frozen=True, slots=True)
class Change:
    """One limit or planned test that is answered otherwise without the error."""

    name: str
    as_read: str
    without: str
    worse: bool


@dataclass(frozen=True, slots=True)
class LotBack:
    """One block lot that the instrument's readings bear on."""

    lot: str
    product: str
    made_at_ms: int
    readings: int
    """Read of it with the instrument; 0 where another lot's readings speak for it."""
    standing: Standing
    changes: tuple[Change, ...] = ()
    approvals: tuple[Approval, ...] = ()
    """Who released it."""
    where: Whereabouts | None = None
    """Of lots that stand worse or unknown."""


@dataclass(frozen=True, slots=True)
class LookBack:
    """What an instrument read while it may have been wrong, and what rests on that."""

    plant: str
    at_ms: int
    span: Span
    readings: int
    unanswered: int
    """Of the readings, those of which the error says nothing."""
    read: tuple[tuple[str, int], ...]
    """Readings by characteristic."""
    elsewhere: tuple[tuple[str, int], ...]
    """Readings of no block lot: cups of a silo's beads, by lot or place, which no release rests
    on, but advice and ageing do."""
    lots: tuple[LotBack, ...]
    """Worst first."""

    def of(self, standing: Standing) -> tuple[LotBack, ...]:
        """Give the lots of one standing."""
        return tuple(one for one in self.lots if one.standing == standing)

    @property
    def released(self) -> int:
        """Number of lots somebody released that rest on what the instrument read."""
        return sum(bool(one.approvals) for one in self.lots)

    @property
    def to_hold(self) -> tuple[str, ...]:
        """Lots that would not have been released, may not have been, or of which nobody can say."""
        return tuple(one.lot for one in self.lots if one.standing in {"worse", "may", "unknown"})
