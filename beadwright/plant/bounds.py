"""A limit in force: a bound on one characteristic of a product, with its source.

Read :class:`LimitInForce`; :mod:`beadwright.plant.limits` finds those of a product at a time.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from beadwright.plant.decision_rule import DEFAULT, DecisionRule
from beadwright.standards import Limit
from beadwright.units import Kind

__all__ = [
    "EVIDENCE",
    "LOT_TEST",
    "OWN",
    "TYPE_TEST",
    "Bound",
    "LimitInForce",
    "Statistic",
    "covered",
    "own_words",
]

Bound = Literal["min", "max", "within"]
Statistic = Literal["each", "mean"]

LOT_TEST = "lot_test"
"""Evidence that a limit asks of every lot; other limits rest on periodic or type tests."""

TYPE_TEST = "type_test"
"""Evidence on a product's design, with a report; it asks nothing of a lot's own readings."""

EVIDENCE = (LOT_TEST, "periodic_test", "type_test")
"""What a limit or a plan may rest on."""

OWN = "the plant's own"


@dataclass(frozen=True, slots=True)
class LimitInForce:
    """A bound on one characteristic of a product, with its source."""

    name: str
    characteristic: str
    bound: Bound = "min"
    """``within``: the size of a change or deviation, of either sign."""
    statistic: Statistic = "each"
    value: Decimal = Decimal(0)
    """As written, in ``unit``."""
    unit: str = ""
    kind: Kind = "fraction"
    value_si: Decimal = Decimal(0)
    specimens: int = 1
    """Readings without which there is not enough evidence."""
    evidence: str = LOT_TEST
    source: str = ""
    standard: str = ""
    edition: str = ""
    clause: str = ""
    verified: bool | None = None
    """Whether a person has signed a printed figure; None of the plant's own limits."""
    how_read: str = ""
    printed: Limit | None = None
    unusable: str = ""
    """Why it cannot be judged; empty where it can."""
    methods: tuple[str, ...] = ()
    """Methods named with it, any of which may be used; none where nobody said."""
    verified_by: str = ""
    verified_on: str = ""
    """Day of the signature in the plant's zone, as ISO 8601 writes it."""
    superseded: str = ""
    """What took the place of its edition, in words; empty where it is the newest seen."""
    covered_by: str = ""
    """Name of a stricter limit on the same characteristic, statistic and method."""
    rule: DecisionRule = DEFAULT
    """How a result is held against it."""
    set_by: int = 0
    """The entry of the setting that states it, or names its standard; 0 where nobody knows."""
    set_how: str = ""
    """Who is named for a limit of the plant's own and how it came into the record, in words."""

    @property
    def stated(self) -> str:
        """Where it is written; of the plant's own, what its setting says and who set it."""
        return self.source if self.verified is not None else own_words(self.source, self.set_how)


def own_words(source: str, set_how: str = "") -> str:
    """Say where a limit of the plant's own comes from, and no more than the record knows.

    The source is free text: whatever it claims, who set the limit is what its entry says.

    >>> own_words("the plant's own, signed", "nobody is named, brought by import")
    "the plant's own, as its setting says: signed; nobody is named, brought by import"
    >>> own_words("")
    "the plant's own, its setting names no source"
    """
    said = source.removeprefix(OWN).lstrip(" ,;:")
    words = f"{OWN}, as its setting says: {said}" if said else f"{OWN}, its setting names no source"
    return f"{words}; {set_how}" if set_how else words


def covered(limits: Iterable[LimitInForce]) -> tuple[LimitInForce, ...]:
    """Say of each limit whether a stricter one covers it.

    Two are compared only where characteristic, bound, statistic, methods and evidence are equal,
    and methods are stated; otherwise neither covers the other, and both must be met.
    """
    found = list(limits)
    strictest: dict[object, LimitInForce] = {}
    for one in found:
        key = _compared(one)
        if key is not None:
            best = strictest.get(key)
            strictest[key] = one if best is None or _stricter(one, best) else best
    return tuple(_marked(one, strictest) for one in found)


def _compared(one: LimitInForce) -> object | None:
    if one.unusable or not one.methods:
        return None
    return one.characteristic, one.bound, one.statistic, frozenset(one.methods), one.evidence


def _stricter(one: LimitInForce, other: LimitInForce) -> bool:
    """Of two alike the one that asks for more specimens is the stricter."""
    if one.value_si == other.value_si:
        return one.specimens > other.specimens
    return (one.value_si > other.value_si) == (one.bound == "min")


def _marked(one: LimitInForce, strictest: Mapping[object, LimitInForce]) -> LimitInForce:
    best = strictest.get(_compared(one))
    same = best is None or best is one or best.specimens < one.specimens
    return one if best is None or same else replace(one, covered_by=best.name)
