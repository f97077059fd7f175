"""The folder: the same bytes from the same seed, and the fields that an import reads."""

from __future__ import annotations

import hashlib
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from beadwright.demo import write_plant
from beadwright.interop.sheets import EmptyRecord, read
from tests.demo.office import KG, office

_PRINT = (
    "import sys,hashlib; from pathlib import Path; from beadwright.demo import write_plant;"
    "write_plant(int(sys.argv[1]), Path(sys.argv[2]))"
)

# field: required (r) or optional (o), and u where its header must state a unit.
_FIELDS = {
    "bead_receipts": "received:r bag:r supplier_lot:r supplier:o grade:r mass:ru by:r",
    "tie_receipts": (
        "received:r carton:r supplier_lot:r supplier:o grade:r pieces:r unit_mass:ru by:r"
    ),
    "expansion_runs": (
        "run:r started:r ended:r bag:r mass:ru batches:r charge:ou silo:r prefoam_mass:ou scale:o"
        " loss:ou expander:o by:r"
    ),
    "cups": "taken:r run:o silo:r where:r mass:ru volume:ru instrument:o by:r",
    "silo_temperatures": "taken:r silo:r temperature:ru instrument:o by:r",
    "mesh_samples": (
        "taken:r sample:r silo:r grade:r age:ru mass:ru temperature:ou instrument:o by:r"
    ),
    "silo_moves": "at:r what:r from:o to:o mass:ou scale:o inspected_by:o bin:o by:r",
    "mould_runs": (
        "run:r started:r ended:r press:r mould:r product:r from:r ties:o lot:r shots:r good:r"
        " scrap:r foam_per_block:ru ties_used:o scrap_bin:o cause:o by:r"
    ),
    "inspections": (
        "at:r lot:r specimen:o age:ou state:o mass:ou length:ou width:ou height:ou checked:o"
        " bad_ties:o bad_fusion:o bad_dimension:o bad_surface:o rejected:o scrap_bin:o"
        " instrument:o by:r"
    ),
    "specimens": (
        "at:r lot:o specimen:r length:ou width:ou height:ou diameter:ou mass:ru instrument:o by:o"
    ),
    "results": (
        "at:r lot:r specimen:r conditioned:ou compressive_resistance:ou flexural_strength:ou"
        " method:o instrument:o by:o"
    ),
    "first_pieces": "at:r press:r run:o lot:r mass:r ties:r fusion:r dimensions:r code:r by:r",
    "reports": (
        "entered:r number:r laboratory:r products:r characteristic:r method:o specimens:o result:r"
        " sampled:r tested:o issued:o expires:o by:r"
    ),
    "calibrations": "entered:r instrument:r done:r result:r certificate:o due:o by:r",
    "bundles": "at:r bundle:r lot:r pieces:r by:r",
    "shipments": "at:r shipment:r receiver:r what:r pieces:r by:r",
    "reclaim": "at:r what:r from:r to:o mass:ru ties_mass:ou scale:o by:r",
    "corrections": "at:r sheet:r row:r field:r value:r reason:r by:r",
}
_UNITS = {*KG, "in", "mm", "L", "h", "psi", "°C"}
_CODES = ("bag", "carton", "silo", "from", "to", "ties", "lot", "scrap_bin", "bundle", "shipment")


def _hash(folder: Path) -> str:
    whole = hashlib.sha256()
    for path in sorted(folder.iterdir()):
        whole.update(path.name.encode() + b"\0" + path.read_bytes())
    return whole.hexdigest()


def test_the_same_seed_gives_the_same_bytes_in_another_process(tmp_path: Path) -> None:
    """Whatever order its sets happen to have there."""
    for name, order in (("one", "1"), ("two", "2")):
        environ = {**os.environ, "PYTHONHASHSEED": order}
        command = [sys.executable, "-c", _PRINT, "11", str(tmp_path / name)]
        subprocess.run(command, check=True, env=environ)

    assert _hash(tmp_path / "one") == _hash(tmp_path / "two")


