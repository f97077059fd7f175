"""A workbook's sheets are read as CSV sheets are; what cannot be read is a fault of its cell."""

import datetime as dt
import io
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook  # type: ignore[import-untyped]

from beadwright.demo import write_plant
from beadwright.demo.files import SHEETS
from beadwright.interop.sheets import EmptyRecord, Intake, read
from beadwright.interop.sheets.workbook import Book, letters, open_book
from beadwright.ledger.body import digest_of
from tests.interop.books import save, workbook
from tests.interop.plant import HEADERS, Plant, codes

BAG = "{row},2026-09-01 08:00,B-{row},88-A,Pellmere Resins,F1,882.5,KR"
HEADING = f"id,{HEADERS['bead_receipts']}"
STYLES = {sheet.kind: (sheet.dates[1], sheet.delimiter) for sheet in SHEETS}


def booked(plant: Plant, *touch: Callable[[Any], None], rows: int = 2) -> Intake:
    """Read the plant with its receipts in a workbook whose sheet was touched."""
    folder = plant.write()
    text = "\n".join([HEADING, *(BAG.format(row=row) for row in range(1, rows + 1))])
    workbook(folder / "bags.xlsx", [("Receipts", text)], *touch)
    (folder / "bags.layout.toml").write_text(plant.layout("bead_receipts"), "utf-8")
    return read([folder], EmptyRecord())


def test_the_demonstration_from_workbooks_is_the_same_record(tmp_path: Path) -> None:
    """Every sheet, half of them in one workbook: the drafts are equal, entry for entry."""
    csvs, books = tmp_path / "csv", tmp_path / "books"
    write_plant(1, csvs)
    books.mkdir()
    (books / "plant.toml").write_bytes((csvs / "plant.toml").read_bytes())
    several = Workbook()
    several.remove(several.active)
    for number, file in enumerate(sorted(csvs.glob("*.csv"))):
        style, delimiter = STYLES[file.stem]
        layout = (csvs / f"{file.stem}.layout.toml").read_bytes()
        one = Workbook() if number % 2 else several
        save(one, file.stem, file.read_text("utf-8"), style, delimiter)
        if one is not several:
            one.remove(one.worksheets[0])
            one.save(books / f"{file.stem}.xlsx")
        name = file.stem if one is not several else f"months.{file.stem}"
        (books / f"{name}.layout.toml").write_bytes(layout)
    several.save(books / "months.xlsx")
    expected, found = read([csvs], EmptyRecord()), read([books], EmptyRecord())

    assert not expected.faults
    assert not found.faults
    assert len(found.drafts) > 1000
    assert sorted(map(digest_of, found.drafts)) == sorted(map(digest_of, expected.drafts))


def test_values_are_read_whatever_the_locale_shows(plant: Plant) -> None:
    """A number cell under a decimal comma, a date cell under another date style."""
    layout = plant.layout("bead_receipts").replace('decimal = "."', 'decimal = ","')
    layout = layout.replace("YYYY-MM-DD hh:mm", "DD.MM.YYYY")
    folder = plant.write()
    workbook(folder / "bags.xlsx", [("Receipts", f"{HEADING}\n{BAG.format(row=1)}")])
    (folder / "bags.layout.toml").write_text(layout, "utf-8")
    intake = read([folder], EmptyRecord())
    (draft,) = [one for one in intake.drafts if one.key == "bead_receipts/1"]

    assert not intake.faults
    assert draft == Plant(folder / "..").add("bead_receipts", BAG.format(row=1)).read().drafts[-1]


def test_blank_rows_and_a_title_of_nothing_are_passed_over(plant: Plant) -> None:
    """Rows above, between and below; the number in a fault is the sheet's own."""

    def touch(sheet: Any) -> None:
        sheet.insert_rows(1, 3)
        sheet.insert_rows(6)
        sheet["G7"] = "88o"
        sheet.cell(900, 1).number_format = "0.00"

    intake = booked(plant, touch)
    (fault,) = intake.faults

    assert fault.code == "not_a_number"
    assert fault.where == 'bags.xlsx, cell G7, "mass [lb]"'


