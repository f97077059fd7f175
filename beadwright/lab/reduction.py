"""From figures that are read on a bench to a result: what a reduction is, and how it is worked out.

Read first: :class:`Reduction`, then :func:`worked_out`. The reductions themselves are rows of data:
:mod:`beadwright.lab.reductions`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import OutOfRange
from beadwright.lab.departure import Departure
from beadwright.statistics.propagation import Input, propagate
from beadwright.units import Kind

__all__ = ["Figure", "Figures", "Reduced", "Reduction", "Sort", "way_of", "worked_out"]

Sort = Literal["number", "numbers", "text"]

_K = 2.0
"""Coverage factor of the band that is shown, about 95 %: JCGM 100:2008, 6.3.3. [from memory]"""

_U_LABELS: Mapping[Kind, tuple[str, str]] = {
    "length": ("Rule or calliper: its standard uncertainty", "mm"),
    "mass": ("Balance: its standard uncertainty", "g"),
    "force": ("Load cell: its standard uncertainty", "N"),
}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure that is read: its name, what a person is asked for, kind and usual unit."""

    name: str
    label: str
    kind: Kind
    unit: str
    required: bool = True
    sort: Sort = "number"
    """``numbers``: several in one unit; ``text``: read by the reduction itself."""
    hint: str = ""
    """How a text is written."""


class Figures:
    """Figures as they were keyed, in SI, by name."""

    def __init__(self, figures: Mapping[str, float | Sequence[float] | str]) -> None:
        """Take numbers, several of one figure, or texts."""
        self._figures = dict(figures)

    def __contains__(self, name: str) -> bool:
        """Whether it was keyed."""
        return name in self._figures

    def __getitem__(self, name: str) -> float:
        """Give a figure; of several the mean."""
        return float(np.mean(self.many(name)))

    def many(self, name: str) -> tuple[float, ...]:
        """Give every number of a figure."""
        found = self._figures[name]
        if isinstance(found, str):
            raise OutOfRange(name, found, valid="a number")
        return (float(found),) if isinstance(found, int | float) else tuple(map(float, found))

    def text(self, name: str) -> str:
        """Give a figure that is a text."""
        return str(self._figures[name])

    def with_numbers(self, names: Sequence[str], values: Sequence[float]) -> Figures:
        """Give the same with other numbers of some figures, each as often as it was keyed."""
        left, changed = list(values), dict(self._figures)
        for name in names:
            number = len(self.many(name))
            changed[name], left = tuple(left[:number]), left[number:]
        return Figures(changed)


@dataclass(frozen=True, slots=True)
class Reduced:
    """A result in SI, how sure it is, and what its figures state besides."""

    value: float
    conditions: Mapping[str, float] = field(default_factory=dict)
    """Conditions of the test, in SI."""
    u: float | None = None
    """Standard uncertainty; None where nobody stated that of what was measured with."""
    low: float | None = None
    """Ends of its band, about 95 %."""
    high: float | None = None
    departures: tuple[Departure, ...] = ()
    beside: str = ""
    """What else its figures tell, in words."""


@dataclass(frozen=True, slots=True)
class Reduction:
    """One way to work a characteristic out: its figures, the unit it is told in, the sum."""

    figures: tuple[Figure, ...]
    unit: str
    formula: str
    """In one line, for whoever reads the form."""
    work: Callable[[Figures], Reduced]
    u_of: tuple[Kind, ...] = ()
    """Kinds of figures whose standard uncertainty can be stated: the result then has one."""
    together: bool = False
    """Whether lengths that one rule took are off together, which makes the result less sure."""
    way: str = ""
    """Sets it apart from the other ways of its characteristic."""

    @property
    def u_figures(self) -> tuple[Figure, ...]:
        """Give what is asked for the uncertainty."""
        return tuple(
            Figure(f"u_{kind}{self.way}", *_asked(kind), required=False) for kind in self.u_of
        )

    @property
    def asked(self) -> tuple[Figure, ...]:
        """Give every figure that is asked for."""
        return (*self.figures, *self.u_figures)


def _asked(kind: Kind) -> tuple[str, Kind, str]:
    label, unit = _U_LABELS[kind]
    return label, kind, unit


def way_of(ways: Sequence[Reduction], keyed: Sequence[str]) -> Reduction:
    """Give the way that most of the figures keyed belong to.

    Parameters
    ----------
    ways : sequence of Reduction
        Ways to work one characteristic out.
    keyed : sequence of str
        Names of the figures that were keyed.

    Returns
    -------
    way : Reduction
        The first of those that fit alike.
    """
    return max(ways, key=lambda way: sum(one.name in keyed for one in way.asked))


def worked_out(way: Reduction, keyed: Figures) -> Reduced:
    """Work a result out from its figures, with its uncertainty where that can be told.

    Parameters
    ----------
    way : Reduction
        How.
    keyed : Figures
        Every figure that it needs, in SI.

    Returns
    -------
    result : Reduced
        In SI. Where the standard uncertainty of everything that was measured with is stated, it
        has one too, to first order, and a band of twice that.

    Raises
    ------
    OutOfRange
        If a figure is missing, or cannot be: a mass, a length or a difference not above 0.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2 and, of sizes that one rule took, 5.2.2. [from memory]
    """
    for one in way.figures:
        if one.required and one.name not in keyed:
            raise OutOfRange(one.name, "missing", valid=f"stated: {one.label.lower()}")
    found = way.work(keyed)
    stated = [one for one in way.u_figures if one.name in keyed]
    if not stated:
        return found
    if len(stated) < len(way.u_of):
        lacking = next(one for one in way.u_figures if one.name not in keyed)
        said = f"no uncertainty, for one is not stated: {lacking.label.lower()}"
        return replace(found, beside="; ".join(filter(None, (found.beside, said))))
    u = _uncertainty(way, keyed)
    return replace(found, u=u, low=found.value - _K * u, high=found.value + _K * u)


def _uncertainty(way: Reduction, keyed: Figures) -> float:
    kinds = dict(zip(way.u_of, way.u_figures, strict=True))
    used = [one for one in way.figures if one.kind in kinds and one.name in keyed]
    inputs = list(_inputs(used, kinds, keyed))
    lengths = [one.kind == "length" for one in used for _ in keyed.many(one.name)]
    rows = np.array(lengths, dtype=bool)
    together = np.eye(len(inputs))
    if way.together:
        together[np.ix_(rows, rows)] = 1.0
    names = [one.name for one in used]

    def model(x: NDArray[np.float64]) -> NDArray[np.float64]:
        cases = (keyed.with_numbers(names, case.tolist()) for case in x.T)
        return np.array([way.work(case).value for case in cases])

    return propagate(model, inputs, together).u


def _inputs(
    used: Sequence[Figure], kinds: Mapping[Kind, Figure], keyed: Figures
) -> Iterator[Input]:
    for one in used:
        u = keyed[kinds[one.kind].name]
        if u <= 0:
            raise OutOfRange(kinds[one.kind].name, u, valid="above 0")
        yield from (Input(value, u) for value in keyed.many(one.name))
