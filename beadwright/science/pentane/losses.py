"""What each stage of the plant loses, and what of it leaves the plant.

Read first: :func:`stage_losses`. A single stage is poorly known from two assays: a tenth of a per
cent in either is a sixth of its loss.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.pentane.basis import PerDryPolymer
from beadwright.science.trust import Trust, stands

__all__ = [
    "RULE_CAPTURED",
    "RULE_DESTROYED",
    "RULE_PER_HUNDRED",
    "RULE_SOURCE",
    "StageLosses",
    "emitted_share",
    "per_hundred_raw",
    "stage_losses",
]

RULE_PER_HUNDRED = 2.4
RULE_CAPTURED, RULE_DESTROYED = 0.90, 0.95
RULE_SOURCE = (
    "South Coast Air Quality Management District Rule 1175: all steps and up to 48 h of storage"
    " of the product; collect at least 90 % by weight and destroy at least 95 % of that (text of"
    " 13 May 1994), or emit at most 2.4 lb per 100 lb of raw material (as amended; the unit from"
    " memory). One district's rule: local code and permit govern"
)


@dataclass(frozen=True, slots=True)
class StageLosses:
    """Pentane lost in each stage, kg; covariance in kg², because neighbours share an assay."""

    loss_kg: NDArray[np.float64]
    u_kg: NDArray[np.float64]
    covariance_kg2: NDArray[np.float64]
    total_kg: float
    u_total_kg: float


@stands(
    Trust.EXACT,
    formula="L_k = m (c_(k-1) - c_k); cov = J U J^T",
    source="mass balance on dry polymer; JCGM 100:2008, 5.2",
)
def stage_losses(
    dry_polymer_kg: float, contents: PerDryPolymer, u_dry_polymer_kg: float = 0.0
) -> StageLosses:
    r"""Pentane lost between assays taken one after another along the plant.

    .. math:: L_k = m (c_{k-1} - c_k), \qquad
              u^2(L_k) = m^2 [u^2(c_{k-1}) + u^2(c_k)] + (c_{k-1} - c_k)^2 u^2(m)

    Parameters
    ----------
    dry_polymer_kg : float
        Polymer that passed, > 0; it is the same in every stage. [kg]
    contents : PerDryPolymer, shape (n + 1,)
        Content at each point, first to last, at least two; on dry polymer. [kg/kg]
    u_dry_polymer_kg : float, optional
        Standard uncertainty of the polymer, >= 0. [kg]

    Returns
    -------
    losses : StageLosses, shape (n,)
        Loss of each stage, uncertainty, covariance of all, and the total. A loss below 0 is
        given as it comes out: an assay is wrong, or the beads were not the same. [kg]

    Raises
    ------
    OutOfRange
        If the contents are not PerDryPolymer in one row of at least two, or a mass is not
        above 0.

    Notes
    -----
    The uncertainty of the total is that of the two ends alone, far below the root of the sum of
    squares of the stages: what an assay in the middle takes from one stage it gives to the next.

    References
    ----------
    .. [1] Mass balance; JCGM 100:2008, "Guide to the expression of uncertainty in measurement",
       5.2. [from memory]

    Examples
    --------
    A tonne of beads of 6.0 %, of which 3.7 % are left: 23.88 kg, with 0.15 points an assay.

    >>> from beadwright.science.pentane.basis import PerWetBead, per_dry_polymer
    >>> found = stage_losses(940.0, per_dry_polymer(PerWetBead.of([0.060, 0.037], 0.0015)))
    >>> found.loss_kg.round(2).tolist(), found.u_kg.round(1).tolist()
    ([23.88], [2.2])
    """
    PerDryPolymer.required("contents", contents)
    require_at_least(0, strict=True, dry_polymer_kg=dry_polymer_kg)
    require_at_least(0, u_dry_polymer_kg=u_dry_polymer_kg)
    points, spread = contents.kg_kg, contents.u_kg_kg
    if points.ndim != 1 or points.size < 2:  # noqa: PLR2004 - two points make a stage
        name, remedy = "contents", "of one row with at least two points"
        raise OutOfRange(name, f"of shape {points.shape}", valid=remedy)
    falls = -np.diff(points)
    change = np.eye(points.size - 1, points.size) - np.eye(points.size - 1, points.size, 1)
    covariance = dry_polymer_kg**2 * change @ np.diag(spread**2) @ change.T
    covariance += np.outer(falls, falls) * u_dry_polymer_kg**2
    losses = dry_polymer_kg * falls
    return StageLosses(
        losses,
        np.sqrt(np.diag(covariance)),
        covariance,
        float(losses.sum()),
        float(np.sqrt(covariance.sum())),
    )


@stands(
    Trust.EXACT,
    formula="1 - captured x destroyed",
    source=RULE_SOURCE,
)
def emitted_share(
    captured: ArrayLike = RULE_CAPTURED, destroyed: ArrayLike = RULE_DESTROYED
) -> NDArray[np.float64]:
    """Share of the pentane given off that leaves the plant after collection and a control device.

    Parameters
    ----------
    captured : array_like, shape (...), optional
        Share that is collected, 0 to 1; 0.90 is the least that the rule asks. [1]
    destroyed : array_like, shape (...), optional
        Share of it that the device destroys, 0 to 1; 0.95 is the least that the rule asks. [1]

    Returns
    -------
    share : ndarray, shape (...)
        Not collected, or collected and not destroyed; the inputs broadcast. [1]

    Raises
    ------
    OutOfRange
        If a share is outside 0 to 1.

    References
    ----------
    .. [1] South Coast Air Quality Management District, Rule 1175, (b)(1), text of 13 May 1994.
       [read in: a second source that cites it]

    Examples
    --------
    >>> float(1 - emitted_share(0.90, 0.95))
    0.855
    """
    first, second = require_arrays(captured=captured, destroyed=destroyed)
    require_between(0, 1, captured=first, destroyed=second)
    return np.asarray(1 - first * second)


@stands(Trust.EXACT, formula="100 E / R", source=RULE_SOURCE)
def per_hundred_raw(emitted_kg: ArrayLike, raw_kg: ArrayLike) -> NDArray[np.float64]:
    """Pentane emitted per hundred of raw material, the figure that rules are written in.

    Parameters
    ----------
    emitted_kg : array_like, shape (...)
        Pentane that left the plant, with storage of the product up to 48 h, >= 0. [kg]
    raw_kg : array_like, shape (...)
        Raw beads used, with their pentane, > 0. [kg]

    Returns
    -------
    figure : ndarray, shape (...)
        Pounds per 100 lb, or kg per 100 kg, to be compared with 2.4; inputs broadcast. [1]

    Raises
    ------
    OutOfRange
        If a mass is negative or not finite, or no raw material was used.

    References
    ----------
    .. [1] South Coast Air Quality Management District, board letter of 5 November 2010, item 38:
       "limiting emissions to 2.4 p…" (cut off); [read in: the source]; the unit, lb per 100 lb of
       raw material [from memory].

    Examples
    --------
    Of a tonne of beads 39.8 kg are lost by 48 h; uncontrolled, and at the least control allowed:

    >>> per_hundred_raw([39.8, 39.8 * emitted_share(0.90, 0.95)], 1000.0).round(2).tolist()
    [3.98, 0.58]
    """
    emitted, raw = require_arrays(emitted_kg=emitted_kg, raw_kg=raw_kg)
    require_at_least(0, emitted_kg=emitted)
    require_at_least(0, strict=True, raw_kg=raw)
    return np.asarray(100 * emitted / raw)
