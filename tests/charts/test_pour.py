"""Pressure over depth: what stands on the scale, what is said, and words that do not overlap."""

from __future__ import annotations

from dataclasses import replace

import pytest

from beadwright.charts.curves import draw
from beadwright.charts.pour import PourDepth, picture
from tests.charts.drawn import overlaps

SEEN = PourDepth(
    "L1", "the foam supports", 694.0, 900.0, 1350.0, 9.0, 4.63, "lb/ft²", "ft", "5.00 ft/h",
    "694 lb/ft²", "900 lb/ft²", "1350 lb/ft²", "55.5 in",
)  # fmt: skip


def test_the_concrete_grows_down_to_its_pressure_and_no_further() -> None:
    """Along the head first, then level; the head beyond is dashed."""
    concrete, head = picture(SEEN).curves
    assert concrete.x == pytest.approx((0.0, 6.0, 9.0))
    assert concrete.y == (0.0, 900.0, 900.0)
    assert (head.x[1], head.y[1]) == (9.0, 1350.0)
    assert head.dashes


def test_lift_and_what_is_supported_meet_on_the_head() -> None:
    """And are told in words too."""
    spec = picture(SEEN)
    supported, lift = spec.across
    assert (supported.value, lift.value, lift.upright) == (694.0, 4.63, True)
    assert lift.value * 150 == pytest.approx(supported.value, rel=1e-2)
    assert "at that rate a lift of at most 55.5 in" in spec.words
    assert "What the foam supports of lot L1, at the stated factor, is 694 lb/ft²" in spec.words


def test_what_lies_beyond_the_scale_is_said_and_not_drawn() -> None:
    """No line at the edge that would say less than is supported."""
    spec = picture(replace(SEEN, supported=9000.0, lift=9.0))
    assert spec.across == ()
    assert "more than the picture reaches" in spec.words
    assert spec.y.high < 2000


@pytest.mark.parametrize(
    "seen",
    [
        SEEN,
        replace(SEEN, supported=520.0, lift=3.47),
        replace(SEEN, pressure=1350.0),
        replace(SEEN, supported=1500.0, lift=9.0),
        replace(SEEN, supported=890.0, lift=5.93),
    ],
)
def test_its_words_do_not_overlap(seen: PourDepth) -> None:
    """Whatever lies near what."""
    assert not overlaps(draw(picture(seen)))
