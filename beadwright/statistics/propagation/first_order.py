"""The law of propagation of uncertainty.

Read :func:`propagate` first.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri, stdtrit

from beadwright.errors import require_between
from beadwright.statistics.propagation.inputs import Input, Model, correlations, evaluate
from beadwright.statistics.requirements import refuse

__all__ = ["Propagated", "correlated", "propagate"]

_STEP = 0.01
"""Step of a first derivative in standard uncertainties: the fifth derivative is left out."""
_WIDE_STEP = 0.1
"""Step of second and third derivatives: the differences of differences need more room."""


@dataclass(frozen=True, slots=True)
class Propagated:
    """A result with its uncertainty, and what each input has to do with it."""

    value: float
    u: float
    dof: float | None
    """Effective degrees of freedom; None where inputs of few readings go together."""
    sensitivities: NDArray[np.float64]
    """Change of the result by one unit of each input."""
    contributions: NDArray[np.float64]
    """Each input's own share of u, as a standard uncertainty of the result, with its sign."""
    correlation: NDArray[np.float64]
    """Of the inputs."""

    def expanded(self, probability: float = 0.95) -> float:
        """Half the width of the interval with this coverage; degrees of freedom rounded down."""
        require_between(0, 1, strict=True, probability=probability)
        if self.dof is None:
            refuse("dof", None, "known; draw numbers instead: simulate()")
        if self.dof < 1:
            refuse("dof", self.dof, "at least 1; draw numbers instead: simulate()")
        upper = (1 + probability) / 2
        known = math.isinf(self.dof)
        return self.u * float(ndtri(upper) if known else stdtrit(math.floor(self.dof), upper))


def propagate(
    model: Model,
    inputs: Sequence[Input],
    correlation: ArrayLike | None = None,
    *,
    order: int = 1,
) -> Propagated:
    r"""Combined standard uncertainty of a result, to first order or with second-order terms.

    .. math::
        u_c^2 = \sum_i \sum_j c_i c_j r_{ij} u_i u_j, \quad c_i = \frac{\partial f}{\partial x_i},
        \qquad \nu = \frac{u_c^4}{\sum_i (c_i u_i)^4 / \nu_i}

    and to second order, of inputs that do not go together,

    .. math::
        u_c^2 \mathrel{+}= \sum_i \sum_j \left( \tfrac12 f_{ij}^2 + f_i f_{ijj} \right)
        u_i^2 u_j^2

    Parameters
    ----------
    model : Model
        From inputs, shape (n, cases), to results, shape (cases,).
    inputs : sequence of Input
        What it is worked out from, in the order of the model's rows.
    correlation : array_like, shape (n, n), optional
        Correlation coefficients of the inputs. [1]
    order : int, optional
        1, or 2 where the model bends within the uncertainty of an input. [1]

    Returns
    -------
    result : Propagated
        In the unit that the model gives.

    Raises
    ------
    OutOfRange
        If there is no input, the correlation cannot be, the model gives no finite number, or the
        order is neither 1 nor 2, or 2 of inputs that go together.

    Notes
    -----
    Derivatives are taken numerically, within a few hundredths of a standard uncertainty. Where an
    input's spread is not small beside its value, or the result can only be positive and is near
    0, draw numbers instead and compare: :func:`first_order_holds`.

    References
    ----------
    .. [1] JCGM 100:2008, "Guide to the expression of uncertainty in measurement", equations 10
       and 13, note to 5.1.2 (second order), G.2b (degrees of freedom). [from memory]

    Examples
    --------
    Thermal resistance of 50 mm, u = 0.5 mm, at 0.035 W/(m K), u = 0.0003 W/(m K):

    >>> result = propagate(lambda x: x[0] / x[1], [Input(0.050, 0.0005), Input(0.035, 0.0003)])
    >>> (round(result.value, 4), round(result.u, 4))
    (1.4286, 0.0188)
    """
    related = correlations(inputs, correlation)
    estimates = np.array([one.value for one in inputs])
    spread = np.array([one.u for one in inputs])
    value = float(evaluate(model, estimates[:, None])[0])
    slopes = _slopes(model, estimates, spread)
    own = slopes * spread
    variance = float(own @ related @ own)
    apart = bool(np.array_equal(related, np.eye(len(inputs))))
    if order == 2:  # noqa: PLR2004 - the second order
        if not apart:
            refuse("order", order, "1 where inputs go together")
        variance += _second_order(model, estimates, spread, own)
    elif order != 1:
        refuse("order", order, "1 or 2")
    u = math.sqrt(max(variance, 0.0))
    dof = _effective_freedom(u, own, inputs, related)
    return Propagated(value, u, dof, slopes, own, related)