@pytest.mark.parametrize(
    ("cell", "value", "shown", "code"),
    [
        ("G3", 0.04, "0.0%", "cell_type"),
        ("G3", 882500, "0.0,", "cell_type"),
        ("G3", dt.datetime(2026, 5, 1), "D.M.", "cell_type"),  # noqa: DTZ001 - a cell has none
        ("G3", dt.timedelta(hours=3), "[h]:mm", "cell_type"),
        ("G3", True, "General", "cell_type"),
        ("G3", "#DIV/0!", "General", "cell_error"),
        ("G3", "=850+32.5", "General", "cell_error"),
        ("B3", 46266.5, "General", "cell_type"),
        ("B3", dt.time(8), "hh:mm", "cell_type"),
        ("C3", dt.datetime(2026, 3, 1), "MMM-D", "cell_type"),  # noqa: DTZ001 - a cell has none
        ("C3", "b 9", "General", "code_invalid"),
        ("J3", "see note", "General", "cell_without_heading"),
        ("A3", 1, "General", "row_repeated"),
        ("A3", None, "General", "row_id_invalid"),
        ("B3", dt.datetime(2026, 3, 8, 2, 30), "D.M.YY h:mm", "time_missing_hour"),  # noqa: DTZ001
    ],
)
def test_a_cell_that_cannot_be_meant_is_a_fault_of_its_own(
    plant: Plant, cell: str, value: object, shown: str, code: str
) -> None:
    """Each is one fault, at its cell."""

    def touch(sheet: Any) -> None:
        sheet[cell] = value
        sheet[cell].number_format = shown

    intake = booked(plant, touch)

    assert codes(intake) == [code]
    assert f"bags.xlsx, cell {cell}" in intake.faults[0].where
    assert intake.faults[0].remedy


def test_merged_cells_are_not_filled(plant: Plant) -> None:
    """The first cell holds the value; the others hold nothing, and say so."""
    intake = booked(plant, lambda sheet: sheet.merge_cells("C2:C3"))
    assert [(one.code, one.where) for one in intake.faults] == [
        ("field_missing", 'bags.xlsx, cell C3, "bag"')
    ]

    intake = booked(plant, lambda sheet: sheet.merge_cells("G1:H1"))
    assert set(codes(intake)) == {"header_missing"}


def test_of_formulas_the_value_is_read(plant: Plant, tmp_path: Path) -> None:
    """As a spreadsheet saves it: formula and value in one cell."""
    booked(plant, lambda sheet: sheet.__setitem__("G3", "=850+32.5"))
    file = tmp_path / "bags.xlsx"
    parts = {}
    with zipfile.ZipFile(file) as archive:
        for name in archive.namelist():
            parts[name] = archive.read(name)
    name = "xl/worksheets/sheet1.xml"
    assert b"<v />" in parts[name] or b"<v></v>" in parts[name] or b"<v/>" in parts[name]
    for empty in (b"<v />", b"<v></v>", b"<v/>"):
        parts[name] = parts[name].replace(empty, b"<v>882.5</v>")
    with zipfile.ZipFile(file, "w") as archive:
        for part, raw in parts.items():
            archive.writestr(part, raw)
    intake = read([tmp_path], EmptyRecord())
    masses = [one.lines[0].mg for one in intake.drafts if one.key.startswith("bead_receipts/")]  # type: ignore[union-attr]

    assert not intake.faults
    assert len(masses) == 2
    assert masses[0] == masses[1]


def test_sheets_of_one_workbook_have_a_layout_each(plant: Plant) -> None:
    """Also where a name holds a blank; an empty sheet needs none, a hidden one is left."""
    folder = plant.write()
    first, second = (f"{HEADING}\n{BAG.format(row=row)}" for row in (1, 2))
    sheets = [("May 1", first), ("May 2", second), ("Sheet3", ""), ("old", "gone,by\n1,2")]
    path = workbook(folder / "bags.xlsx", sheets)
    book = load_workbook(path)
    book["old"].sheet_state = "hidden"
    book.save(path)
    for name in ("May 1", "May 2"):
        layout = folder / f"bags.{name}.layout.toml"
        layout.write_text(plant.layout("bead_receipts"), "utf-8")
    intake = read([folder], EmptyRecord())

    assert not intake.faults
    assert [(one.name, one.rows) for one in intake.files[1:]] == [
        ("bags.xlsx/May 1", 1),
        ("bags.xlsx/May 2", 1),
    ]
    (folder / "bags.old.layout.toml").write_text(plant.layout("bead_receipts"), "utf-8")
    assert codes(read([folder], EmptyRecord())) == ["sheet_hidden"]


