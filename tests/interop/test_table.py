"""Every fault of every file is listed at once, with file, row, field, value and remedy."""

import zipfile
from decimal import Decimal
from typing import Literal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from beadwright.interop.sheets import EmptyRecord, Intake, read
from beadwright.interop.sheets.cells import Field, Measure, Sort, recalled, written
from beadwright.interop.sheets.clock import Clock
from beadwright.interop.sheets.layout import Layout
from beadwright.interop.sheets.table import cell_reader
from tests.interop.plant import Plant, codes

BAG = "2026-09-01 08:00,{bag},88-A,Pellmere Resins,{grade},{mass},{by}"


RUN = "2,E-2,2026-09-01 12:00,2026-09-01 13:00,"


def bag(row: str, **cells: str) -> str:
    """A row of the bead receipts."""
    return f"{row}," + BAG.format(
        **{"bag": "B-9", "grade": "F1", "mass": "880", "by": "KR", **cells}
    )


def test_all_bad_rows_are_listed_at_once(plant: Plant) -> None:
    """Rows of several files; nothing is raised one by one."""
    plant.add(
        "bead_receipts",
        bag("1", bag="B-1"),
        bag("2", bag="B-2", mass="-5"),
        bag("3", bag="B 3"),
        bag("4", bag="B-4", grade="F9"),
        bag("5", bag="B-5", mass="88o"),
        bag("6", bag="B-6", by="XX"),
        bag("6", bag="B-7"),
        bag("7", bag="B-1"),
        bag("", bag="B-8"),
        bag("8", bag="B-9", mass=""),
        "9,2026-09-01 08:00,B-10",
    )
    plant.add("silo_moves", "1,2026-09-02 06:00,transfer,S9,H1,180,,,DS")
    intake = plant.read()

    assert codes(intake) == [
        "negative",
        "code_invalid",
        "unknown_grade",
        "not_a_number",
        "unknown_person",
        "row_repeated",
        "lot_repeated",
        "row_id_invalid",
        "field_missing",
        "cells_wrong",
        "unknown_lot",
    ]
    assert str(intake.faults[0]) == (
        'negative: -5 is below zero. bead_receipts.csv, row 3, "mass [lb]". Correct the value.'
    )
    assert [summary.rows for summary in intake.files] == [17, 11, 1]


def test_one_bad_row_makes_no_others_bad(plant: Plant) -> None:
    """Rows that use a lot whose own row is bad are not called unknown."""
    plant.ground()
    plant.sheets["bead_receipts"][0] = bag("1", bag="B-1", mass="no")
    plant.sheets["tie_receipts"][0] = "1,2026-09-01 09:00,C-1,T-7,,T6,1200,0.x,KR"
    plant.add(
        "mould_runs",
        "1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6X,H1,C-1,L-1,5,20,0,1.5,,,,KR",
    )
    plant.add("bundles", "1,2026-09-03 08:00,U-1,L-1,20,KR")
    plant.add("shipments", "1,2026-09-04 08:00,D-1,QUILLSTONE SITE 4,U-1,20,KR")

    assert codes(plant.read()) == ["not_a_number", "unknown_product", "not_a_number"]


@pytest.mark.parametrize("kind", ["bead_receipts", "tie_receipts", "expansion_runs"])
def test_a_sheet_that_cannot_be_read_blames_no_other(ground: Plant, kind: str) -> None:
    """What stands in it is not called unknown elsewhere."""
    ground.add(
        "mould_runs",
        "1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1,5,20,0,1.5,,,,KR",
    )
    ground.layouts[kind] = 'sheet = "unclear"\n'

    assert {fault.code for fault in ground.read().faults} == {"layout_invalid"}


def test_settings_that_cannot_be_read_blame_no_sheet(ground: Plant) -> None:
    """Nor are people and products unknown because their file is at fault."""
    ground.settings = ground.settings.replace('family = "form"', 'family = "block"')
    assert codes(ground.read()) == ["setting_invalid"]

    ground.settings = "[plant"
    assert codes(ground.read()) == ["toml_invalid"]


