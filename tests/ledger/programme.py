"""The bounds of a share as a linear programme, reckoned by HiGHS: how a record may truly have gone.

Read :func:`extremes`. A place's content is all that came in since it was swept empty, batch by
batch; a draw may take any of it, and no batch gives more than it has. In a batch the inputs of its
step lie in fixed parts; which of an input's own batches lies where is free again. So the unknowns
are masses by chain: of the batch a draw took, of the batch that one's input took, and so on. Only
for records in which nothing is stated but swept empty, and no draw passes the books.

HiGHS: Q. Huangfu, J. A. J. Hall, Mathematical Programming Computation 10 (2018), 119-142, as
`scipy.optimize.linprog` calls it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from scipy.optimize import linprog
from scipy.sparse import coo_array

from tests.ledger.genealogy import Touch

__all__ = ["Programme"]

_KG = 1_000_000


@dataclass
class _Draw:
    lot: str
    kg: float
    batches: list[int]
    """All that came in since the lot was swept empty."""


@dataclass
class _Batch:
    lot: str
    kg: float
    step: int


@dataclass
class _Step:
    draws: list[int] = field(default_factory=list)
    came: float = 0.0
    left: float = 0.0


Chain = tuple[int, ...]
"""A batch, then in turns a draw that went into its step and a batch that the draw took."""

Row = list[tuple[int, float]]
"""Unknowns with their factors."""


class Programme:
    """All that a record leaves open, with what must hold of it."""

    def __init__(self, lines: Iterable[Touch]) -> None:
        """Write down the unknowns and what binds them."""
        self._draws: list[_Draw] = []
        self._batches: list[_Batch] = []
        self._steps: dict[int, _Step] = {}
        self._read(lines)
        self._unknowns: dict[tuple[str, int, Chain], int] = {}
        self._equal: list[tuple[Row, float]] = []
        self._most: list[tuple[Row, float]] = []
        for d, draw in enumerate(self._draws):
            tops = [self._unknown("draw", d, (b,)) for b in draw.batches]
            self._equal.append(([(top, 1.0) for top in tops], draw.kg))
            for b in draw.batches:
                self._fixed_parts("draw", d, (b,))
        for b in range(len(self._batches)):
            self._made(b)
            self._given(b)

    def extremes(self, of: str, into: str) -> tuple[float, float]:
        """Give the least and the most share of a lot in all that came into another."""
        wanted: dict[int, float] = {}
        total = 0.0
        for b, batch in enumerate(self._batches):
            if batch.lot == into:
                total += batch.kg
                for unknown, factor in self._mass_of(of, b, (b,)):
                    wanted[unknown] = wanted.get(unknown, 0.0) + factor
        least, most = (sign * self._solved(wanted, sign) / total for sign in (1, -1))
        return least, most

    def _read(self, lines: Iterable[Touch]) -> None:
        there: dict[str, list[int]] = {}
        for line in lines:
            step = self._steps.setdefault(line.step, _Step())
            kg = line.mg / _KG
            if not line.sign:
                assert line.kind == "swept_empty"
                there[line.lot] = []
            elif not line.mg:
                continue
            elif line.sign < 0:
                assert not line.differ
                step.draws.append(len(self._draws))
                step.came += kg
                self._draws.append(_Draw(line.lot, kg, list(there.get(line.lot, ()))))
            else:
                step.left += kg
                there.setdefault(line.lot, []).append(len(self._batches))
                self._batches.append(_Batch(line.lot, kg, line.step))

    def _unknown(self, what: str, number: int, chain: Chain) -> int:
        return self._unknowns.setdefault((what, number, chain), len(self._unknowns))

    def _inputs(self, batch: int) -> Iterator[tuple[int, float]]:
        """Draws that went into a batch's step, each with its part of any of it."""
        step = self._steps[self._batches[batch].step]
        for d in step.draws:
            yield d, self._draws[d].kg / step.came

    def _fixed_parts(self, what: str, number: int, chain: Chain) -> None:
        """In any part of a batch its inputs lie in fixed parts, and each is of its batches."""
        whole = self._unknown(what, number, chain)
        for d, part in self._inputs(chain[-1]):
            row: Row = [(whole, -part)]
            for b in self._draws[d].batches:
                longer = (*chain, d, b)
                row.append((self._unknown(what, number, longer), 1.0))
                self._fixed_parts(what, number, longer)
            self._equal.append((row, 0.0))

    def _made(self, batch: int) -> None:
        """What a batch is made of; all batches of a step are made of no more than it took."""
        one = self._batches[batch]
        whole = self._unknown("batch", batch, (batch,))
        self._equal.append(([(whole, 1.0)], one.kg))
        self._fixed_parts("batch", batch, (batch,))
        step = self._steps[one.step]
        brothers = [b for b, other in enumerate(self._batches) if other.step == one.step]
        if batch != brothers[0]:
            return
        for d in step.draws:
            grown = max(1.0, step.left / step.came)
            for chain in self._chains(d):
                row = [(self._unknown("batch", b, (b, d, *chain)), 1.0) for b in brothers]
                self._most.append(([*row, (self._unknown("draw", d, chain), -grown)], 0.0))

    def _given(self, batch: int) -> None:
        """Of nothing in a batch is more drawn than there is."""
        drawn = [d for d, draw in enumerate(self._draws) if batch in draw.batches]
        for chain in [(batch,), *self._longer((batch,))]:
            row = [(self._unknown("draw", d, chain), 1.0) for d in drawn]
            self._most.append(([*row, (self._unknown("batch", batch, chain), -1.0)], 0.0))

    def _chains(self, draw: int) -> Iterator[Chain]:
        for b in self._draws[draw].batches:
            yield (b,)
            yield from self._longer((b,))

    def _longer(self, chain: Chain) -> Iterator[Chain]:
        for d, _ in self._inputs(chain[-1]):
            for rest in self._chains(d):
                yield (*chain, d, *rest)

    def _mass_of(self, of: str, batch: int, chain: Chain) -> Iterator[tuple[int, float]]:
        """Unknowns whose sum is the mass of a lot in a batch."""
        for d, part in self._inputs(chain[-1]):
            if self._draws[d].lot == of:
                yield self._unknown("batch", batch, chain), part
            else:
                for b in self._draws[d].batches:
                    yield from self._mass_of(of, batch, (*chain, d, b))

    def _solved(self, wanted: dict[int, float], sign: int) -> float:
        costs = [sign * wanted.get(i, 0.0) for i in range(len(self._unknowns))]
        equal, most = self._matrix(self._equal), self._matrix(self._most)
        found = linprog(
            costs, most, [b for _, b in self._most], equal, [b for _, b in self._equal],
            method="highs",
        )  # fmt: skip
        assert found.status == 0, found.message
        return float(found.fun)

    def _matrix(self, rows: list[tuple[Row, float]]) -> coo_array:
        cells = [(i, j, factor) for i, (row, _) in enumerate(rows) for j, factor in row]
        at, unknown, factor = zip(*cells, strict=True)
        return coo_array((factor, (at, unknown)), shape=(len(rows), len(self._unknowns)))
