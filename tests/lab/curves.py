"""Curves with a known truth, and the plain sums that an answer is held against."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Foam", "foam_curve", "plain_reduction"]

Row = NDArray[np.float64]


@dataclass(frozen=True)
class Foam:
    """A foam's curve before toe, slack and noise: a line, then a knee into a second line."""

    modulus_pa: float = 5.0e6
    limit_pa: float = 80e3
    """Stress at which the line ends."""
    rise_pa: float = 0.6e6
    """Slope past the knee; below 0 the foam yields there."""

    @property
    def limit_strain(self) -> float:
        """Strain at which the line ends."""
        return self.limit_pa / self.modulus_pa

    def stress(self, strain: Row) -> Row:
        """Stress at true strain; 0 below 0."""
        e = np.maximum(strain, 0.0)
        past = self.limit_pa + self.rise_pa * (e - self.limit_strain)
        return np.where(e <= self.limit_strain, self.modulus_pa * e, past)

    @property
    def ten(self) -> float:
        """Stress at 10 % strain."""
        return float(self.stress(np.array([0.10]))[0])


def foam_curve(
    foam: Foam, *, rows: int = 800, end: float = 0.13, slack: float = 0.0, bend: float = 0.004
) -> tuple[Row, Row]:
    """Give recorded strain and stress: slack, a toe that bends into the line, then the foam.

    The toe is a parabola that meets the line with its slope at true strain ``bend`` / 2.
    """
    true = np.linspace(-slack - bend, end, rows)
    start = -bend / 2
    curved = foam.modulus_pa * (true - start) ** 2 / (2 * bend)
    stress = np.where(true < bend / 2, np.where(true > start, curved, 0.0), foam.stress(true))
    return np.asarray(true - true[0]), np.asarray(stress)


def plain_reduction(strain: Row, stress: Row) -> tuple[float, float, float, float | None]:
    """Modulus, toe, stress at 10 % and yield, straight from the words of the method.

    A line is fitted by polyfit to every stretch over which stress first rises by a fifth of the
    highest stress within 10 % of strain; the steepest is taken. Written for the eye, row by row.
    """
    highest = max(stress)
    while True:
        loaded = next(e for e, s in zip(strain, stress, strict=True) if s >= 0.1 * highest)
        within = [s for e, s in zip(strain, stress, strict=True) if e <= loaded + 0.10]
        if max(within) == highest:
            break
        highest = max(within)
    best = (0.0, 0.0)
    for i in range(list(stress).index(highest)):
        if stress[i] < max(stress[: i + 1]):
            continue
        j = next((k for k in range(i, len(stress)) if stress[k] >= stress[i] + 0.2 * highest), None)
        if j is None or stress[j] > highest:
            break
        j = max(j, i + 4)
        slope, intercept = np.polyfit(strain[i : j + 1], stress[i : j + 1], 1)
        best = max(best, (float(slope), float(intercept)))
    modulus, intercept = best
    toe = -intercept / modulus
    ten = float(np.interp(toe + 0.10, np.maximum.accumulate(strain), stress))
    peak = max(s for e, s in zip(strain, stress, strict=True) if e <= toe + 0.10)
    after = min(s for e, s in zip(strain, stress, strict=True) if toe + 0.10 <= e <= toe + 0.13)
    return modulus, toe, ten, float(peak) if after < 0.99 * peak else None
