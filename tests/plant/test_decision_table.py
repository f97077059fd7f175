"""Every kind of limit, crossed with what may happen to its evidence: answer, reason, release.

What must come of each pair is written in ``docs/decision_table.md``, to be read and judged by
people who run no code; ``decision_cells`` only makes it happen. A cell that cannot be is named
there with the reason.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from django.db import transaction

from tests.plant.decision_cells import SITUATIONS, cell, senseless
from tests.plant.decision_classes import CLASSES, bare
from tests.plant.decision_evidence import Table
from tests.plant.planted_decision import BUGS, Bug

pytestmark = pytest.mark.django_db

_PAGE = Path(__file__).parents[2] / "docs" / "decision_table.md"
_NONE = "—"


@cache
def page() -> dict[str, dict[str, tuple[str, ...]]]:
    """Rows of the page: by class and situation answer, first reason, other reasons, release."""
    found: dict[str, dict[str, tuple[str, ...]]] = {}
    rows: dict[str, tuple[str, ...]] = {}
    for line in _PAGE.read_text(encoding="utf-8").splitlines():
        if line.startswith("## "):
            title = line.removeprefix("## ")
            rows = found.setdefault(title[0].lower() + title[1:], {})
        elif re.match(r"\| (?!---|what happens)", line):
            name, *cells = (part.strip().replace("`", "") for part in line.strip("|").split("|"))
            assert name not in rows, f"twice: {name}"
            rows[name] = tuple(cells)
    return found


def played(table: Table, of: str, situation: str) -> tuple[str, ...]:
    """Play one cell as the page writes it, and leave no trace of it."""
    why = senseless(of, situation)
    if why:
        return (_NONE, why, "", "")
    point = transaction.savepoint()
    try:
        came = cell(of, situation, table.copy())
    finally:
        transaction.savepoint_rollback(point)
    return came.answer.replace("_", " "), came.worst, ", ".join(came.also), came.release


def wrong(table: Table, of: str, situations: Iterator[str]) -> list[str]:
    """Say which cells came out otherwise than the page says."""
    found = []
    for one in situations:
        came, said = played(table, of, one), page()[of][one]
        if came != said:
            found.append(f"{of} / {one}: the page says {said}, there came {came}")
    return found


def test_the_page_has_a_row_for_every_pair_and_no_other() -> None:
    """Eighteen kinds of limit and twenty-four things that may happen."""
    assert {of: tuple(rows) for of, rows in page().items()} == dict.fromkeys(
        CLASSES, tuple(SITUATIONS)
    )
    assert (len(CLASSES), len(SITUATIONS)) == (18, 24)


@pytest.mark.parametrize("of", CLASSES)
def test_every_cell_comes_out_as_the_page_says(of: str) -> None:
    """Answer, first reason, what else stops or asks, and the release."""
    assert wrong(bare(), of, iter(SITUATIONS)) == []


@pytest.mark.parametrize("bug", BUGS, ids=lambda bug: bug.name)
def test_a_planted_bug_is_seen(bug: Bug, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the bug the cell is right, as seen above; with it the page and the cell differ."""
    of, situation = bug.seen_in
    bug.plant(monkeypatch)
    try:
        seen = wrong(bare(), of, iter([situation]))
    except AssertionError as noticed:
        seen = [str(noticed)]

    assert seen, f"nothing sees that {bug.name}"


def test_bugs_are_told_apart() -> None:
    """Each is its own."""
    assert len({bug.name for bug in BUGS}) == len({bug.plant for bug in BUGS}) == len(BUGS) >= 25
