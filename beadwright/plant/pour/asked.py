"""What a pour sheet is asked about the concrete and its placing.

Read :class:`PourAsked`. What nobody says is taken at its worst, never at what flatters; height,
manual's rate and safety factor are never taken: without them the answer is unknown.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from beadwright.errors import Misuse
from beadwright.science.pour import Binder
from beadwright.units import Kind, show

__all__ = [
    "BINDERS",
    "COLDEST_K",
    "DEEP_M",
    "HEAVY_KG_M3",
    "PLACED",
    "TITLES",
    "WET_M",
    "PourAsked",
    "wrong_number",
]

HEAVY_KG_M3 = 2402.77
"""150 lb/ft3, ordinary concrete at its heaviest. Common practice, no source."""

WET_M = 0.254
"""10 in: a slump that counts as liquid."""

COLDEST_K = 277.5944
"""40 °F, about the coldest that the formula is for."""

DEEP_M = 1.524
"""5 ft: a vibration deeper than 4 ft, which counts as liquid."""

BINDERS: Mapping[str, Binder] = {
    "plain": Binder.PLAIN,
    "blended": Binder.BLENDED,
    "high": Binder.HIGH_REPLACEMENT,
}
"""Words by which a binder is asked for."""

PLACED: Mapping[str, str] = {"top": "from the top", "base": "pumped in at the base"}
"""Words by which a way of placing is asked for."""

TITLES: Mapping[str, str] = {
    "height_m": "fresh concrete, height",
    "manual_m_s": "rate of the installation manual",
    "safety_factor": "safety factor",
    "density_kg_m3": "density of fresh concrete",
    "slump_m": "slump",
    "temperature_k": "concrete's temperature",
    "vibration_m": "vibration reaches down",
}
"""What the numbers are called, by field."""

_WITHIN: Mapping[str, tuple[float, float, Kind | None]] = {
    "height_m": (0.05, 30.0, "length"),
    "manual_m_s": (0.01 / 3600, 30.0 / 3600, "speed"),
    "safety_factor": (1.0, 20.0, None),
    "density_kg_m3": (800.0, 5000.0, "density"),
    "slump_m": (0.0, 0.35, "length"),
    "temperature_k": (277.0, 311.0, "temperature"),
    "vibration_m": (0.0, 30.0, "length"),
}
"""Where the published formula holds, and else what can be meant."""


@dataclass(frozen=True, slots=True)
class PourAsked:
    """What is asked, in SI; None or empty where nobody said."""

    product: str
    lots: tuple[str, ...] = ()
    """The lots that go into the wall; empty: the product's newest released lots with a test."""
    height_m: float | None = None
    """Fresh concrete that has not stiffened."""
    manual_m_s: float | None = None
    """Rate of rise that the installation manual allows."""
    safety_factor: float | None = None
    density_kg_m3: float | None = None
    slump_m: float | None = None
    """After all admixtures."""
    temperature_k: float | None = None
    vibration_m: float | None = None
    """How deep a vibrator goes into the fresh concrete; 0 where nobody vibrates inside it."""
    binder: str = ""
    """A word of :data:`BINDERS`."""
    retarder: bool | None = None
    """Whether any admixture delays its set."""
    continuous: bool | None = None
    """Whether the panel runs unbroken over three spans or more."""
    placed: str = ""
    """A word of :data:`PLACED`."""
    self_consolidating: bool = False

    def __post_init__(self) -> None:
        """Refuse what cannot be meant."""
        wrong = [wrong_number(name, getattr(self, name)) for name in _WITHIN]
        for what, word, words in (
            ("binder", self.binder, BINDERS),
            ("way of placing", self.placed, PLACED),
        ):
            if word and word not in words:
                wrong.append(f'no {what} is called "{word}"; there are: {", ".join(words)}')
        if any(wrong):
            raise Misuse("; ".join(filter(None, wrong)))

    def without_lots(self) -> PourAsked:
        """Give the same, of the product's newest tested lots."""
        return replace(self, lots=())


def wrong_number(name: str, value: float | None) -> str:
    """Say what is wrong with a number of a field; empty where nothing is."""
    if value is None:
        return ""
    low, high, kind = _WITHIN[name]
    if math.isfinite(value) and low * (1 - 1e-9) <= value <= high * (1 + 1e-9):
        return ""
    if kind is None or not math.isfinite(value):
        return f"{TITLES[name]}: {value:g} is not from {low:g} to {high:g}"
    is_, *ends = (show(one, kind, system="si", digits=1) for one in (value, low, high))
    us = [show(one, kind, system="us", digits=1) for one in (low, high)]
    return (
        f"{TITLES[name]}: {is_} is not from {ends[0]} to {ends[1]} ({us[0]} to {us[1]}),"
        " where this is worked out"
    )
