"""A result of the bench against the limits of its lot's product, before it is recorded.

Read :func:`against_limits`. It tells; the lot's assessment judges, once the result is recorded.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from beadwright.ledger import lots, settings
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.limits import rulebook

__all__ = ["AtBench", "BenchResult", "Standing", "against_limits"]

Standing = Literal["inside", "outside", "unsure", "of_mean"]
_BOUNDS = {"min": "at least", "max": "at most", "within": "within"}


@dataclass(frozen=True, slots=True)
class BenchResult:
    """A result as it was worked out, in SI."""

    lot: str
    characteristic: str
    value_si: float
    band_si: tuple[float, float] | None = None
    """Holds the value with about 95 %; None where nobody knows how sure it is."""


@dataclass(frozen=True, slots=True)
class AtBench:
    """One limit, and how a result stands to it."""

    name: str
    limit: str
    """Bound and value, with its unit."""
    standing: Standing
    """``unsure``: its band reaches over the limit; ``of_mean``: the limit is on a mean of several.
    """
    sure: bool
    """Whether the whole of its band stands so; of one without a band nobody knows."""

    @property
    def words(self) -> str:
        """Say it in one sentence."""
        said = {
            "inside": "met, by all of its band" if self.sure else "met by the figure alone",
            "outside": "not met, by all of its band" if self.sure else "not met by the figure",
            "unsure": "not sure: its band reaches over the limit",
            "of_mean": "of the mean of several: one result does not decide",
        }[self.standing]
        return f"{self.limit} ({self.name}): {said}"


def against_limits(plant_no: int, result: BenchResult, at_ms: int) -> tuple[AtBench, ...]:
    """Hold a result against the limits in force on its characteristic, of its lot's product.

    Of a lot that is not in the record nothing is said.
    """
    view = lots.get(plant_no, result.lot) if result.lot else None
    if view is None or not view.product:
        return ()
    found = rulebook(plant_no, settings.load(plant_no)).limits(view.product, at_ms)
    return tuple(
        _stands(one, result.value_si, result.band_si)
        for one in found
        if one.characteristic == result.characteristic and not one.unusable
    )


def _stands(limit: LimitInForce, value: float, band: tuple[float, float] | None) -> AtBench:
    words = f"{_BOUNDS[limit.bound]} {limit.value} {limit.unit}"
    if limit.statistic == "mean":
        return AtBench(limit.name, words, "of_mean", sure=False)
    fit = [_is_inside(limit, one) for one in (value, *(band or ()))]
    if len(set(fit)) > 1:
        return AtBench(limit.name, words, "unsure", sure=False)
    return AtBench(limit.name, words, "inside" if fit[0] else "outside", sure=band is not None)


def _is_inside(limit: LimitInForce, value: float) -> bool:
    bound = float(limit.value_si)
    if limit.bound == "within":
        return abs(value) <= bound
    return value >= bound if limit.bound == "min" else value <= bound
