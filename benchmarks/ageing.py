"""How long it takes to tell the state of all beads in ten thousand silos, and to fit a sample.

Two gases of the air, pentane and pressure, for twenty sizes at five hundred times, every silo
cooling in its own way. Beside it the same series as a numerical programmer would write them, and
a general solver of ordinary differential equations, both to the same 1e-6, from a sample.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import cache, partial

import numpy as np
from numpy.polynomial.chebyshev import chebvander
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from beadwright.science.ageing import (
    OXYGEN_SHARE,
    AgeingModel,
    AgeingState,
    MeshSample,
    PentaneAssays,
    Rebounds,
    SampledBeads,
    SiloBeads,
    SiloFills,
    ageing_means,
    ageing_over,
    ageing_state,
    ageing_window,
    arrhenius,
    assay_posterior,
    gas_diffusivity,
    pentane_diffusivity,
    pentane_saturation,
    pouch_posterior,
    rebound_posterior,
    size_classes,
    vapour_to_dissolved,
)
from beadwright.science.ageing.partition import LIQUID_PENTANE
from beadwright.science.ageing.state import HANDBOOK_KELVIN, Laid
from beadwright.science.beads.growth import SOLID_POLYMER
from benchmarks import Result

__all__ = ["run"]

_Floats = NDArray[np.float64]

_SILOS, _CLASSES, _TIMES = 10_000, 20, 500
_TARGET_S = 4.0
_TARGET_FIT_MS = 10.0
_SAMPLE = 100
"""Silos of which the plain way is measured."""

_BEADS = 3
"""Beads of which the solver is measured: three gases each."""

_POINTS = 40
"""On a radius, for the solver."""

_REPEATS = 5
_CLOSE = 1e-6
_AGES = np.linspace(0, 96 * 3600, _TIMES)


def run() -> list[Result]:
    """Measure states, windows and fits."""
    silos = _silos(_SILOS)
    return [*_states(silos), _windows(), *_fits()]


# -- states ------------------------------------------------------------------------------------


def _states(silos: SiloBeads) -> list[Result]:
    sample = _some(silos, slice(0, _SAMPLE))
    exact = ageing_state(sample, _AGES)
    far = _farthest(ageing_over(sample, _AGES, _kept), exact)
    plain, plain_far = _best(partial(_plain, sample)), _farthest([_plain(sample)], exact)
    assert max(far, plain_far) < _CLOSE, (far, plain_far)
    each = plain * _SILOS / _SAMPLE
    solved, solver_far = _solver(silos)
    assert solver_far < _CLOSE, solver_far
    one, two = (_best(partial(ageing_means, silos, _AGES, workers=n)) for n in (1, 2))
    skin = _best(partial(ageing_means, silos, _AGES, AgeingModel(biot=30.0), workers=1))
    size = f"{_SILOS:,} silos, {_CLASSES} sizes, {_TIMES} times"
    within = f"within {far:.0e} of the series"
    floor = f"floor: plain series to {plain_far:.0e}, from {_SAMPLE} silos"
    return [
        Result(f"ageing state, {size}", round(one, 2), "s", _TARGET_S, round(each, 1), "lower",
               f"one core, {within}; {floor}"),
        Result("the same in two threads", round(two, 2), "s", _TARGET_S, round(each, 1), "lower",
               "as far as the second core is idle"),
        Result("the same of beads with a skin", round(skin, 2), "s", _TARGET_S, None, "lower",
               "L = 30, one core"),
        Result("the same by a general ODE solver", round(solved / 3600, 1), "h", None, None,
               "lower", f"BDF, {_POINTS} points, to {solver_far:.0e}, from {_BEADS} beads"),
    ]  # fmt: skip


def _silos(count: int) -> SiloBeads:
    rng = np.random.default_rng(5)
    over = rng.uniform(0, 35, count)[:, np.newaxis]
    cooling = np.exp(-_AGES / rng.uniform(1e4, 1e5, count)[:, np.newaxis])
    return SiloBeads(
        rng.uniform(15, 60, count),
        rng.uniform(0.03, 0.075, count),
        size_classes(rng.uniform(1.5e-3, 5e-3, count), 0.15, _CLASSES),
        rng.uniform(288, 303, count)[:, np.newaxis] + over * cooling,
    )


def _some(silos: SiloBeads, some: slice) -> SiloBeads:
    return SiloBeads(*(np.asarray(getattr(silos, name))[some] for name in SiloBeads.__slots__))


def _kept(state: AgeingState) -> AgeingState:
    return AgeingState(
        state.air_share.copy(), state.pentane_per_dry.copy(), state.pressure_pa.copy()
    )


def _farthest(parts: list[AgeingState], exact: AgeingState) -> float:
    """Largest error of share, content over the largest, pressure over the atmosphere."""
    errors = []
    for name, unit in (("air_share", 1.0), ("pentane_per_dry", 0.075), ("pressure_pa", 101325.0)):
        mine = np.concatenate([getattr(part, name) for part in parts])
        errors.append(float(np.abs(mine - getattr(exact, name)).max()) / unit)
    return max(errors)


def _plain(silos: SiloBeads) -> AgeingState:
    """The series in two forms, the partition by Newton's method, over whole arrays."""
    model = AgeingModel()
    laid = Laid.of(silos, _AGES, model)
    square = laid.radius[:, :, np.newaxis] ** 2
    nitrogen = laid.air_root[:, np.newaxis] ** 2 / square
    share = (1 - OXYGEN_SHARE) * _plain_uptake(nitrogen)
    oxygen = nitrogen * (model.oxygen_mol_mspa / model.nitrogen_mol_mspa)
    share += OXYGEN_SHARE * _plain_uptake(oxygen)
    left = 1 - _plain_uptake(laid.pentane_root[:, np.newaxis] ** 2 / square)
    content = laid.pentane[:, np.newaxis, np.newaxis] * left
    total = content * (SOLID_POLYMER.value / LIQUID_PENTANE.value)
    vapour = vapour_to_dissolved(laid.density[:, np.newaxis], laid.temperature)[:, np.newaxis]
    ratio = total / (1 + vapour * np.exp(1 + model.chi))
    for _ in range(3):
        rest = 1 / (1 + ratio)
        boost = np.exp(rest + model.chi * rest**2)
        activity = (1 - rest) * boost
        slope = rest**2 * boost * (rest - 2 * model.chi * (1 - rest) * rest)
        ratio += (total - ratio - vapour * activity) / (1 + vapour * slope)
    rest = 1 / (1 + ratio)
    pressure = (1 - rest) * np.exp(rest + model.chi * rest**2)
    pressure *= pentane_saturation(laid.temperature)[:, np.newaxis]
    pressure += laid.air[:, np.newaxis] * share + laid.water[:, np.newaxis]
    return AgeingState(share, content, pressure)


