"""Cups of pre-expanders and at presses, charted against their targets, and followed into lots."""

from __future__ import annotations

import numpy as np
import pytest

from beadwright.ledger.draft import Line, Reading
from tests.plant.test_charted import KG, asked, code, yard
from tests.plant.yard import Yard, ms

__all__ = ["yard"]

pytestmark = pytest.mark.django_db

CUPS = ms(300)
"""Cups are charted four weeks back."""


def expander(yard: Yard) -> None:
    """An expander with a target for its hot and dried cups."""
    yard.set("place", "E1", {"kind": "expander", "feeds": ["S1", "S2"], "cup_volume": "10 L"})
    yard.set("cup", "FB6", {"hot": "23.4 kg/m3", "dried": "22.2 kg/m3", "band": "0.3 kg/m3"})


def filled(yard: Yard, run: str, silo: str, at: float, bag: str = "B-1") -> None:
    """A run of an hour that fills a silo."""
    facts = {"silo": silo, "grade": "F1", "product": "FB6", "bag": bag,
             "started": str(ms(at - 1)), "ended": str(ms(at))}  # fmt: skip
    lines = [Line(bag, -1, 5 * KG), Line(silo, 1, 5 * KG)]
    yard.step("expand", at, lines, run=run, place="E1", facts=facts)


def cup(yard: Yard, of: tuple[str, str], off: float, at: float, where: str = "hot") -> None:
    """A cup of a run, filled into a silo, so many per cent off its target."""
    run, silo = of
    target = {"hot": 234.0, "dried": 222.0}[where]
    facts = {"place": where, "cup_volume": "10 L", "run": run}
    mass = f"{target * np.exp(off / 100):.3f}"
    yard.read([Reading("cup_weight", mass, "g", lot=silo, facts=facts)], at)


def test_cups_that_hang_together_get_residuals_with_the_reason(yard: Yard) -> None:
    """A level that wanders freely: no limits stand still, and the chart says so."""
    expander(yard)
    rng = np.random.default_rng(11)
    level = np.cumsum(rng.normal(0, 0.6, 60)) + rng.normal(0, 0.1, 60)
    for number, off in enumerate(level):
        run = f"X-{number // 6}"
        if number % 6 == 0:
            filled(yard, run, "S1", 21 + number)
        cup(yard, (run, "S1"), float(off), 20.2 + number)
    found = asked("cup_hot.E1", CUPS)

    assert found.chart is not None
    assert found.choice is not None
    assert found.choice.design == "wandering"
    assert found.chart.kind == "residuals"
    assert "Values hang together: a plain chart would drown in false alarms." in found.chart.reasons
    assert any("residuals are taken" in one for one in found.chart.reasons)


def test_hot_and_dried_cups_are_never_pooled(yard: Yard) -> None:
    """Each has its own series, against its own target."""
    expander(yard)
    filled(yard, "X-1", "S1", 21)
    for number in range(10):
        cup(yard, ("X-1", "S1"), 0.2 * (-1) ** number, 20 + number / 20)
        cup(yard, ("X-1", "S1"), 0.3 * (-1) ** number, 20.02 + number / 20, "dried")
    hot, dried = asked("cup_hot.E1", CUPS).series, asked("cup_dried.E1", CUPS).series

    assert [len(hot.points), len(dried.points)] == [10, 10]
    assert np.allclose([abs(one.values[0]) for one in hot.points], 0.2, atol=0.01)
    assert np.allclose([abs(one.values[0]) for one in dried.points], 0.3, atol=0.01)


def test_beads_made_since_a_shift_are_followed_into_lots(yard: Yard) -> None:
    """From run 30 on heavy: lots that drew on silo S2 after it are named, those of before not."""
    expander(yard)
    rng = np.random.default_rng(9)
    for number in range(1, 41):
        run, silo = f"X-{number}", "S2" if number >= 30 else "S1"
        filled(yard, run, silo, 20 + 4 * number)
        off = (2.5 if number >= 30 else 0.0) + float(rng.normal(0, 0.3))
        cup(yard, (run, silo), off, 19.5 + 4 * number)
    yard.mould("OLD", "S1", good=2, at=60)
    yard.mould("NEW", "S2", good=2, at=185)
    found = asked("cup_hot.E1", CUPS)

    assert found.chart is not None
    assert found.chart.signals
    assert found.since is not None
    assert 29 in found.since.start.among
    assert "NEW" in found.lots
    assert "OLD" not in found.lots


