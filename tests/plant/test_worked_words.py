"""A line of the physics in words: figures that the band allows, units that were chosen."""

from __future__ import annotations

import json

import pytest

from beadwright.plant.worked import Working
from beadwright.plant.worked_words import line_json, rounded_down, told, told_all
from beadwright.units import System


@pytest.mark.parametrize(
    ("given", "kind", "units", "words", "of_band"),
    [
        ((21.625, None), "density", "us", "1.350 lb/ft³", ""),
        ((21.6253, None), "density", "si", "21.63 kg/m³", ""),
        ((21.6, (19.9, 24.2)), "density", "si", "21.6 kg/m³", "19.9 to 24.2 kg/m³"),
        ((0.0305, (0.0298, 0.0311)), "fraction", "si", "3.05 %", "2.98 to 3.11 %"),
        ((2.3e-13, (1e-13, 4e-13)), "m^2/s", "si", "2.3e-13 m^2/s", "1e-13 to 4e-13 m^2/s"),
        ((1234.6, (1100.0, 1400.0)), "1", "si", "1235", "1100 to 1400"),
        ((353.15, None), "temperature", "us", "176.0 °F", ""),
        ((0.0, None), "mass", "si", "0 kg", ""),
        ((617_696.0, (376_404.0, 858_988.0)), "money", "si", "618000", "376000 to 859000"),
        # 1 ft = 0.3048 m exact; 1 m^2 = 10.7639 ft^2; 1 J/mol = 0.429923 Btu/lbmol (both 6 figures)
        ((215.0, None), "m", "us", "705.4 ft", ""),
        ((8.33e-14, None), "m^2/s", "us", f"{8.33e-14 * 10.7639:.3g} ft^2/s", ""),
        ((30_000.0, None), "J/mol", "us", f"{30_000 * 0.429923:.0f} Btu/lbmol", ""),
    ],
)
def test_a_figure_has_the_digits_that_its_band_allows(
    given: tuple[float, tuple[float, float] | None],
    kind: str,
    units: System,
    words: str,
    of_band: str,
) -> None:
    """One more than the band is wide; four that count where there is none."""
    line = Working().given("x", ("X", kind), given[0], ("set", "the plant"), given[1])
    said = told(line, (), units)
    assert (said.value, said.band) == (words, of_band)


def test_what_is_missing_reads_as_unknown() -> None:
    """And not as nothing."""
    said = told(Working().given("x", ("X", "mass"), None, ("set", "")), (), "si")
    assert (said.value, said.band, said.lacking) == ("unknown", "", ("X",))


def test_a_sheet_is_json() -> None:
    """In SI, with its unit, its trust and what it lacks."""
    sheet = Working()
    sheet.given("x", ("X", "mass"), 2.0, ("set", "the plant"), (1.5, 2.5))
    sheet.given("y", ("Y", "m^2/s"), None, ("set", ""))
    one, two = json.loads(json.dumps([line_json(line) for line in sheet.lines]))
    assert (one["value"], one["low"], one["shown_unit_si"], one["trust"]) == (
        2.0, 1.5, "kg", "estimate",
    )  # fmt: skip
    assert (two["value"], two["lacking"], two["shown_unit_si"]) == (None, ["Y"], "m^2/s")
    assert [said.key for said in told_all(sheet.lines, "si")] == ["x", "y"]


@pytest.mark.parametrize(
    ("value", "kind", "units", "words"),
    [
        (1.13999, "length", "si", "1130 mm"),
        (1.14, "length", "us", "44.8 in"),
        (4 * 0.3048 / 3600, "speed", "us", "4.00 ft/h"),
        (3.9999 * 0.3048 / 3600, "speed", "us", "3.99 ft/h"),
        (2.999, "1", "si", "2.99"),
        (0.0, "force", "si", "0 N"),
    ],
)
def test_a_most_is_rounded_down(value: float, kind: str, units: System, words: str) -> None:
    """In the unit that is shown; a conversion's last digit takes nothing off."""
    assert rounded_down(value, kind, units) == words