def test_a_workbook_left_open_is_read_once(plant: Plant) -> None:
    """The mark that a spreadsheet leaves beside an open file is no workbook."""
    booked(plant)
    (plant.folder / "~$bags.xlsx").write_bytes(b"\x05 user")

    assert not read([plant.folder], EmptyRecord()).faults


def _zip(**parts: str) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in parts.items():
            archive.writestr(name.replace("__", "/") + ".xml", text)
    return out.getvalue()


def _locked() -> bytes:
    return b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504) + "EncryptedPackage".encode("utf-16-le")


@pytest.mark.parametrize(
    ("raw", "code"),
    [
        (b"", "file_empty"),
        (b"row,received\n1,2\n", "book_damaged"),
        (b"PK\x03\x04\x14\x00", "book_damaged"),
        (_zip(xl__workbook="<workbook/>"), "book_damaged"),
        (_zip(xl__workbook="<!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>"), "book_damaged"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504), "book_damaged"),
        (_locked(), "book_locked"),
        (_zip(xl__worksheets__sheet1=" " * (300 << 20)), "book_too_large"),
    ],
    ids=["empty", "text", "stump", "part", "entities", "old", "locked", "bomb"],
)
def test_a_file_that_is_no_workbook_says_what_it_is(plant: Plant, raw: bytes, code: str) -> None:
    """Never a traceback, and no unpacking of what nobody typed."""
    folder = plant.write()
    (folder / "bags.xlsx").write_bytes(raw)
    intake = read([folder], EmptyRecord())

    assert codes(intake) == [code]
    assert intake.faults[0].where == "bags.xlsx"


def _resaved(file: Path, sheet: str) -> None:
    """Put another sheet's text into a workbook."""
    with zipfile.ZipFile(file) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    parts["xl/worksheets/sheet1.xml"] = sheet.encode()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, raw in parts.items():
            archive.writestr(name, raw)


@pytest.mark.parametrize(
    "rows",
    ["<row/>" * 10_000_000, '<row r="2"/><row r="900000000"><c t="n"><v>1</v></c></row>'],
    ids=["ten million", "far below"],
)
def test_more_rows_than_a_sheet_has_are_refused(plant: Plant, rows: str) -> None:
    """Whether written out or only numbered."""
    booked(plant)
    space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    cells = "".join(f'<c t="str"><v>{name}</v></c>' for name in HEADING.split(","))
    head = f'<row r="1">{cells}</row>'
    rows = f'<worksheet xmlns="{space}"><sheetData>{head}{rows}</sheetData></worksheet>'
    _resaved(plant.folder / "bags.xlsx", rows)

    assert codes(read([plant.folder], EmptyRecord())) == ["book_too_large"]


def test_the_size_a_workbook_states_is_not_believed(plant: Plant) -> None:
    """A stated extent of one row hides no other."""
    booked(plant, rows=3)
    file = plant.folder / "bags.xlsx"
    with zipfile.ZipFile(file) as archive:
        text = archive.read("xl/worksheets/sheet1.xml").decode()
    assert 'ref="A1:H4"' in text
    _resaved(file, text.replace('ref="A1:H4"', 'ref="A1:H2"'))

    assert read([plant.folder], EmptyRecord()).files[-1].rows == 3


@given(st.data())
def test_no_damage_raises(data: st.DataObject) -> None:
    """Bytes cut, changed or put in: a workbook or a fault comes back, never an exception."""
    import tempfile  # noqa: PLC0415 - Hypothesis gives no folder of its own

    out = io.BytesIO()
    book = Workbook()
    book.active.append(["id", "mass [kg]"])
    book.active.append([1, 2.5])
    book.save(out)
    raw = bytearray(out.getvalue())
    at = data.draw(st.integers(0, len(raw) - 1))
    raw[at : at + data.draw(st.integers(0, 40))] = data.draw(st.binary(max_size=40))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.xlsx"
        path.write_bytes(raw)
        found = open_book(path, "a.xlsx")
        if isinstance(found, Book):
            for tab in found.shown:
                list(found.rows(tab, "a.xlsx", []))


@given(st.integers(0, 16_383))
def test_letters_name_columns_as_the_library_does(index: int) -> None:
    """Against openpyxl's own."""
    from openpyxl.utils import get_column_letter  # type: ignore[import-untyped]  # noqa: PLC0415

    assert letters(index) == get_column_letter(index + 1)
