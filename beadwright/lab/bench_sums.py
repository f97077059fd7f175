"""Sums of the bench that several figures or a text go into, each with what departs from its method.

Read first: :func:`withdrawn` and :func:`broken_through`. Each takes figures as they were keyed and
gives the result of one reduction of :mod:`beadwright.lab.reductions`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from beadwright.errors import OutOfRange, require_at_least
from beadwright.lab.asked import MEMORY
from beadwright.lab.conditioning import rate_departures
from beadwright.lab.density import box_volume
from beadwright.lab.departure import Departure, outside
from beadwright.lab.exposed import Immersed, water_absorption
from beadwright.lab.fusion import faces_of, fusion_of
from beadwright.lab.oxygen import oxygen_index, series_of
from beadwright.lab.reduction import Figures, Reduced
from beadwright.lab.shape import out_of_straight, trueness
from beadwright.lab.strength_sums import rate_of

__all__ = [
    "WITHDRAWAL_RATE",
    "absorbed_after_dip",
    "broken_through",
    "burned",
    "edge_by_heights",
    "flat_by_heights",
    "peak_force",
    "size_departures",
    "withdrawn",
]

WITHDRAWAL_RATE = 2.54e-3 / 60
"""Travel of the head in withdrawal, m/s: ASTM D1761, 0.10 in/min within 25 %. [from memory]"""

_RATE_WITHIN = 0.25
_D1761 = f"ASTM D1761, 0.10 in/min within 25 % {MEMORY}"
_FOOT, _INCH = 0.3048, 0.0254
_SIZE_WITHIN = 0.05
"""Of a specimen's size. The method's own tolerance was not read: common practice, no source."""
_C578_SIZE = f"ASTM C578, 12 by 12 by 1 in {MEMORY}; within 5 % [common practice, no source]"
_Z95 = 1.959964


def broken_through(of: Figures) -> Reduced:
    """Share of beads broken through, from the counts of one fracture face or several.

    Parameters
    ----------
    of : Figures
        ``faces`` as a text: ``42/50, 38/45``.

    Returns
    -------
    result : Reduced
        A share with its 95 % interval; as standard uncertainty the interval's width over twice
        1.96. [1]

    Raises
    ------
    OutOfRange
        As :func:`beadwright.lab.fusion.fusion_of`, or where the text holds something else.

    References
    ----------
    .. [1] C. J. Clopper and E. S. Pearson, Biometrika 26 (1934) 404-413.
       [from memory]
    """
    faces = faces_of(of.text("faces"))
    found = fusion_of(faces)
    told = f"{found.broken_through} of {found.beads} beads"
    if len(faces) > 1:
        told += f" on {len(faces)} faces"
    u = (found.upper - found.lower) / (2 * _Z95)
    return Reduced(found.share, {}, u, found.lower, found.upper, found.departures, told)


def burned(of: Figures) -> Reduced:
    """Oxygen index from a series of bars.

    Parameters
    ----------
    of : Figures
        ``series`` as a text: ``26.0 n, 26.4 y``.

    Returns
    -------
    result : Reduced
        A share of oxygen. [1]
    """
    return Reduced(oxygen_index(*series_of(of.text("series"))).value)


def absorbed_after_dip(of: Figures) -> Reduced:
    """Water taken up since a first dip, which takes off what clings to the surface.

    Parameters
    ----------
    of : Figures
        Masses ``dipped`` and ``soaked`` in kg, ``length_dip``, ``width_dip``, ``thick_dip`` in m.

    Returns
    -------
    result : Reduced
        Share of the volume. [1]

    References
    ----------
    .. [1] EN 12087:2013, method 2B: the water first taken up is weighed after a dip of ten
       seconds and deducted. [from memory]
    """
    volume = float(box_volume(of["length_dip"], of["width_dip"], of["thick_dip"]))
    wet = water_absorption(Immersed(of["dipped"], of["soaked"], volume))
    return Reduced(float(wet.value), {"thickness": of["thick_dip"]})


def size_departures(sizes_m: Sequence[float]) -> tuple[Departure, ...]:
    """Say where a specimen of the 24 h immersion is of another size than boards are tested in.

    Parameters
    ----------
    sizes_m : sequence of float
        Length, width and thickness. [m]

    Returns
    -------
    departures : tuple of Departure
        One, or none.

    Examples
    --------
    >>> [one.code for one in size_departures([0.3, 0.305, 0.0254])]
    []
    >>> [one.value for one in size_departures([0.1, 0.1, 0.025])]
    ['100 by 100 by 25 mm']
    """
    asked = (_FOOT, _FOOT, _INCH)
    pairs = zip(sizes_m, asked, strict=True)
    if all(abs(one / other - 1) <= _SIZE_WITHIN for one, other in pairs):
        return ()
    was = " by ".join(f"{1000 * one:.4g}" for one in sizes_m) + " mm"
    what = "The specimen was of another size: thin or small ones take up more for their volume."
    return (outside("specimen_size", what, was, "305 by 305 by 25.4 mm", _C578_SIZE),)


def edge_by_heights(of: Figures) -> Reduced:
    """Trueness from heights along an edge, or along a line on a face, at equal distances.

    Parameters
    ----------
    of : Figures
        ``heights`` and ``along``, from end to end, in m.

    Returns
    -------
    result : Reduced
        Gap for each metre of length. [1]
    """
    heights = of.many("heights")
    along = of["along"]
    require_at_least(0, strict=True, along=along)
    gap = out_of_straight(np.linspace(0.0, along, max(2, len(heights))), heights)
    return Reduced(float(trueness(gap, along)))


def flat_by_heights(of: Figures) -> Reduced:
    """Gap of a board from a flat table, by the heights of its upper face less its thickness.

    Parameters
    ----------
    of : Figures
        ``tops``, heights of the upper face over the table, and ``board``, its thickness, in m.

    Returns
    -------
    result : Reduced
        The largest gap. [m]

    Raises
    ------
    OutOfRange
        If the highest place is lower than the board is thick: one of the two was misread.

    References
    ----------
    .. [1] EN 825:2013, a board on a flat table, hollow face down. [from memory]
    """
    thick, highest = of["board"], max(of.many("tops"))
    require_at_least(0, strict=True, board=thick)
    gap = highest - thick
    if gap < 0:
        name, value = "tops", f"{1000 * highest:.4g} mm at most"
        raise OutOfRange(name, value, valid=f"at least the thickness, {1000 * thick:.4g} mm")
    return Reduced(gap, {"thickness": thick})


def peak_force(of: Figures) -> Reduced:
    """Force at which something let go, net of what was shown before it was pulled.

    Parameters
    ----------
    of : Figures
        ``peak``, and ``rest`` where something was shown before, in N.

    Returns
    -------
    result : Reduced
        In N.

    Raises
    ------
    OutOfRange
        If the largest force is not above what was shown before.
    """
    (rest,) = of.many("rest") if "rest" in of else (0.0,)
    require_at_least(0, rest=rest)
    if of["peak"] <= rest:
        name = "peak"
        raise OutOfRange(name, of["peak"], valid=f"above what was shown before, {rest:g} N")
    return Reduced(of["peak"] - rest)


def withdrawn(of: Figures) -> Reduced:
    """Force at which a fastener left what it was driven into, and whether the rate was as asked.

    Parameters
    ----------
    of : Figures
        As :func:`peak_force`; ``travel`` in m and ``lasted`` in s until the largest force.

    Returns
    -------
    result : Reduced
        In N; the departures say where the rate was not as asked, or is not known.

    Raises
    ------
    OutOfRange
        As :func:`peak_force`, or if a time is not above 0.

    References
    ----------
    .. [1] ASTM D1761, nail, staple or screw withdrawal. [read in: a second source that cites it]
    """
    found = peak_force(of)
    return Reduced(found.value, departures=tuple(_rate(of)))


def _rate(of: Figures) -> Iterator[Departure]:
    yield from rate_departures(rate_of(of), WITHDRAWAL_RATE, _RATE_WITHIN, _D1761)
