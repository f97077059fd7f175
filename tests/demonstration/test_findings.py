"""What nobody planted a rule for: a drifting scale, pieces without all of their ties."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from beadwright.demo import write_plant
from beadwright.interop.importing import import_files
from beadwright.ledger import lots
from beadwright.plant.findings import Finding, findings
from tests.demonstration.seeds import seeds

pytestmark = pytest.mark.django_db

_FEW, _MANY = range(201, 204), range(201, 221)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Take three seeds, and twenty where there is time."""
    if "seed" in metafunc.fixturenames:
        metafunc.parametrize("seed", seeds(metafunc.config, _FEW, _MANY))


def _found(folder: Path) -> tuple[tuple[Finding, ...], dict[str, list[str]]]:
    """Findings of the tool, and what was planted: places and lots by kind of fault."""
    report = import_files([folder])
    assert (report.faults, report.questions) == ((), ())
    truth = json.loads((folder / "truth.json").read_text(encoding="utf-8"))
    planted = {fault["kind"]: fault["lots"] or [fault["place"]] for fault in truth["faults"]}
    return findings(lots.plant_number(report.plant)), planted


def test_the_drifting_scale_and_every_missing_tie_are_found(seed: int, tmp_path: Path) -> None:
    """The scale by name, its growth within a third; each lot by its pieces, with ties of each.

    Measured over seeds 201 to 220, and 301 to 320: each time the scale in 20 of 20, the ties of
    every lot in 20 of 20, and nothing else was found in any.
    """
    write_plant(seed, tmp_path)
    found, planted = _found(tmp_path)
    truth = json.loads((tmp_path / "truth.json").read_text(encoding="utf-8"))
    of = {fault["kind"]: fault for fault in truth["faults"]}
    (scale,) = [one for one in found if one.kind == "scale_drifts"]
    lacking = {
        one.about: {piece: ties.short for ties in one.ties for piece in ties.pieces}
        for one in found
        if one.kind == "ties_short"
    }

    assert [scale.about] == planted["drifting_scale"]
    rate = of["drifting_scale"]["per_mille_a_day"]
    assert 1000 * scale.drifts[0].start.rate == pytest.approx(rate, rel=0.34)
    assert lacking == of["missing_ties"]["ties_missing"]


def test_a_plant_without_them_shows_at_most_one(seed: int, tmp_path: Path) -> None:
    """The same weeks without drift and with all ties.

    Measured over seeds 201 to 220, and 301 to 320: no finding in any of the 40.
    """
    write_plant(seed, tmp_path, drift=False, short_ties=False)
    found, planted = _found(tmp_path)

    assert not {"drifting_scale", "missing_ties"} & planted.keys()
    assert len(found) <= 1