def _plain_uptake(tau: _Floats) -> _Floats:
    early = 6 * np.sqrt(tau / np.pi) - 3 * tau
    late = sum(np.exp(-((n * np.pi) ** 2) * tau) / n**2 for n in (1, 2, 3))
    return np.where(tau < 0.08, early, 1 - 6 / np.pi**2 * late)


def _solver(silos: SiloBeads) -> tuple[float, float]:
    """Seconds for all beads by the method of lines, and the largest error of the sample's."""
    few = _some(silos, slice(0, _BEADS))
    exact = ageing_state(few, _AGES)
    rows = zip(*(np.asarray(getattr(few, name)) for name in SiloBeads.__slots__), strict=True)
    begun, errors = time.perf_counter(), []
    for at, (density, pentane, radius, kelvin) in enumerate(rows):
        share, content = _bead(float(density), float(pentane), float(radius[0]), kelvin)
        # At the first time no grid follows the jump at the surface.
        errors += [
            np.abs(share - exact.air_share[at, 0])[1:].max(),
            np.abs(content - exact.pentane_per_dry[at, 0])[1:].max(),
        ]
    seconds = (time.perf_counter() - begun) / _BEADS * _SILOS * _CLASSES
    return seconds, float(max(errors))


def _bead(density: float, pentane: float, radius: float, kelvin: _Floats) -> tuple[_Floats, ...]:
    model = AgeingModel()

    def gas(permeability: float) -> Callable[[_Floats], _Floats]:
        def rate(t: _Floats) -> _Floats:
            warm = permeability * arrhenius(model.air_activation_j_mol, t, HANDBOOK_KELVIN)
            return gas_diffusivity(warm, density, t) / radius**2

        return rate

    nitrogen = _lines(gas(model.nitrogen_mol_mspa), kelvin)
    oxygen = _lines(gas(model.oxygen_mol_mspa), kelvin)
    lost = _lines(lambda t: pentane_diffusivity(t, density) / radius**2, kelvin)
    return (1 - OXYGEN_SHARE) * nitrogen + OXYGEN_SHARE * oxygen, pentane * (1 - lost)


