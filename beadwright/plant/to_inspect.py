"""The block lots that wait for inspection, and from when what each needs can be done.

Read :func:`to_inspect`.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.ledger import lots
from beadwright.plant.block_age import AFTER_A_DAY, runs_of
from beadwright.plant.door import now_ms
from beadwright.plant.floor_lots import open_lots
from beadwright.plant.inspecting import OF_LOT, Age, Need, age_of, needs_of, pieces_of
from beadwright.plant.inspection_plans.bearing import waited_for

__all__ = ["ToInspect", "to_inspect"]

_AGED = frozenset({"weigh", "gauge"})
"""What counts of blocks a day old; they are looked over and broken at any age."""


@dataclass(frozen=True, slots=True)
class ToInspect:
    """A lot that waits for its inspection."""

    lot: str
    product: str
    title: str
    pieces: int
    age: Age | None
    needs: tuple[Need, ...]
    """What is open."""
    short: tuple[str, ...] = ()
    """Pieces whose ties are to be counted first."""

    @property
    def later(self) -> tuple[Need, ...]:
        """What asks for blocks a day old, while not all of them are: see ``waits_until_ms``."""
        if self.age is None or self.age.at_ms >= self.age.all_from_ms:
            return ()
        return tuple(one for one in self.needs if one.part in _AGED)

    @property
    def now(self) -> tuple[Need, ...]:
        """What can be done now, on any of its blocks."""
        later = self.later
        return tuple(one for one in self.needs if one not in later)

    @property
    def waits_until_ms(self) -> int | None:
        """When what comes later can be done on any of its blocks; None where nothing does."""
        return self.age.all_from_ms if self.age is not None and self.later else None


def to_inspect(plant_no: int, at_ms: int) -> tuple[ToInspect, ...]:
    """Give the lots with pieces in the plant that wait for inspection: those that can be first.

    As old as they are at ``at_ms``; what they need is what the release page says now.
    """
    waiting, some = [], open_lots(plant_no, now_ms())
    planned = waited_for(plant_no, some, at_ms)
    for lot in some:
        asked = needs_of(lot, planned.get(lot.lot))
        needs = tuple(one for one in asked if one.open and one.part in OF_LOT)
        if needs:
            waiting.append((lot, needs))
    makings = lots.makings(plant_no, [lot.lot for lot, _ in waiting])
    found = [
        ToInspect(
            lot.lot, lot.product, lot.title, pieces_of(lot),
            age_of(plant_no, runs_of(makings.get(lot.lot, ())), at_ms), needs,
            tuple(piece for one in lot.ties for piece in one.pieces if one.state in AFTER_A_DAY),
        )
        for lot, needs in waiting
    ]  # fmt: skip
    return tuple(sorted(found, key=_soonest))


def _soonest(one: ToInspect) -> tuple[int, int, str]:
    first = 0 if one.age is None else one.age.first_ms
    waits = one.waits_until_ms if not one.now else None
    return waits or 0, first, one.lot
