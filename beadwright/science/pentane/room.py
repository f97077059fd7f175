"""The air of a room over time, and the screen that says unknown rather than reassure.

Read first: :func:`screen_room`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.pentane.vapour import (
    CAUTION,
    STRICTER_LIMIT,
    DilutionTask,
    LowerLimit,
    dilution_air,
    vapour_density,
)
from beadwright.science.trust import Banded, Trust, stands

__all__ = ["Air", "Room", "RoomAir", "RoomScreen", "room_air", "screen_room"]

_T = TypeVar("_T")

_WARM_K = 303.15
_SMALL = 1e-4


@dataclass(frozen=True, slots=True)
class Air:
    """A room's volume in m³ and the fresh air through it in m³/s, with its mixing factor K >= 1.

    ``start_kg_m3`` is the pentane in it at the first moment.
    """

    volume_m3: ArrayLike
    air_m3_s: ArrayLike
    mixing: ArrayLike = 1.0
    start_kg_m3: ArrayLike = 0.0


@dataclass(frozen=True, slots=True)
class RoomAir:
    """Pentane in the room in kg/m³: at each edge of the intervals, and each interval's mean."""

    edge_kg_m3: NDArray[np.float64]
    mean_kg_m3: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Room:
    """What a screen has to know of a room; what nobody has said is None, never assumed.

    ``pressure_pa`` is the local atmosphere (barometer or altitude). With the fan known to stand
    still no air is counted, whatever its flow. ``temperature_k`` alone has a default, 30 °C: a
    warm room needs more air than a cool one.
    """

    volume_m3: float | None = None
    air_m3_s: float | None = None
    fan_running: bool | None = None
    pressure_pa: float | None = None
    mixing: float | None = None
    share: float | None = 0.10
    limit: LowerLimit = STRICTER_LIMIT
    temperature_k: float = _WARM_K


@dataclass(frozen=True, slots=True)
class RoomScreen:
    """What the screen says. With anything missing it says unknown, and gives no number.

    ``needed_m3_s`` is the air that keeps each interval's emission, held steadily, at the stated
    share of the limit; ``limit_share`` the most of the limit that the room's air reaches in the
    interval. Both are bands; judge by their high ends.
    """

    missing: tuple[str, ...]
    needed_m3_s: Banded | None
    limit_share: Banded | None
    stated_share: float | None
    limit: LowerLimit
    caution: str = CAUTION

    @property
    def unknown(self) -> bool:
        """Whether an input is missing, so that nothing may be concluded."""
        return self.limit_share is None

    @property
    def above(self) -> NDArray[np.bool_] | None:
        """Where the high end of the band is above the stated share; None where unknown."""
        if self.limit_share is None or self.stated_share is None:
            return None
        return np.asarray(self.limit_share.high > self.stated_share)


@stands(
    Trust.ESTIMATE,
    formula="V dC/dt = G - (Q / K) C, solved exactly over each interval of steady G",
    source="dilution ventilation of one well-mixed room",
    cause="no room is well mixed: near the beads and in pits it is worse than its mean",
    narrowed_by="measured extract flow and concentration; a smoke test of the mixing",
)
def room_air(air: Air, emission_kg_s: ArrayLike, edges_s: ArrayLike) -> RoomAir:
    r"""Pentane in the air of a well-mixed room over time.

    .. math::
        V \frac{dC}{dt} = G - \frac{Q}{K} C, \qquad
        C_2 = C_1 e^{-x} + \frac{G \Delta t}{V} \frac{1 - e^{-x}}{x}, \qquad
        x = \frac{Q \Delta t}{K V}

    Parameters
    ----------
    air : Air, shape (...)
        Volume > 0, air flow >= 0 (0: it only gathers), mixing factor >= 1, start >= 0.
        [m^3, m^3/s, 1, kg/m^3]
    emission_kg_s : array_like, shape (..., n)
        Mean rate in each interval, >= 0. [kg/s]
    edges_s : array_like, shape (n + 1,)
        Ends of the intervals, growing, at least two. [s]

    Returns
    -------
    result : RoomAir, shape (..., n + 1) and (..., n)
        At each edge, and the mean of each interval; mass is conserved exactly. [kg/m^3]

    Raises
    ------
    OutOfRange
        If a number is outside its range, or the intervals and the rates do not fit.

    Notes
    -----
    Within an interval the concentration goes one way, so its greatest is at an edge, if the
    emission was steady. The volume of the vapour itself is left out: below the lower limit it is
    a hundredth of the room's.

    References
    ----------
    .. [1] University of Toledo, industrial ventilation, formulae of chapter X: V dC = G dt -
       Q' C dt, Q' = Q / K. [read in: the source]

    Examples
    --------
    A printed table: unit source in a unit room, one change an hour, after 10 and after 160 min:

    >>> hour = 3600.0
    >>> found = room_air(Air(1.0, 1 / hour), [1 / hour, 1 / hour], [0.0, hour / 6, hour * 16 / 6])
    >>> found.edge_kg_m3.tolist()
    [0.0, 0.1535, 0.9305]
    """
    volume, flow, mixing, start = require_arrays(
        volume_m3=air.volume_m3,
        air_m3_s=air.air_m3_s,
        mixing=air.mixing,
        start_kg_m3=air.start_kg_m3,
    )
    require_at_least(0, strict=True, volume_m3=volume)
    require_at_least(0, air_m3_s=flow, start_kg_m3=start)
    require_at_least(1, mixing=mixing)
    rate, steps = _intervals(emission_kg_s, edges_s)
    exchange = flow / (mixing * volume)
    shape = np.broadcast_shapes(exchange.shape, rate.shape[:-1], start.shape)
    level = np.broadcast_to(start, shape).astype(float)
    edges, means = [level], []
    for i, step in enumerate(steps):
        source = rate[..., i] * step / volume
        x = np.asarray(exchange * step)
        held, half = _held(x)
        means.append(level * held + source * half)
        level = level * np.exp(-x) + source * held
        edges.append(level)
    return RoomAir(np.stack(edges, axis=-1), np.stack(means, axis=-1))


