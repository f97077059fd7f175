"""Compression of a foam specimen: toe, modulus, strength at yield or at 10 % strain.

Read first: :func:`compressed`, which takes stress and strain; :func:`compression_of` makes them
of force and travel. What the method asks of the test stands in ``compression_method``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_at_least, require_between
from beadwright.lab.breaking import fell_at_once
from beadwright.lab.construction import Construction, Point, construct, first_peak, stress_at
from beadwright.lab.departure import Departure, outside
from beadwright.lab.loading import Trace, drawn_back, loading_part, upright
from beadwright.lab.recording import recording_departures

__all__ = ["CONVENTIONAL_STRAIN", "Compression", "StrengthAt", "compressed", "compression_of"]

CONVENTIONAL_STRAIN = 0.10
"""Strain, toe taken off, at which stress is read where nothing yields before."""

_RULES_DIFFER = 0.01
_TOE = "EN 826:1996, 8.1.2 [read in: a second source that cites it]"

StrengthAt = Literal["yield", "10 %", "break", "neither"]
"""Where on the curve a strength was read."""


@dataclass(frozen=True, slots=True)
class Compression:
    """One specimen's result, with all that is needed to draw it.

    Strains of points count from the first row of the record, slack and toe included; ``toe`` is
    taken off in ``strain_at_strength`` only.
    """

    strength_pa: float | None
    """At yield; else at 10 % strain; else, where the specimen broke as the frame turned, the
    highest before. None: the record shows none of them, and ``ended_early`` says so."""
    strength_at: StrengthAt
    strain_at_strength: float | None
    modulus_pa: float
    u_modulus_pa: float
    toe: float
    line: Construction
    ten_percent: Point | None
    """Where strain less toe is 10 %; None where the record ends before."""
    peak: Point | None
    """First yield, wherever it lies; None where stress never falls."""
    highest: Point
    """Highest stress up to 10 % strain."""
    strain: NDArray[np.float64]
    stress_pa: NDArray[np.float64]
    """The loading part, upright: what is drawn."""
    departures: tuple[Departure, ...]
    """What the record itself shows; what the method asks of the test comes on top."""


def compression_of(trace: Trace, *, area_m2: float, height_m: float) -> Compression:
    r"""Compressive strength and modulus from force and travel.

    .. math:: \sigma = F / A_0, \qquad \epsilon = x / h_0

    Parameters
    ----------
    trace : Trace
        Force and travel as the frame recorded them, with its own signs. [N, m, s]
    area_m2 : float
        Loaded area before the test, > 0. [m^2]
    height_m : float
        Height along the load before the test, > 0. [m]

    Returns
    -------
    compression : Compression
        As :func:`compressed` gives it.

    Raises
    ------
    OutOfRange
        If a dimension is not above 0, or the trace cannot be read (see ``upright``).

    Notes
    -----
    Travel of the crosshead holds the frame's own give; for a stiff foam the modulus is then low.

    References
    ----------
    .. [1] ASTM D1621-16, modulus as W·H/(A·D) [read in: a second source that cites it].
    .. [2] EN 826:1996, stress over the initial area [from memory].

    Examples
    --------
    A 100 mm square, 50 mm high, that carries 1000 N at 10 % strain, is 100 kPa:

    >>> x = np.linspace(0, 6e-3, 601)
    >>> trace = Trace(1000 * np.minimum(x / 0.5e-3, 0.9 + 0.1 * x / 5e-3), x)
    >>> compression_of(trace, area_m2=0.01, height_m=0.05).strength_pa
    100000.0
    """
    require_at_least(0, strict=True, area_m2=area_m2, height_m=height_m)
    recorded = upright(trace)
    return compressed(recorded.travel_m / height_m, recorded.force_n / area_m2)


def compressed(strain: ArrayLike, stress_pa: ArrayLike) -> Compression:
    r"""Compressive strength and modulus from stress and strain.

    .. math:: \sigma_{10} = \sigma(\epsilon_0 + 0.10), \qquad \sigma_y = \sigma
              \text{ at the first fall before}

    The toe :math:`\epsilon_0` is where the steepest straight part, extended, meets zero stress.

    Parameters
    ----------
    strain : array_like, shape (n,)
        Strain as recorded, with its own sign and zero. [1]
    stress_pa : array_like, shape (n,)
        Stress as recorded, with its own sign. [Pa]

    Returns
    -------
    compression : Compression
        Strength, toe, modulus, and the construction. Without yield and with a record that ends
        before 10 % the strength is None, and a departure says so; but where stress is gone at
        once as the frame turns back, the specimen broke, and the highest stress is its strength.

    Raises
    ------
    OutOfRange
        If there are fewer than 10 rows, a number is not finite, strain is no plain ratio (a
        largest change above 1), or stress does not rise with strain.

    Notes
    -----
    A peak after which stress falls counts as yield where it lies at 10 % or before; EN 826 takes
    the highest stress before 10 % instead. The two differ where a curve rises past its first
    peak; ``highest`` gives the other, and a departure says so.

    References
    ----------
    .. [1] EN 826:1996, 8.1.2 (toe), and strength at the maximum or at 10 %. [read in: a second
       source that cites it]
    .. [2] ASTM D1621-16, technically equivalent to ISO 844. [read in: a second source that cites
       it]

    Examples
    --------
    >>> e = np.linspace(0, 0.12, 601)
    >>> foam = compressed(e, np.interp(e, [0, 0.012, 0.112, 0.12], [0, 0, 100e3, 104e3]))
    >>> round(foam.toe, 4), foam.strength_at
    (0.0120, '10 %')
    """
    whole = upright(Trace(np.asarray(stress_pa, float), np.asarray(strain, float)))
    loading, back = loading_part(whole), drawn_back(whole)
    along, stress = loading.travel_m, loading.force_n
    require_between(0, 1, strain=float(along[-1]))
    line = construct(along, stress, CONVENTIONAL_STRAIN)
    target = line.toe + CONVENTIONAL_STRAIN
    ten, peak = stress_at(along, stress, target), first_peak(along, stress, line)
    inside = stress[along <= target]
    top = int(np.argmax(inside))
    highest = Point(float(along[top]), float(inside[top]))
    at, named = _strength(peak, ten, target)
    if at is None and fell_at_once(back.travel_m, back.force_n, line.modulus_pa):
        at, named = highest, "break"
    result = Compression(
        strength_pa=at.stress_pa if at else None,
        strength_at=named,
        strain_at_strength=at.strain - line.toe if at else None,
        modulus_pa=line.modulus_pa,
        u_modulus_pa=line.u_modulus_pa,
        toe=line.toe,
        line=line,
        ten_percent=ten,
        peak=peak,
        highest=highest,
        strain=along,
        stress_pa=stress,
        departures=(),
    )
    held = result.strength_pa or line.reference_pa
    recorded = recording_departures(loading, back, line, held, CONVENTIONAL_STRAIN)
    return replace(result, departures=(*_seen(result), *recorded))


def _strength(
    peak: Point | None, ten: Point | None, target: float
) -> tuple[Point | None, StrengthAt]:
    """Give the point that is the strength, and what it is called."""
    if peak is not None and peak.strain <= target:
        return peak, "yield"
    return (ten, "10 %") if ten is not None else (None, "neither")


def _seen(result: Compression) -> Iterator[Departure]:
    """Say what the method would call another figure, or none."""
    if result.strength_at in {"neither", "break"}:
        far = f"{(result.strain[-1] - result.toe) * 100:.2f} % strain"
        asked = "10 % strain, toe taken off"
    if result.strength_at == "neither":
        what = "The record ends before 10 % strain, and nothing yielded: it has no strength."
        yield outside("ended_early", what, far, asked, _TOE)
    if result.strength_at == "break":
        what = "Stress was gone at once as the frame turned: the specimen broke there."
        yield outside("broke", what, far, asked, _TOE)
    if result.peak is not None and result.strength_at == "yield":
        higher = result.highest.stress_pa
        if higher > (1 + _RULES_DIFFER) * result.peak.stress_pa:
            what = "Stress rises past the first yield: the maximum before 10 % is another figure."
            asked = "the first yield (ASTM D1621); the maximum (EN 826)"
            yield outside("rises_past_yield", what, f"{higher / 1e3:.4g} kPa", asked, _TOE)
