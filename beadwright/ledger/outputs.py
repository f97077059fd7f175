"""What came into lots that few steps touch, and what was drawn from them, as columns.

Read :class:`Fillings` and :class:`Draws`.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain, compress
from typing import ClassVar, Self

import numpy as np
from numpy.typing import NDArray

from beadwright.ledger.columns import Ints

__all__ = ["BUSY", "LAST", "OFF", "WHOLE", "Draws", "Fillings"]

BUSY, WHOLE, LAST = 0, 2, 3
"""How a lot begins with an output: not at all, for many steps touch it; with it, when there was
nothing in it; and so that no step has touched it since. Between, 1: something was in it before."""

OFF = -1
"""In place of a mass that was drawn, where the books were off."""


class _Table:
    """Columns of whole numbers, and of texts."""

    NUMBERS: ClassVar[int]
    TEXTS: ClassVar[int]

    def __init__(self, numbers: Sequence[Ints], texts: Sequence[list[str]]) -> None:
        """Take columns of one length."""
        self.numbers = numbers
        self.texts = texts

    @classmethod
    def joined(cls, some: Sequence[Self]) -> Self:
        """Give the rows of several tables as one."""
        if len(some) == 1:
            return some[0]
        none = np.zeros(0, np.int64)
        numbers = [
            np.concatenate([none, *(t.numbers[i] for t in some)]) for i in range(cls.NUMBERS)
        ]
        texts = [list(chain.from_iterable(t.texts[i] for t in some)) for i in range(cls.TEXTS)]
        return cls(numbers, texts)

    def those(self, chosen: NDArray[np.bool_]) -> Self:
        """Give some of the rows."""
        if chosen.all():
            return self
        some = chosen.tolist()
        numbers = [one[chosen] for one in self.numbers]
        return type(self)(numbers, [list(compress(text, some)) for text in self.texts])


class Draws(_Table):
    """Lines that draw on lots, and those by which a lot is not as the books had it."""

    NUMBERS, TEXTS = 3, 0

    @property
    def step(self) -> Ints:
        """The step."""
        return self.numbers[0]

    @property
    def lot(self) -> Ints:
        """The lot."""
        return self.numbers[1]

    @property
    def moved(self) -> Ints:
        """Mass that was drawn, mg; -1 where the books were off."""
        return self.numbers[2]


class Fillings(_Table):
    """Outputs of steps, with what is said of the lot that each came into."""

    NUMBERS, TEXTS = 6, 5

    @property
    def step(self) -> Ints:
        """The step."""
        return self.numbers[0]

    @property
    def line(self) -> Ints:
        """The step's line: inputs come first, then statements of stock, then outputs."""
        return self.numbers[1]

    @property
    def lot(self) -> Ints:
        """The lot."""
        return self.numbers[2]

    @property
    def out(self) -> Ints:
        """Mass that came into it, mg."""
        return self.numbers[3]

    @property
    def stock(self) -> Ints:
        """What is in the lot by the books, after all steps, mg."""
        return self.numbers[4]

    @property
    def begins(self) -> Ints:
        """How a lot begins with it: see :data:`BUSY` and those after."""
        return self.numbers[5]
