"""Hypothesis strategies of the record: choices, JSON values, orders that entries may come in.

Read :class:`Choice` first: a generated plant (``tests.ledger.history``) takes every decision from
one, so that the same code runs under Hypothesis, which shrinks, and from a seed, which is quick.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from random import Random
from typing import Any, TypeVar

from hypothesis import strategies as st

__all__ = ["Choice", "drawn", "json_values", "seeded", "texts"]

T = TypeVar("T")

_SAFE = 2**53 - 1


@dataclass(frozen=True)
class Choice:
    """Where the next decision of a generated plant comes from; the first item is the plainest."""

    whole: Callable[[int, int], int]
    """``whole(low, high)``: a whole number, both ends included."""

    def of(self, items: Sequence[T]) -> T:
        """One of several."""
        return items[self.whole(0, len(items) - 1)]

    def chance(self, one_in: int) -> bool:
        """Whether something happens that does so once in so many times."""
        return self.whole(0, one_in - 1) == one_in - 1


def drawn(data: st.DataObject) -> Choice:
    """Choices that Hypothesis makes, and makes smaller when something does not hold."""
    return Choice(lambda low, high: data.draw(st.integers(low, high)))


def seeded(seed: int) -> Choice:
    """Choices that follow from a seed."""
    return Choice(Random(seed).randint)


texts = st.text(st.characters(codec="utf-8"), max_size=12)
"""Any Unicode text: control characters, quotes, both planes."""

_names = st.text(st.characters(codec="ascii"), max_size=8)


def json_values() -> st.SearchStrategy[Any]:
    """Everything that may stand in the body of an entry: no floats, names in ASCII."""
    plain = st.none() | st.booleans() | st.integers(-_SAFE, _SAFE) | texts
    return st.recursive(
        plain,
        lambda inner: st.lists(inner, max_size=4) | st.dictionaries(_names, inner, max_size=4),
        max_leaves=20,
    )