@pytest.mark.parametrize(
    ("kind", "row", "code"),
    [
        ("expansion_runs", RUN.replace("13:00", "11:00") + "B-1,9,1,,S1,,,DS", "time_backwards"),
        ("expansion_runs", RUN + "B-1,9,1,,S1,,10,DS", "loss_too_large"),
        ("expansion_runs", RUN + "C-1,9,1,,S1,,,DS", "wrong_kind"),
        ("expansion_runs", RUN + "B-1,9,1,,S9,,,DS", "unknown_place"),
        ("expansion_runs", RUN + "B-1,9,1,,FP1,,,DS", "place_without_content"),
        ("expansion_runs", RUN + "B-1,9,1.5,,S1,,,DS", "count_not_whole"),
        ("expansion_runs", RUN + "B-1,0,1,,S1,,,DS", "not_positive"),
        ("cups", "2,2026-09-01 12:00,,S1,warm,221,10,,DS", "choice_unknown"),
        ("silo_moves", "2,2026-09-02 06:00,transfer,S1,,180,,,DS", "field_missing"),
        ("silo_moves", "2,2026-09-02 06:00,transfer,S1,H1,0,,,DS", "not_positive"),
        ("tie_receipts", "2,2026-09-01 09:00,C-2,T-7,,F1,1200,0.6,KR", "wrong_kind"),
        ("reclaim", "2,2026-09-01 09:00,grind,B-7,R-1,4,,KR", "unknown_lot"),
        ("reclaim", "2,2026-09-01 09:00,grind,B-1,,4,,KR", "field_missing"),
        ("reclaim", "2,2026-09-01 09:00,grind,B-1,R-1,4,1,KR", "ties_without_place"),
        ("reclaim", "2,2026-09-01 09:00,strip,B-1,R-1,4,5,KR", "loss_too_large"),
        ("reclaim", "2,2026-09-01 09:00,grind,B-1,C-1,4,,KR", "wrong_kind"),
        ("reclaim", "2,2026-09-01 09:30,dispose,C-1,,4,,KR", "field_missing"),
        ("bundles", "2,2026-09-01 09:00,U-1,B-1,4,KR", "not_counted"),
        ("shipments", "2,2026-09-01 09:00,D-1,YARD,L-9,4,KR", "unknown_lot"),
        ("inspections", "2,2026-09-02 09:30,B-1,,1,press,3,,,,,,,,,,,,KR", "wrong_kind"),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_a_bad_row(ground: Plant, kind: str, row: str, code: str) -> None:
    """Each names its code and stands in its own file and row."""
    intake = ground.add(kind, row).read()

    assert codes(intake) == [code]
    assert intake.faults[0].where.startswith(f"{kind}.csv, row {len(ground.sheets[kind]) + 1}")
    assert intake.faults[0].remedy


@pytest.mark.parametrize(
    ("cells", "code"),
    [
        ("FB6S,H1,,L-1,5,20,0,1.5,,,", "field_missing"),
        ("PKC,H1,C-1,L-1,5,20,0,0.31,,,", "ties_without_place"),
        ("FB6S,H1,C-1,L-1,5,20,1,1.5,,,", "field_missing"),
        ("FB6S,H1,C-1,L-1,5,0,0,1.5,,,", "row_empty"),
        ("FB6S,B-1,C-1,L-1,5,20,0,1.5,,,", "wrong_kind"),
        ("FB6S,H1,B-1,L-1,5,20,0,1.5,,,", "wrong_kind"),
        ("FB6S,H1,C-1,B-1,5,20,0,1.5,,,", "wrong_kind"),
    ],
)
def test_a_mould_row_must_add_up(ground: Plant, cells: str, code: str) -> None:
    """Foam, ties, blocks and scrap each come from somewhere and go somewhere."""
    ground.add("mould_runs", f"1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,{cells},KR")

    assert codes(ground.read()) == [code]


def test_a_lot_is_of_one_product(ground: Plant) -> None:
    """The second row says which product the lot has."""
    start = "2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4"
    ground.add(
        "mould_runs",
        f"1,M-1,{start},FB6S,H1,C-1,L-1,5,20,0,1.5,,,,KR",
        f"2,M-1,{start},PKC,H1,,L-1,5,20,0,0.31,,,,KR",
    )
    intake = ground.read()

    assert codes(intake) == ["lot_of_other_product"]
    assert "FB6S" in intake.faults[0].what


def test_a_setting_counts_from_its_day(ground: Plant) -> None:
    """A row older than the settings says so, and not that the grade is unknown."""
    ground.sheets["bead_receipts"][0] = bag("1", bag="B-1").replace("09-01", "08-31")
    fault = ground.read().faults[0]

    assert fault.code == "unknown_grade"
    assert "not yet set" in fault.what


def header(plant: Plant, text: str) -> Intake:
    """Read the bead receipts under another header row."""
    plant.layouts["bead_receipts"] = plant.layout("bead_receipts")
    plant.headers["bead_receipts"] = text
    plant.add("bead_receipts", *(bag("1"), bag("2")))
    return plant.read()


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("received,bag,supplier_lot,supplier,grade,mass,by", "unit_missing"),
        ("received,bag,supplier_lot,supplier,grade,mass [ton],by", "unit_unknown"),
        ("received,bag,supplier_lot,supplier,grade,mass [mm],by", "unit_unknown"),
        ("received,bag,supplier_lot,supplier,grade,weight [lb],by", "header_missing"),
        ("received,bag,supplier_lot,supplier,grade,mass [lb],by,remark", "header_unknown"),
        ("received,bag,bag,supplier,grade,mass [lb],by", "header_repeated"),
        ("received;bag;supplier_lot;supplier;grade;mass [lb];by", "header_missing"),
    ],
)
def test_a_header_that_does_not_fit_makes_a_bad_sheet(plant: Plant, text: str, code: str) -> None:
    """It is said once, not for every row."""
    found = codes(header(plant, text))

    assert code in found
    assert not {"field_missing", "cells_wrong"} & set(found)


