"""Sheets of studies: however they are laid out, one study; what is wrong is named, all at once."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import openpyxl  # type: ignore[import-untyped]
import pytest

from beadwright.errors import Misuse, Refusal
from beadwright.interop.studies import compared, destroyed, judged, measured, opened
from beadwright.interop.studies.worked import Asked, study
from beadwright.plant.gauge_studies.crossed import GaugeStudy
from tests.house.tree import ROOT

READINGS = {("1", "A"): ("10.1", "10.2"), ("1", "B"): ("10.3", "10.2"),
            ("2", "A"): ("11.0", "11.1"), ("2", "B"): ("11.4", "11.3")}  # fmt: skip
VALUES = [Decimal(one) for some in READINGS.values() for one in some]


def written(folder: Path, text: str, name: str = "study.csv") -> Path:
    """Write a sheet."""
    path = folder / name
    path.write_text(text, "utf-8")
    return path


def long(head: str = "part,person,trial,value [mm]", sign: str = ".") -> str:
    """Give a long sheet, last row first."""
    rows = [
        (part, person, trial + 1, value.replace(".", sign))
        for (part, person), some in READINGS.items()
        for trial, value in enumerate(some)
    ]
    mark = ";" if sign == "," else ","
    return "\n".join([head.replace(",", mark), *(mark.join(map(str, row)) for row in rows[::-1])])


WIDE = """part\tA 1 [mm]\tA 2 [mm]\tB-1 [mm]\tB trial 2 [mm]
1\t10.1\t10.2\t10.3\t10.2
2\t11.0\t11.1\t11.4\t11.3
"""
BESIDE = """Part,By,trial 1 (mm),trial 2 (mm)
1,A,10.1,10.2
2,A,11.0,11.1
1,B,10.3,10.2
2,B,11.4,11.3
"""
IN_TWO_UNITS = """piece,person,value,unit
1,A,10.1,mm
1,A,1.02,cm
1,B,10.3,mm
1,B,10.2,mm
2,A,11.0,mm
2,A,11.1,mm
2,B,11.4,mm
2,B,11.3,mm
"""


NAMED = long("part,person,trial,height [mm]")


@pytest.mark.parametrize("text", [long(), long(sign=","), NAMED, WIDE, BESIDE, IN_TWO_UNITS])
def test_however_it_is_laid_out_it_is_one_study(text: str, tmp_path: Path) -> None:
    """Long, with decimal commas, all across, a column a trial, in two units of one quantity."""
    found = measured(opened(written(tmp_path, text)))

    assert found.unit == "mm"
    assert (found.cells.parts, found.cells.people, found.cells.trials) == (
        ("1", "2"),
        ("A", "B"),
        2,
    )
    assert list(found.cells.values.values()) == VALUES


def test_a_workbook_is_read_alike(tmp_path: Path) -> None:
    """Numbers in cells need no decimal sign."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(["part", "A 1 [mm]", "A 2 [mm]", "B 1 [mm]", "B 2 [mm]"])
    for part in ("1", "2"):
        values = [*READINGS[part, "A"], *READINGS[part, "B"]]
        sheet.append([int(part), *map(float, values)])
    path = tmp_path / "study.xlsx"
    book.save(path)

    assert list(measured(opened(path)).cells.values.values()) == VALUES


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        (long("part,person,trial,value"), ["unit_missing"]),
        (long("part,person,trial,value [furlong]"), ["unit_unknown"] * 8),
        (IN_TWO_UNITS.replace("cm", "kg"), ["unit_unknown"]),
        (long().replace("10.3", "x"), ["not_a_number"]),
        (long().replace("1,B,2,10.2\n", ""), ["study_incomplete"]),
        (long().replace("1,B,2,", "1,B,1,"), ["study_repeated", "study_incomplete"]),
        (long("part,person,trial,value [mm],colour"), ["header_unknown"]),
        (long("part,whom,trial,value [mm]"), ["header_missing"]),
        ("part,A 1 [mm],weather\n1,2,3\n", ["header_unknown"]),
        ("part,piece,value [mm]\n1,2,3\n", ["header_repeated"]),
        ("part,person,value [mm]\n", ["file_empty"]),
        ("part,person,value [mm]\n1,A,2\n1,B,3\n", ["study_small", "study_small"]),
        ("part;person;value [g]\n1;A;1,234\n1;A;1,235\n2;A;2,345\n2;A;2,346\n", ["layout_open"]),
    ],
)
def test_what_is_wrong_is_named(text: str, codes: list[str], tmp_path: Path) -> None:
    """With a code, and nothing is worked out."""
    with pytest.raises(Refusal) as refused:
        measured(opened(written(tmp_path, text)))

    assert list(refused.value.codes) == codes


