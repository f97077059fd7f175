"""The state of thousands of silos in seconds: tables in place of series, silo by silo.

A sphere's uptake depends on one number, the root of the diffusion path over the radius, so that
a table of it, even in that root, holds for every silo, size and gas. The pressure of pentane is a
polynomial in content, its coefficients one in temperature. Read first: :func:`ageing_over`.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TypeVar

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_at_least
from beadwright.science.ageing.gases import OXYGEN_SHARE, pentane_saturation
from beadwright.science.ageing.partition import (
    LIQUID_PENTANE,
    dissolved_activity,
    dissolved_ratio,
    saturated_ratio,
    vapour_to_dissolved,
)
from beadwright.science.ageing.sphere import bead_uptake, sphere_roots
from beadwright.science.ageing.state import (
    AgeingModel,
    AgeingState,
    Given,
    Laid,
    SiloBeads,
)
from beadwright.science.constants import SOLID_KG_M3
from beadwright.science.trust import Trust, stands

__all__ = ["ageing_means", "ageing_over"]

_Floats = NDArray[np.float64]
_Answer = TypeVar("_Answer")

_STEPS = 4096
_DOUBLINGS = 7
_NEAR = 5e-8
"""Error of a table, half of which is chord under arc."""

_FULL = 22.2
"""tau times the first root squared at which 2e-10 is missing."""

_END = np.sqrt(_FULL) / np.pi

_ELEMENTS = 40_000
"""Of a chunk: a few silos, whose arrays stay in a core's cache."""

_LAID = 100_000
"""Silos times times whose diffusion paths are laid at once, for the same reason."""

_TO_RATIO = SOLID_KG_M3 / LIQUID_PENTANE.value
"""From kg per kg of polymer to volume per volume."""

_CLOSE = 1e-7
"""Error of the polynomial for pentane's activity, over the vapour pressure."""


@dataclass(frozen=True, slots=True)
class _Table:
    """Values at even roots of tau, and the rise from each to the next; the last one stays."""

    value: _Floats
    rise: _Floats
    per_root: float
    """Steps in one root of tau."""

    @classmethod
    def of(cls, curve: Callable[[_Floats], _Floats], biot: float) -> _Table | None:
        """Halve the steps until straight lines are close; None if they do not come close."""
        end = np.sqrt(_FULL) / float(sphere_roots(biot, 1)[0]) if np.isfinite(biot) else _END
        for doubled in range(_DOUBLINGS):
            steps = _STEPS << doubled
            value = curve(np.linspace(0, end, 2 * steps + 1) ** 2)
            middle = (value[:-1:2] + value[2::2]) / 2
            if np.abs(middle - value[1::2]).max() < _NEAR:
                value = value[::2].copy()
                value[-1] = round(value[-1])
                return cls(value, np.append(np.diff(value), 0.0), steps / end)
        return None


@lru_cache(maxsize=8)
def _air_table(oxygen_to_nitrogen: float, biot: float) -> _Table | None:
    """Share of air against nitrogen's root of tau; oxygen is ahead by a constant factor."""

    def air(tau: _Floats) -> _Floats:
        slow = (1 - OXYGEN_SHARE) * bead_uptake(tau, biot)
        return slow + OXYGEN_SHARE * bead_uptake(tau * oxygen_to_nitrogen, biot)

    return _Table.of(air, biot)


@lru_cache(maxsize=8)
def _left_table(biot: float) -> _Table | None:
    """Share of pentane that is left against its root of tau."""
    return _Table.of(lambda tau: 1 - bead_uptake(tau, biot), biot)


