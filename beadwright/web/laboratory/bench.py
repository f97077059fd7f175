"""The tests of the laboratory, in groups, and what the form of each asks.

Read :data:`GROUPS`. Each is a row of the sheet ``results``; a test whose curve is read from a file
gets its way in :data:`CURVES`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from beadwright.lab.asked import Method
from beadwright.lab.methods import METHODS
from beadwright.lab.reduction import Reduction
from beadwright.lab.reductions import REDUCTIONS
from beadwright.quality.characteristics import CHARACTERISTICS
from beadwright.quality.conditions import CONDITIONS
from beadwright.web.stations import sheet

__all__ = ["CURVES", "GROUPS", "TESTS", "BenchTest", "Curve"]

_HOURS = "conditioned"
"""Asked of every specimen: a plan may want hours that no method names."""
_ALWAYS = (_HOURS, "temperature", "humidity")
"""Conditions of a test whose method is not in the table."""


@dataclass(frozen=True, slots=True)
class BenchTest(sheet.Act):
    """One test: its characteristic, what its method asks, and how its result is worked out."""

    method: Method | None
    ways: tuple[Reduction, ...]
    """To work its result out; none where the apparatus shows it."""
    conditions: tuple[str, ...]
    """Fields of the conditions that its method asks about."""


@dataclass(frozen=True, slots=True)
class Curve:
    """A way to a page where a curve is read from a file."""

    to: str
    title: str
    says: str


CURVES: tuple[Curve, ...] = (
    Curve("/laboratory/curve/", "Strength from a curve", "a load frame's file"),
    Curve("/laboratory/proof/", "Proof load", "what a strip must carry on the bench"),
)
"""Ways to the pages of curves, in the order in which they stand."""

_GROUPS = {
    "Density, size and shape": (
        "density", "core_density", "squareness", "edge_trueness", "face_trueness", "flatness",
    ),
    "Heat": (
        "thermal_resistance", "thermal_resistance_40f", "thermal_conductivity",
        "thermal_conductivity_10c",
    ),
    "Water, vapour and stability": (
        "water_absorption", "water_absorption_28d", "dimensional_stability",
        "dimensional_stability_normal", "dimensional_stability_70c", "water_vapour_permeance",
        "water_vapour_resistance_factor",
    ),
    "Strength, as the load frame gives it": (
        "compressive_resistance", "compressive_stress_10", "flexural_strength",
        "bending_strength", "tension_across_faces", "compressive_modulus",
        "compressive_modulus_826", "flexural_modulus", "bending_modulus",
    ),
    "Fusion": ("fusion",),
    "Fire": ("oxygen_index",),
    "Ties and fasteners": ("fastener_pull", "tie_pull"),
}  # fmt: skip


_TITLES = {
    "thermal_resistance_40f": "Thermal resistance, 40 °F",
    "thermal_conductivity_10c": "Thermal conductivity, 10 °C",
    "water_absorption_28d": "Water absorption, 28 d",
    "dimensional_stability_normal": "Dimensional stability, 23 °C",
    "dimensional_stability_70c": "Dimensional stability, 70 °C",
    "compressive_stress_10": "Compressive stress at 10 %",
    "compressive_modulus_826": "Compressive modulus, EN 826",
}
"""Titles of tests that their names do not make."""


def _test(name: str) -> BenchTest:
    known, method = CHARACTERISTICS[name], METHODS.get(name)
    asked = _ALWAYS if method is None else tuple(one.name for one in method.conditions)
    asked = asked if known.by_hand else (*asked, _HOURS)
    conditions = tuple(one for one in CONDITIONS if one in asked or one in known.facts)
    return BenchTest(
        name,
        _TITLES.get(name) or name.replace("_", " ").capitalize(),
        "Record",
        "results",
        ("lot", "specimen", name),
        method=method,
        ways=REDUCTIONS.get(name, ()),
        conditions=conditions,
        says=f"{known.quantity}, {known.method}",
        done="The result is in the record.",
    )


TESTS: Mapping[str, BenchTest] = {name: _test(name) for names in _GROUPS.values() for name in names}
"""By characteristic."""

GROUPS: Mapping[str, tuple[BenchTest, ...]] = {
    title: tuple(TESTS[name] for name in names) for title, names in _GROUPS.items()
}
"""Tests by what they are about, in the order in which they stand on the page."""
