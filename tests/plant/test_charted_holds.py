"""When a chart proposes a hold on the lots since a change, and when it only shows them."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from beadwright.plant.charted import told
from tests.plant.test_charted import SI, US, asked, code, masses, moulded, weighed, yard
from tests.plant.yard import Yard

__all__ = ["yard"]

pytestmark = pytest.mark.django_db


def test_no_hold_is_proposed_where_the_start_is_hardly_known(yard: Yard) -> None:
    """A shift of one standard deviation may have begun at any of many lots: they are only shown."""
    moulded(yard)
    weighed(yard, masses(7, 0.003, 18))
    found = asked("density_24h.FB6")

    assert found.since is not None
    assert len(found.since.start.among) > 10 or "weak" in found.since.start.doubts
    assert found.since.why_no_hold
    assert found.lots


def test_a_hold_is_proposed_where_a_step_is_clear(yard: Yard) -> None:
    """Four per cent from one lot on: twenty standard deviations of a lot's mean."""
    moulded(yard)
    weighed(yard, masses(1, 0.04, 25))
    since = asked("density_24h.FB6").since

    assert since is not None
    assert since.why_no_hold == ""
    assert len(since.start.among) <= 10


def test_one_lot_alone_among_ordinary_ones_is_no_shift(yard: Yard) -> None:
    """Five per cent in one lot: it is told and held alone, with what lies after it."""
    moulded(yard)
    foam = masses(1)
    foam[19] *= 1.05
    weighed(yard, foam)
    found = asked("density_24h.FB6")
    words = " ".join(told(found, SI, ZoneInfo("UTC")).since)

    assert found.since is not None
    assert (found.since.start.kind, found.lots) == ("point", (code(20),))
    assert found.since.ordinary == len(found.series.points) - 20
    assert "One point alone, L20" in words
    assert "drift is shown" in words
    assert "began" not in words


def test_a_step_is_told_once_and_never_by_the_number_of_a_point(yard: Yard) -> None:
    """Why this chart was taken leads to Since when, in both units; there stands the lot."""
    moulded(yard)
    weighed(yard, masses(1, 0.012, 25))
    found = asked("density_24h.FB6")
    step = None if found.choice is None else found.choice.step

    assert step is not None
    assert step.said.startswith("A step at point")
    for units in (SI, US):
        words = told(found, units, ZoneInfo("UTC"))

        assert not any("at point" in one for one in words.reasons)
        assert any(one.startswith("The step told under Since when") for one in words.reasons)
        assert any("it stepped at L" in one for one in words.since)
    alone = told(replace(found, since=None), US, ZoneInfo("UTC"))

    assert any(
        one.startswith("A step at L") and "lb/ft3" in one.replace("³", "3") for one in alone.reasons
    )
