"""The proof load of a foam strip: the weight on the bench that brings it to its flexural limit.

A screening of fusion at the press, in a minute; not the standard test, which conditions its strips
and bends them at a rate. Read first: :func:`proof_load`, and :data:`CAUTION`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import require_at_least
from beadwright.lab.beam import Beam
from beadwright.statistics.propagation import Input, propagate

__all__ = ["CAUTION", "Carried", "ProofLoad", "Strip", "carried", "doubts", "proof_load"]

CAUTION = (
    "Screening. Stand clear, catch tray under. Not the standard test: it releases nothing. "
    "Local code and licensed practice govern."
)
"""To stand wherever a proof load is shown."""

_GRAVITY = 9.80665  # m/s2, conventional; places on earth differ by up to 0.3 %
_SPANS = (5.0, 20.0)
"""Thicknesses that a span has: below, a strip is crushed and sheared and not bent; beyond, it sags.
Common practice, no source; the trade's strip has ten."""
_NARROWEST = 0.5
"""Of its thickness: what is narrower stands on edge and tips over. Common practice, no source."""
_SURE = 1.645  # standard deviations that a normal value exceeds in one case of twenty


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip on two supports, SI, loaded at its centre; each size with its uncertainty."""

    span: Input
    """Between the supports, not the length of the strip."""
    width: Input
    depth: Input
    """Thickness, along the load: it counts squared."""

    def __post_init__(self) -> None:
        """Refuse a size that is none."""
        Beam(self.span.value, self.width.value, self.depth.value)

    @property
    def sizes(self) -> tuple[Input, Input, Input]:
        """Span, width, depth."""
        return self.span, self.width, self.depth


@dataclass(frozen=True, slots=True)
class ProofLoad:
    """What a strip must carry."""

    force_n: float
    u_force_n: float
    """Standard uncertainty, by the sizes of the strip and, where it has one, of the limit."""
    mass_kg: float
    """That weighs as much."""
    u_mass_kg: float
    sure_mass_kg: float
    """A strip that carries this has been at its limit with 95 % confidence, whatever its sizes."""
    caution: str = CAUTION


@dataclass(frozen=True, slots=True)
class Carried:
    """The stress that a strip carried, or broke at."""

    stress_pa: float
    u_stress_pa: float
    share: float | None
    """Of the limit; None where none was given."""
    caution: str = CAUTION


def proof_load(strip: Strip, limit: Input) -> ProofLoad:
    r"""Work out what a strip must carry to meet a flexural limit.

    .. math:: P = \frac{2 S b d^2}{3 L}, \qquad m = P / g

    Parameters
    ----------
    strip : Strip
        Span, width and depth, each with its standard uncertainty.
    limit : Input
        The flexural strength S that governs, in Pa, of u = 0 where it is a figure of a standard.

    Returns
    -------
    load : ProofLoad
        Force and mass, with their uncertainty and the caution.

    Raises
    ------
    OutOfRange
        If a size is not above 0, or the limit is below 0.

    Notes
    -----
    The weight comes on at the centre, slowly. The strip's own weight is left out: of a strip 3 by
    12 by 1 in it is some 0.4 % of the load.

    References
    ----------
    .. [1] ASTM C203, method I, the stress turned round. [from memory]
    .. [2] A strip 1 in thick and 12 in long must carry 7 lb: 35 psi where it is 3 in wide and lies
       on supports 10 in apart. [common practice, no source]

    Examples
    --------
    Type II foam, 35 psi, with sizes read to half a millimetre:

    >>> inch = 0.0254
    >>> strip = Strip(Input(10 * inch, 1e-3), Input(3 * inch, 0.3e-3), Input(inch, 0.3e-3))
    >>> load = proof_load(strip, Input(35 * 6894.757, 0))
    >>> round(load.mass_kg / 0.45359237, 3), round(load.u_mass_kg / load.mass_kg, 3)
    (7.000, 0.024)
    """
    require_at_least(0, limit=limit.value)

    def force(x: NDArray[np.float64]) -> NDArray[np.float64]:
        span, width, depth, stress = x
        return np.asarray(2 * stress * width * depth**2 / (3 * span))

    found = propagate(force, (*strip.sizes, limit))
    mass, u = found.value / _GRAVITY, found.u / _GRAVITY
    return ProofLoad(found.value, found.u, mass, u, mass + _SURE * u)


def doubts(strip: Strip) -> tuple[str, ...]:
    """Say what speaks against taking a strip for a beam on two supports.

    Parameters
    ----------
    strip : Strip
        Span, width and depth.

    Returns
    -------
    doubts : tuple of str
        A sentence for each; none of a usual strip.

    Notes
    -----
    What is outside these bounds can be bent, but beam theory does not say what it carries.

    References
    ----------
    .. [1] Span of 5 to 20 thicknesses, width from half the thickness to the span. [common practice,
       no source]

    Examples
    --------
    A block of foam rather than a strip:

    >>> inch = 0.0254
    >>> doubts(Strip(Input(2 * inch, 0), Input(3 * inch, 0), Input(4 * inch, 0)))[0]
    'The span is 0.5 times the thickness; of a strip that bends it is 5 to 20 times.'
    """
    span, width, depth = (one.value for one in strip.sizes)
    low, high = _SPANS
    found = []
    if not low <= span / depth <= high:
        ratio = f"{span / depth:.2g} times the thickness"
        found.append(f"The span is {ratio}; of a strip that bends it is {low:g} to {high:g} times.")
    if width > span:
        found.append("It is wider than its span: a plate, and no strip.")
    if width < _NARROWEST * depth:
        found.append("It is narrower than half its thickness: it would tip over.")
    return tuple(found)


def carried(strip: Strip, mass: Input, limit_pa: float | None = None) -> Carried:
    r"""Work out the stress that a strip carried, or broke at, from the mass that hung on it.

    .. math:: S = \frac{3 m g L}{2 b d^2}

    Parameters
    ----------
    strip : Strip
        Span, width and depth, each with its standard uncertainty.
    mass : Input
        The mass m at its centre, in kg.
    limit_pa : float, optional
        The flexural strength that governs, to hold it against. [Pa]

    Returns
    -------
    carried : Carried
        Stress, its uncertainty, its share of the limit, and the caution.

    Raises
    ------
    OutOfRange
        If a size is not above 0, the mass is below 0, or the limit is not above 0.

    References
    ----------
    .. [1] ASTM C203, method I. [from memory]

    Examples
    --------
    A good strip breaks at some 12.5 lb: 62.5 psi.

    >>> inch = 0.0254
    >>> strip = Strip(Input(10 * inch, 1e-3), Input(3 * inch, 0.3e-3), Input(inch, 0.3e-3))
    >>> broke = carried(strip, Input(12.5 * 0.45359237, 0.005), limit_pa=35 * 6894.757)
    >>> round(broke.stress_pa / 6894.757, 2), round(broke.share, 3)
    (62.50, 1.786)
    """
    require_at_least(0, mass=mass.value)

    def stress(x: NDArray[np.float64]) -> NDArray[np.float64]:
        span, width, depth, hung = x
        return np.asarray(3 * hung * _GRAVITY * span / (2 * width * depth**2))

    found = propagate(stress, (*strip.sizes, mass))
    if limit_pa is not None:
        require_at_least(0, strict=True, limit_pa=limit_pa)
    return Carried(found.value, found.u, None if limit_pa is None else found.value / limit_pa)