def correlated(one: Propagated, other: Propagated) -> float:
    r"""Correlation coefficient of two results worked out from the same inputs.

    .. math::
        r(y, z) = \frac{\sum_i \sum_j c_i d_j r_{ij} u_i u_j}{u(y) u(z)}

    Parameters
    ----------
    one : Propagated
        A result.
    other : Propagated
        Another result, of the same inputs in the same order.

    Returns
    -------
    coefficient : float
        From -1 to 1. [1]

    Raises
    ------
    OutOfRange
        If the two are not of the same inputs, or one of them is exact.

    References
    ----------
    .. [1] JCGM 100:2008, H.2.3, equation H.9. [from memory]

    Examples
    --------
    >>> inputs = [Input(1.0, 0.1), Input(2.0, 0.1)]
    >>> sum_of = propagate(lambda x: x[0] + x[1], inputs)
    >>> correlated(sum_of, propagate(lambda x: x[0], inputs))
    0.7071
    """
    if not np.array_equal(one.correlation, other.correlation):
        refuse("other", "of other inputs", "of the same inputs")
    if one.u == 0 or other.u == 0:
        refuse("one" if one.u == 0 else "other", "exact", "of a standard uncertainty above 0")
    joint = one.contributions @ one.correlation @ other.contributions
    return float(joint) / (one.u * other.u)


def _slopes(
    model: Model, estimates: NDArray[np.float64], spread: NDArray[np.float64]
) -> NDArray[np.float64]:
    """First derivatives by the five-point rule."""
    exact = np.maximum(np.abs(estimates) * 1e-3, 1e-6)
    step = np.where(spread > 0, _STEP * spread, exact)
    cases = np.concatenate([estimates[:, None] + k * np.diag(step) for k in (-2, -1, 1, 2)], axis=1)
    far_below, below, above, far_above = evaluate(model, cases).reshape(4, -1)
    return np.asarray((8 * (above - below) - (far_above - far_below)) / (12 * step))


def _second_order(
    model: Model,
    estimates: NDArray[np.float64],
    spread: NDArray[np.float64],
    own: NDArray[np.float64],
) -> float:
    """What second and third derivatives add to the variance."""
    moves = _WIDE_STEP * np.diag(spread)

    def at(i: int, j: int, steps: Sequence[tuple[int, int]]) -> NDArray[np.float64]:
        cases = [estimates + a * moves[i] + b * moves[j] for a, b in steps]
        return evaluate(model, np.array(cases).T)

    total = 0.0
    for i in range(len(own)):
        for j in range(len(own)):
            if i == j:
                f = at(i, i, [(-2, 0), (-1, 0), (0, 0), (1, 0), (2, 0)])
                bend = f[1] - 2 * f[2] + f[3]
                twist = f[4] - 2 * f[3] + 2 * f[1] - f[0]
            else:
                f = at(i, j, [(1, 1), (1, 0), (1, -1), (-1, 1), (-1, 0), (-1, -1)])
                bend = (f[0] - f[2] - f[3] + f[5]) / 4
                twist = f[0] - 2 * f[1] + f[2] - f[3] + 2 * f[4] - f[5]
            second, third = bend / _WIDE_STEP**2, twist / (2 * _WIDE_STEP**3)
            total += float(second**2 / 2 + own[i] * third)
    return total


def _effective_freedom(
    u: float, own: NDArray[np.float64], inputs: Sequence[Input], related: NDArray[np.float64]
) -> float | None:
    """By Welch and Satterthwaite; None where they do not say."""
    together = (np.abs(related) > 0).sum(axis=1) > 1
    few = np.array([math.isfinite(one.dof) for one in inputs]) & (own != 0)
    if (together & few).any():
        return None
    total = sum(float(c) ** 4 / one.dof for c, one in zip(own, inputs, strict=True))
    return u**4 / total if total > 0 else math.inf
