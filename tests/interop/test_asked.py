"""What a layout leaves out: taken where only one reading fits, asked where several do."""

from pathlib import Path

import pytest

from beadwright.interop.sheets import EmptyRecord, Intake, read
from tests.interop.books import workbook
from tests.interop.plant import HEADERS, Plant, codes

ROW = "{row},{received},B-{row},88-A,Pellmere Resins,F1,{mass},KR"
HEADING = f"id,{HEADERS['bead_receipts']}"


def receipts(plant: Plant, *cells: tuple[str, str], layout: str = 'row = "id"', sign: str = ";",
             encoding: str = "utf-8") -> Intake:  # fmt: skip
    """Read receipts given by date and mass, and what their layout states."""
    folder = plant.write()
    rows = [
        ROW.format(row=number, received=received, mass=mass.replace(",", "\0"))
        for number, (received, mass) in enumerate(cells, start=1)
    ]
    text = "\n".join([HEADING, *rows, ""]).replace(",", sign)
    quoted = '"{}"' if sign == "," else "{}"
    for _, mass in cells:
        text = text.replace(mass.replace(",", "\0"), quoted.format(mass))
    (folder / "bags.csv").write_bytes(text.encode(encoding))
    (folder / "bags.layout.toml").write_text(layout, "utf-8")
    return read([folder], EmptyRecord())


def taken(intake: Intake) -> dict[str, str]:
    """What was taken, by key."""
    return {one.key: one.value for one in intake.taken}


@pytest.mark.parametrize("sign", [",", ";", "\t"])
def test_what_only_one_reading_fits_is_taken_and_said(plant: Plant, sign: str) -> None:
    """Kind, delimiter, decimal sign, date style; the plant's zone."""
    cells = (("13/09/2026 08:00", "1.148,5"), ("01/10/2026 08:30", "882"))
    intake = receipts(plant, *cells, sign=sign)
    (first, second) = [one for one in intake.drafts if one.key.startswith("bead_receipts/")]

    assert not intake.faults
    assert taken(intake) == {
        "zone": "America/Chicago",
        "delimiter": sign,
        "sheet": "bead_receipts",
        "decimal": ",",
        "thousands": ".",
        "dates": "DD/MM/YYYY hh:mm",
    }
    assert {one.file for one in intake.taken} == {"bags.csv"}
    (why,) = [one.because for one in intake.taken if one.key == "dates"]
    assert why == '"13/09/2026 08:00" (row 2, "received") leaves no other'
    expected = Plant(plant.folder / "..").add(
        "bead_receipts",
        ROW.format(row=1, received="2026-09-13 08:00", mass="1148.5"),
        ROW.format(row=2, received="2026-10-01 08:30", mass="882"),
    )
    assert [first, second] == list(expected.read().drafts[-2:])


def test_what_several_readings_fit_is_asked(plant: Plant) -> None:
    """One fault for each open question, each with its readings and an example."""
    cells = (("03/10/2026 08:00", "1.148"), ("05/10/2026 08:30", "882"))
    intake = receipts(plant, *cells)

    assert codes(intake) == ["layout_open", "layout_open"]
    decimal, dates = intake.faults
    assert decimal.where == 'bags.csv, "decimal"'
    assert '"1.148" (row 2, "mass [lb]") is 1.148 or 1148' in decimal.what
    assert '--decimal "." (1.148) or --decimal "," (1148)' in decimal.remedy
    assert dates.where == 'bags.csv, "dates"'
    assert '"03/10/2026 08:00" (row 2, "received") is 3 October 2026 or 10 March 2026' in dates.what
    assert "beadwright layout" in dates.remedy
    assert '--dates "DD/MM/YYYY hh:mm" (3 October 2026)' in dates.remedy
    assert '--dates "MM/DD/YYYY hh:mm" (10 March 2026)' in dates.remedy


