"""What docs/json.md says of gauge studies and signed evidence is what the answers hold, by name."""

from __future__ import annotations

from pathlib import Path

import pytest

from beadwright.plant.attached import FOLDER
from tests.cli.shell import Shell
from tests.cli.test_json import documented, read
from tests.house.tree import ROOT
from tests.plant.asking import block, good_yard, the_lot
from tests.plant.yard import Yard


@pytest.mark.django_db
def test_a_study_holds_what_is_documented(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of a gauge with and without a tolerance, where people read otherwise, a jig; recorded."""
    monkeypatch.setenv(FOLDER, str(tmp_path))
    Yard.open().set("instrument", "RULE-1", what="rule", every="year")
    samples = ROOT / "docs" / "samples"
    together = tmp_path / "together.csv"
    rows = [f"{part},{who},{part + 0.1 * who * part + 0.01 * trial}"
            for part in range(5) for who in range(3) for trial in range(2)]  # fmt: skip
    together.write_text("\n".join(["part,person,value [mm]", *rows]), "utf-8")
    found = read(shell("gauge-study", str(samples / "heights.csv"), "--json"))
    for more in (
        ("heights.csv", "--tolerance", "405.4..407.4 mm"),
        ("strength.csv", "--destroyed"),
        ("jig.csv", "--jig"),
        ("conductivity.csv", "--laboratories"),
        (str(together),),
        (
            "heights.csv",
            "--record",
            "RULE-1",
            "--of",
            "height",
            "--done",
            "2026-09-02",
            "--by",
            "P-13",
        ),
    ):
        found |= read(shell("gauge-study", str(samples / more[0]), *more[1:], "--json"))
    conditional = {"jig.kappa_among_all"}

    assert found | conditional == documented()["gauge-study"]


@pytest.mark.django_db
def test_the_entry_of_a_release_holds_what_is_documented(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the evidence that it is over, and what is otherwise since."""
    monkeypatch.setenv(FOLDER, str(tmp_path))
    yard = good_yard()
    yard.release("L1", the_lot(yard).evidence)
    yard.weigh("L1", "24h", [block(23.2)])
    found = read(shell("entry", str(the_lot(yard).given[0].seq), "--json"))

    assert found <= documented()["entry"]
    assert {one for one in documented()["entry"] if one.startswith("evidence_signed")} <= found
