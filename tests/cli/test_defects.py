"""`defects` and `recall` on the demonstration: text, documented JSON, pictures and papers."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.shell import Outcome
from tests.cli.test_json import documented, read

Asked = Callable[..., Outcome]


def test_defects_hold_what_is_documented(asked: Asked) -> None:
    """By tie lot, of the demonstration's four weeks."""
    assert read(asked("defects", "--json")) == documented()["defects"]


@pytest.mark.parametrize("by", ["product", "press", "cavity", "shift", "tie lot", "bead bag"])
def test_each_way_is_said(asked: Asked, by: str) -> None:
    """Both counts, each with its kinds."""
    told = asked("defects", "--by", by).out

    assert "Scrapped at the press:" in told
    assert "Found bad when looked over:" in told
    assert "is not yet the cause" in " ".join(told.split())


def test_the_kinds_are_drawn_once(asked: Asked, tmp_path: Path) -> None:
    """A file that is there already is left as it is."""
    to = tmp_path / "kinds.svg"
    assert asked("defects", "--picture", str(to)).status == 0
    assert to.read_text("utf-8").startswith("<svg")
    assert asked("defects", "--by", "press", "--picture", str(to)).status == 2


def test_a_recall_holds_what_is_documented(asked: Asked) -> None:
    """From one bag of the demonstration."""
    found = read(asked("recall", "F2-D1-03", "--json"))

    assert found - documented()["recall"] == set()
    narrowed = read(asked("recall", "F2-D1-03", "--tested", "density", "--json"))
    assert documented()["recall"] - found - narrowed <= {"within[]"}
    told = asked("recall", "F2-D1-03", "--below", "1", "--tested", "density").out
    assert "block lots left out" in " ".join(told.split())


def test_papers_of_a_recall_are_written_once(asked: Asked, tmp_path: Path) -> None:
    """A letter and a workbook for each receiver, and the scope."""
    to = tmp_path / "papers"
    told = asked("recall", "F2-D1-03", "--papers", str(to))

    assert told.status == 0
    names = sorted(one.name for one in to.iterdir())
    assert names[-1] == "scope.xlsx"
    assert len([one for one in names if one.endswith(".pdf")]) == 4
    assert "Fill in on each letter before it is sent" in told.out
    assert "Why: what is wrong." in told.out
    assert "Answer to: who answers at the plant" in told.out
    assert asked("recall", "F2-D1-04", "--papers", str(to)).status == 2
    assert "no lot" in " ".join(asked("recall", "NO-SUCH").err.lower().split())