def test_an_answer_stated_is_not_asked_again(plant: Plant) -> None:
    """Nor does the sheet have to decide it."""
    cells = (("10/03/2026 08:00", "1.148"),)
    layout = 'row = "id"\ndecimal = ","\nthousands = "."\ndates = "MM/DD/YYYY hh:mm"'
    intake = receipts(plant, *cells, layout=layout)

    assert not intake.faults
    assert set(taken(intake)) == {"zone", "delimiter", "sheet"}


def test_a_sheet_without_a_layout_is_read_by_its_headings(plant: Plant) -> None:
    """The column of row ids is asked; without one, nothing is open."""
    rows = [ROW.format(row=row, received="2026-09-13 08:00", mass="880") for row in (1, 2)]
    folder = plant.add("bead_receipts", *rows).write()
    (folder / "bead_receipts.layout.toml").unlink()
    (fault,) = read([folder], EmptyRecord()).faults
    assert fault.code == "layout_open"
    assert 'it may be "id" ("1", …), or none' in fault.what
    assert '--row id or --row ""' in fault.remedy

    sheet = folder / "bead_receipts.csv"
    lines = sheet.read_text("utf-8").splitlines()
    sheet.write_text("\n".join(line.partition(",")[2] for line in lines), "utf-8")
    intake = read([folder], EmptyRecord())
    assert not intake.faults
    assert taken(intake)["row"] == ""


def test_headings_of_two_kinds_are_asked_about(plant: Plant) -> None:
    """A sheet of specimens may be one of inspections."""
    folder = plant.write()
    text = "at,lot,specimen,mass [g],by\n2026-09-13 08:00,L-1,S-1,20,KR\n"
    (folder / "lab.csv").write_text(text, "utf-8")
    (fault,) = read([folder], EmptyRecord()).faults

    assert fault.code == "layout_open"
    assert "--sheet inspections or --sheet specimens" in fault.remedy


def test_rows_written_in_two_ways_are_told(plant: Plant) -> None:
    """With the first text that fits none of the ways left."""
    cells = (("13/09/2026 08:00", "880"), ("09/14/2026 08:00", "880"), ("x", "1,5"), ("y", "1.5"))
    intake = receipts(plant, *cells)

    assert [(one.code, one.where) for one in intake.faults] == [
        ("layout_unfit", 'bags.csv, row 5, "mass [lb]"'),
        ("layout_unfit", 'bags.csv, row 3, "received"'),
    ]


def test_a_slip_is_a_fault_of_its_cell(plant: Plant) -> None:
    """It leaves the layout alone."""
    cells = (("13/09/2026 08:00", "88o"), ("31/09/2026 08:00", "880,5"))
    intake = receipts(plant, *cells)

    assert codes(intake) == ["not_a_number", "time_invalid"]
    assert taken(intake)["decimal"] == ","


@pytest.mark.parametrize(
    ("encoding", "expected"), [("utf-8", "utf-8"), ("utf-16", "utf-16"), ("cp1252", "")]
)
def test_an_encoding_is_taken_or_asked(plant: Plant, encoding: str, expected: str) -> None:
    """One-byte encodings read the same bytes in several ways."""
    folder = plant.write()
    text = f"{HEADING}\n" + ROW.format(row=1, received="2026-09-13 08:00", mass="880")
    text = text.replace("Pellmere", "Pellmère")
    (folder / "bags.csv").write_bytes(text.encode(encoding))
    (folder / "bags.layout.toml").write_text('row = "id"', "utf-8")
    intake = read([folder], EmptyRecord())

    assert taken(intake).get("encoding", "") == expected
    assert codes(intake) == ([] if expected else ["layout_open"])
    if not expected:
        assert "Pellmère" in intake.faults[0].what
        assert "--encoding cp1252" in intake.faults[0].remedy


def test_corrected_values_are_looked_at_too(plant: Plant) -> None:
    """The sheet of corrections has no other number to tell its decimal sign by."""
    folder = plant.ground().write()
    text = (
        "id,at,sheet,row,field,value,reason,by\n1,2026-09-20 08:00,bead_receipts,1,mass,{},x,EI\n"
    )
    (folder / "corrections.layout.toml").write_text('row = "id"', "utf-8")
    for value in ("1.148 lb", "1.148"):
        (folder / "corrections.csv").write_text(text.format(value), "utf-8")
        (fault,) = read([folder], EmptyRecord()).faults
        assert (fault.code, fault.where) == ("layout_open", 'corrections.csv, "decimal"')
    (folder / "corrections.csv").write_text(text.format("1148.5 lb"), "utf-8")
    assert not read([folder], EmptyRecord()).faults