def test_a_comma_that_may_part_thousands_can_be_told(tmp_path: Path) -> None:
    """Who says which it is gets the study."""
    text = "part;person;value [g]\n1;A;1,234\n1;A;1,235\n2;A;2,345\n2;A;2,346\n"
    found = measured(opened(written(tmp_path, text)), decimal=",")

    assert found.cells.values[0, 0, 0] == Decimal("1.234")


def test_judgements_are_read_with_their_reference(tmp_path: Path) -> None:
    """Whatever words the plant writes; a reference that contradicts itself is a fault."""
    text = "piece,person,result,reference\n1,A,OK,pass\n1,A,nok,\n2,A,fail,fail\n2,A,no-go,fail\n"
    found = judged(opened(written(tmp_path, text)))

    assert found.good == (True, False)
    assert [found.cells.values[i, 0, k] for i in (0, 1) for k in (0, 1)] == [
        True, False, False, False,
    ]  # fmt: skip
    with pytest.raises(Refusal, match="good in one row and bad in another"):
        judged(opened(written(tmp_path, text.replace("no-go,fail", "no-go,pass"))))
    with pytest.raises(Refusal, match="neither pass nor fail"):
        judged(opened(written(tmp_path, text.replace("no-go", "perhaps"))))


def test_parts_that_testing_destroys_are_one_persons(tmp_path: Path) -> None:
    """Each as many; a part that two tested is a fault, and so is one that is short."""
    rows = [f"{who}{part},{who},{part}.{n}" for who in "AB" for part in (1, 2) for n in (1, 2)]
    text = "\n".join(["part,person,strength [kPa]", *rows])
    found = destroyed(opened(written(tmp_path, text)))

    assert found.cells.people == ("A", "B")
    assert found.cells.parts == (("A1", "A2"), ("B1", "B2"))
    assert found.cells.values[1].tolist() == [[1.1, 1.2], [2.1, 2.2]]
    with pytest.raises(Refusal, match="part A1 is A's and B's"):
        destroyed(opened(written(tmp_path, text.replace("B1,", "A1,"))))
    with pytest.raises(Refusal, match="B has 1 of 2 specimens of part B2"):
        destroyed(opened(written(tmp_path, text.removesuffix("\nB2,B,2.2"))))


def test_laboratories_are_read_level_by_level(tmp_path: Path) -> None:
    """One that has fewer results than the others is named."""
    rows = [f"{level},{lab},{lab}.{n}" for level in "12" for lab in (1, 2, 3) for n in (1, 2)]
    text = "\n".join(["level,lab,value [kPa]", *rows])
    found = compared(opened(written(tmp_path, text)))

    assert [one.name for one in found.levels] == ["1", "2"]
    assert found.levels[0].results[2] == (Decimal("3.1"), Decimal("3.2"))
    with pytest.raises(Refusal, match="laboratory 3 has 1 of 2 results of level 2"):
        compared(opened(written(tmp_path, text.removesuffix("\n2,3,3.2"))))


def test_a_tolerance_is_turned_into_the_sheets_unit() -> None:
    """In inches for millimetres; of mass for a length is refused, and so is one of a jig."""
    path = ROOT / "docs" / "samples" / "heights.csv"
    found, _ = study(path, Asked(tolerance="15.96..16.04 in"))

    assert isinstance(found, GaugeStudy)
    assert found.tolerance is not None
    assert found.tolerance.width == pytest.approx(0.08 * 25.4)
    for asked, words in (
        (Asked(tolerance="1..2 kg"), "no unit of what was measured"),
        (Asked(tolerance="2..1 mm"), "low end"),
        (Asked(tolerance="2 mm"), "LOW..HIGH UNIT"),
        (Asked("jig", tolerance="1..2 mm"), "gauge study alone"),
        (Asked(decimal="'"), "no decimal sign"),
    ):
        with pytest.raises(Misuse, match=words):
            study(path, asked)
