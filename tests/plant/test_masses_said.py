"""Masses that a kept sentence says, in the units of who reads it."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import Fault
from beadwright.plant.masses_said import faults_in, mass_said, masses_in


@given(st.integers(0, 10**13))
def test_a_mass_is_said_in_pounds_to_a_hundredth(mg: int) -> None:
    """The figure in lb is the figure in kg over 0.45359237, as NIST SP 811 has it."""
    said = mass_said(mg)
    kg, unit = said.split(" ")
    pounds, other = masses_in(said, "us").split(" ")

    assert (unit, other, masses_in(said, "si")) == ("kg", "lb", said)
    assert abs(Decimal(pounds) - Decimal(kg) / Decimal("0.45359237")) <= Decimal("0.005")


def test_every_density_of_a_sentence_is_said_in_one_unit() -> None:
    """With however many decimals it was written."""
    said = "density 20.70 kg/m3 is below 22.2 kg/m3 by 1.50 kg/m3"
    assert masses_in(said, "us") == ("density 1.292 lb/ft³ is below 1.386 lb/ft³ by 0.094 lb/ft³")


def test_what_is_no_mass_of_the_books_stays() -> None:
    """A code, a number with other digits, and what somebody keyed."""
    for text in ("lot A-3.10 kg", "12.5 kg/m³", "3.100 kg", "mass of 1 kg"):
        assert masses_in(text, "us") == text
    keyed = Fault("too_large", 'mass "25.00 kg" is unusual')
    held = Fault("run_holds", "R1 still holds 3.10 kg", remedy="Fill it.")

    assert faults_in((keyed, held), "us") == (
        keyed, Fault("run_holds", "R1 still holds 6.83 lb", remedy="Fill it."),
    )  # fmt: skip
