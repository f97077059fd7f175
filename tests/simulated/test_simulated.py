"""The simulated plant: seeded, imported without a question, and its truth within what is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from beadwright.demo.simulated import Parameters, load, simulate, write_simulated
from beadwright.errors import Misuse
from beadwright.interop.importing import import_files
from tests.simulated.clerk import events, masses
from tests.simulated.scoring import ROUNDING, read_truth, score


def _short(**scales: object) -> Parameters:
    """Nine days, swept on one of them."""
    days = load().changed("plant", days_a_month=9).changed("silos", sweep_days=[4])
    return days.changed("scales", **scales)


def test_a_seed_gives_the_same_bytes_and_another_seed_others(tmp_path: Path) -> None:
    """All files of two runs of one seed; the sheets of another seed differ."""
    texts = []
    for name, seed in (("a", 3), ("b", 3), ("c", 4)):
        write_simulated(simulate(seed, 1, _short()), tmp_path / name)
        texts.append({one.name: one.read_bytes() for one in (tmp_path / name).iterdir()})
    assert texts[0] == texts[1]
    assert texts[0]["mould_runs.csv"] != texts[2]["mould_runs.csv"]
    assert texts[0]["plant.toml"] == texts[2]["plant.toml"]


def test_every_lot_weighs_what_exact_scales_show(tmp_path: Path) -> None:
    """True mass of each lot against the sheets, where no scale errs, to the clerk's arithmetic."""
    plant = simulate(5, 1, _short(exact=True))
    write_simulated(plant, tmp_path)
    came, truth = masses(events(tmp_path)), read_truth(tmp_path)
    assert len(truth["lots"]) > 50
    for lot in truth["lots"]:
        assert came[lot] == pytest.approx(truth["kg"][lot], rel=1e-6), lot


def test_a_longer_plant_begins_as_the_shorter_one() -> None:
    """The first of two months is the month alone, but for what was open at its end."""
    one, two = (simulate(6, months, _short()) for months in (1, 2))
    early = [row for row in two.rows["mould_runs"] if row.written < one.end]
    assert early == one.rows["mould_runs"]
    assert len(two.rows["mould_runs"]) > 1.5 * len(early)


def test_a_figure_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """A parameters file may change what there is, and is told what there is."""
    file = tmp_path / "mine.toml"
    file.write_text("[press]\nscrap = 0.05\n", encoding="utf-8")
    assert load(file).number("press", "scrap") == 0.05
    file.write_text("[press]\nscarp = 0.05\n", encoding="utf-8")
    with pytest.raises(Misuse, match="no scarp"):
        load(file)


@pytest.mark.django_db
@pytest.mark.parametrize(("seed", "exact"), [(11, True), (12, False)])
def test_the_truth_lies_within_what_is_said(seed: int, exact: bool, tmp_path: Path) -> None:
    """No affected lot outside the scope; shares in their bounds; the account closes.

    The scope is no larger than the clerk's, who knows the sheets alone.
    """
    write_simulated(simulate(seed, 1, _short(exact=exact)), tmp_path)
    report = import_files([tmp_path])
    assert (report.faults, report.questions) == ((), ())
    truth = read_truth(tmp_path)
    sources = sorted({source for mix in truth["lots"].values() for source in mix})
    beads = [one for one in sources if one[0] in "FP"]
    gain = 0.0 if exact else load().number("scales", "gain")
    found = score(tmp_path, [*beads[::4], *sources[-3:]], sorted(truth["lots"])[::6], gain)

    assert found.affected > 200
    assert found.missed == []
    assert max(found.ratios) <= 1.05
    assert found.shares > 20
    assert found.furthest <= ROUNDING
    assert found.open_kg < 1e-6  # to a milligram: everything has a name
    assert max(found.beyond) < 1  # what explains it
