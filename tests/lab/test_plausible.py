"""Impossible specimens are asked about by value; ordinary spread is left in peace."""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.lab import Doubt, Keyed, Specimen, doubts

PIECE = {"length": 0.1002, "width": 0.0998, "thickness": 0.0501}


def foam(name: str, grams: str = "10.85", **millimetres: str) -> Specimen:
    """A foam piece of about 100 mm by 100 mm by 50 mm and 21.7 kg/m³, keyed in g and mm."""
    texts = {"length": "100.2", "width": "99.8", "thickness": "50.1", **millimetres}
    keyed = {field: Keyed(Decimal(text), "mm") for field, text in texts.items()}
    return Specimen(
        name=name,
        mass_kg=float(grams) / 1000,
        dims={field: float(text) / 1000 for field, text in texts.items()},
        keyed={**keyed, "mass": Keyed(Decimal(grams), "g")},
    )


LOT = (
    foam("a"),
    foam("b", "10.62", thickness="49.8"),
    foam("c", "11.31", length="100.9"),
    foam("d", "10.44", width="99.1"),
)


def asked(*specimens: Specimen, lot: tuple[Specimen, ...] = LOT) -> list[tuple[str, str, str]]:
    """Who is asked about which value, and what it may be."""
    return [(each.specimen, each.value, each.perhaps) for each in doubts([*lot, *specimens])]


def test_an_ordinary_lot_is_not_asked_about() -> None:
    """Four pieces that spread by some per cent raise no question."""
    assert doubts(LOT) == ()


@given(st.integers(0, 10**6), st.integers(1, 40))
def test_ordinary_spread_is_never_asked_about(seed: int, members: int) -> None:
    """Densities that spread by 2 % and sizes by 1 % (cut at three sigma) raise no question."""
    rng = np.random.default_rng(seed)

    def near(value: float, spread: float) -> float:
        return value * (1 + spread * float(np.clip(rng.normal(), -3, 3)))

    lot = []
    for number in range(members):
        dims = {name: near(size, 0.01) for name, size in PIECE.items()}
        density = near(21.6, 0.02)
        lot.append(Specimen(str(number), density * float(np.prod([*dims.values()])), dims))

    assert doubts(lot, nominal=PIECE, density_range=(15, 35)) == ()


def test_a_lot_that_spreads_widely_is_given_its_width() -> None:
    """Masses from 9.5 to 12.2 g are this lot's own spread; 16.5 g is beyond six deviations."""
    wide = [foam(name, name) for name in ("9.50", "10.10", "10.60", "11.10", "11.70", "12.20")]

    assert doubts(wide) == ()
    assert [each.value for each in doubts([*wide, foam("x", "18.00")])] == ["18.00 g"]


@pytest.mark.parametrize(
    ("slip", "value", "perhaps"),
    [
        (
            foam("x", length="1002"),
            "1002 mm",
            "100.2 mm (ten times too large) or 102 mm (one digit too many)",
        ),
        (foam("x", length="1100.2"), "1100.2 mm", "100.2 mm (one digit too many)"),
        (foam("x", width="9.98"), "9.98 mm", "99.8 mm (ten times too small)"),
        (
            foam("x", thickness="501"),
            "501 mm",
            "50.1 mm (ten times too large) or 51 mm (one digit too many)",
        ),
        (foam("x", thickness="5.01"), "5.01 mm", "50.1 mm (ten times too small)"),
        (
            foam("x", grams="108.5"),
            "108.5 g",
            "10.85 g (ten times too large) or 10.5 g (one digit too many)",
        ),
        (foam("x", grams="1085"), "1085 g", "10.85 g (a hundred times too large)"),
        (foam("x", grams="1.85"), "1.85 g", "10.85 g (one digit lost)"),
        (foam("x", grams="130.85"), "130.85 g", "10.85 g (one digit too many)"),
        (foam("x", grams="18.05"), "18.05 g", "10.85 g (two digits exchanged)"),
        (foam("x", grams="0.383"), "0.383 g", "0.383 oz (in oz, not g)"),
        (foam("x", width="3.93"), "3.93 mm", "3.93 in (in in, not mm)"),
    ],
)
def test_one_slip_is_seen_and_undone(slip: Specimen, value: str, perhaps: str) -> None:
    """A slip of the hand is asked about by its value, with what was likely meant."""
    assert asked(slip) == [("x", value, perhaps)]


def test_two_slips_that_are_as_likely_are_both_named() -> None:
    """Ten times 10.46 g, or 10.6 g with a digit too many: the lot's spread tells neither."""
    assert asked(foam("x", grams="104.6")) == [
        ("x", "104.6 g", "10.46 g (ten times too large) or 10.6 g (one digit too many)")
    ]


def test_a_question_says_why() -> None:
    """The value, what is usual, and the density that gave it away."""
    (doubt,) = doubts([*LOT, foam("x", length="1002")])

    assert doubt == Doubt(
        specimen="x",
        field="length",
        value="1002 mm",
        why=(
            "length 1002 mm, where 100.2 mm is usual for its siblings; "
            "density 2.166 kg/m³, where 21.33 kg/m³ is usual for its siblings."
        ),
        perhaps="100.2 mm (ten times too large) or 102 mm (one digit too many)",
    )


