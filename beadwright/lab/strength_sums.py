"""Strengths from what a load frame shows without a curve: largest force and sizes, and the rate.

Read first: :func:`pressed` and :func:`bent`. Each holds specimen and rate against the method of its
characteristic; a curve tells more, and comes by ``compression`` and ``flexure``.
"""

from __future__ import annotations

from beadwright.errors import require_at_least
from beadwright.lab.asked import MEMORY
from beadwright.lab.beam import Beam, bending_stress
from beadwright.lab.compression_method import (
    CompressionMethod,
    CompressionTest,
    compression_departures,
)
from beadwright.lab.conditioning import rate_departures
from beadwright.lab.flexure_method import FlexureMethod, FlexureTest, flexure_departures
from beadwright.lab.methods import beyond
from beadwright.lab.reduction import Figures, Reduced

__all__ = ["TENSION_RATE", "bent", "pressed", "rate_of", "stretched"]

TENSION_RATE = 10e-3 / 60
"""Travel of the head in tension across the faces, m/s: EN 1607, 10 mm/min. [from memory]"""

_TENSION_WITHIN = 0.1
_EN_1607 = f"EN 1607, 10 ± 1 mm/min {MEMORY}"


def pressed(of: Figures, characteristic: str, method: CompressionMethod) -> Reduced:
    r"""Compressive strength from the force at yield, or at 10 %, that the frame shows.

    .. math:: \sigma = \frac{F}{l \, w}

    Parameters
    ----------
    of : Figures
        ``load`` in N; ``length``, ``width`` and ``thick``, the height along the load, in m; of the
        rate ``travel`` in m and ``lasted`` in s.
    characteristic : str
        What was tested. [1]
    method : CompressionMethod
        What specimen and rate are held against.

    Returns
    -------
    result : Reduced
        In Pa; the departures are of size and rate.

    Raises
    ------
    OutOfRange
        If a figure is not above 0.

    References
    ----------
    .. [1] ASTM D1621-16 and EN 826:1996, force over the area before the test. [from memory]

    Examples
    --------
    >>> from beadwright.lab.compression_method import METHODS
    >>> low = Figures({"load": 1000, "length": 0.1, "width": 0.1, "thick": 0.02})
    >>> found = pressed(low, "compressive_resistance", METHODS["ASTM D1621"])
    >>> found.value, [one.code for one in found.departures]
    (100000.0, ['rate_not_recorded'])
    """
    length, width, height = of["length"], of["width"], of["thick"]
    require_at_least(0, strict=True, load=of["load"], length=length, width=width, thick=height)
    test = CompressionTest(height, length, width, rate_of(of))
    said = beyond(characteristic, compression_departures(method, test))
    return Reduced(of["load"] / (length * width), {"thickness": height}, departures=said)


def bent(of: Figures, characteristic: str, method: FlexureMethod, way: str = "") -> Reduced:
    r"""Bending strength from the largest force that the frame shows, on two supports.

    .. math:: S = \frac{3 P L}{2 b d^2} \text{ (centre)}, \qquad \frac{3 P L}{4 b d^2} \text{
              (quarter points)}

    Parameters
    ----------
    of : Figures
        ``load``, the whole, in N; ``span``, ``width`` and ``thick``, the depth along the load, in
        m; where known ``strip``, its length, in m, and of the rate ``travel`` and ``lasted``. Each
        name ends in the way.
    characteristic : str
        What was tested. [1]
    method : FlexureMethod
        Where the load comes on, and what strip, span and rate are held against.
    way : str, optional
        What the names of the figures end in. [1]

    Returns
    -------
    result : Reduced
        In Pa; the departures are of width, length, span and rate.

    Raises
    ------
    OutOfRange
        If a figure is not above 0.

    References
    ----------
    .. [1] ASTM C203-05a (2017), 1.1.1 and 1.1.2: the places of the loads. [read in: a second
       source that cites it]
    .. [2] The formulas, by beam theory. [from memory]

    Examples
    --------
    7 lbf at the centre of a strip 3 in wide and 1 in deep on 10 in is 35 psi; it is too narrow:

    >>> from beadwright.lab.flexure_method import METHODS
    >>> strip = {"load": 7 * 4.448222, "span": 0.254, "width": 0.0762, "thick": 0.0254}
    >>> found = bent(Figures(strip), "flexural_strength", METHODS["ASTM C203 I-B"])
    >>> round(found.value / 6894.757, 3), [one.code for one in found.departures]
    (35.000, ['rate_not_recorded', 'length_not_recorded', 'width'])
    """
    load, width, depth = (of[f"{name}{way}"] for name in ("load", "width", "thick"))
    require_at_least(0, strict=True, **{f"load{way}": load})
    beam = Beam(of[f"span{way}"], width, depth, method.loading, "loading point")
    (strip,) = of.many(f"strip{way}") if f"strip{way}" in of else (None,)
    test = FlexureTest(beam, strip, rate_of(of, way))
    said = beyond(characteristic, flexure_departures(method, test))
    return Reduced(float(bending_stress(load, beam)), {"thickness": depth}, departures=said)


def stretched(of: Figures) -> Reduced:
    """Tensile strength across the faces: largest force over the area that was bonded.

    Parameters
    ----------
    of : Figures
        ``peak`` in N, ``length`` and ``width`` in m; of the rate ``travel`` in m and ``lasted`` in
        s.

    Returns
    -------
    result : Reduced
        In Pa; the departures say where the rate was not as asked, or is not known.

    Raises
    ------
    OutOfRange
        If a figure is not above 0.

    References
    ----------
    .. [1] EN 1607:2013, largest force over the cross-section, at 10 mm a minute. [from memory]
    """
    sizes = {name: of[name] for name in ("length", "width")}
    require_at_least(0, strict=True, peak=of["peak"], **sizes)
    said = rate_departures(rate_of(of), TENSION_RATE, _TENSION_WITHIN, _EN_1607)
    return Reduced(of["peak"] / (sizes["length"] * sizes["width"]), departures=tuple(said))


def rate_of(of: Figures, way: str = "") -> float | None:
    """How fast the head travelled, where travel and time were keyed.

    Parameters
    ----------
    of : Figures
        ``travel`` in m and ``lasted`` in s, each name ending in the way.
    way : str, optional
        What the names end in. [1]

    Returns
    -------
    rate_m_s : float or None
        None where one of the two is missing. [m/s]

    Raises
    ------
    OutOfRange
        If a travel or a time is not above 0.

    Examples
    --------
    >>> rate_of(Figures({"travel": 0.005, "lasted": 120.0}))
    4.16667e-05
    """
    travel, lasted = f"travel{way}", f"lasted{way}"
    if travel not in of or lasted not in of:
        return None
    require_at_least(0, strict=True, **{travel: of[travel], lasted: of[lasted]})
    return of[travel] / of[lasted]
