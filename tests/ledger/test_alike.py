"""Names that a reader takes for each other look alike, others do not."""

import pytest

from beadwright.ledger.alike import looks


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("MARLOW", "M\u0410RLOW"),  # a Cyrillic A
        ("Marlow Yard", "marlow  yard"),
        ("Marlow Yard", "M\u0430rl\u043ew Y\u0430rd"),  # Cyrillic a and o
        ("HOOK", "\u041d\u041e\u041e\u041a"),  # Cyrillic all of it
        ("Hook", "\u043d\u043e\u043e\u043a"),  # the same, small
        ("TENTER", "\u03a4\u0395\u039dTER"),  # Greek capitals
        ("MILL END", "MILL-END"),
        ("MILL END", "\uff2d\uff29\uff2c\uff2c END"),  # full width
        ("MILL\u200b END", "MILL END"),  # a space of no width
        ("P-10", "P-1O"),
        ("Ilex", "llex"),
        ("Corner", "Comer"),
        ("Zo\u00eb", "Zoe\u0308"),  # one sign or two
        ("A.B.", "AB"),
    ],
)
def test_names_that_are_read_as_one_look_alike(one: str, other: str) -> None:
    """Whatever letters they are written in."""
    assert one != other
    assert looks(one) == looks(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("MILL END", "MILL LANE"), ("P-13", "P-14"), ("Edda", "Edgar"), ("\u65b0", "\u53e4"),
        ("-", "+"), ("YARD 2", "YARD 3"), ("\u0416", "\u0428"),
    ],
)  # fmt: skip
def test_other_names_do_not(one: str, other: str) -> None:
    """Of the same letters, of digits, of another script, of signs alone."""
    assert looks(one) != looks(other)


def test_a_name_of_no_letters_keeps_what_it_has() -> None:
    """Else all of them would be one."""
    assert looks(" ... ") == "..."
