"""A study's paper: what it says is what an independent reader finds, and it can be made again."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from beadwright.interop.studies.worked import Asked, study
from beadwright.reports.study import study_paper
from tests.house.tree import ROOT
from tests.reports.poppler import INDEPENDENT, text_of

pytestmark = [mark for mark in INDEPENDENT if mark.name != "django_db"]

SAMPLES = ROOT / "docs" / "samples"
AT = datetime(2026, 9, 1, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("file", "asked", "said"),
    [
        ("heights.csv", Asked(tolerance="405.4..407.4 mm"),
         ["Fit for some uses", "21.1 %", "Part 7, B, trial 2", "AIAG"]),
        ("strength.csv", Asked("destroyed"), ["Measuring takes at most", "3 people, 5 parts"]),
        ("jig.csv", Asked("jig"), ["Not fit in the hands of C", "10 of 36", "It turns at 400.57"]),
        ("conductivity.csv", Asked("laboratories"), ["laboratory 1 repeats worse", "0.0001696"]),
    ],
)  # fmt: skip
def test_what_it_says_can_be_read(file: str, asked: Asked, said: list[str], tmp_path: Path) -> None:
    """The same bytes for the same study at the same time."""
    found, written = study(SAMPLES / file, asked)
    pdf = study_paper(found, written, AT)
    text = text_of(pdf, tmp_path)

    assert pdf == study_paper(found, written, AT)
    assert not [one for one in said if one not in text]