def test_another_seed_gives_another_plant(tmp_path: Path) -> None:
    """Every sheet but the settings differs."""
    write_plant(1, tmp_path / "one")
    write_plant(2, tmp_path / "two")
    same = [
        path.name
        for path in sorted((tmp_path / "one").iterdir())
        if path.read_bytes() == (tmp_path / "two" / path.name).read_bytes()
    ]

    assert [name for name in same if name.endswith((".csv", ".json"))] == []
    assert "plant.toml" in same


def test_pin_the_bytes_of_one_seed(tmp_path: Path) -> None:
    """Kept so that a machine or a Python that draws otherwise is noticed; no evidence of truth."""
    write_plant(7, tmp_path)

    assert _hash(tmp_path) == "c65c7f430ddcbbc79266966137d7f8432a257e125a7024eb8c68937dbf32a223"


def test_says_that_it_is_invented(tmp_path: Path) -> None:
    """Whoever finds the folder must not take it for a plant's."""
    write_plant(3, tmp_path)

    assert "INVENTED" in (tmp_path / "README.txt").read_text("utf-8")
    assert "invented" in (tmp_path / "plant.toml").read_text("utf-8")


def test_the_summary_counts_what_was_written(tmp_path: Path) -> None:
    """Files, rows, and blocks as corrected."""
    summary = write_plant(5, tmp_path)
    read_back = office(5)

    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(summary.files)
    assert sum(map(len, read_back.typed.values())) == summary.rows
    form = [row for row in read_back.sheets["mould_runs"] if row["press"] != "PP1"]
    assert sum(row.count("good") for row in form) == summary.blocks
    assert len({row["lot"] for row in form}) == summary.lots


@pytest.mark.parametrize("sheet", _FIELDS)
def test_a_sheet_has_the_fields_of_its_kind(sheet: str) -> None:
    """All that are required and none that are unknown; a unit wherever one belongs."""
    stated = dict(field.split(":") for field in _FIELDS[sheet].split())
    layout, header = office(1).layouts[sheet], office(1).headers[sheet]
    units = office(1).typed[sheet][0].units

    assert layout["sheet"] == sheet
    assert {field for field, kind in stated.items() if "r" in kind} <= set(layout["columns"])
    assert set(layout["columns"]) <= set(stated)
    assert len(header) == len(layout["columns"]) + 1
    for field in layout["columns"]:
        assert (units[field] in _UNITS) == ("u" in stated[field]), field


@pytest.mark.parametrize("seed", range(1, 6))
def test_rows_are_numbered_coded_and_signed(seed: int) -> None:
    """Numbers run from 1; codes are codes; whoever signs is known; nothing required is empty."""
    for sheet, rows in office(seed).typed.items():
        required = [f.partition(":")[0] for f in _FIELDS[sheet].split() if ":r" in f]
        assert [row.number for row in rows] == list(range(1, len(rows) + 1))
        for row in rows:
            assert all(row[field] for field in required)
            assert row["by"] in office(seed).plant["people"]
            said = {"ties"} if sheet == "first_pieces" else set()  # (ok, or not)
            for field in set(_CODES) & set(row.texts) - said:
                assert not row[field] or re.fullmatch("[A-Z0-9-]{1,20}", row[field])


@pytest.mark.parametrize("seed", range(1, 6))
def test_no_row_was_written_after_the_files_were_closed(seed: int) -> None:
    """The last Friday, two in the afternoon."""
    times = [
        row.time(field)
        for rows in office(seed).typed.values()
        for row in rows
        for field in ("at", "received", "started", "ended", "taken")
        if field in row.texts
    ]

    assert f"{max(times):%Y-%m-%d %H:%M}" <= office(seed).truth["to"]


@pytest.mark.parametrize("seed", [21, 22, 23])
def test_an_import_finds_nothing_to_fault_or_ask(seed: int, tmp_path: Path) -> None:
    """What is planted is wrong in the plant, not in the writing of its files."""
    write_plant(seed, tmp_path)
    intake = read([tmp_path], EmptyRecord())

    assert intake.faults == ()
    assert intake.questions == ()
    assert len(intake.drafts) > 5000
