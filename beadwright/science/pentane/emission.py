"""What beads give off over time, in their silo and in the fresh block.

Read first: :func:`emission`. Beads in one silo that were filled at several times, or are drawn at
several times, are several rows of :class:`Beads`: emission is proportional to mass.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.ageing.sphere import sphere_uptake
from beadwright.science.pentane.basis import PerDryPolymer
from beadwright.science.trust import Banded, Parameter, Trust, stands

__all__ = [
    "BLOCK_BEAD_RADIUS",
    "Beads",
    "board_lag",
    "content_left",
    "emission",
    "emission_rate",
]

BLOCK_BEAD_RADIUS = Parameter(
    "a", 1.8e-3, 1.4e-3, 2.3e-3, "m", "common practice, no source: a bead as it lies in a block",
    memory=True,
)  # fmt: skip
_BOARD = Parameter(
    "D_board", 1e-7, 5e-8, 2e-7, "m^2/s",
    "argon through moulded board, air paths between beads: Dunne et al., AIChE 2008, P142524",
)  # fmt: skip
_GRID = 25


@dataclass(frozen=True, slots=True, eq=False)
class Beads:
    """Beads that began to give off pentane together: kg, s, m, m²/s; shapes broadcast to one.

    ``content`` is what they held when they began (``begun_s``: filled, or demoulded), on dry
    polymer; ``gone_s`` is when they left, never where it is not given. Times count from anywhere.
    ``diffusivity_m2_s`` is at the beads' own temperature (the core of a silo stays hot for a day):
    see ``pentane_diffusivity`` of :mod:`beadwright.science.ageing`.
    """

    dry_polymer_kg: ArrayLike
    content: PerDryPolymer
    begun_s: ArrayLike
    radius_m: ArrayLike
    diffusivity_m2_s: ArrayLike
    gone_s: ArrayLike = np.inf


@stands(
    Trust.ESTIMATE,
    formula="E = m c0 [M(D t2 / a²) - M(D t1 / a²)]",
    source="J. Crank, The Mathematics of Diffusion, 2nd ed., equations 6.20 and 6.22",
    cause="pentane's diffusivity in a bead is known to a factor of seven; beads are of all sizes",
    narrowed_by="weighings of a mesh sample of the plant's own beads at 1, 4, 8, 24 and 48 h",
)
def emission(beads: Beads, edges_s: ArrayLike) -> NDArray[np.float64]:
    r"""Pentane given off by each parcel of beads in each interval of time.

    .. math:: E = m c_0 \left[M\!\left(\frac{D (t_2 - t_0)}{a^2}\right)
                            - M\!\left(\frac{D (t_1 - t_0)}{a^2}\right)\right]

    Parameters
    ----------
    beads : Beads, shape (...)
        Masses >= 0, content on dry polymer, radii and diffusivities > 0, times. [kg, m, m^2/s, s]
    edges_s : array_like, shape (n + 1,)
        Ends of the intervals, growing, at least two; on the clock of the beads. [s]

    Returns
    -------
    given_off_kg : ndarray, shape (..., n)
        In each interval, nothing before the beads began and after they left. Over the interval's
        length it is the mean rate: size on the first hour, which gives off most. [kg]

    Raises
    ------
    OutOfRange
        If a number is outside its range, the content is not PerDryPolymer, beads left before
        they began, or the edges do not grow.

    Notes
    -----
    The surface is taken as free of pentane: air that does not move holds pentane back, so this
    is the upper side of what a closed bag gives off. Within an interval the rate falls as one
    over the root of time: intervals of an hour hide a first minute eight times as strong.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., 1975, equations 6.20 and 6.22.
       [from memory]

    Examples
    --------
    880 kg of 3 mm beads with 5 % of pentane, filled together: first, sixth and 24th hour.

    >>> store = Beads(836.0, PerDryPolymer.of(0.05 / 0.95), 0.0, 1.5e-3, 2.3e-13)
    >>> emission(store, np.arange(25) * 3600.0)[[0, 5, 23]].round(2).tolist()
    [2.81, 0.56, 0.25]
    """
    mass, start, begun, radius, speed, gone = _rows(beads)
    (edges,) = require_arrays(edges_s=edges_s)
    _require_edges(edges)
    at = np.clip(edges, begun[..., None], gone[..., None]) - begun[..., None]
    taken = sphere_uptake((speed / radius**2)[..., None] * at)
    return np.asarray((mass * start)[..., None] * np.diff(taken, axis=-1))


@stands(
    Trust.ESTIMATE,
    formula="mean rate of all beads; band over diffusivities a common factor apart",
    source="J. Crank, The Mathematics of Diffusion, 2nd ed., equations 6.20 and 6.22",
    cause="pentane's diffusivity in a bead is known to a factor of seven; beads are of all sizes",
    narrowed_by="weighings of a mesh sample of the plant's own beads at 1, 4, 8, 24 and 48 h",
)
def emission_rate(beads: Beads, edges_s: ArrayLike, factor: float = 7.2) -> Banded:
    """Pentane given off by all beads together: the mean over each interval, with its band.

    Faster diffusion gives off more at first and less later, so that the band's ends are sought
    among diffusivities between, not at the two extremes alone.

    Parameters
    ----------
    beads : Beads, shape (...)
        As for :func:`emission`. [kg, m, m^2/s, s]
    edges_s : array_like, shape (n + 1,)
        Ends of the intervals, growing, at least two. [s]
    factor : float, optional
        By which all diffusivities may be off together, 1 to 100; the default is what nine in ten
        lie within before a sample was weighed. [1]

    Returns
    -------
    rate_kg_s : Banded, shape (n,)
        Mean rate of each interval, and the ends of its band. [kg/s]

    Raises
    ------
    OutOfRange
        As for :func:`emission`, and if the factor is outside 1 to 100.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., 1975, equations 6.20 and 6.22.
       [from memory]

    Examples
    --------
    The first hour of the same store, in kg/h, is known to a factor of some 2.6:

    >>> store = Beads(836.0, PerDryPolymer.of(0.05 / 0.95), 0.0, 1.5e-3, 2.3e-13)
    >>> rate = emission_rate(store, [0.0, 3600.0])
    >>> [round(3600 * float(it[0]), 2) for it in (rate.low, rate.value, rate.high)]
    [1.06, 2.81, 7.32]
    """
    require_between(1, 100, factor=factor)
    (edges,) = require_arrays(edges_s=edges_s)
    _require_edges(edges)
    (speed,) = require_arrays(diffusivity_m2_s=beads.diffusivity_m2_s)

    def total(times: float) -> NDArray[np.float64]:
        changed = Beads(
            beads.dry_polymer_kg,
            beads.content,
            beads.begun_s,
            beads.radius_m,
            speed * times,
            beads.gone_s,
        )
        each = emission(changed, edges)
        return np.asarray(each.reshape(-1, edges.size - 1).sum(axis=0) / np.diff(edges))

    curves = np.stack([total(float(it)) for it in np.geomspace(1 / factor, factor, _GRID)])
    return Banded.of(total(1.0), curves.min(axis=0), curves.max(axis=0))


@stands(
    Trust.ESTIMATE,
    formula="c = c0 [1 - M(D t / a²)]",
    source="J. Crank, The Mathematics of Diffusion, 2nd ed., equations 6.20 and 6.22",
    cause="pentane's diffusivity in a bead is known to a factor of seven; beads are of all sizes",
    narrowed_by="pentane assays of the plant's own beads or blocks at known ages",
)
def content_left(
    content: PerDryPolymer,
    age_s: ArrayLike,
    radius_m: ArrayLike,
    diffusivity_m2_s: ArrayLike,
) -> PerDryPolymer:
    r"""Pentane that beads still hold after a time, in a silo or in a block since demoulding.

    .. math:: c = c_0 \left[1 - M\!\left(\frac{D t}{a^2}\right)\right]

    Parameters
    ----------
    content : PerDryPolymer, shape (...)
        At the beginning, on dry polymer. [kg/kg]
    age_s : array_like, shape (...)
        Time since, >= 0. [s]
    radius_m : array_like, shape (...)
        Of the bead, > 0; in a block see :data:`BLOCK_BEAD_RADIUS`. [m]
    diffusivity_m2_s : array_like, shape (...)
        At the beads' temperature, > 0. [m^2/s]

    Returns
    -------
    content : PerDryPolymer, shape (...)
        What is left, the start's uncertainty scaled along. [kg/kg]

    Raises
    ------
    OutOfRange
        If a number is outside its range, or the content is not PerDryPolymer.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., 1975, equations 6.20 and 6.22.
       [from memory]

    Examples
    --------
    Panels demoulded with 2.5 % hold, after 1, 7, 28 and 84 days:

    >>> days = np.array([1, 7, 28, 84]) * 86400.0
    >>> left = content_left(PerDryPolymer.of(0.025), days, 1.8e-3, 2.3e-13)
    >>> (100 * left.kg_kg).round(2).tolist()
    [1.9, 1.07, 0.28, 0.01]
    """
    PerDryPolymer.required("content", content)
    start, age, radius, speed = require_arrays(
        content=content.kg_kg, age_s=age_s, radius_m=radius_m, diffusivity_m2_s=diffusivity_m2_s
    )
    require_at_least(0, age_s=age)
    require_at_least(0, strict=True, radius_m=radius, diffusivity_m2_s=speed)
    left = 1 - sphere_uptake(speed * age / radius**2)
    return PerDryPolymer.of(start * left, content.u_kg_kg * left)


@stands(
    Trust.ESTIMATE,
    formula="t = l² / (pi² D)",
    source="J. Crank, The Mathematics of Diffusion, 2nd ed., plane sheet, slowest term",
    cause="one measured board, of another gas",
    narrowed_by="emission of one fresh block against time",
)
def board_lag(thickness_m: ArrayLike) -> Banded:
    r"""Time by which the air paths of a panel delay what its beads give off.

    .. math:: t = \frac{\ell^2}{\pi^2 D}

    It is about an hour, against the beads' weeks: a fresh panel gives off what its beads do, and
    the emission of its blocks is that of :func:`emission` from demoulding on.

    Parameters
    ----------
    thickness_m : array_like, shape (...)
        Of the panel, open on both faces, > 0. [m]

    Returns
    -------
    lag_s : Banded, shape (...)
        Time constant of the slowest term, and its band. [s]

    Raises
    ------
    OutOfRange
        If a thickness is not a finite number above 0.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., 1975, plane sheet. [from memory]
    .. [2] Dunne et al., AIChE annual meeting 2008, P142524: about 1e-7 m²/s in moulded board.
       [read in: a second source that cites it]

    Examples
    --------
    A panel of 2 5/8 in, in hours:

    >>> float(board_lag(2.625 * 0.0254).value / 3600)
    1.25
    """
    (thickness,) = require_arrays(thickness_m=thickness_m)
    require_at_least(0, strict=True, thickness_m=thickness)
    slow, middle, fast = (
        thickness**2 / (np.pi**2 * it) for it in (_BOARD.low, _BOARD.value, _BOARD.high)
    )
    return Banded.of(middle, slow, fast)


def _rows(beads: Beads) -> tuple[NDArray[np.float64], ...]:
    PerDryPolymer.required("content", beads.content)
    rows = require_arrays(
        dry_polymer_kg=beads.dry_polymer_kg,
        content=beads.content.kg_kg,
        begun_s=beads.begun_s,
        radius_m=beads.radius_m,
        diffusivity_m2_s=beads.diffusivity_m2_s,
        gone_s=beads.gone_s,
    )
    require_at_least(0, dry_polymer_kg=rows[0])
    require_between(-1e15, 1e15, begun_s=rows[2])
    require_at_least(0, strict=True, radius_m=rows[3], diffusivity_m2_s=rows[4])
    mass, start, begun, radius, speed, gone = np.broadcast_arrays(*rows)
    late = gone >= begun
    if not late.all():
        name, at = "gone_s", tuple(int(i) for i in np.argwhere(~late)[0])
        raise OutOfRange(name, float(gone[at]), index=at, valid="not before begun_s")
    return mass, start, begun, radius, speed, gone


def _require_edges(edges: NDArray[np.float64]) -> None:
    if edges.ndim != 1 or edges.size < 2:  # noqa: PLR2004 - two edges make an interval
        name = "edges_s"
        raise OutOfRange(name, f"of shape {edges.shape}", valid="one row of at least two times")
    require_between(-1e15, 1e15, edges_s=edges)
    grows = np.diff(edges) > 0
    if not grows.all():
        name, at = "edges_s", int(np.argmin(grows)) + 1
        raise OutOfRange(name, float(edges[at]), index=(at,), valid="above the time before it")
