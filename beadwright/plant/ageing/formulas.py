"""The arithmetic of the estimate, in the words of a sheet: each takes numbers in SI, gives one.

Read :func:`ready_age` and :func:`stale_age`. What beads are made of moves seldom and the clock is
no part of it, so each answer is kept: a board that many ask costs its physics once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

from beadwright.plant.ageing.probe import Probe
from beadwright.plant.worked import like
from beadwright.science.ageing import (
    AgeingModel,
    SiloFills,
    WindowLimits,
    ageing_window,
    size_classes,
)
from beadwright.science.pentane import PerWetBead, per_dry_polymer
from beadwright.science.trust import Banded

__all__ = ["CLASSES", "per_dry", "probed_stale_age", "ready_age", "stale_age"]

CLASSES = 20
"""Sizes that stand for all beads of a grade."""

_SOME = 0.05
_ONE_M = 1.0


@dataclass(frozen=True, slots=True)
class _Beads:
    density: float
    radius: float
    spread: float
    pentane: float = _SOME


@dataclass(frozen=True, slots=True)
class _Warmth:
    room: float
    filled: float
    bag: float
    probe: Probe | None = None


@like(per_dry_polymer)
def per_dry(pentane_per_wet: float, kept: float = 1.0) -> float:
    """Pentane per dry polymer from a laboratory's figure, of which a share is still there."""
    return float(kept * per_dry_polymer(PerWetBead.of(pentane_per_wet)).kg_kg)


@like(ageing_window)
def ready_age(  # noqa: PLR0913, PLR0917 - one for each line of the sheet
    bead_kg_m3: float, radius_m: float, size_spread: float, room_k: float, air_pace: float,
    air_activation: float, enough_air: float,
) -> Banded:  # fmt: skip
    """Age from which enough air is in the beads, in s."""
    model = AgeingModel(air_multiplier=air_pace, air_activation_j_mol=air_activation)
    beads = _Beads(bead_kg_m3, radius_m, size_spread)
    return _window(beads, _Warmth(room_k, room_k, _ONE_M), model, (enough_air, _SOME / 2))[0]


@like(ageing_window)
def stale_age(  # noqa: PLR0913, PLR0917 - one for each line of the sheet
    bead_kg_m3: float, radius_m: float, size_spread: float, pentane_per_dry: float, room_k: float,
    filled_k: float, bag_radius_m: float, pentane_m2_s: float, pentane_activation: float,
    least_pentane: float,
) -> Banded:  # fmt: skip
    """Age from which too little pentane is in the beads in the middle of a silo, in s."""
    beads = _Beads(bead_kg_m3, radius_m, size_spread, pentane_per_dry)
    warmth = _Warmth(room_k, filled_k, bag_radius_m)
    return _stale(beads, warmth, (pentane_m2_s, pentane_activation), least_pentane)


def probed_stale_age(probe: Probe) -> Callable[..., Banded]:
    """Give :func:`stale_age` of a silo whose middle has a probe; ``probe_k`` is its last word."""

    @like(ageing_window)
    def stale(  # noqa: PLR0913, PLR0917 - one for each line of the sheet
        bead_kg_m3: float, radius_m: float, size_spread: float, pentane_per_dry: float,
        room_k: float, probe_k: float, bag_radius_m: float, pentane_m2_s: float,
        pentane_activation: float, least_pentane: float,
    ) -> Banded:  # fmt: skip
        beads = _Beads(bead_kg_m3, radius_m, size_spread, pentane_per_dry)
        warmth = _Warmth(room_k, probe_k, bag_radius_m, probe)
        return _stale(beads, warmth, (pentane_m2_s, pentane_activation), least_pentane)

    return stale


def _stale(beads: _Beads, warmth: _Warmth, pace: tuple[float, float], least: float) -> Banded:
    model = AgeingModel(pentane_m2_s=pace[0], pentane_activation_j_mol=pace[1])
    return _window(beads, warmth, model, (WindowLimits().enough_air, least))[1]


@lru_cache(maxsize=4096)
def _window(
    beads: _Beads, warmth: _Warmth, model: AgeingModel, limits: tuple[float, float]
) -> tuple[Banded, Banded]:
    """Ask the physics; what has a line of its own has its band there, and none here."""
    fills = SiloFills(
        [beads.density],
        [beads.pentane],
        size_classes([2 * beads.radius], beads.spread, CLASSES),
        [warmth.room],
        [warmth.filled],
        [warmth.bag],
        [0.0],
        [0.0],
    )
    if warmth.probe is not None:
        fills = replace(fills, probes=[warmth.probe.onwards(warmth.room, warmth.bag)])
    nothing = 0.0  # every spread has a line of its own
    alone = WindowLimits(*limits, nothing, nothing, nothing, nothing)
    found = ageing_window(fills, model, alone)
    return found.ready_age_s, found.stale_age_s
