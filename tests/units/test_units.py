"""Units and numbers as people write them: taken when clear, asked about when not."""

from decimal import ROUND_HALF_EVEN, Context, Decimal, localcontext
from fractions import Fraction
from typing import Literal, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import Misuse, OutOfRange, UnitError
from beadwright.units import (
    Kind,
    accepted,
    conversion,
    converter,
    factor,
    from_mg,
    from_si,
    parse_number,
    show,
    shown_unit,
    split_header,
    to_mg,
    to_si,
    written,
)

KINDS: tuple[Kind, ...] = get_args(Kind)
MASS_UNITS = ("kg", "g", "mg", "t", "lb", "oz")


@pytest.mark.parametrize("kind", KINDS)
def test_every_written_unit_converts(kind: Kind) -> None:
    """Each text on the list is a unit that the converter knows, and means one thing."""
    texts = [text for line in written._WRITTEN[kind].values() for text in line.split()]

    assert len(texts) == len(set(texts))
    for text in texts:
        assert to_si(Decimal(1), text, kind) > 0


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_shown_can_be_keyed(kind: Kind) -> None:
    """A unit that we print is one that we take."""
    assert to_si(Decimal(1), shown_unit(kind, "si"), kind) > 0
    assert to_si(Decimal(1), shown_unit(kind, "us"), kind) > 0


@pytest.mark.parametrize(
    ("text", "kind", "same_as"),
    [
        ("kg/m³", "density", "kg/m3"),
        ("kg / m^3", "density", "kg/m3"),
        ("kg/m**3", "density", "kg/m3"),
        ("lb/ft³", "density", "pcf"),
        ("LBS", "mass", "lb"),
        ('"', "length", "in"),
        ("″", "length", "in"),
        ("′", "length", "ft"),
        ("μm", "length", "µm"),
        ("Stück", "pieces", "pcs"),
        ("℃", "temperature_difference", "K"),
        ("º F", "temperature_difference", "°F"),
        ("N/mm²", "pressure", "MPa"),
        ("kN/mm^2", "pressure", "GPa"),
        ("mm / mm", "fraction", "1"),
        ("μm/m", "fraction", "ppm"),
    ],
)
def test_a_font_changes_no_unit(text: str, kind: Kind, same_as: str) -> None:
    """Superscripts, primes, blanks and look-alike signs are taken for what they mean."""
    assert factor(text, kind) == factor(same_as, kind)


@pytest.mark.parametrize(
    ("text", "kind", "code"),
    [
        ("", "mass", "unit_missing"),
        ("   ", "mass", "unit_missing"),
        ("mPa", "pressure", "unit_unknown"),
        ("mN", "force", "unit_unknown"),
        ("dan", "force", "unit_unknown"),
        ("MG", "mass", "unit_unknown"),
        ("kg", "length", "unit_unknown"),
        ("m", "mass", "unit_unknown"),
        ("furlong", "length", "unit_unknown"),
        ("kilogram; import os", "mass", "unit_unknown"),
    ],
)
def test_a_doubtful_unit_is_refused(text: str, kind: Kind, code: str) -> None:
    """No unit, another case, another kind or an unknown word: refused, with what to write."""
    with pytest.raises(UnitError) as caught:
        factor(text, kind)

    assert caught.value.code == code
    assert caught.value.text == text
    assert all(unit in caught.value.remedy for unit in accepted(kind))


def test_a_ton_is_asked_about() -> None:
    """A word for three masses is none."""
    with pytest.raises(UnitError, match="may mean 2000 lb, 2240 lb or 1000 kg"):
        factor("ton", "mass")


def test_pounds_of_force_are_not_pounds_of_mass() -> None:
    """A force in lb is asked about: lbf is meant, or a mass in the wrong column."""
    with pytest.raises(UnitError, match=r"a mass \(lb\) or a force \(lbf\)"):
        factor("lb", "force")


def test_a_kind_that_does_not_exist_is_misuse() -> None:
    """A caller's misspelling is no fault in people's data."""
    with pytest.raises(Misuse, match="no kind of quantity"):
        factor("kg", "weight")  # type: ignore[arg-type]


def test_degrees_have_no_factor() -> None:
    """A temperature converts with its offset; a difference of temperatures by a factor."""
    with pytest.raises(UnitError, match="not absolute zero"):
        factor("°C", "temperature")
    assert to_si(Decimal(32), "°F", "temperature") == Decimal("273.15")
    assert to_si(Decimal(100), "°C", "temperature") == Decimal("373.15")
    assert to_si(Decimal(-40), "°F", "temperature") == to_si(Decimal(-40), "°C", "temperature")
    assert factor("°C", "temperature_difference") == 1