def test_exchanged_dimensions_are_seen_though_the_density_is_right() -> None:
    """Length and thickness exchanged give the same volume, and are seen by their siblings."""
    assert asked(foam("x", length="50.1", thickness="100.2")) == [
        ("x", "50.1 mm", "length 100.2 mm and thickness 50.1 mm (exchanged)")
    ]


def test_an_exchanged_cylinder_is_seen_by_its_density() -> None:
    """Height typed as diameter: alone, with only the range of densities that can be."""
    core = Specimen("x", 5.328, {"diameter": 0.3002, "height": 0.0986})

    (doubt,) = doubts([core], density_range=(2000, 2700))
    assert doubt.perhaps == "diameter 98.6 mm and height 300.2 mm (exchanged)"


def test_two_slips_in_one_specimen_are_two_questions() -> None:
    """Each value out of line is asked about on its own."""
    assert asked(foam("x", "1.085", length="1100.2")) == [
        ("x", "1100.2 mm", "100.2 mm (one digit too many)"),
        ("x", "1.085 g", "10.85 g (ten times too small)"),
    ]


def test_another_size_with_the_right_density_is_no_slip() -> None:
    """A piece of half the size weighs an eighth: nothing to ask."""
    assert asked(foam("x", "1.356", length="50.1", width="49.9", thickness="25.05")) == []


def test_another_size_with_a_wrong_mass_is_asked_once() -> None:
    """A piece unlike its siblings is not asked about in every field, only as a whole."""
    doubtful = foam("x", "13.56", length="50.1", width="49.9", thickness="25.05")

    ((name, value, perhaps),) = asked(doubtful)
    assert (name, value) == ("x", "216.5 kg/m³")
    assert "mass 1.356 g (ten times too large)" in perhaps


def test_a_nominal_that_was_stated_is_asked_for() -> None:
    """A whole lot of another size fits itself, and not what was stated."""
    found = doubts(LOT, nominal={"thickness": 0.0667})

    assert [each.specimen for each in found] == ["a", "b", "c", "d"]
    assert found[0].why == "thickness 50.1 mm, where 66.7 mm is usual nominally."


def test_a_lone_specimen_needs_a_range_or_a_nominal() -> None:
    """With nothing to compare it with, nothing is asked; with a range, its density is judged."""
    lone = foam("x", length="1002")

    assert doubts([lone]) == ()
    (doubt,) = doubts([lone], density_range=(10, 50))
    assert (doubt.field, doubt.value) == ("density", "2.166 kg/m³")
    assert "length 100.2 mm (ten times too large)" in doubt.perhaps


def test_two_that_disagree_are_both_asked_about() -> None:
    """Of two siblings nobody knows which is wrong."""
    assert [each.specimen for each in doubts([foam("a"), foam("b", "108.5")])] == ["a", "b"]


def test_half_a_lot_that_is_wrong_does_not_hide_itself() -> None:
    """Of seven pieces three are ten times too heavy: these are asked about, the four are not."""
    heavy = [replace(each, name=f"{each.name}x", mass_kg=10 * each.values["mass"], keyed={})
             for each in LOT[:3]]  # fmt: skip

    assert [each.specimen for each in doubts([*LOT, *heavy])] == ["ax", "bx", "cx"]


@pytest.mark.parametrize("grams", ["0", "-10.85"])
def test_nothing_weighs_nothing(grams: str) -> None:
    """A mass that is not above zero is asked about, and spoils no sibling's reference."""
    assert asked(foam("x", grams)) == [("x", f"{grams} g", "")]


def test_without_a_mass_sizes_are_compared() -> None:
    """A specimen that was only measured is held against its siblings' sizes."""
    measured = [replace(each, mass_kg=None) for each in (*LOT, foam("x", width="998"))]

    assert [(each.specimen, each.value) for each in doubts(measured)] == [("x", "998 mm")]


def test_a_question_is_in_the_unit_that_was_keyed() -> None:
    """Keyed in inches, asked in inches: the digits that slipped are those that were typed."""
    lot = [
        Specimen(
            name,
            0.024,
            {"side": 0.1016, "other": 0.1016, "height": float(text) * 0.0254},
            {"height": Keyed(Decimal(text), "in")},
        )
        for name, text in [("a", "4.0"), ("b", "4.1"), ("c", "3.9"), ("x", "44.0")]
    ]

    assert [(each.value, each.perhaps) for each in doubts(lot)] == [
        ("44.0 in", "4.0 in (one digit too many)")
    ]


def test_a_mass_carried_over_is_recognised() -> None:
    """The same mass at a specimen of another size is named as a likely origin."""
    other = foam("y", "21.70", thickness="100.2")
    copied = foam("x", "21.70")

    ((_, value, perhaps),) = asked(other, copied)
    assert value == "21.70 g"
    assert perhaps.startswith("carried over from y (length 100.2 mm")
