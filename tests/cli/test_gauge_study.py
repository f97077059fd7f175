"""The verb for gauge studies: one command from a sheet to what it says, and to a paper."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from beadwright.plant import attached
from tests.cli.shell import Shell
from tests.house.tree import ROOT
from tests.plant.yard import Yard

SAMPLES = ROOT / "docs" / "samples"


def test_one_command_from_a_sheet_to_a_paper(shell: Shell, tmp_path: Path) -> None:
    """The verdict is printed and the paper written; it is not written over."""
    to = tmp_path / "heights.pdf"
    told = shell("gauge-study", str(SAMPLES / "heights.csv"), "--to", str(to))
    again = shell("gauge-study", str(SAMPLES / "heights.csv"), "--to", str(to))

    assert told.status == 0
    assert "FIT FOR SOME USES" in told.out
    assert "Part 7, B, trial 2: 406.88 mm, the others 406.53. Find out why." in told.out
    assert to.read_bytes().startswith(b"%PDF")
    assert again.status == 2
    assert "is there already" in " ".join(again.err.split())


def test_a_blank_sheet_is_written_and_read_back(shell: Shell, tmp_path: Path) -> None:
    """Filled in as it stands it is a study."""
    blank = shell("gauge-study", "--blank", "4x2x2", "--seed", "3", "--unit", "in").out
    head, *rows = blank.splitlines()
    sheet = tmp_path / "filled.csv"
    filled = [
        f"{row}{10 + int(row.split(',')[1]) + 0.01 * n % 0.05:.3f}" for n, row in enumerate(rows)
    ]
    sheet.write_text("\n".join([head, *filled]), "utf-8")
    told = shell("gauge-study", str(sheet))

    assert head == "order,part,person,trial,value [in]"
    assert shell("gauge-study", "--blank", "4x2x2", "--seed", "3", "--unit", "in").out == blank
    assert "4 parts, 2 people, 2 trials of each, in in" in told.out


@pytest.mark.django_db
def test_the_tolerance_comes_from_a_products_limits(shell: Shell) -> None:
    """By name; one side alone is none."""
    yard = Yard.open()
    yard.limit("H-MIN", "height", "min", "405.4 mm")
    sheet = str(SAMPLES / "heights.csv")
    one_side = shell("gauge-study", sheet, "--product", "FB6", "--of", "height")
    yard.limit("H-MAX", "height", "max", "407.4 mm")
    told = shell("gauge-study", sheet, "--product", "FB6", "--of", "height")

    assert (one_side.status, told.status) == (2, 0)
    assert "a least alone" in " ".join(one_side.err.split())
    assert "405.4 to 407.4 mm (limits H-MIN and H-MAX)" in " ".join(told.out.split())


@pytest.mark.django_db
def test_a_study_is_recorded_for_its_instrument(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who, when and of what must be said; then it stands with the instrument."""
    monkeypatch.setenv(attached.FOLDER, str(tmp_path))
    yard = Yard.open()
    yard.set("instrument", "RULE-1", what="rule", every="year")
    said = ("gauge-study", str(SAMPLES / "heights.csv"), "--record", "RULE-1", "--of", "height")
    lacking = shell(*said, "--by", "P-13")
    done = shell(*said, "--done", "2026-10-01", "--by", "P-13", "--json")
    told = shell("instruments", "RULE-1")

    assert lacking.status == 2
    assert "--done is not said" in " ".join(lacking.err.split())
    entry = json.loads(done.out)["recorded"]["entry"]
    assert f"Entry {entry}: height, done 2026-10-01, conditional, by P-13" in told.out
    assert "measuring, together: 0.0704 mm (95 %: 0.0576 to 0.286 mm)" in told.out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "name the study's SHEET"),
        (("x.csv", "--jig", "--laboratories"), "ask for one"),
        (("x.csv", "--product", "FB6"), "--product and --of go together"),
        (("x.csv", "--product", "FB6", "--of", "height", "--tolerance", "1..2 mm"), "not both"),
        (("--blank", "3"), "no size"),
    ],
)
def test_what_cannot_be_meant_is_said(words: tuple[str, ...], said: str, shell: Shell) -> None:
    """Misuse, with what to write."""
    told = shell("gauge-study", *words)

    assert told.status == 2
    assert said in " ".join(told.err.split())
