"""Our fits on the national reference data for non-linear regression, digit for digit."""

import numpy as np
import pytest
from numpy.typing import NDArray

from beadwright.science.curve_fit import Box, covariance, least_squares, noise_of

Vector = NDArray[np.float64]

MISRA1A = (
    (77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760),
    (10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47,
     81.78),
)  # fmt: skip
BOXBOD = ((1, 2, 3, 5, 7, 10), (109, 149, 149, 191, 213, 224))
CERTIFIED = {
    # b1, its standard deviation, b2, its standard deviation, residual sum of squares, starts
    "misra1a": (
        MISRA1A,
        (2.3894212918e02, 2.7070075241e00, 5.5015643181e-04, 7.2668688436e-06, 1.2455138894e-01),
        ((500.0, 1e-4), (250.0, 5e-4)),
    ),
    "boxbod": (
        BOXBOD,
        (2.1380940889e02, 1.2354515176e01, 5.4723748542e-01, 1.0455993237e-01, 1.1680088766e03),
        ((100.0, 0.75),),
    ),
}


@pytest.mark.parametrize(
    ("name", "start"), [(name, start) for name in CERTIFIED for start in CERTIFIED[name][2]]
)
def test_the_certified_fits_are_found(name: str, start: tuple[float, float]) -> None:
    """[nist-strd] Eight digits of parameters, sum of squares and standard deviations."""
    (x, y), (b1, u1, b2, u2, squares), _ = CERTIFIED[name]
    times, seen = np.array(x, dtype=float), np.array(y, dtype=float)

    def saturation(at: Vector) -> tuple[Vector, Vector]:
        left = np.exp(-at[1] * times)
        return at[0] * (1 - left), np.array([1 - left, at[0] * times * left]).T

    box = Box(np.array([0.0, 0.0]), np.array([1e9, 1e9]))
    found = least_squares(saturation, seen, start, box)
    variance, degrees = noise_of(found, None)
    u = np.sqrt(np.diagonal(covariance(found, variance, box)))

    assert degrees == len(x) - 2
    assert found.parameters == pytest.approx([b1, b2], rel=1e-8)
    assert found.sum_of_squares == pytest.approx(squares, rel=1e-9)
    assert u == pytest.approx([u1, u2], rel=1e-7)
