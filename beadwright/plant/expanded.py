"""How sure a judged value is, as people read it: its expanded uncertainty.

Read :func:`expanded_in`. What is counted, tried by hand or graded has none. Where a part is not
known, as a block's density whose balance states nothing, what is known of it is a least figure.

References: JCGM 100:2008, 6.2.1 and 7.2.6, coverage factor and two figures [from memory].
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from decimal import Decimal
from typing import Literal

from beadwright.plant.calibrations import is_by_instrument
from beadwright.plant.decision_rule import is_counted
from beadwright.plant.verdicts import LimitResult
from beadwright.quality.characteristics import CHARACTERISTICS
from beadwright.units import Kind, from_si

__all__ = ["FACTOR", "HowSure", "expanded", "expanded_in", "how_sure"]

FACTOR = 2
"""Coverage factor k: some 95 % of values that scatter normally."""

_FIGURES = 2

HowSure = Literal["known", "least", "unknown", "counted"]
"""Of every part; a part is missing; nobody stated any; nothing was measured, or none is meant."""


def how_sure(one: LimitResult) -> HowSure:
    """Say how much is known of the uncertainty of what was judged."""
    name = one.limit.characteristic
    tried = name in CHARACTERISTICS and not is_by_instrument(name)
    if one.u_si is None:
        return "counted" if tried or is_counted(name) or one.value_si is None else "unknown"
    return "known" if one.u_known else "least"


def expanded(u_si: float, unit: str, kind: Kind) -> str:
    """Give the expanded uncertainty in a unit, a number of two figures."""
    number = float(from_si(Decimal(repr(FACTOR * u_si)), unit, kind))
    if not number:
        return "0"
    digits = max(0, _FIGURES - 1 - math.floor(math.log10(number)))
    return f"{number:.{digits}f}"


def expanded_in(some: Iterable[LimitResult], unit: str) -> tuple[HowSure, str]:
    """Give how sure the least sure of some results is, and its number in a unit, if there is one.

    They are of the same figure, or of the least and the largest of the same pieces.
    """
    told = list(some)
    sure = max((how_sure(one) for one in told), key=_LESS_SURE.index)
    stated = [one.u_si for one in told if one.u_si is not None]
    if not stated or sure in {"unknown", "counted"}:
        return sure, ""
    return sure, expanded(max(stated), unit, told[0].limit.kind)


_LESS_SURE: tuple[HowSure, ...] = ("counted", "known", "least", "unknown")