def test_nothing_is_colder_than_absolute_zero() -> None:
    """A temperature below absolute zero is a slip, and is said so."""
    with pytest.raises(UnitError, match="below absolute zero"):
        to_si(Decimal(-300), "°C", "temperature")


@given(st.integers(-(10**15), 10**15), st.sampled_from(MASS_UNITS))
def test_a_kept_mass_comes_back_to_the_milligram(mg: int, unit: str) -> None:
    """Shown in any unit and keyed again, a mass is the same whole milligrams."""
    assert to_mg(from_mg(mg, unit), unit) == mg


@given(
    st.decimals(-(10**9), 10**9, allow_nan=False, places=6),
    st.sampled_from(["lb", "oz", "g", "kg"]),
)
def test_a_mass_is_rounded_once_half_to_even(number: Decimal, unit: str) -> None:
    """The record's milligrams are the exact product, rounded half to even, as fractions say."""
    per_unit = {
        "lb": Fraction("0.45359237"),
        "oz": Fraction("0.45359237") / 16,
        "g": Fraction(1, 1000),
        "kg": Fraction(1),
    }[unit]

    assert to_mg(number, unit) == round(Fraction(number) * per_unit * 10**6)


def test_half_a_milligram_goes_to_the_even_one() -> None:
    """Halves neither all go up nor all go down."""
    halves = [to_mg(Decimal(text), "mg") for text in ("0.5", "1.5", "2.5", "-0.5", "-1.5")]

    assert halves == [0, 2, 2, 0, -2]


@given(
    st.decimals(0, 10**6, allow_nan=False, places=4),
    st.sampled_from([(unit, kind) for kind in KINDS for unit in accepted(kind)]),
)
def test_there_and_back_is_the_same(number: Decimal, what: tuple[str, Kind]) -> None:
    """A value goes to SI and back within one part in 10^24."""
    unit, kind = what
    back = from_si(to_si(number, unit, kind), unit, kind)

    assert abs(back - number) <= Decimal("1e-24") * (abs(number) + 1000)


def test_a_caller_with_few_digits_changes_no_factor() -> None:
    """The thread's decimal context touches neither a factor nor a product."""
    conversion._pint_factor.cache_clear()
    conversion._resolve.cache_clear()
    with localcontext(Context(prec=4, rounding=ROUND_HALF_EVEN)):
        mg = to_mg(Decimal("123456.789"), "lb")
        pressure = to_si(Decimal(1), "psi", "pressure")

    assert mg == round(Fraction("123456.789") * Fraction("0.45359237") * 10**6)
    assert pressure > Decimal("6894.757293168361")


def test_a_column_converts_without_asking_for_the_unit_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """100,000 numbers in one unit resolve it once: the rest is decimal arithmetic."""
    to_kg = converter("lb", "mass")

    def no_more(*_: object) -> None:
        message = "the unit was resolved again"
        raise AssertionError(message)

    monkeypatch.setattr(conversion, "_resolve", no_more)
    monkeypatch.setattr(conversion, "_registry", no_more)
    total = sum(to_kg(Decimal(number)) for number in range(100_000))

    assert total == Decimal("0.45359237") * sum(range(100_000))


@pytest.mark.parametrize(
    ("text", "decimal", "thousands", "number"),
    [
        ("146,2", ",", None, "146.2"),
        ("1.148,5", ",", ".", "1148.5"),
        ("1148,5", ",", ".", "1148.5"),
        ("1,148.50", ".", ",", "1148.50"),
        ("12 345,6", ",", " ", "12345.6"),
        ("1'234'567", ".", "'", "1234567"),
        ("-3.5", ".", None, "-3.5"),
        ("−3,5", ",", None, "-3.5"),
        ("+7", ".", None, "7"),
        ("  0.90 ", ".", None, "0.90"),
        ("007", ".", None, "7"),
    ],
)
def test_a_number_is_read_as_the_file_states(
    text: str, decimal: Literal[".", ","], thousands: str | None, number: str
) -> None:
    """The stated signs are read, and every digit is kept."""
    assert str(parse_number(text, decimal=decimal, thousands=thousands)) == number