def _lines(rate: Callable[[_Floats], _Floats], kelvin: _Floats) -> _Floats:
    """Uptake of one sphere by collocation at Chebyshev's points, of r c, which is odd in r."""
    inner, outer, weights = _collocation()
    fine = np.linspace(0, _AGES[-1], 20 * _TIMES)
    pace = rate(np.interp(fine, _AGES, kelvin))
    found = solve_ivp(
        lambda t, v: np.interp(t, fine, pace) * (inner @ v + outer),
        (0.0, float(_AGES[-1])), np.zeros(outer.size), "BDF", _AGES, rtol=1e-6, atol=1e-8,
        jac=lambda t, _: np.interp(t, fine, pace) * inner,
    )  # fmt: skip
    return np.asarray(weights[0] + weights[1:] @ found.y)


@cache
def _collocation() -> tuple[_Floats, _Floats, _Floats]:
    """Second derivative inside, its part of the surface, and the weights of three times r."""
    n = 2 * _POINTS - 1
    k = np.arange(n + 1)
    r = np.cos(np.pi * k / n)
    weight = np.where(k % n == 0, 2.0, 1.0) * (-1.0) ** k
    first = np.outer(weight, 1 / weight) / (r[:, np.newaxis] - r + np.eye(n + 1))
    first -= np.diag(first.sum(axis=1))
    second = (first @ first)[1:_POINTS]
    inner = second[:, 1:_POINTS] - second[:, n - 1 : n - _POINTS : -1]
    moments = np.where(k % 2, 0.0, 2 / (1 - np.where(k % 2, 0, k) ** 2.0))
    quadrature = np.asarray(np.linalg.solve(chebvander(r, n).T, moments), np.float64)
    return inner, second[:, 0] - second[:, n], (3 * quadrature * r)[:_POINTS]


# -- windows and fits --------------------------------------------------------------------------


def _windows() -> Result:
    rng = np.random.default_rng(6)
    fills = SiloFills(
        rng.uniform(15, 60, _SILOS), rng.uniform(0.04, 0.075, _SILOS),
        size_classes(rng.uniform(1.5e-3, 5e-3, _SILOS), 0.15, _CLASSES),
        rng.uniform(285, 300, _SILOS), rng.uniform(300, 335, _SILOS),
        rng.uniform(0.5, 1.2, _SILOS), np.zeros(_SILOS), rng.uniform(0, 14_400, _SILOS),
    )  # fmt: skip
    seconds = _best(partial(ageing_window, fills))
    return Result(f"ageing windows of {_SILOS:,} silos", round(seconds, 2), "s", None, None,
                  "lower", f"{_CLASSES} sizes, both ends with their bands")  # fmt: skip


def _fits() -> list[Result]:
    """Samples as a plant has them: twenty sizes, ten readings."""
    beads = SampledBeads(36.0, size_classes(3e-3, 0.15, _CLASSES)[0], 296.15, 0.05, 0.001)
    times = np.array([0.2, 0.5, 1, 2, 4, 8, 16, 24, 36, 48]) * 3600
    silo = SiloBeads(36.0, 0.05, np.atleast_2d(beads.radius_m), 296.15)
    state = ageing_state(silo, times)
    air, pentane = state.air_share[0].mean(axis=0), state.pentane_per_dry[0].mean(axis=0)
    mass = 0.1 * (0.967 + pentane + 0.032 * air)
    asked: list[tuple[str, Callable[[], object]]] = [
        ("mesh sample", partial(pouch_posterior, MeshSample(beads, times, mass, 5e-5))),
        ("assays", partial(assay_posterior, PentaneAssays(beads, times, pentane, 0.001))),
        ("rebound", partial(rebound_posterior, Rebounds(beads, times, air, 0.03))),
    ]
    return [
        Result(f"fit of ageing, {name}", round(1000 * _best(fit, 20), 2), "ms", _TARGET_FIT_MS,
               None, "lower", f"{times.size} readings, {_CLASSES} sizes")
        for name, fit in asked
    ]  # fmt: skip


def _best(ask: Callable[[], object], repeats: int = _REPEATS) -> float:
    """Best seconds of a few."""
    found = []
    for _ in range(repeats):
        begun = time.perf_counter()
        ask()
        found.append(time.perf_counter() - begun)
    return min(found)
