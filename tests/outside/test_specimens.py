"""Real weighings of a laboratory: their densities, and the two that cannot be."""

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from beadwright.lab import Keyed, Specimen, box_volume, cylinder_volume, doubts, specimen_density
from beadwright.units import parse_number, split_header, to_si
from tests.outside.printed import agrees

SHEET = Path(__file__).parent / "data" / "specimens" / "specimens.csv"
IMPOSSIBLE = {"mix-1-3", "older-4"}
# pi to 20 digits, so that the second arithmetic owes nothing to the first.
PI = Fraction("3.14159265358979323846")


def rows() -> list[dict[str, str]]:
    """The sheet as text."""
    with SHEET.open(encoding="utf-8", newline="") as sheet:
        return list(csv.DictReader(sheet, delimiter=";"))


def keyed(row: dict[str, str]) -> dict[str, Keyed]:
    """The numbers of a row with the units of their headers."""
    cells = [(*split_header(header), text) for header, text in row.items()]
    return {
        name: Keyed(parse_number(text, decimal=","), unit)
        for name, unit, text in cells
        if unit and text
    }


def specimen(row: dict[str, str], **typed: str) -> Specimen:
    """A row as a specimen; ``typed`` overwrites a number, as another slip would."""
    numbers = keyed(row)
    for name, text in typed.items():
        numbers[name] = Keyed(parse_number(text, decimal=","), numbers[name].unit)
    dims = {
        name: float(to_si(each.number, each.unit, "length"))
        for name, each in numbers.items()
        if name != "mass"
    }
    mass = numbers["mass"]
    return Specimen(row["specimen"], float(to_si(mass.number, mass.unit, "mass")), dims, numbers)


def exact_density(row: dict[str, str]) -> Fraction:
    """Kilograms per cubic metre from the sheet's own texts, in fractions: g/mm³ times 10^6."""
    text = {header: Fraction(cell.replace(",", ".")) for header, cell in row.items()
            if header.endswith("]") and cell}  # fmt: skip
    mass = text.pop("mass [g]")
    diameter = text.pop("diameter [mm]", None)
    volume = PI / 4 * diameter**2 if diameter else Fraction(1)
    for size in text.values():
        volume *= size
    return mass / volume * 10**6


def test_the_sheet_is_whole() -> None:
    """[load-frame-specimens] Four lots of six cubes, and five older cylinders."""
    lots = [row["lot"] for row in rows()]

    assert {lot: lots.count(lot) for lot in lots} == {
        "mix-1": 6,
        "mix-3": 6,
        "mix-5": 6,
        "mix-7": 6,
        "older": 5,
    }


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["specimen"])
def test_a_density_is_the_one_by_hand(row: dict[str, str]) -> None:
    """[load-frame-specimens] Read with decimal comma, each density equals exact fractions'."""
    each = specimen(row)

    assert each.density_kg_m3 == pytest.approx(float(exact_density(row)), rel=1e-12)


@pytest.mark.parametrize(
    ("name", "by_hand"),
    [
        ("mix-1-1", "2381.8"),  # 7985 / (150 x 150 x 149)
        ("mix-1-4", "2366.3"),  # 7784 / (150 x 150 x 146.2)
        ("mix-7-3", "2340.5"),  # 7873 / (150 x 150 x 149.5)
        ("older-1", "2484.3"),  # 1957 / (7853.98 x 100.3)
        ("older-5", "2324.4"),  # 5328 / (7635.63 x 300.2)
    ],
)
def test_a_density_by_pocket_calculator(name: str, by_hand: str) -> None:
    """[load-frame-specimens] Five rows worked on paper, one shape and one lot after another."""
    row = next(each for each in rows() if each["specimen"] == name)
    each = specimen(row)
    sizes = each.dims
    volume = (
        cylinder_volume(sizes["diameter"], sizes.get("height", sizes.get("length", 0.0)))
        if "diameter" in sizes
        else box_volume(sizes["length"], sizes["width"], sizes["height"])
    )

    assert each.mass_kg
    assert agrees(float(specimen_density(each.mass_kg, volume)), by_hand)


@pytest.mark.parametrize("density_range", [None, (2000.0, 2700.0)])
def test_exactly_the_impossible_ones_are_asked_about(
    density_range: tuple[float, float] | None,
) -> None:
    """[load-frame-specimens] 1148 mm and 5328 g are asked about by value, no other row is."""
    found = doubts([specimen(row) for row in rows()], density_range=density_range)

    assert [(each.specimen, each.field, each.value) for each in found] == [
        ("mix-1-3", "length", "1148 mm"),
        ("older-4", "mass", "5328 g"),
    ]
    assert found[0].perhaps == "148 mm (one digit too many)"
    assert found[1].perhaps == (
        "carried over from older-5 (length 300.2 mm, diameter 98.6 mm), which has the same mass; "
        "98.6 mm, here the height, is the diameter there"
    )


@pytest.mark.parametrize("lot", ["mix-1", "mix-3", "mix-5", "mix-7", "older"])
def test_each_lot_alone_is_asked_the_same(lot: str) -> None:
    """[load-frame-specimens] Six siblings are enough to tell; the answer does not need the rest."""
    members = [specimen(row) for row in rows() if row["lot"] == lot]
    asked = {each.specimen for each in doubts(members)}

    assert asked == IMPOSSIBLE & {each.name for each in members}


def test_each_specimen_alone_is_judged_by_its_density() -> None:
    """[load-frame-specimens] Without siblings a range of densities finds the same two."""
    asked = {
        doubt.specimen
        for row in rows()
        for doubt in doubts([specimen(row)], density_range=(2000, 2700))
    }

    assert asked == IMPOSSIBLE


@pytest.mark.parametrize(
    ("name", "typed", "value", "perhaps"),
    [
        ("mix-3-5", {"mass": "783"}, "783 g", "7830 g (ten times too small)"),
        (
            "mix-3-5",
            {"mass": "77830"},
            "77830 g",
            "7783 g (ten times too large) or 7830 g (one digit too many)",
        ),
        ("mix-1-4", {"length": "46,2"}, "46.2 mm", "146.2 mm (one digit lost)"),
        ("mix-1-4", {"length": "14,62"}, "14.62 mm", "146.2 mm (ten times too small)"),
        (
            "older-5",
            {"length": "98,6", "diameter": "300,2"},
            "98.6 mm",
            "length 300.2 mm and diameter 98.6 mm (exchanged)",
        ),
    ],
)
def test_a_planted_slip_is_asked_about_too(
    name: str, typed: dict[str, str], value: str, perhaps: str
) -> None:
    """A lost digit, one too many, a decimal sign, an exchange: planted by us in the real rows."""
    lot = [specimen(row, **(typed if row["specimen"] == name else {})) for row in rows()]
    found = {each.specimen: each for each in doubts(lot, density_range=(2000, 2700))}

    assert set(found) == IMPOSSIBLE | {name}
    assert (found[name].value, found[name].perhaps) == (value, perhaps)
