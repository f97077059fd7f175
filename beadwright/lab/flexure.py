"""Bending of a foam strip: toe, modulus, strength at break or at 5 % strain.

Read first: :func:`flexure_of`. What the method asks of the test stands in ``flexure_method``, the
formulas of the strip in ``beam``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from beadwright.lab.beam import Beam, Loading, bending_strain, bending_stress, large_deflection
from beadwright.lab.breaking import break_row, fell_at_once
from beadwright.lab.construction import Construction, Point, construct, first_peak, stress_at
from beadwright.lab.departure import Departure, outside
from beadwright.lab.loading import Trace, drawn_back, loading_part, upright
from beadwright.lab.recording import recording_departures

__all__ = ["LIMIT_STRAIN", "Flexure", "FlexureAt", "flexure_of"]

LIMIT_STRAIN = 0.05
"""Strain of the outer fibre, toe taken off, up to which a strip is bent."""

_SAG = 0.10  # of the span: beyond, the supports' push counts
_PAST = 2  # rows beyond 5 %, so that a break just before it is seen
_LEVEL = 0.01  # of the highest stress: a fall by less is the flatness of a plateau
_STOP = "ASTM C203-05a (2017), note 1 [read in: a second source that cites it]"
_LARGE = "ASTM D790-17, 5.1.2 [read in: a second source that cites it]"

FlexureAt = Literal["break", "highest", "5 %", "neither"]
"""Where on the curve a strength was read."""


@dataclass(frozen=True, slots=True)
class Flexure:
    """One strip's result, with all that is needed to draw it.

    Strains of points count from the first row of the record, slack and toe included; ``toe`` is
    taken off in ``strain_at_strength`` only.
    """

    strength_pa: float | None
    """Highest stress before the strip breaks or falls off, else stress at 5 % strain. None: the
    record ends before, and ``ended_early`` says so."""
    strength_at: FlexureAt
    """``highest`` where stress fell off, but not at once."""
    strain_at_strength: float | None
    corrected_pa: float | None
    """Strength with the push of the supports counted in, where the strip sagged by more than a
    tenth of its span; None elsewhere, and where it was not loaded at its centre."""
    modulus_pa: float
    u_modulus_pa: float
    toe: float
    line: Construction
    five_percent: Point | None
    """Where strain less toe is 5 %; None where the record ends before."""
    highest: Point
    """Highest stress up to 5 % strain."""
    strain: NDArray[np.float64]
    stress_pa: NDArray[np.float64]
    """The loading part, upright: what is drawn."""
    departures: tuple[Departure, ...]
    """What the record itself shows; what the method asks of the test comes on top."""


def flexure_of(trace: Trace, beam: Beam) -> Flexure:
    r"""Flexural strength and modulus from force and deflection.

    .. math::
        E = \frac{d \sigma}{d \epsilon} = \frac{L^3 m}{4 b d^3} \text{ (centre)}

    with m the steepest straight slope of force on deflection. The toe is where that part,
    extended, meets zero force.

    Parameters
    ----------
    trace : Trace
        Force and deflection as the frame recorded them, with its own signs. [N, m, s]
    beam : Beam
        The strip on its supports.

    Returns
    -------
    flexure : Flexure
        Strength, toe, modulus, and the construction.

    Raises
    ------
    OutOfRange
        If the trace cannot be read (see ``upright``), or force does not rise.

    Notes
    -----
    The strength is the highest stress up to the break, or up to 5 % strain where stress falls off
    before without a break; where it still rises at 5 %, the stress there, and ``not_broken`` says
    that the method has another strip bent faster.

    References
    ----------
    .. [1] ASTM C203-05a (2017), 4.1.1, 4.1.2, note 1. [read in: a second source that cites it]
    .. [2] EN 12089:1997, three-point bending, stress at the greatest force. [from memory]
    .. [3] EN 826:1996, 8.1.2, for the toe. [read in: a second source that cites it]

    Examples
    --------
    A strip of 10 MPa that breaks at 300 kPa, behind 1 mm of slack:

    >>> d = np.linspace(0, 0.0165, 331)
    >>> strip = Beam(span_m=0.254, width_m=0.1016, depth_m=0.0254)
    >>> e = np.maximum(bending_strain(d - 1e-3, strip), 0)
    >>> force = np.where(e < 0.03, 10e6 * e, 0) / strip.stress_per_force
    >>> bent = flexure_of(Trace(force, d), strip)
    >>> bent.strength_at, round(bent.modulus_pa / 1e6, 3), round(bent.toe, 5)
    ('break', 10.0, 0.00236)
    """
    whole = upright(trace)
    recorded = Trace(bending_stress(whole.force_n, beam), bending_strain(whole.travel_m, beam))
    loading, back = loading_part(recorded), drawn_back(recorded)
    along, stress = loading.travel_m, loading.force_n
    line = construct(along, stress, LIMIT_STRAIN)
    target = line.toe + LIMIT_STRAIN
    five = stress_at(along, stress, target)
    inside = along <= target
    top = int(np.argmax(np.where(inside, stress, -np.inf)))
    highest = Point(float(along[top]), float(stress[top]))
    named = _named(loading, back, line, five)
    at = five if named == "5 %" else None if named == "neither" else highest
    sag = 0.0 if at is None else (at.strain - line.toe) / _at_middle(beam)
    corrected = at is not None and sag > _SAG * beam.span_m and beam.loading is Loading.CENTRE
    result = Flexure(
        strength_pa=at.stress_pa if at else None,
        strength_at=named,
        strain_at_strength=at.strain - line.toe if at else None,
        corrected_pa=(
            at.stress_pa * float(large_deflection(sag, beam)) if at and corrected else None
        ),
        modulus_pa=line.modulus_pa,
        u_modulus_pa=line.u_modulus_pa,
        toe=line.toe,
        line=line,
        five_percent=five,
        highest=highest,
        strain=along,
        stress_pa=stress,
        departures=(),
    )
    held = result.strength_pa or line.reference_pa
    shown = recording_departures(loading, back, line, held, LIMIT_STRAIN)
    return replace(result, departures=(*_seen(result, sag / beam.span_m), *shown))


def _named(loading: Trace, back: Trace, line: Construction, five: Point | None) -> FlexureAt:
    """Say where the strength is read."""
    along, stress = loading.travel_m, loading.force_n
    target = line.toe + LIMIT_STRAIN
    beyond = np.flatnonzero(along > target)
    reach = slice(0, int(beyond[0]) + _PAST if beyond.size else along.size)
    broken = break_row(along[reach], stress[reach], line.modulus_pa)
    if broken is not None and along[broken] <= target:
        return "break"
    peak = first_peak(along, stress, line)
    if peak is not None and peak.strain < target:
        level = five is not None and five.stress_pa > (1 - _LEVEL) * stress[along <= target].max()
        return "5 %" if level else "highest"
    if five is not None:
        return "5 %"
    return "break" if fell_at_once(back.travel_m, back.force_n, line.modulus_pa) else "neither"


def _at_middle(beam: Beam) -> float:
    """Strain by one metre of deflection at mid-span, wherever deflection was measured."""
    return replace(beam, deflection_at="mid-span").strain_per_deflection


def _seen(result: Flexure, sag: float) -> Iterator[Departure]:
    """Say what the method would have done otherwise."""
    far = f"{(result.strain[-1] - result.toe) * 100:.2f} % strain"
    if result.strength_at == "neither":
        what = "The record ends before 5 % strain without a break: it has no strength."
        yield outside("ended_early", what, far, "a break, or 5 % strain, toe taken off", _STOP)
    if result.strength_at == "5 %":
        what = "The strip did not break up to 5 % strain: its strength is the stress there."
        asked = "a break; else a new strip, bent faster"
        yield outside("not_broken", what, "no break at 5 % strain", asked, _STOP)
    if sag > _SAG:
        beside = (
            ""
            if result.corrected_pa is None
            else f"; corrected {result.corrected_pa / 1e3:.4g} kPa"
        )
        what = "The strip sagged far: the push of its supports bends it further."
        yield outside(
            "large_deflection", what, f"{sag:.1%} of the span{beside}", f"up to {_SAG:.0%}", _LARGE
        )
