"""What fasteners and ties held: the force of each, their mean, spread and least.

Read first: :func:`pulled`. A bench figure says what this tie and this screw held once, not what a
wall may be loaded with.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from beadwright.errors import require_at_least, require_enough

__all__ = ["CAUTION", "Held", "pulled"]

CAUTION = (
    "Force at failure on a bench, short and at room temperature. Not a load to design for: "
    "local code and licensed practice govern."
)


@dataclass(frozen=True, slots=True)
class Held:
    """What was held: forces in N."""

    mean_n: float
    spread_n: float | None
    """Standard deviation; None of one pull."""
    least_n: float
    weakest: str
    """The tie, or the place, that held the least."""
    number: int
    of_each_n: Mapping[str, float]
    """Mean of each tie, in the order in which they were first pulled."""


def pulled(ties: Sequence[str], force_n: Sequence[float]) -> Held:
    """Mean, spread and least of the forces at which fasteners or ties let go.

    Parameters
    ----------
    ties : sequence of str
        The tie or the place of each pull; a tie with two flanges may stand twice.
    force_n : sequence of float
        Largest force of each pull, > 0. [N]

    Returns
    -------
    held : Held
        In N.

    Raises
    ------
    OutOfRange
        If there is no pull, the two do not match, or a force is not above 0.

    Notes
    -----
    ASTM E2634 names the test; which statistic it sets, and which limit, was not read. So both the
    mean and the least are given, and a limit of the plant says which it is for.

    References
    ----------
    .. [1] ASTM D1761, fastener withdrawal, which a public sheet names for tie flanges.
       [read in: a second source that cites it]
    .. [2] Pull of a whole tie out of its panels: [common practice, no source]

    Examples
    --------
    >>> held = pulled(["T1", "T1", "T2"], [1450.0, 1390.0, 1230.0])
    >>> round(held.mean_n, 1), held.least_n, held.weakest, held.of_each_n["T1"]
    (1356.7, 1230.0, 'T2', 1420.0)
    """
    require_enough(1, "pull", force_n=len(force_n))
    require_enough(len(force_n), "names of what was pulled", ties=len(ties))
    force = np.asarray(force_n, dtype=np.float64)
    require_at_least(0, strict=True, force_n=force)
    each: dict[str, list[float]] = {}
    for tie, one in zip(ties, force.tolist(), strict=False):
        each.setdefault(tie, []).append(one)
    spread = float(np.std(force, ddof=1)) if len(force) > 1 else None
    weakest = int(np.argmin(force))
    means = {tie: float(np.mean(some)) for tie, some in each.items()}
    return Held(
        float(force.mean()), spread, float(force[weakest]), ties[weakest], len(force), means
    )
