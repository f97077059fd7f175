"""What the method of each characteristic asks, whichever test it is: one table of all of them.

Read first: :data:`METHODS`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from beadwright.lab import compression_method, plain_method, thermal_method
from beadwright.lab.asked import Condition, Method
from beadwright.lab.compression_method import CompressionMethod

__all__ = ["METHODS"]


def _compression(of: CompressionMethod) -> Method:
    """Give what of a compression test can be told without its curve."""
    conditioning = of.source["conditioning"]
    asked = [
        Condition("conditioned", "the time of conditioning", "duration", "h",
                  of.least_conditioning_s, math.inf, conditioning),
        Condition("temperature", "the temperature of conditioning", "temperature", "°C",
                  *of.temperature_k, conditioning),
    ]  # fmt: skip
    if of.humidity is not None:
        what = "the humidity of conditioning"
        asked.append(Condition("humidity", what, "fraction", "%", *of.humidity, conditioning))
    if of.least_height_m:
        what, size = "the thickness", of.source["size"]
        asked.append(
            Condition("thickness", what, "length", "mm", of.least_height_m, math.inf, size)
        )
    if of.specimens is not None:
        what, number = "the number of specimens", of.source["specimens"]
        asked.append(Condition("specimens", what, "pieces", "pcs", of.specimens, math.inf, number))
    return Method(of.name, of.edition, "", tuple(asked))


METHODS: Mapping[str, Method] = MappingProxyType({
    **thermal_method.METHODS,
    **plain_method.METHODS,
    "compressive_resistance": _compression(compression_method.METHODS["ASTM D1621"]),
    "compressive_stress_10": _compression(compression_method.METHODS["EN 826"]),
})  # fmt: skip
"""By characteristic. What a curve alone tells, such as the rate, its own reduction says."""
