"""The demonstration read in, and its recalls held against what is truly in every lot.

At length in ``benchmarks/recalling_demonstration.py``.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from beadwright.demo import write_plant
from beadwright.demo.scales import SPREAD
from beadwright.interop.importing import import_files
from tests.demonstration.seeds import seeds
from tests.simulated.scoring import ROUNDING, read_truth, score

pytestmark = pytest.mark.django_db

_FEW, _MANY = (401,), range(401, 421)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Take one seed, and twenty where there is time."""
    metafunc.parametrize("seed", seeds(metafunc.config, _FEW, _MANY))


def test_the_truth_lies_within_what_is_said(seed: int, tmp_path: Path) -> None:
    """No affected lot outside the scope, shares in their bounds, the account closes.

    The scope is no larger than that of a clerk who knows the sheets and their corrections. What
    came by a run that nobody entered, and which ties are not in, is in no record, and is told
    apart: nothing is missed but of that run's bags, in lots that must not ship and in what was
    made of their scrap.
    """
    write_plant(seed, tmp_path)
    report = import_files([tmp_path])
    assert (report.faults, report.questions) == ((), ())
    truth = read_truth(tmp_path)
    sources = sorted({source for mix in truth["lots"].values() for source in mix})
    beads = [one for one in sources if one[0] in "FP"]
    hidden = {run["bag"] for run in truth["unentered"]}
    asked = {*beads[::5], *sources[-2:], *hidden}
    found = score(tmp_path, sorted(asked), sorted(truth["lots"])[::6], SPREAD)

    assert found.affected > 200
    assert found.missed == []
    assert max(found.ratios) <= 1.05
    assert found.shares > 200
    assert found.furthest <= ROUNDING
    assert found.open_kg < 1e-6  # to a milligram: everything has a name
    assert max(found.beyond) < 1  # what explains it
    unknown = found.unseen | found.unknown
    assert {bag for bag, _ in found.unseen} <= hidden
    held = {lot for one in truth["faults"] for lot in one["lots"]}
    held |= {lot for run in truth["unentered"] for lot in run["lots"]}
    assert {lot for _, lot in unknown if lot in truth["lots"]} <= held
