"""A load frame's trace turned upright and cut: force up, travel forward, no unloading.

Read first: :class:`Trace`, then :func:`upright`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import OutOfRange

__all__ = ["Trace", "drawn_back", "loading_part", "travel_rate", "upright"]

_LEAST_ROWS = 10


@dataclass(frozen=True, slots=True)
class Trace:
    """What a load frame recorded of one specimen: force in N, travel in m, time in s.

    All one-dimensional and of one length; signs and the zero of travel as the frame has them.
    """

    force_n: NDArray[np.float64]
    travel_m: NDArray[np.float64]
    time_s: NDArray[np.float64] | None = None


def upright(trace: Trace) -> Trace:
    """Give the trace with a positive largest force, and travel that grows from 0 as force does.

    Parameters
    ----------
    trace : Trace
        As recorded: frames count compression positive or negative, and travel either way.

    Returns
    -------
    upright : Trace
        The same rows; the sign of the largest force and of travel turned where needed, travel
        counted from its first row.

    Raises
    ------
    OutOfRange
        If the arrays are not of one length, hold fewer than 10 rows or a number that is not
        finite, or force does not change with travel.

    Notes
    -----
    The sign of force is that of its largest magnitude, the sign of travel that of its covariance
    with force up to there.

    Examples
    --------
    >>> pushed = Trace(-np.arange(10.0), 0.1 - 0.001 * np.arange(10.0))
    >>> float(upright(pushed).force_n[-1]), float(upright(pushed).travel_m[-1])
    (9.0, 0.009)
    """
    force, travel = _checked(trace)
    top = int(np.argmax(np.abs(force)))
    force = force * np.sign(force[top])
    rising = slice(0, max(top + 1, 2))
    together = float(
        np.sum((force[rising] - force[rising].mean()) * (travel[rising] - travel[rising].mean()))
    )
    if together == 0:
        name, valid = "trace", "a record in which force changes with travel"
        raise OutOfRange(name, "without a loading", valid=valid)
    travel = (travel - travel[0]) * np.sign(together)
    return Trace(force, travel, trace.time_s)


def loading_part(trace: Trace) -> Trace:
    """Give the rows up to the furthest travel: what follows is the frame driving back.

    Parameters
    ----------
    trace : Trace
        Upright.

    Returns
    -------
    loading : Trace
        Its rows up to furthest travel; where the frame stands there, up to the highest force.

    Examples
    --------
    >>> there_and_back = Trace(np.array([0.0, 5, 9, 2, 0]), np.array([0.0, 1, 2, 1, 0]))
    >>> loading_part(there_and_back).force_n.tolist()
    [0.0, 5.0, 9.0]
    """
    return _rows(trace, slice(0, _turn(trace) + 1))


def drawn_back(trace: Trace) -> Trace:
    """Give the rows from the end of the loading on: what the frame recorded as it drove back.

    Parameters
    ----------
    trace : Trace
        Upright.

    Returns
    -------
    back : Trace
        Its rows from the last of :func:`loading_part` on; that one alone where nothing follows.

    Examples
    --------
    >>> there_and_back = Trace(np.array([0.0, 5, 9, 2, 0]), np.array([0.0, 1, 2, 1, 0]))
    >>> drawn_back(there_and_back).force_n.tolist()
    [9.0, 2.0, 0.0]
    """
    return _rows(trace, slice(_turn(trace), None))


def _turn(trace: Trace) -> int:
    """Row at which loading ends: of those that stand at furthest travel, the highest."""
    first = int(np.argmax(trace.travel_m))
    left = trace.travel_m[first:] < trace.travel_m[first]
    stands = int(np.argmax(left)) if left.any() else left.size
    return first + int(np.argmax(trace.force_n[first : first + stands]))


def _rows(trace: Trace, rows: slice) -> Trace:
    time = None if trace.time_s is None else trace.time_s[rows]
    return replace(trace, force_n=trace.force_n[rows], travel_m=trace.travel_m[rows], time_s=time)


def travel_rate(trace: Trace) -> float | None:
    """Rate of the crosshead while loading, by travel over time.

    Parameters
    ----------
    trace : Trace
        Upright and cut to its loading part.

    Returns
    -------
    rate_m_s : float or None
        Slope of travel on time by least squares over the middle eight tenths of the travel; None
        where the trace has no times, or they do not grow. [m/s]

    References
    ----------
    .. [1] [common practice, no source]: the ends are left out because frames start and stop slowly.

    Examples
    --------
    >>> t = np.arange(50.0)
    >>> round(travel_rate(Trace(t, 4e-5 * t, t)) * 60e3, 6)
    2.4
    """
    if trace.time_s is None:
        return None
    travel, time = trace.travel_m, trace.time_s
    inside = (travel > 0.1 * travel[-1]) & (travel < 0.9 * travel[-1]) & np.isfinite(time)
    if inside.sum() < _LEAST_ROWS or not np.ptp(time[inside]) > 0:
        return None
    apart = time[inside] - time[inside].mean()
    rate = float(np.sum(apart * travel[inside]) / np.sum(apart**2))
    return rate if rate > 0 else None


def _checked(trace: Trace) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    force = np.asarray(trace.force_n, dtype=np.float64)
    travel = np.asarray(trace.travel_m, dtype=np.float64)
    time = force if trace.time_s is None else np.asarray(trace.time_s)
    for name, values in (("force_n", force), ("travel_m", travel), ("time_s", time)):
        if values.ndim != 1 or values.shape != force.shape:
            shape, wanted = f"of shape {values.shape}", f"one row of {force.size} numbers"
            raise OutOfRange(name, shape, valid=wanted)
    if force.size < _LEAST_ROWS:
        name = "force_n"
        raise OutOfRange(name, f"of {force.size} rows", valid=f"{_LEAST_ROWS} rows or more")
    for name, values in (("force_n", force), ("travel_m", travel)):
        bad = np.flatnonzero(~np.isfinite(values))
        if bad.size:
            at = int(bad[0])
            raise OutOfRange(name, float(values[at]), index=(at,), valid="a finite number")
    return force, travel