@stands(
    Trust.ESTIMATE,
    formula="as ageing_state, by tables that keep it to 1e-7",
    source="Crank's sphere, one for each gas; Flory-Huggins partition of pentane",
    cause="permeability is known to a factor of three, pentane's diffusivity to one of seven",
    narrowed_by="rebound of beads against age, and a mesh sample weighed over two days",
)
def ageing_over(
    silos: SiloBeads,
    time_s: ArrayLike,
    ask: Callable[[AgeingState], _Answer],
    model: AgeingModel | None = None,
    *,
    workers: int = 1,
) -> list[_Answer]:
    """Ask one question of the state of a few silos after the other, so that all fit in memory.

    Parameters
    ----------
    silos : SiloBeads, shape (silos, classes)
        As :func:`~beadwright.science.ageing.ageing_state` takes them. [kg/m^3, 1, m, K]
    time_s : array_like, shape (times,)
        Age of the beads, rising, >= 0. [s]
    ask : callable
        What is asked of the states of some silos, in their order; its arrays are written over
        afterwards, so the answer must not keep them.
    model : AgeingModel, optional
        Numbers of the model; the defaults where none is given.
    workers : int, optional
        Threads, >= 1; more than one helps where cores are idle. [1]

    Returns
    -------
    answers : list
        One for each chunk of silos, in order.

    Raises
    ------
    OutOfRange
        If a number is outside its range, or shapes do not fit.

    Notes
    -----
    Shares are within 1e-7 of the series, pressures within 1e-7 of the pressure of air and the
    vapour pressure of pentane. Where beads hold more pentane than polystyrene dissolves, or have
    a skin of a thousandth of their radius, the series themselves are taken, which is slower.

    Examples
    --------
    >>> beads = SiloBeads([36.0, 30.0], 0.05, [[1.5e-3, 1.2e-3]] * 2, 298.15)
    >>> peaks = ageing_over(beads, [0.0, 36000.0], lambda one: one.pressure_pa.max() / 1000)
    >>> [round(float(peak)) for peak in peaks]
    [120]
    """
    require_at_least(1, workers=workers)
    given = Given.of(silos, model or AgeingModel())
    quick = _Quick.of(given)
    count, classes = given.radius.shape
    times = np.size(time_s)
    each = max(1, _ELEMENTS // (classes * max(times, 1)))
    block = each * max(1, _LAID // (each * max(times, 1)))

    def answers(at: int) -> list[_Answer]:
        laid = given.part(slice(at, at + block)).lay(time_s)
        parts = (laid.part(slice(n, n + each)) for n in range(0, laid.density.size, each))
        return [ask(quick.state(part) if quick else part.state()) for part in parts]

    starts = range(0, count, block)
    if workers == 1:
        return [one for at in starts for one in answers(at)]
    with ThreadPoolExecutor(workers) as pool:
        return [one for some in pool.map(answers, starts) for one in some]


@stands(
    Trust.ESTIMATE,
    formula="mean of ageing_over by mass",
    source="Crank's sphere, one for each gas; Flory-Huggins partition of pentane",
    cause="permeability is known to a factor of three, pentane's diffusivity to one of seven",
    narrowed_by="rebound of beads against age, and a mesh sample weighed over two days",
)
def ageing_means(
    silos: SiloBeads,
    time_s: ArrayLike,
    model: AgeingModel | None = None,
    *,
    workers: int = 1,
) -> AgeingState:
    """Air, pentane and pressure in the beads of every silo, as means over its size classes.

    Parameters
    ----------
    silos : SiloBeads, shape (silos, classes)
        As :func:`~beadwright.science.ageing.ageing_state` takes them. [kg/m^3, 1, m, K]
    time_s : array_like, shape (times,)
        Age of the beads, rising, >= 0. [s]
    model : AgeingModel, optional
        Numbers of the model; the defaults where none is given.
    workers : int, optional
        Threads, >= 1; more than one helps where cores are idle. [1]

    Returns
    -------
    state : AgeingState, shape (silos, times)
        Share of air, pentane per dry polymer, absolute pressure; classes are of equal mass.
        [1, 1, Pa]

    Raises
    ------
    OutOfRange
        If a number is outside its range, or shapes do not fit.

    Examples
    --------
    >>> beads = SiloBeads([36.0, 30.0], 0.05, [[1.5e-3, 1.2e-3]] * 2, 298.15)
    >>> ageing_means(beads, [3600.0, 36000.0]).air_share.round(2).tolist()
    [[0.85, 1.0], [0.88, 1.0]]
    """
    parts = ageing_over(silos, time_s, _means, model, workers=workers)
    air, pentane, pressure = (np.concatenate(part) for part in zip(*parts, strict=True))
    return AgeingState(air, pentane, pressure)


def _means(state: AgeingState) -> tuple[_Floats, _Floats, _Floats]:
    share, pentane, pressure = state.air_share, state.pentane_per_dry, state.pressure_pa
    return share.mean(axis=1), pentane.mean(axis=1), pressure.mean(axis=1)


class _Rooms(threading.local):
    """Arrays of a thread's chunk, written again and again."""

    shape: tuple[int, ...] = ()

    def of(self, shape: tuple[int, ...]) -> list[_Floats]:
        """Five of them, of this shape, and one of whole numbers."""
        if self.shape != shape:
            self.shape = shape
            self.arrays = [np.empty(shape) for _ in range(5)]
            self.index = np.empty(shape, np.intp)
        return self.arrays


@dataclass(frozen=True, slots=True)
class _Quick:
    """Tables and polynomials that answer for all silos of one question."""

    air: _Table
    left: _Table
    activity: _Activity
    rooms: _Rooms

    @classmethod
    def of(cls, given: Given) -> _Quick | None:
        """Make them, or say by None that they would not be close enough."""
        model = given.model
        air = _air_table(model.oxygen_mol_mspa / model.nitrogen_mol_mspa, model.biot)
        left, activity = _left_table(model.biot), _Activity.of(given)
        if air is None or left is None or activity is None:
            return None
        return cls(air, left, activity, _Rooms())

    def state(self, laid: Laid) -> AgeingState:
        """What the tables say of these silos."""
        shape = (*laid.radius.shape, laid.air_root.shape[1])
        share, content, pressure, spare, _ = self.rooms.of(shape)
        inverse = 1 / laid.radius[:, :, np.newaxis]
        _look_up(self.air, laid.air_root[:, np.newaxis], inverse, self.rooms, share)
        start = laid.model.air_at_start
        if start:
            share *= 1 - start
            share += start
        _look_up(self.left, laid.pentane_root[:, np.newaxis], inverse, self.rooms, content)
        content *= laid.pentane[:, np.newaxis, np.newaxis]
        self.activity.pressure(laid, content, spare, pressure)
        np.multiply(share, laid.air[:, np.newaxis], out=spare)
        pressure += spare
        return AgeingState(share, content, pressure)


def _look_up(table: _Table, path: _Floats, inverse: _Floats, rooms: _Rooms, out: _Floats) -> None:
    """Straight line between the two nearest roots; beyond the last the last value."""
    *_, spare, root = rooms.arrays
    index = rooms.index
    np.multiply(path, inverse * table.per_root, out=root)
    np.copyto(index, root, casting="unsafe")
    np.subtract(root, index, out=root)
    np.take(table.rise, index, out=spare, mode="clip")
    np.take(table.value, index, out=out, mode="clip")
    spare *= root
    out += spare


@dataclass(frozen=True, slots=True)
class _Activity:
    """Activity of pentane as a polynomial in content, its coefficients in log b."""

    most: float
    """Content at the end of the range."""
    low: float
    """log b at the one end, and half the way to the other."""
    half: float
    weights: _Floats
    """(powers of content from -1 to 1, Chebyshev polynomials of log b)."""

    @classmethod
    def of(cls, given: Given) -> _Activity | None:
        """Raise the degrees until it is close; None where it has a kink or stays far."""
        model = given.model
        most = max(float(given.pentane.max()), 1e-6)
        kelvin, share = given.temperature, model.isopentane_share
        vapour = vapour_to_dissolved(
            [given.density.max(), given.density.min()], [kelvin.min(), kelvin.max()], share
        )
        lowest, highest = np.log(vapour).tolist()
        half = max((highest - lowest) / 2, 1e-9)
        fullest = float(saturated_ratio(model.chi))
        total = most * _TO_RATIO
        if total >= fullest + float(vapour.min()):
            return None
        made = cls(most, lowest, half, np.empty((0, 0)))
        for degree in range(6, 19, 2):
            made = replace(made, weights=made._fitted(degree, model.chi))
            if made.error(model.chi) < _CLOSE:
                return made
        return None

    def pressure(self, laid: Laid, content: _Floats, spare: _Floats, out: _Floats) -> None:
        """Add up pentane's pressure and water's."""
        seat = (np.log(_vapour(laid)) - self.low) / self.half - 1
        basis = chebyshev.chebvander(seat, self.weights.shape[1] - 1)
        powers = np.moveaxis(basis @ self.weights.T, -1, 0)
        powers = powers * pentane_saturation(laid.temperature, laid.model.isopentane_share)
        powers[0] += laid.water
        np.multiply(content, 2 / self.most, out=spare)
        spare -= 1
        np.multiply(spare, powers[-1][:, np.newaxis], out=out)
        out += powers[-2][:, np.newaxis]
        for power in powers[-3::-1]:
            out *= spare
            out += power[:, np.newaxis]

    def _fitted(self, degree: int, chi: float) -> _Floats:
        nodes = np.cos(np.pi * (np.arange(degree + 1) + 0.5) / (degree + 1))
        values = self._exact(nodes[:, np.newaxis], nodes, chi)
        back = np.linalg.inv(chebyshev.chebvander(nodes, degree))
        both = back @ values @ back.T
        beyond = np.cumsum(np.abs(both).sum(axis=1)[::-1])[::-1]
        kept = both[: max(2, int(np.sum(beyond > _CLOSE / 10)))]
        return np.stack([chebyshev.cheb2poly(column) for column in kept.T], axis=1)

    def _exact(self, content: _Floats, vapour: _Floats, chi: float) -> _Floats:
        total = (content + 1) / 2 * self.most * _TO_RATIO
        b = np.exp(self.low + (vapour + 1) * self.half)
        return dissolved_activity(dissolved_ratio(total, b, chi), chi)

    def error(self, chi: float) -> float:
        """Largest error over the range, of an activity."""
        ends = np.cos(np.linspace(0, np.pi, 41))
        mine = np.vander(ends, self.weights.shape[0], increasing=True) @ self.weights
        mine = mine @ chebyshev.chebvander(ends, self.weights.shape[1] - 1).T
        return float(np.abs(mine - self._exact(ends[:, np.newaxis], ends, chi)).max())


def _vapour(laid: Laid) -> _Floats:
    share = laid.model.isopentane_share
    return vapour_to_dissolved(laid.density[:, np.newaxis], laid.temperature, share)