def test_of_a_workbook_only_its_texts_can_be_open(plant: Plant) -> None:
    """Number and date cells are what they are."""
    folder = plant.write()
    text = f"{HEADING}\n" + ROW.format(row=1, received="2026-09-13 08:00", mass="1148.500")
    path = folder / "bags.xlsx"
    workbook(path, [("Bags", text)])
    (folder / "bags.layout.toml").write_text('row = "id"', "utf-8")
    assert not read([folder], EmptyRecord()).faults

    workbook(path, [("Bags", text)], lambda sheet: sheet.__setitem__("G2", "1.148"))
    (fault,) = read([folder], EmptyRecord()).faults
    assert '"1.148" (cell G2, "mass [lb]") is 1.148 or 1148' in fault.what
    assert "--tab" not in fault.remedy

    workbook(path, [("Bags", text), ("More", text)])
    (folder / "bags.Bags.layout.toml").write_text('row = "id"', "utf-8")
    (fault,) = read([folder], EmptyRecord()).faults
    assert "bags.xlsx --tab More` with --row id" in fault.remedy


def test_without_a_plant_the_zone_is_wanted(tmp_path: Path) -> None:
    """It is never guessed."""
    plant = Plant(tmp_path).add(
        "bead_receipts", ROW.format(row=1, received="2026-09-13 08:00", mass="880")
    )
    plant.layouts["bead_receipts"] = plant.layout("bead_receipts").replace(
        'zone = "America/Chicago"\n', ""
    )
    (fault,) = plant.read(only=["bead_receipts"]).faults

    assert (fault.code, fault.where) == ("layout_invalid", 'bead_receipts.layout.toml, "zone"')


def test_a_thousands_sign_left_out_is_found_beside_a_decimal_sign(plant: Plant) -> None:
    """Where the cells do not agree, each that is not plain is a fault of its own."""
    cells = (("2026-09-13 08:00", "1,148.5"), ("2026-09-13 09:00", "990"))
    layout = 'row = "id"\ndecimal = "."'
    assert taken(receipts(plant, *cells, layout=layout))["thousands"] == ","

    mixed = receipts(plant, *cells, ("2026-09-13 10:00", "1 148.5"), layout=layout)
    assert codes(mixed) == ["not_a_number", "not_a_number"]


_FIRST = "at,press,run,lot,mass,ties,fusion,dimensions,code,by"


@pytest.mark.parametrize(
    ("head", "told"),
    [
        (
            _FIRST.replace(",fusion", ""),
            "its headings come nearest to first_pieces, which needs the column fusion too",
        ),
        (
            _FIRST.replace("fusion", "Welding").replace("ties", "Webs"),
            'which needs the columns ties, fusion too and knows no field "Webs", "Welding"',
        ),
        (f"{_FIRST},Shift,Weather", 'first_pieces, which knows no field "Shift", "Weather"'),
        ("Datum;Menge", "none of its headings is the name of a field"),
    ],
)
@pytest.mark.parametrize("layout", [None, 'dates = "YYYY-MM-DD"'])
def test_headings_that_fit_no_kind_are_named(
    plant: Plant, head: str, told: str, layout: str | None
) -> None:
    """What is missing and what is unknown, of the kind that they come nearest to."""
    folder = plant.write()
    (folder / "first.csv").write_text(f"{head}\n1\n", "utf-8")
    if layout is not None:
        (folder / "first.layout.toml").write_text(layout, "utf-8")

    faults = read([folder], EmptyRecord()).faults

    (fault,) = [one for one in faults if one.code in {"layout_missing", "layout_invalid"}]
    assert fault.what.endswith(told)
    assert ("no layout beside it" in fault.what) == (layout is None)
