"""What the method of each characteristic asks, whichever test it is: one table of all of them.

Read first: :data:`METHODS`; then :func:`beyond`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType

from beadwright.lab import compression_method, flexure_method, plain_method, thermal_method
from beadwright.lab.asked import Condition, Method
from beadwright.lab.compression_method import CompressionMethod
from beadwright.lab.departure import Departure
from beadwright.lab.flexure_method import FlexureMethod

__all__ = ["METHODS", "beyond"]


def _compression(of: CompressionMethod) -> Method:
    """Give what of a compression test can be told without its curve."""
    asked = of.conditions
    if not of.least_height_m:
        return asked
    what, size = "the thickness", of.source["size"]
    least = Condition("thickness", what, "length", "mm", of.least_height_m, math.inf, size)
    air = len(of.conditioning.conditions)
    return replace(asked, conditions=(*asked.conditions[:air], least, *asked.conditions[air:]))


def _flexure(of: FlexureMethod) -> Method:
    """Give what of a bending test can be told without its curve, its span and its width."""
    asked = of.conditions
    told = (one for one in asked.conditions if one.name not in {"length", "width"})
    name, _, use = of.name.rpartition(" ")
    return Method(name, of.edition, f"method {use}", tuple(told))


METHODS: Mapping[str, Method] = MappingProxyType({
    **thermal_method.METHODS,
    **plain_method.METHODS,
    "compressive_resistance": _compression(compression_method.METHODS["ASTM D1621"]),
    "compressive_stress_10": _compression(compression_method.METHODS["EN 826"]),
    "flexural_strength": _flexure(flexure_method.METHODS["ASTM C203 I-B"]),
    "bending_strength": _flexure(flexure_method.METHODS["EN 12089 B"]),
})  # fmt: skip
"""By characteristic. What a curve alone tells, such as the rate, its own reduction says."""


def beyond(characteristic: str, departures: Iterable[Departure]) -> tuple[Departure, ...]:
    """Give those departures of a test that its result does not state itself.

    Parameters
    ----------
    characteristic : str
        What was tested: one of :data:`METHODS`. [1]
    departures : iterable of Departure
        What was otherwise, or was not recorded.

    Returns
    -------
    departures : tuple of Departure
        Without conditioning, number of specimens and what else a result states as a condition:
        that is compared once it is recorded.

    Examples
    --------
    >>> from beadwright.lab.compression_method import METHODS as BY, CompressionTest
    >>> from beadwright.lab.compression_method import compression_departures
    >>> test = CompressionTest(0.05, 0.1, 0.1)
    >>> said = compression_departures(BY["ASTM D1621"], test)
    >>> [one.code for one in beyond("compressive_resistance", said)]
    ['rate_not_recorded']
    """
    asked = {one.name for one in METHODS[characteristic].conditions} | {"specimens"}
    stated = asked | ({"height"} if "thickness" in asked else set())
    return tuple(one for one in departures if one.code.removesuffix("_not_recorded") not in stated)
