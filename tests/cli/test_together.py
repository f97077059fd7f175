"""Options that count only beside another: refused in plain words, never passed over."""

from __future__ import annotations

import pytest

from tests.cli.shell import Shell
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

ALONE = [
    ("recall B-1 --rehearse", "--rehearse counts only with --record"),
    ("recall B-1 --rehearse --by EI", "--rehearse and --by count only with --record"),
    ("recall B-1 --record smell --by EI --json", "--json counts for nothing with --record"),
    ("recall B-1 --record smell --by EI --papers out", "--papers counts for nothing with --record"),
    ("people --yes", "--yes counts only with --erase"),
    ("token scale-2 --close --role operator", "--role counts for nothing with --close"),
    ("certificate L1 --again C-1 --to x.pdf --paper a4", "--paper counts for nothing with --again"),
    ("nonconformities --by-station --closed", "--closed counts for nothing with --by-station"),
    ("sign ROW --by EI --withdraw wrong --page 3", "--page counts for nothing with --withdraw"),
    ("report R-1 --by EI --withdraw wrong --result pass", "--result counts for nothing with"),
    ("nc-open dent --by EI --another", "--another counts only with --receiver"),
    ("inspection-plan 270 --good 1% --bad 6% --level I", "--level counts only with --aql"),
    ("gauge-study sheet.csv --done 2026-09-01", "--done counts only with --record"),
    ("gauge-study sheet.csv --unit in", "--unit counts only with --blank"),
    ("chart --units us", "--units counts only with the name of a series"),
]


@pytest.mark.parametrize(("words", "said"), ALONE)
def test_an_option_that_would_be_passed_over_is_refused(
    shell: Shell, words: str, said: str
) -> None:
    """In one sentence that names both; ends with 2, and nothing is recorded."""
    yard = Yard.open()
    yard.block_lot("L1", good=40)
    before = shell("verify", "--chain").out
    told = shell(*words.split())

    assert told.status == 2
    assert said.lower() in " ".join(told.err.split()).lower()
    assert shell("verify", "--chain").out == before


def test_who_the_environment_names_is_no_option_that_was_keyed(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    """BEADWRIGHT_BY and BEADWRIGHT_UNITS are set once for all verbs."""
    Yard.open().block_lot("L1", good=40)
    monkeypatch.setenv("BEADWRIGHT_BY", "EI")
    monkeypatch.setenv("BEADWRIGHT_UNITS", "us")

    assert shell("people").status == 0
    assert shell("chart").status == 0
