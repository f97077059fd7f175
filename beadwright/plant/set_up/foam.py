"""The foam: the strength and insulation expected at the density aimed at, against their limits.

Read :func:`foam`. An estimate may say what to test first; it never stands for a test.
"""

from __future__ import annotations

from collections.abc import Callable

from beadwright.plant.set_up import formulas
from beadwright.plant.set_up.asked import Asked
from beadwright.plant.set_up.block import least_limits, printed, unsigned
from beadwright.plant.set_up.own_tests import OwnTests, own_tests
from beadwright.plant.worked import Working, like
from beadwright.science.foam import (
    COMPRESSIVE,
    FLEXURAL,
    Bead,
    FoamTests,
    Relation,
    conductivity_relation,
    expected,
    fit_relation,
)
from beadwright.science.trust import Banded
from beadwright.units import Kind

__all__ = ["foam"]

_AT_24_C = 297.05
"""75 °F, the mean temperature at which form foam is tested for conductivity, in K."""

_BY_THE_INCH = "ASTM C578"
"""Its thermal resistance is that of an inch, at 75 °F."""

_COLOURS = {"white": Bead.WHITE, "grey": Bead.GREY, "gray": Bead.GREY, "silver": Bead.GREY}


def foam(sheet: Working, of: Asked) -> list[str]:
    """Put what is expected of the foam; gives the keys of its lines."""
    keys = []
    for name, title, relation in (
        ("compressive_resistance", "Compressive strength at 10 %", COMPRESSIVE),
        ("flexural_strength", "Flexural strength, well fused", FLEXURAL),
    ):
        tests = _tests(of, name)
        _expected(sheet, name, title, (relation, tests))
        keys += [name, *_against(sheet, of, (name, name, "pressure"))]
    return [*keys, *_insulation(sheet, of)]


def _tests(of: Asked, characteristic: str) -> OwnTests:
    """Give tests of every form product, for one foam is moulded into all of them."""
    products = [
        name
        for name, body in of.in_force.all("product", of.at_ms)
        if body.get("family") == of.said("product", of.product.name, "family")
    ]
    return own_tests(of.plant_no, of.in_force, products, characteristic, of.at_ms)


def _expected(
    sheet: Working, key: str, title: str, what: tuple[Relation, OwnTests], bead: Bead | None = None
) -> None:
    relation, tests = what
    inside = [
        (density, value)
        for density, value in zip(tests.density_kg_m3, tests.value, strict=True)
        if relation.low_kg_m3 <= density <= relation.high_kg_m3
    ]
    rows = FoamTests([one for one, _ in inside], [one for _, one in inside], bead=bead)
    fitted = fit_relation(relation, rows if inside else None)
    kind = "thermal_conductivity" if relation.name == "conductivity" else "pressure"
    sheet.given(
        f"{key}_tests", (f"Tests it rests on: {title.lower()}", "pieces"), float(len(inside)),
        ("measured", tests.source if inside else "none: the literature alone"),
    )  # fmt: skip

    @like(expected)
    def at(density_kg_m3: float) -> Banded:
        return expected(fitted, density_kg_m3)

    sheet.work(key, (f"{title}, expected", kind), at, {"density_kg_m3": "moulded_density"})


def _against(sheet: Working, of: Asked, what: tuple[str, str, Kind]) -> list[str]:
    """Put the limits on what is expected, and what is to be kept from them.

    ``what``: the characteristic, the line that says what is expected of it, and its kind.
    """
    name, expects, kind = what
    keys = []
    for limit in least_limits(of.limits, name, ("min",)):
        if kind == "thermal_resistance" and limit.standard != _BY_THE_INCH:
            continue  # a plant's own is of a whole block
        key = f"{name}_min_{limit.statistic}"
        words = f"Least {name.replace('_', ' ')}, {limit.statistic}{unsigned(limit)}"
        sheet.given(key, (words, kind), float(limit.value_si), ("limit", printed(limit)))
        title = (f"Kept from the least, {name.replace('_', ' ')}", "fraction")
        sheet.work(f"{key}_kept", title, formulas.margin, {"value": expects, "limit": key})
        keys += [key, f"{key}_kept"]
    return keys


def _insulation(sheet: Working, of: Asked) -> list[str]:
    colour = of.said("grade", of.choice.grade, "colour")
    bead = _COLOURS.get(colour.lower())
    title = ("Thermal resistance of an inch at 24 °C, expected", "thermal_resistance")
    if bead is None:
        told = ("Colour of the bead, white or grey", "1")
        sheet.given("bead_colour", told, None, ("set", ""))
        inch: Callable[[float], float] = formulas.inch_resistance
        sheet.work("inch", title, inch, {"conductivity_w_mk": "bead_colour"})
        return ["inch"]
    relation = conductivity_relation(bead, _AT_24_C)
    name = "Thermal conductivity at 24 °C"
    tests = _tests(of, "thermal_conductivity")
    _expected(sheet, "conductivity", name, (relation, tests), bead)
    sheet.work("inch", title, formulas.inch_resistance, {"conductivity_w_mk": "conductivity"})
    against = _against(sheet, of, ("thermal_resistance", "inch", "thermal_resistance"))
    return ["conductivity", "inch", *against]