def test_a_column_may_be_ignored_by_name(plant: Plant) -> None:
    """Then it is not unknown."""
    layout = plant.layout("bead_receipts").replace("[columns]", 'ignore = ["remark"]\n[columns]')
    plant.layouts["bead_receipts"] = layout
    plant.headers["bead_receipts"] += ",remark"
    plant.add("bead_receipts", bag("1") + ",torn at the seam")

    assert not plant.read().faults


def test_a_delimiter_that_is_not_the_layouts_is_said(plant: Plant) -> None:
    """One sentence, and not a list of missing columns."""
    plant.layouts["bead_receipts"] = plant.layout("bead_receipts").replace(
        'delimiter = ","', 'delimiter = ";"'
    )
    intake = plant.add("bead_receipts", bag("1")).read()

    assert codes(intake) == ["delimiter_wrong"]
    assert "commas" in intake.faults[0].remedy


@pytest.mark.parametrize(
    ("raw", "code"),
    [
        (b"", "file_empty"),
        (b" \r\n\n", "file_empty"),
        (b"id,received\n", "header_missing"),
        (b"PK\x03\x04\x14\x00", "file_not_text"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "file_not_text"),
        (b"\xff\xfer\x00o\x00w\x00", "file_not_text"),
        (b"row,\x00\x01", "file_not_text"),
        (b"row,\xe4\n", "file_encoding"),
        (b'row,"received\n1,2\n', "file_not_table"),
    ],
)
def test_a_file_that_is_no_sheet_says_what_it_is(plant: Plant, raw: bytes, code: str) -> None:
    """Corrupt, binary, empty, a renamed spreadsheet: a fault, never a traceback."""
    folder = plant.add("bead_receipts", bag("1")).write()
    (folder / "bead_receipts.csv").write_bytes(raw)
    intake = read([folder], EmptyRecord())

    assert set(codes(intake)) == {code}
    assert "bead_receipts.csv" in intake.faults[0].where


def test_a_renamed_spreadsheet_is_called_one(plant: Plant) -> None:
    """A real zip file, renamed to CSV."""
    folder = plant.add("bead_receipts", bag("1")).write()
    with zipfile.ZipFile(folder / "bead_receipts.csv", "w") as archive:
        archive.writestr("xl/workbook.xml", "<workbook/>")

    assert "spreadsheet" in read([folder], EmptyRecord()).faults[0].what


@example(b"\xfe\xff", "utf-16")
@given(st.binary(max_size=300), st.sampled_from(["utf-8", "latin-1", "cp1252", "utf-16"]))
def test_no_bytes_raise(raw: bytes, encoding: str) -> None:
    """Whatever a file holds, faults come back."""
    import tempfile  # noqa: PLC0415 - Hypothesis gives no folder of its own
    from pathlib import Path  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as name:
        plant = Plant(Path(name)).add("bead_receipts", bag("1"))
        plant.layouts["bead_receipts"] = plant.layout("bead_receipts").replace("utf-8", encoding)
        folder = plant.write()
        (folder / "bead_receipts.csv").write_bytes(raw)

        assert read([folder], EmptyRecord()).faults


def test_utf8_text_under_another_name_is_noticed(plant: Plant) -> None:
    """It would read as rubbish without a word."""
    plant.layouts["bead_receipts"] = plant.layout("bead_receipts").replace("utf-8", "latin-1")
    plant.add("bead_receipts", bag("1").replace("Pellmere", "Pellmère"))

    assert codes(plant.read()) == ["file_encoding"]


