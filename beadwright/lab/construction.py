r"""The construction on a stress-strain curve: steepest straight part, toe, points at a strain.

Compression and bending share it. All works on the loading part of an upright curve; see
``loading``. Read first: :func:`construct`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import OutOfRange

__all__ = ["Construction", "Point", "construct", "first_peak", "stress_at"]

_RISE = 0.2  # of the reference stress: what the straight part spans
_LEAST = 5  # rows in the straight part
_CONTACT = 0.1  # of the reference stress: from there on the specimen is loaded beyond doubt
_DROP = 0.01  # of a peak: a fall by less is the flatness of a plateau
_SIGMAS = 6.0  # of the scatter about the line: a fall by less is noise
_ROUNDS = 100


@dataclass(frozen=True, slots=True)
class Point:
    """A point of the curve: strain on the scale of the curve, toe not taken off; stress in Pa."""

    strain: float
    stress_pa: float


@dataclass(frozen=True, slots=True)
class Construction:
    """The modulus line of a curve, and where it meets zero stress."""

    toe: float
    """Strain of the curve at which the line meets zero stress: there true strain is 0."""
    modulus_pa: float
    u_modulus_pa: float
    """Standard uncertainty of the slope from the scatter about the line alone."""
    low: Point
    high: Point
    """Ends of the straight part, on the line."""
    rows: int
    """Rows of the record within the straight part."""
    scatter_pa: float
    """Standard deviation of stress about the line."""
    reference_pa: float
    """Highest stress within the reach of the search."""


def construct(
    strain: NDArray[np.float64], stress_pa: NDArray[np.float64], reach: float
) -> Construction:
    r"""Find the steepest straight part of a curve and extend it to zero stress.

    .. math::
        E = \max_i \frac{\sum (\epsilon - \bar\epsilon)(\sigma - \bar\sigma)}
                        {\sum (\epsilon - \bar\epsilon)^2}, \qquad
        \epsilon_0 = \bar\epsilon - \bar\sigma / E

    The sums run over a part in which stress rises by a fifth of the reference stress (and of five
    rows at least), and the steepest of all such parts before the highest stress is taken. The
    reference stress is the highest within ``reach`` of where a tenth of it is first carried, so
    that neither slack before nor densification after moves the answer.

    Parameters
    ----------
    strain : ndarray, shape (n,)
        Strain as recorded, toe included, of the loading part. [1]
    stress_pa : ndarray, shape (n,)
        Stress, positive. [Pa]
    reach : float
        How far past the first load the search looks: 0.10 for compression. [1]

    Returns
    -------
    construction : Construction
        Toe, modulus and straight part. [1, Pa]

    Raises
    ------
    OutOfRange
        If no part rises: fewer than five rows before the highest stress, or no positive slope.

    Notes
    -----
    Published methods say "steepest straight part" and leave its length open; a fifth of the
    strength is ours: expanded polystyrene is linear up to about 1 % strain, which is a third of
    its stress at 10 %, and a toe may take the first tenth. [common practice, no source]

    On real foam curves a tenth or two fifths instead move the modulus by up to 8 %. The
    steepest of many parts is taken, so noise makes the modulus come out high, by one to three
    times ``u_modulus_pa``.

    References
    ----------
    .. [1] EN 826:1996, 8.1.2, zero deformation. [read in: a second source that cites it]

    Examples
    --------
    A line of 5 MPa behind slack of 0.5 % strain:

    >>> e = np.linspace(0, 0.03, 301)
    >>> line = construct(e, 5e6 * np.maximum(0, e - 0.005), reach=0.10)
    >>> float(line.toe), float(line.modulus_pa)
    (0.00500, 5000000.0)
    """
    along = np.maximum.accumulate(strain)
    reference, last = _reference(along, stress_pa, reach)
    x, y = strain[: last + 1], stress_pa[: last + 1]
    first, end = _parts(y, _RISE * reference)
    if first.size == 0:
        name, valid = "stress_pa", f"a curve with {_LEAST} rows or more before its highest stress"
        raise OutOfRange(name, f"with {last + 1}", valid=valid)
    slope = _slopes(x, y, first, end)
    best = int(np.argmax(slope))
    if not (np.isfinite(slope[best]) and slope[best] > 0):
        name = "stress_pa"
        raise OutOfRange(name, "without a rise", valid="a curve that rises with strain")
    return _line(x[first[best] : end[best]], y[first[best] : end[best]], reference)


def stress_at(
    strain: NDArray[np.float64], stress_pa: NDArray[np.float64], at: float
) -> Point | None:
    """Point of the curve at a strain as recorded, on the straight line between its two rows.

    Parameters
    ----------
    strain : ndarray, shape (n,)
        Strain as recorded. [1]
    stress_pa : ndarray, shape (n,)
        Stress. [Pa]
    at : float
        The strain wanted, toe included. [1]

    Returns
    -------
    point : Point or None
        Where strain first reaches it; None where the record ends before. [1, Pa]

    Examples
    --------
    >>> stress_at(np.array([0.0, 0.1, 0.2]), np.array([0.0, 50.0, 60.0]), 0.15)
    Point(strain=0.15, stress_pa=55.0)
    """
    beyond = np.flatnonzero(strain >= at)
    if beyond.size == 0 or strain[0] > at:
        return None
    j = int(beyond[0])
    if j == 0 or strain[j] == strain[j - 1]:
        return Point(at, float(stress_pa[j]))
    share = (at - strain[j - 1]) / (strain[j] - strain[j - 1])
    return Point(at, float(stress_pa[j - 1] + share * (stress_pa[j] - stress_pa[j - 1])))


def first_peak(
    strain: NDArray[np.float64], stress_pa: NDArray[np.float64], line: Construction
) -> Point | None:
    """First point after which stress falls although strain grows: yield.

    Parameters
    ----------
    strain : ndarray, shape (n,)
        Strain as recorded. [1]
    stress_pa : ndarray, shape (n,)
        Stress. [Pa]
    line : Construction
        Of the same curve: its scatter tells noise from a fall. [1, Pa]

    Returns
    -------
    peak : Point or None
        The highest point before stress has fallen by 1 % of it and by six times the scatter about
        the modulus line; None where it never falls so far. [1, Pa]

    References
    ----------
    .. [1] ASTM D1621-16, compressive yield point: increase of strain without increase of stress
       [from memory]; the 1 % and the six are ours [common practice, no source].

    Examples
    --------
    >>> e = np.linspace(0, 0.1, 101)
    >>> s = np.where(e < 0.05, 5e6 * e, 2.5e5 - 1e6 * (e - 0.05))
    >>> first_peak(e, s, construct(e, s, 0.10)).strain
    0.05
    """
    after = strain >= line.high.strain
    start = int(np.argmax(after)) if after.any() else strain.size
    top = np.maximum.accumulate(stress_pa[start:])
    fallen = top - stress_pa[start:] >= np.maximum(_DROP * top, _SIGMAS * line.scatter_pa)
    if not fallen.any():
        return None
    peak = start + int(np.argmax(stress_pa[start : start + int(np.argmax(fallen)) + 1]))
    return Point(float(strain[peak]), float(stress_pa[peak]))


def _reference(
    along: NDArray[np.float64], stress: NDArray[np.float64], reach: float
) -> tuple[float, int]:
    """Give the highest stress within reach of first load, and its row.

    The reach begins at the end of the record and only ever shrinks, so this ends.
    """
    last = int(np.argmax(stress))
    for _ in range(_ROUNDS):
        contact = int(np.argmax(stress >= _CONTACT * stress[last]))
        inside = int(np.searchsorted(along, along[contact] + reach, side="right"))
        found = int(np.argmax(stress[:inside]))
        if found == last:
            break
        last = found
    if not stress[last] > 0:
        name = "stress_pa"
        raise OutOfRange(name, float(stress[last]), valid="a curve with a positive stress")
    return float(stress[last]), last


def _parts(stress: NDArray[np.float64], rise: float) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Give first row and end (one past the last) of every part that rises by ``rise``."""
    top = np.maximum.accumulate(stress)
    new = np.flatnonzero(np.r_[True, top[1:] > top[:-1]])
    end = np.searchsorted(top, top[new] + rise, side="left") + 1
    end = np.maximum(end, new + _LEAST)
    fits = end <= stress.size
    return new[fits], end[fits]


