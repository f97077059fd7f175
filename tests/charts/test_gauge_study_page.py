"""The picture of the manual's page on gauge studies is that of its sample."""

from __future__ import annotations

from beadwright.charts.curves import alone
from beadwright.interop.studies.worked import Asked, study
from beadwright.reports.study_pictures import pictures
from tests.charts.drawn import overlaps
from tests.house.tree import ROOT


def by_part() -> str:
    """Readings of the sample by part."""
    found, _ = study(ROOT / "docs" / "samples" / "heights.csv", Asked())
    return alone(pictures(found)["by-part"]) + "\n"


def test_the_pages_picture_is_the_samples() -> None:
    """`python -c` with ``by_part`` writes it anew."""
    assert (ROOT / "docs" / "gauge_study.svg").read_text("utf-8") == by_part()


def test_no_words_of_a_study_stand_over_each_other() -> None:
    """Of each sort, in each picture."""
    for file, asked in (
        ("heights.csv", Asked()), ("jig.csv", Asked("jig")), ("strength.csv", Asked("destroyed")),
        ("conductivity.csv", Asked("laboratories")),
    ):  # fmt: skip
        found, _ = study(ROOT / "docs" / "samples" / file, asked)
        for drawn in pictures(found).values():
            assert not overlaps(drawn)