def test_a_byte_order_mark_is_no_part_of_the_header(plant: Plant) -> None:
    """Spreadsheets write one before UTF-8 text."""
    folder = plant.add("bead_receipts", bag("1")).write()
    file = folder / "bead_receipts.csv"
    file.write_bytes(b"\xef\xbb\xbf" + file.read_bytes().replace(b"\n", b"\r\n"))

    assert not read([folder], EmptyRecord()).faults


def test_what_is_missing_or_stands_beside_is_said(plant: Plant) -> None:
    """A path that is not there, a sheet without layout, a folder without sheets."""
    folder = plant.add("bead_receipts", bag("1")).write()
    sheet = folder / "bead_receipts.csv"
    sheet.write_text(sheet.read_text("utf-8").replace("received", "Eingang"), "utf-8")
    (folder / "bead_receipts.layout.toml").unlink()
    (folder / "empty").mkdir()
    intake = read([folder, folder / "gone.csv", folder / "empty"], EmptyRecord())

    assert sorted(codes(intake)) == ["file_missing", "folder_empty", "layout_missing"]


def test_the_same_row_in_two_exports_is_one_row(plant: Plant) -> None:
    """Exports overlap; the same id with other content is shown."""
    folder = plant.add("bead_receipts", bag("1", bag="B-1"), bag("2", bag="B-2")).write()
    for part in (".csv", ".layout.toml"):
        text = (folder / f"bead_receipts{part}").read_text("utf-8")
        (folder / f"later{part}").write_text(text, "utf-8")
    drafts = read([folder], EmptyRecord()).drafts
    assert [draft.key for draft in drafts if draft.key.startswith("bead")] == [
        "bead_receipts/1",
        "bead_receipts/2",
    ]

    text = (folder / "later.csv").read_text("utf-8").replace("880", "890", 1)
    (folder / "later.csv").write_text(text, "utf-8")
    assert codes(read([folder], EmptyRecord())) == ["row_repeated"]


def test_a_row_without_id_is_known_by_content_and_ordinal(plant: Plant) -> None:
    """Two rows alike are two rows; the same file again gives the same keys."""
    plant.ground()
    plant.layouts["silo_moves"] = plant.layout("silo_moves").replace('row = "id"', 'row = ""')
    plant.layouts["silo_moves"] = plant.layouts["silo_moves"].replace(
        "[columns]", 'ignore = ["id"]\n[columns]'
    )
    plant.add("silo_moves", "2,2026-09-02 06:00,transfer,S1,H1,180,,,DS")
    keys = [draft.key for draft in plant.read().drafts if draft.key.startswith("silo_moves")]

    assert len(keys) == 2
    assert keys[0].removesuffix("-1") == keys[1].removesuffix("-2")
    assert keys == [d.key for d in plant.read().drafts if d.key.startswith("silo_moves")]


LAYOUTS: list[tuple[Literal[".", ","], str]] = [
    (".", ""),
    (".", ","),
    (".", "'"),
    (",", ""),
    (",", "."),
    (",", " "),
]


def layout(decimal: Literal[".", ","], thousands: str) -> Layout:
    """A layout with these signs."""
    clock = Clock("YYYY-MM-DD", "UTC")
    return Layout(
        file="cups.layout.toml",
        sheet="cups",
        encoding="utf-8",
        delimiter=";",
        decimal=decimal,
        thousands=thousands,
        clock=clock,
        row="",
        columns={},
        ignore=frozenset(),
    )


def typed(number: Decimal, decimal: str, thousands: str) -> str:
    """A number as a person types it."""
    return f"{number:,f}".translate({ord(","): thousands, ord("."): decimal})


@given(
    st.decimals(0, 10**9, places=3),
    st.sampled_from(LAYOUTS),
    st.sampled_from(["kg", "lb", "g", "oz"]),
)
def test_a_number_typed_reads_back(
    number: Decimal, signs: tuple[Literal[".", ","], str], unit: str
) -> None:
    """In every pair of signs; and once more from its canonical text."""
    spec = Field("mass", Sort.MASS)
    cell = cell_reader(spec, unit, layout(*signs), lambda _: None)(typed(number, *signs))

    assert isinstance(cell, Measure)
    assert Decimal(cell.text) == number
    assert recalled(spec, written(cell)) == cell


@given(st.decimals(1, 10**6, places=3), st.sampled_from(["lb", "kg"]))
def test_a_sign_that_contradicts_the_layout_is_no_number(number: Decimal, unit: str) -> None:
    """A point under a decimal comma is not guessed at, unless the layout parts thousands so."""
    spec = Field("mass", Sort.MASS)
    reader = cell_reader(spec, unit, layout(",", ""), lambda _: None)

    with pytest.raises(Exception, match="no number with decimal sign"):
        reader(f"{number:f}")