@pytest.mark.parametrize(
    ("text", "decimal", "thousands"),
    [
        ("1.234", ",", None),
        ("1,234", ".", None),
        ("1.23", ",", "."),
        ("1.2345", ",", "."),
        ("12.34.567", ",", "."),
        ("1234.567", ",", "."),
        ("1,234.567", ",", "."),
        ("5,", ",", None),
        (",5", ",", None),
        ("", ",", None),
        ("-", ",", None),
        ("1e3", ".", None),
        ("1E3", ".", None),
        ("NaN", ".", None),
        ("inf", ".", None),
        ("0x10", ".", None),
        ("1_000", ".", None),
        ("12 kg", ".", None),
        ("1 234", ".", None),
        ("--1", ".", None),
        ("٣", ".", None),
        ("1" * 31, ".", None),
    ],
)
def test_a_number_that_could_be_another_is_refused(
    text: str, decimal: Literal[".", ","], thousands: str | None
) -> None:
    """Another sign, odd groups, an exponent, a unit or no number: refused with its text."""
    with pytest.raises(UnitError) as caught:
        parse_number(text, decimal=decimal, thousands=thousands)

    assert (caught.value.code, caught.value.text) == ("not_a_number", text)
    assert caught.value.remedy


def test_a_thousands_sign_that_is_the_decimal_sign_is_misuse() -> None:
    """A layout cannot mean both."""
    with pytest.raises(Misuse, match="must differ"):
        parse_number("1,000", decimal=",", thousands=",")


@given(st.decimals(-(10**12), 10**12, allow_nan=False, places=3), st.booleans())
def test_a_written_number_reads_back(number: Decimal, commas: bool) -> None:
    """Written with either decimal sign and its thousands sign, a number reads as itself."""
    text = f"{number:,.3f}"
    if commas:
        text = text.translate(str.maketrans(",.", ".,"))
        assert parse_number(text, decimal=",", thousands=".") == number
    else:
        assert parse_number(text, decimal=".", thousands=",") == number


@pytest.mark.parametrize(
    ("header", "split"),
    [
        ("mass [lb]", ("mass", "lb")),
        ("Masse [kg]", ("Masse", "kg")),
        ("mass (kg)", ("mass", "kg")),
        ("Breite [mm]:", ("Breite", "mm")),
        ("tie mass (net) [lb]", ("tie mass (net)", "lb")),
        ("density [lb/ft³]", ("density", "lb/ft³")),
        ("conductivity [W/(m·K)]", ("conductivity", "W/(m·K)")),
        ("lot", ("lot", None)),
        ("mass []", ("mass", None)),
        (" mass  [ kg ] ", ("mass", "kg")),
    ],
)
def test_a_header_gives_its_unit(header: str, split: tuple[str, str | None]) -> None:
    """The last bracket holds the unit; where there is none, none is made up."""
    assert split_header(header) == split


@pytest.mark.parametrize(
    ("value", "kind", "system", "digits", "text"),
    [
        (Decimal("37.2"), "mass", "si", 2, "37.20 kg"),
        (Decimal("0.45359237"), "mass", "us", 3, "1.000 lb"),
        (297.0388888888889, "temperature", "us", 1, "75.0 °F"),
        (297.0388888888889, "temperature", "si", 2, "23.89 °C"),
        (0.0667, "length", "si", 1, "66.7 mm"),
        (0.025, "fraction", "us", 1, "2.5 %"),
        (-0.00001, "mass", "si", 2, "0.00 kg"),
        (12, "pieces", "us", 0, "12 pcs"),
        (28728.1555, "form_pressure", "us", 1, "600.0 lb/ft²"),
        (28728.1555, "form_pressure", "si", 1, "28.7 kPa"),
        (0.3048 / 900, "speed", "us", 2, "4.00 ft/h"),
        (0.3048 / 900, "speed", "si", 2, "1.22 m/h"),
    ],
)
def test_a_value_is_shown_with_its_unit(
    value: float | Decimal, kind: Kind, system: Literal["si", "us"], digits: int, text: str
) -> None:
    """A person reads a number with its unit in the system of their choice, no minus nought."""
    assert show(value, kind, system=system, digits=digits) == text


def test_what_is_not_finite_is_not_shown() -> None:
    """A NaN never reaches a page as a number."""
    with pytest.raises(OutOfRange, match="value_si is nan"):
        show(float("nan"), "mass", system="si", digits=2)
