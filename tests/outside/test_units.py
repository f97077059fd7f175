"""NIST SP 811 and the international yard and pound: factors of the units people key."""

from decimal import Decimal

import pytest

from beadwright.units import Kind, factor, to_si
from tests.outside.printed import agrees


@pytest.mark.parametrize(
    ("unit", "kind", "exact"),
    [
        ("lb", "mass", "0.45359237"),
        ("oz", "mass", "0.028349523125"),
        ("t", "mass", "1000"),
        ("in", "length", "0.0254"),
        ("ft", "length", "0.3048"),
        ("ft3", "volume", "0.028316846592"),
        ("yd3", "volume", "0.764554857984"),
        ("L", "volume", "0.001"),
        ("lbf", "force", "4.4482216152605"),
        ("kip", "force", "4448.2216152605"),
        ("mil", "length", "0.0000254"),
    ],
)
def test_a_defined_unit_is_exact(unit: str, kind: Kind, exact: str) -> None:
    """[yard-pound-1959] These are exact by definition, to the last digit."""
    assert factor(unit, kind) == Decimal(exact)


@pytest.mark.parametrize(
    ("unit", "kind", "printed"),
    [
        ("lb/ft3", "density", "1.601 846 E+01"),
        ("lbf", "force", "4.448 222 E+00"),
        ("psi", "pressure", "6.894 757 E+03"),
        ("psf", "pressure", "4.788 026 E+01"),
        ("perm", "vapour_permeance", "5.721 35 E-11"),
        ("Btu·in/(h·ft2·°F)", "thermal_conductivity", "1.442 279 E-01"),
        ("°F·ft2·h/Btu", "thermal_resistance", "1.761 102 E-01"),
        ("ft3", "volume", "2.831 685 E-02"),
        ("yd3", "volume", "7.645 549 E-01"),
        ("oz", "mass", "2.834 952 E-02"),
        ("°F", "temperature_difference", "5.555 556 E-01"),
        ("kgf", "force", "9.806 65 E+00"),
        ("kip", "force", "4.448 222 E+03"),
        ("ksi", "pressure", "6.894 757 E+06"),
        ("kgf/cm2", "pressure", "9.806 65 E+04"),
        ("mil", "length", "2.54 E-05"),
    ],
)
def test_a_factor_is_the_published_one(unit: str, kind: Kind, printed: str) -> None:
    """[nist-sp811] Each factor rounds to the seven digits printed."""
    assert agrees(factor(unit, kind), printed)


@pytest.mark.parametrize(
    ("number", "unit", "kelvin"),
    [
        ("32", "°F", "273.15"),
        ("212", "°F", "373.15"),
        ("-459.67", "°F", "0"),
        ("25", "°C", "298.15"),
    ],
)
def test_a_fixed_point_is_where_it_is(number: str, unit: str, kelvin: str) -> None:
    """[nist-sp811] The scales meet at the ice point, the steam point and absolute zero."""
    assert to_si(Decimal(number), unit, "temperature") == Decimal(kelvin)