def _slopes(
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    first: NDArray[np.intp],
    end: NDArray[np.intp],
) -> NDArray[np.float64]:
    """Least-squares slope of each part, by sums over all rows before."""
    x, y = x - x.mean(), y - y.mean()
    sums = [np.r_[0.0, np.cumsum(values)] for values in (x, y, x * y, x * x)]
    sx, sy, sxy, sxx = (total[end] - total[first] for total in sums)
    count = end - first
    spread = sxx - sx * sx / count
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = (sxy - sx * sy / count) / spread
    return np.where(spread > 0, slope, -np.inf)


def _line(x: NDArray[np.float64], y: NDArray[np.float64], reference: float) -> Construction:
    middle, height = float(x.mean()), float(y.mean())
    spread = float(np.sum((x - middle) ** 2))
    slope = float(np.sum((x - middle) * (y - height))) / spread
    off = y - height - slope * (x - middle)
    scatter = float(np.sqrt(np.sum(off**2) / (x.size - 2)))

    def on_line(strain: float) -> Point:
        return Point(strain, height + slope * (strain - middle))

    low, high = on_line(float(x[0])), on_line(float(x[-1]))
    u = scatter / float(np.sqrt(spread))
    return Construction(middle - height / slope, slope, u, low, high, x.size, scatter, reference)
