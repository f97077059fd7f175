"""Least squares of a polynomial in whole numbers: no digit is lost, however alike the powers are.

Read :func:`solve` first. Every floating-point number is a whole number over a power of two, so
the normal equations can be set up and solved as they stand, and rounded once at the end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

__all__ = ["Solution", "solve"]


@dataclass(frozen=True, slots=True)
class Solution:
    """Coefficients from the constant up, their variances in units of the scatter, the sums."""

    coefficients: NDArray[np.float64]
    variances: NDArray[np.float64]
    """Diagonal of the inverse of the normal equations."""
    residual: float
    """Sum of squares about the curve."""
    total: float
    """Sum of squares about the mean."""


def solve(x: NDArray[np.float64], y: NDArray[np.float64], degree: int) -> Solution:
    r"""Least-squares polynomial, each figure rounded once.

    .. math::
        \sum_k S_{j+k} b_k = P_j, \qquad S_j = \sum_i x_i^j, \quad P_j = \sum_i x_i^j y_i

    Parameters
    ----------
    x : ndarray, shape (n,)
        Where; at more different places than the degree, in any unit. [1]
    y : ndarray, shape (n,)
        What was found there, in any unit. [1]
    degree : int
        Highest power. [1]

    Returns
    -------
    solution : Solution
        In the units of x and y.

    References
    ----------
    .. [1] C. F. Gauss, "Theoria combinationis observationum erroribus minimis obnoxiae", 1823:
       the normal equations. [common practice, no source]

    Examples
    --------
    >>> solve(np.array([0.0, 1.0, 2.0]), np.array([1.0, 3.0, 5.0]), 1).coefficients.tolist()
    [1.0, 2.0]
    """
    xs, x_shift = _whole(x)
    ys, y_shift = _whole(y)
    sums, products, powers = [], [], [1] * len(xs)
    for k in range(2 * degree + 1):
        sums.append(sum(powers))
        if k <= degree:
            products.append(sum(p * v for p, v in zip(powers, ys, strict=True)))
        powers = [p * v for p, v in zip(powers, xs, strict=True)]
    size = degree + 1
    matrix = [[Fraction(sums[j + k]) for k in range(size)] for j in range(size)]
    inverse = _inverse(matrix)
    found = [
        sum((a * b for a, b in zip(row, products, strict=True)), Fraction()) for row in inverse
    ]
    squares = sum(v * v for v in ys)
    residual = squares - sum((b * p for b, p in zip(found, products, strict=True)), Fraction())
    total = squares - Fraction(products[0] ** 2, len(xs))
    one = Fraction(1, 2**y_shift)
    units = [Fraction(2 ** (x_shift * k)) for k in range(size)]
    return Solution(
        np.array([float(b * unit * one) for b, unit in zip(found, units, strict=True)]),
        np.array([float(inverse[k][k] * units[k] ** 2) for k in range(size)]),
        float(residual * one * one),
        float(total * one * one),
    )


def _whole(values: NDArray[np.float64]) -> tuple[list[int], int]:
    """Values as whole numbers of one power of two, and its exponent turned round."""
    ratios = [value.as_integer_ratio() for value in values.tolist()]
    shift = max(down.bit_length() - 1 for _, down in ratios)
    return [up * 2**shift // down for up, down in ratios], shift


def _inverse(matrix: Sequence[Sequence[Fraction]]) -> list[list[Fraction]]:
    """Inverse of a positive definite matrix, by elimination; the pivots are never 0."""
    size = len(matrix)
    rows = [[*row, *(Fraction(int(i == j)) for j in range(size))] for i, row in enumerate(matrix)]
    for i in range(size):
        pivot = rows[i][i]
        rows[i] = [value / pivot for value in rows[i]]
        for j in range(size):
            if j != i and rows[j][i]:
                factor = rows[j][i]
                rows[j] = [a - factor * b for a, b in zip(rows[j], rows[i], strict=True)]
    return [row[size:] for row in rows]
