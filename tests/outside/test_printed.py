"""The yardstick of the outside checks, itself checked."""

from decimal import Decimal

import pytest

from tests.outside.printed import agrees


@pytest.mark.parametrize(
    ("value", "printed", "expected"),
    [
        (6894.7574, "6894.757", True),
        (6894.7576, "6894.757", False),
        (6894.7573, "6.894 757 E+03", True),
        (6894.7579, "6.894 757 E+03", False),
        (Decimal("21.62"), "21.6", True),
        (Decimal("21.66"), "21.6", False),
        (135.4, "135", True),
        (135.6, "135", False),
        (-0.0, "0.0", True),
    ],
)
def test_half_a_unit_of_the_last_digit_decides(
    value: float | Decimal, printed: str, expected: bool
) -> None:
    """A figure agrees within half a unit of its last printed digit, and not beyond."""
    assert agrees(value, printed) is expected


def test_more_printed_digits_ask_for_more() -> None:
    """A trailing zero is a digit that was printed."""
    assert agrees(1.04, "1.0")
    assert not agrees(1.04, "1.00")
