"""How a sheet is written, at the shell: what is open is answered once and kept beside it."""

import json
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.interop.layouts import keep, source_of
from beadwright.ledger import lots
from tests.cli.shell import Shell
from tests.interop.books import workbook
from tests.interop.plant import PLANT

HEADING = "id;received;bag;supplier_lot;supplier;grade;mass [lb];by"
ROW = "1;03/10/2026 08:00;B-1;88-A;Pellmere Resins;F1;1.148;KR"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A plant whose one sheet has no layout."""
    (tmp_path / "plant.toml").write_text(PLANT, "utf-8")
    (tmp_path / "bags.csv").write_text(f"{HEADING}\n{ROW}\n", "utf-8")
    return tmp_path


@pytest.mark.django_db
def test_open_questions_are_answered_once_and_kept(folder: Path, shell: Shell) -> None:
    """As the import words them; then it takes the sheet, and asks no more."""
    asked = shell("import", str(folder))
    said = " ".join(asked.out.split())
    assert asked.status == 1
    assert lots.plants() == ()
    for part in ("--decimal", "--dates", "--row id", "3 October 2026", "10 March 2026",
                 "1.148 or 1148", "[layout_open]"):  # fmt: skip
        assert part in said

    file = str(folder / "bags.csv")
    first = shell("layout", file, "--decimal", ".", "--row", "id")
    assert first.status == 1
    assert "date style" in first.out
    second = shell("layout", file, "--dates", "DD/MM/YYYY hh:mm")
    assert second.status == 0
    assert tomllib.loads((folder / "bags.layout.toml").read_text("utf-8")) == {
        "decimal": ".", "row": "id", "dates": "DD/MM/YYYY hh:mm"
    }  # fmt: skip

    taken = shell("import", str(folder))
    assert taken.status == 0
    assert "only one reading fits" in taken.out
    assert 'delimiter = ";"' in taken.out
    assert "entries recorded" in taken.out


def test_what_is_stated_taken_and_open_can_be_read_by_a_program(folder: Path, shell: Shell) -> None:
    """Each fact with how it is known."""
    (folder / "bags.layout.toml").write_text('decimal = "."\n', "utf-8")
    told = json.loads(shell("layout", str(folder / "bags.csv"), "--json").out)
    how = {one["key"]: (one["value"], one["how"]) for one in told["facts"]}

    assert how["decimal"] == (".", "stated")
    assert how["delimiter"] == (";", "taken")
    assert how["zone"] == ("America/Chicago", "taken")
    assert not told["complete"]
    assert [one["where"] for one in told["open"]] == ['bags.csv, "row"', 'bags.csv, "dates"']


def test_an_answer_leaves_the_rest_of_the_file_as_it_was(folder: Path, shell: Shell) -> None:
    """Comments, order, tables; a line that was there is replaced, a column added."""
    file = folder / "bags.layout.toml"
    file.write_text('# ours\nrow = "id"  # the scale\'s\n\n[columns]\nbag = "Sack"\n', "utf-8")
    options = ["--row", "Nr", "--delimiter", "tab", "--column", "bag=Bag", "--column", "by=von"]
    shell("layout", str(folder / "bags.csv"), *options)

    assert file.read_text("utf-8") == (
        '# ours\nrow = "Nr"\ndelimiter = "\\t"\n\n[columns]\nbag = "Bag"\nby = "von"\n'
    )


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--decimal", "point"], "decimal"),
        (["--dates", "DD.MM."], "date style"),
        (["--zone", "CST"], "time zone"),
        (["--sheet", "bags"], "sheet kind"),
        (["--thousands", "x"], "thousands"),
        (["--column", "bag"], "FIELD=HEADING"),
        (["--tab", "May"], "--tab"),
    ],
)
def test_what_no_layout_can_state_is_misuse(
    folder: Path, shell: Shell, options: list[str], said: str
) -> None:
    """And nothing is written."""
    told = shell("layout", str(folder / "bags.csv"), *options)

    assert told.status == 2
    assert said in told.err
    assert not (folder / "bags.layout.toml").exists()


def test_a_file_that_is_no_sheet_is_misuse(folder: Path, shell: Shell) -> None:
    """A path that is not there, a folder, settings."""
    for name in ("gone.csv", ".", "plant.toml"):
        told = shell("layout", str(folder / name))
        assert (told.status, told.out) == (2, "")


def test_of_a_workbook_the_sheet_is_named(folder: Path, shell: Shell) -> None:
    """Each sheet has a layout of its own."""
    text = "id,taken,silo,where,mass [g],volume [L],by\n1,2026-09-01 08:00,S1,hot,221,10,DS"
    path = workbook(folder / "cups.xlsx", [("May", text), ("June", text)])

    refused = shell("layout", str(path), "--row", "id")
    assert refused.status == 2
    assert "May, June" in refused.err
    assert shell("layout", str(path), "--tab", "May", "--row", "id").status == 0
    assert (folder / "cups.May.layout.toml").read_text("utf-8") == 'row = "id"\n'


TEXTS = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=8)
ENDS = st.sampled_from(["\n", "\r\n"])


@given(st.dictionaries(st.sampled_from(["row", "dates", "zone"]), TEXTS), TEXTS, ENDS)
def test_what_is_kept_is_read_back(answers: dict[str, str], comment: str, end: str) -> None:
    """Whatever was in the file, and whatever sign is in the answer."""
    import tempfile  # noqa: PLC0415 - Hypothesis gives no folder of its own

    answers |= {name: "UTC" for name in answers if name == "zone"}
    answers |= {name: "YYYY-MM-DD" for name in answers if name == "dates"}
    before = f'row = "old"{end}# {comment}{end}[columns]{end}by = "by"{end}'
    with tempfile.TemporaryDirectory() as name:
        sheet = Path(name) / "a.csv"
        sheet.write_text("by\n", "utf-8")
        layout = sheet.with_name("a.layout.toml")
        layout.write_bytes(before.encode())
        keep(source_of(sheet), answers)
        read = tomllib.loads(layout.read_text("utf-8"))
        assert f"# {comment}{end}".encode() in layout.read_bytes()
        assert read == {"row": "old", "columns": {"by": "by"}} | answers
