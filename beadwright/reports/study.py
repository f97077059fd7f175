"""A study as a paper: its words, tables and pictures, set as a PDF.

Read :func:`study_paper`.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from beadwright.charts.curves import alone
from beadwright.plant.gauge_studies.crossed import GaugeStudy
from beadwright.plant.gauge_studies.destroyed import DestroyedStudy
from beadwright.plant.gauge_studies.jig import JigStudy
from beadwright.plant.gauge_studies.laboratories import Comparison
from beadwright.plant.gauge_studies.written import Table, Written
from beadwright.reports.setting import require_size, typeset
from beadwright.reports.study_pictures import pictures

__all__ = ["study_content", "study_paper"]


@dataclass(frozen=True, slots=True)
class _Made:
    """When the paper was made, and what it is set on."""

    at: datetime
    paper: str
    banner: str


def study_paper(
    found: GaugeStudy | DestroyedStudy | JigStudy | Comparison,
    written: Written,
    at: datetime,
    *,
    paper: str = "a4",
    banner: str = "",
) -> bytes:
    """Set a study as a PDF; the same study at the same time gives the same bytes.

    Raises
    ------
    Misuse
        If it is no size of paper that plants print on.
    """
    require_size(paper)
    content = study_content(found, written, _Made(at, paper, banner))
    return typeset("study_1", json.dumps(content, ensure_ascii=False, sort_keys=True), at)


def study_content(
    found: GaugeStudy | DestroyedStudy | JigStudy | Comparison, written: Written, made: _Made
) -> dict[str, Any]:
    """Give what the paper says, as data."""
    drawn = pictures(found)
    moment = made.at.astimezone(UTC)
    return {
        "title": written.title,
        "file": found.file,
        "about": written.about,
        "state": written.state,
        "verdict": list(written.verdict),
        "source": written.source,
        "not_counted": list(written.not_counted),
        "paper": made.paper,
        "banner": made.banner,
        "made": [*moment.timetuple()[:6]],
        "made_at": f"{moment:%Y-%m-%d %H:%M} UTC",
        "sections": [
            {
                "title": one.title,
                "texts": list(one.texts),
                "tables": [_table(each) for each in one.tables],
                "svg": alone(drawn[one.picture]) if one.picture else "",
                "alt": drawn[one.picture].words if one.picture else "",
            }
            for one in written.sections
        ],
    }


def _table(one: Table) -> dict[str, Any]:
    return {
        "title": one.title,
        "columns": list(one.names),
        "right": [name.endswith(">") for name in one.columns],
        "rows": [list(row) for row in one.rows],
    }