@stands(
    Trust.ESTIMATE,
    formula="air by Q = K E / (f L rho); share by the well-mixed room, over L rho",
    source="dilution ventilation; L from IEC 60079-20-1:2010 or NIOSH / NFPA 497",
    cause="emission known to a factor, mixing a judgement, one well-mixed room",
    narrowed_by="weighings of a mesh sample; measured extract flow and concentration",
)
def screen_room(
    room: Room, emission_kg_s: Banded | None, edges_s: ArrayLike, start_kg_m3: float = 0.0
) -> RoomScreen:
    """Screen what a room's air does with what is given off in it; unknown if anything is missing.

    Parameters
    ----------
    room : Room
        What is known of it. [m^3, m^3/s, Pa, K, 1]
    emission_kg_s : Banded, shape (n,), or None
        Mean rate in each interval with its band; None where it is not known. [kg/s]
    edges_s : array_like, shape (n + 1,)
        Ends of the intervals, growing, at least two. [s]
    start_kg_m3 : float, optional
        Pentane in the room at the first moment, >= 0. [kg/m^3]

    Returns
    -------
    screen : RoomScreen, shape (n,)
        Air needed and share of the limit reached, in bands, or what is missing. [m^3/s, 1]

    Raises
    ------
    OutOfRange
        If something that was given is outside its range; what was not given raises nothing.

    Notes
    -----
    A design screen of the mean of a room. It is no gas detector and permits nothing:
    :data:`~beadwright.science.pentane.vapour.CAUTION` goes with it wherever it is shown.

    References
    ----------
    .. [1] University of Toledo, industrial ventilation, formulae of chapter X.
       [read in: the source]

    Examples
    --------
    A room of which nobody has said whether its fan runs:

    >>> room = Room(volume_m3=2400.0, air_m3_s=2.5, pressure_pa=101_325.0, mixing=2.0)
    >>> screen_room(room, Banded.of([2e-4], [1e-4], [4e-4]), [0.0, 3600.0]).missing
    ('whether the fan runs',)
    """
    missing = _missing(room, emission_kg_s)
    if missing:
        return RoomScreen(missing, None, None, room.share, room.limit)
    given, limit = _given(emission_kg_s), room.limit.share
    density = float(vapour_density(room.temperature_k, _given(room.pressure_pa)))
    flow = _given(room.air_m3_s) if room.fan_running else 0.0
    needed, reached = [], []
    for rate in (given.value, given.low, given.high):
        needed.append(
            dilution_air(
                DilutionTask(
                    rate,
                    room.temperature_k,
                    _given(room.pressure_pa),
                    _given(room.share),
                    _given(room.mixing),
                    room.limit,
                )
            )
        )
        air = Air(_given(room.volume_m3), flow, _given(room.mixing), start_kg_m3)
        edge = room_air(air, rate, edges_s).edge_kg_m3
        reached.append(np.maximum(edge[..., 1:], edge[..., :-1]) / (density * limit))
    return RoomScreen((), Banded.of(*needed), Banded.of(*reached), room.share, room.limit)


def _missing(room: Room, emission: Banded | None) -> tuple[str, ...]:
    asked = {
        "what is given off": emission,
        "volume of the room": room.volume_m3,
        "whether the fan runs": room.fan_running,
        "air flow": 0.0 if room.fan_running is False else room.air_m3_s,
        "barometer or altitude": room.pressure_pa,
        "mixing factor": room.mixing,
        "share of the lower explosive limit": room.share,
    }
    return tuple(name for name, value in asked.items() if value is None)


def _intervals(
    emission_kg_s: ArrayLike, edges_s: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    (rate,) = require_arrays(emission_kg_s=emission_kg_s)
    (edges,) = require_arrays(edges_s=edges_s)
    require_at_least(0, emission_kg_s=rate)
    require_between(-1e15, 1e15, edges_s=edges)
    if edges.ndim != 1 or rate.ndim == 0 or edges.size != rate.shape[-1] + 1:
        name, remedy = "edges_s", "one row of one time more than there are rates"
        raise OutOfRange(name, f"of shape {edges.shape}", valid=remedy)
    steps = np.diff(edges)
    if not (steps > 0).all():
        name, at = "edges_s", int(np.argmin(steps > 0)) + 1
        raise OutOfRange(name, float(edges[at]), index=(at,), valid="above the time before it")
    return rate, steps


def _held(x: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """(1 - e^-x) / x and (1 less it) / x, which go to 1 and 1/2 where no air goes through."""
    safe = np.where(x < _SMALL, 1.0, x)
    held = np.where(x < _SMALL, 1 - x / 2 + x**2 / 6, -np.expm1(-safe) / safe)
    half = np.where(x < _SMALL, 0.5 - x / 6 + x**2 / 24, (1 - held) / safe)
    return held, half


def _given(value: _T | None) -> _T:
    if value is None:
        message = "asked for before what is missing was looked at"
        raise AssertionError(message)
    return value
