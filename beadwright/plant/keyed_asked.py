"""A question as people key it, each field a text with its unit; what is wrong is said by field.

Read :class:`Keyed`. Page, shell and API read the same words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from beadwright.errors import Misuse
from beadwright.plant.products import quantity
from beadwright.units import Kind

__all__ = ["MOST_LOTS", "Keyed", "lots_said", "number_said"]

_Asked = TypeVar("_Asked")

MOST_LOTS = 60
"""Lots that are looked at in one question."""


@dataclass(frozen=True, slots=True)
class Keyed(Generic[_Asked]):
    """What was asked, as far as it could be read, and what was wrong, by word."""

    asked: _Asked
    wrong: Mapping[str, str]

    def certain(self) -> _Asked:
        """Give what was asked.

        Raises
        ------
        Misuse
            If anything of it was wrong.
        """
        if self.wrong:
            raise Misuse("; ".join(self.wrong.values()))
        return self.asked


def lots_said(lots: Sequence[str], wrong: dict[str, str]) -> tuple[str, ...]:
    """Give the codes of lots that were named, each once; too many are wrong, and none is taken."""
    codes = (one.replace("\x00", "").strip().upper() for one in lots)
    named = tuple(dict.fromkeys(filter(None, codes)))
    if len(named) <= MOST_LOTS:
        return named
    wrong["lots"] = f"lots: {len(named)} are named; at most {MOST_LOTS} are taken at once"
    return ()


def number_said(text: str, kind: Kind | None) -> float:
    """Give a number in SI; without a kind it has no unit.

    Raises
    ------
    ValueError
        If it is no number.
    UnitError
        If it has no unit of its kind.
    """
    number = text.partition(" ")[0] if kind is not None else text
    try:
        float(number)
    except ValueError:
        message = f'"{number}" is no number'
        raise ValueError(message) from None
    return float(number) if kind is None else quantity(text, kind)
