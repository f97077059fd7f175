"""Samples put by: what each is for, since when it has been in conditioning, and when it is ready.

Read :func:`samples`. Hours are counted from the time that its step records; how many are asked is
what the plan asks for, or the method where the plan says nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from beadwright.lab.methods import METHODS
from beadwright.ledger import lots, settings
from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.lots import LotView, Making
from beadwright.plant.plan import TYPE, Planbook, PlanRow
from beadwright.quality.characteristics import CHARACTERISTICS, Level

__all__ = ["Asked", "SampleLot", "State", "hours_asked", "samples", "samples_of"]

_WHAT = "sample"
_HOUR_MS = 3_600_000
_HOUR_S = 3600.0

State = Literal["retained", "not_begun", "conditioning", "ready"]


@dataclass(frozen=True, slots=True)
class Asked:
    """Hours of conditioning that one test asks for."""

    characteristic: str
    hours: float
    source: str
    """The plan's row, or the method and how it was read."""


@dataclass(frozen=True, slots=True)
class SampleLot:
    """One sample that was put by."""

    code: str
    lot: str
    """The lot that it was taken from."""
    product: str
    pieces: int
    """Left of it."""
    fate: str
    """``test`` or ``retained``."""
    place: str
    taken_ms: int
    since_ms: int | None
    """When it was put into conditioning; None where nobody said."""
    ready_ms: int | None
    """When the longest conditioning that is asked for ends."""
    state: State
    asked: tuple[Asked, ...]
    """The longest first."""

    def hours(self, at_ms: int) -> float:
        """Hours that it has been in conditioning at a time."""
        return 0.0 if self.since_ms is None else max(0.0, (at_ms - self.since_ms) / _HOUR_MS)

    def ready_for(self, at_ms: int) -> tuple[str, ...]:
        """Tests whose conditioning has ended at a time, by characteristic."""
        hours = self.hours(at_ms)
        return tuple(one.characteristic for one in self.asked if one.hours <= hours)


def samples(plant_no: int, at_ms: int) -> tuple[SampleLot, ...]:
    """Give every sample that is in the plant: what is ready first, then by when it will be."""
    views = [
        view
        for kind in MOULDED
        for view in lots.of_kind(plant_no, kind, _WHAT)
        if view.pieces > 0 and not view.place.startswith(OUTSIDE)
    ]
    return _told(plant_no, views, at_ms)


def samples_of(plant_no: int, code: str, at_ms: int) -> tuple[SampleLot, ...]:
    """Give the samples that were taken from a lot, or the sample that it is, used up ones too."""
    views = [view for kind in MOULDED for view in lots.of_kind(plant_no, kind, _WHAT)]
    found = _told(plant_no, views, at_ms)
    return tuple(one for one in found if code in {one.code, one.lot})


def hours_asked(rows: Iterable[PlanRow]) -> tuple[Asked, ...]:
    """Give the hours of conditioning that tests ask for, the longest first.

    The plan's row decides where it says hours; else the method of a characteristic that the plan
    tests specimens for. Type tests count only where the plan has no other: a laboratory that makes
    one takes its own samples.
    """
    found: dict[str, Asked] = {}
    every = tuple(rows)
    for row in [one for one in every if one.evidence != TYPE] or every:
        known = CHARACTERISTICS.get(row.characteristic)
        if known is None or known.level is not Level.SPECIMEN:
            continue
        asked = _asked(row)
        before = found.get(row.characteristic)
        if asked is not None and (before is None or asked.hours > before.hours):
            found[row.characteristic] = asked
    return tuple(sorted(found.values(), key=lambda one: (-one.hours, one.characteristic)))


def _asked(row: PlanRow) -> Asked | None:
    if row.conditioning_h:
        source = f"plan {row.name}"
        return Asked(row.characteristic, float(row.conditioning_h), source)
    method = METHODS.get(row.characteristic)
    for one in () if method is None else method.conditions:
        if one.name == "conditioned":
            return Asked(row.characteristic, one.low / _HOUR_S, one.source)
    return None


def _told(plant_no: int, views: Sequence[LotView], at_ms: int) -> tuple[SampleLot, ...]:
    if not views:
        return ()
    plan = Planbook(settings.load(plant_no))
    makings = lots.makings(plant_no, [one.code for one in views])
    found = [
        _sample(view, made[0], plan, at_ms)
        for view in views
        if (made := [one for one in makings.get(view.code, ()) if one.kind == _WHAT])
    ]
    order: Mapping[State, int] = {"ready": 0, "conditioning": 1, "not_begun": 2, "retained": 3}
    return tuple(
        sorted(found, key=lambda one: (order[one.state], one.ready_ms or one.taken_ms, one.code))
    )


def _sample(view: LotView, made: Making, plan: Planbook, at_ms: int) -> SampleLot:
    fate, said = made.facts.get("fate", "test"), made.facts.get("conditioning_from", "")
    since = int(said) if said else None
    asked = hours_asked(plan.rows(view.product, made.at_ms))
    longest = max((one.hours for one in asked), default=0.0)
    ready = None if since is None else since + round(longest * _HOUR_MS)
    state: State = "retained" if fate == "retained" else "not_begun"
    if fate != "retained" and ready is not None:
        state = "ready" if ready <= at_ms else "conditioning"
    return SampleLot(
        view.code, made.inputs[0].lot if made.inputs else "", view.product, view.pieces, fate,
        view.place, made.at_ms, since, ready, state, asked,
    )  # fmt: skip