def test_what_was_swept_out_is_followed_no_further(yard: Yard) -> None:
    """A silo swept empty after the heavy beads, and filled by hand of others, is clean."""
    expander(yard)
    for number in range(1, 21):
        filled(yard, f"X-{number}", "S2", 20 + 4 * number)
        off = (4.0 if number >= 18 else 0.0) + 0.2 * (-1) ** number
        cup(yard, (f"X-{number}", "S2"), off, 19.5 + 4 * number)
    yard.mould("SOILED", "S2", good=2, at=110)
    yard.sweep("S2", 120)
    yard.transfer("S1", "S2", 50, 121)
    yard.mould("CLEAN", "S2", good=2, at=125)

    assert asked("cup_hot.E1", CUPS).lots == ("SOILED",)


def test_cups_at_a_press_go_against_the_target_of_what_was_moulded(yard: Yard) -> None:
    """Not pooled with hot or dried ones; a changed target does not look like a changed process.

    A cup that was taken while nothing was moulded of its beads is of no press.
    """
    yard.set("cup", "FB6", {"hopper": "22.0 kg/m3", "band": "0.3 kg/m3"})
    yard.set("cup", "FB6", {"hopper": "25.0 kg/m3", "band": "0.3 kg/m3"}, since=150)
    for number in range(1, 21):
        at = 20 + 10 * number
        yard.mould(code(number), good=10, at=at)
        grams = (250 if at >= 150 else 220) * (1.004 if number % 2 else 0.996)
        facts = {"place": "hopper", "cup_volume": "10 L"}
        yard.read([Reading("cup_weight", f"{grams:.2f}", "g", lot="S1", facts=facts)], at)
    yard.read([Reading("cup_weight", "300", "g", lot="S1", facts=facts)], 225)
    found = asked("cup_hopper.FP1", CUPS)

    assert [one.lot for one in found.series.points] == [code(one) for one in range(1, 21)]
    off = [one.values[0] for one in found.series.points]
    assert off == pytest.approx([0.4 if one % 2 else -0.4 for one in range(1, 21)], abs=0.01)
    assert found.chart is not None
    assert found.chart.signals == ()


def test_a_cup_is_of_the_bead_lot_whose_bag_went_in_last(yard: Yard) -> None:
    """Five runs of one bag, then four of another: the second begins at its first cup."""
    expander(yard)
    yard.bag("B-2", lot="N-77")
    for number in range(9):
        bag = "B-1" if number < 5 else "B-2"
        filled(yard, f"X-{number}", "S1", 21 + 2 * number, bag)
        cup(yard, (f"X-{number}", "S1"), 0.1 * (number % 3), 20.5 + 2 * number)
    found = asked("cup_hot.E1", CUPS)

    assert [(one.name, one.points) for one in found.beads] == [
        ("bag B-1", (0, 1, 2, 3, 4)), ("N-77", (5, 6, 7, 8)),
    ]  # fmt: skip


def test_one_cup_alone_reaches_only_the_lots_of_its_run(yard: Yard) -> None:
    """The lot that drew on the silo of that run is named, one that drew before it is not."""
    expander(yard)
    rng = np.random.default_rng(9)
    for number in range(1, 31):
        run, silo = f"X-{number}", "S2" if number == 15 else "S1"
        filled(yard, run, silo, 20 + 4 * number)
        off = 3.0 if number == 15 else float(rng.normal(0, 0.4))
        cup(yard, (run, silo), off, 19.5 + 4 * number)
    yard.mould("OTHER", "S1", good=2, at=141)
    yard.mould("ITS", "S2", good=2, at=142)
    found = asked("cup_hot.E1", CUPS)

    assert found.since is not None
    assert (found.since.start.kind, found.since.ordinary) == ("point", 15)
    assert found.lots == ("ITS",)
