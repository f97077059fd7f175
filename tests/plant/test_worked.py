"""A sheet of the physics: what a number is made of, its band, its trust, and what is missing."""

from __future__ import annotations

import math

import numpy as np
import pytest

from beadwright.errors import require_at_least
from beadwright.plant.worked import Line, NoFigure, Working
from beadwright.science.trust import Banded, Parameter, Trust, stands


@stands(Trust.EXACT, formula="m = rho V", source="arithmetic")
def mass_of(density: float, volume: float) -> float:
    """A mass."""
    require_at_least(0, strict=True, density=density)
    return density * volume


@stands(Trust.EXACT, formula="a / b", source="arithmetic")
def ratio(a: float, b: float) -> float:
    """A ratio."""
    return a / b


@stands(
    Trust.ESTIMATE, formula="1.1 x", source="invented", cause="the tenth is a guess",
    narrowed_by="weigh ten",
)  # fmt: skip
def swollen(x: float) -> Banded:
    """A number that is not well known."""
    return Banded.of(1.1 * x, 1.0 * x, 1.3 * x)


def put(sheet: Working, key: str, value: float | None, band: tuple[float, float]) -> Line:
    """A measured number with a band."""
    return sheet.given(key, (key.title(), "density"), value, ("measured", "a test"), band)


def test_a_number_of_exact_parts_is_exact() -> None:
    """No band, and it names what it is made of."""
    sheet = Working()
    sheet.given("density", ("Density", "density"), 20.0, ("set", "the plant"))
    sheet.given("volume", ("Volume", "volume"), 0.5, ("set", "the plant"))
    line = sheet.work("mass", ("Mass", "mass"), mass_of, {"density": "density", "volume": "volume"})
    assert (line.value, line.low, line.high) == (10.0, 10.0, 10.0)
    assert line.trust is Trust.EXACT
    assert [one.key for one in sheet.behind("mass")] == ["density", "volume"]


def test_one_uncertain_part_makes_an_estimate() -> None:
    """Bands are joined as a root of squares, and the cause is told."""
    sheet = Working()
    put(sheet, "density", 20.0, (19.0, 22.0))
    sheet.default("volume", ("Volume", "volume"), Parameter("V", 0.5, 0.4, 0.6, "m^3", "it", True))
    line = sheet.work("mass", ("Mass", "mass"), mass_of, {"density": "density", "volume": "volume"})
    assert line.value == 10.0
    assert line.low == pytest.approx(10 * math.exp(-math.hypot(math.log(0.95), math.log(0.8))))
    assert line.high == pytest.approx(10 * math.exp(math.hypot(math.log(1.1), math.log(1.2))))
    assert line.trust is Trust.ESTIMATE
    assert "from memory" in " ".join(line.causes)
    assert len(line.narrowed_by) == 2


def test_a_band_never_leaves_what_can_be() -> None:
    """Two parts that are hardly known do not make a mass below nothing."""
    sheet = Working()
    put(sheet, "density", 20.0, (4.0, 100.0))
    put(sheet, "volume", 0.5, (0.1, 2.5))
    line = sheet.work("mass", ("Mass", "mass"), mass_of, {"density": "density", "volume": "volume"})
    assert line.low is not None
    assert 0 < line.low < 2.0


def test_a_difference_may_cross_nothing() -> None:
    """Its band is joined in plain figures."""
    sheet = Working()
    put(sheet, "density", 1.0, (-1.0, 3.0))
    line = sheet.work("part", ("Part", "fraction"), ratio, {"a": "density", "b": 2.0})
    assert (line.value, line.low, line.high) == (0.5, -0.5, 1.5)


def test_a_part_that_is_used_twice_varies_once() -> None:
    """What cancels has no band, as two independent numbers would have."""
    sheet = Working()
    put(sheet, "density", 20.0, (10.0, 30.0))
    sheet.work("twice", ("Twice", "density"), mass_of, {"density": "density", "volume": 2.0})
    line = sheet.work("same", ("Same", "fraction"), ratio, {"a": "twice", "b": "density"})
    assert (line.value, line.low, line.high) == (2.0, 2.0, 2.0)


def test_a_band_agrees_with_draws() -> None:
    """Of normal parts, with the ends at one standard deviation, whatever lies between."""
    sheet = Working()
    put(sheet, "density", 20.0, (19.8, 20.2))
    put(sheet, "volume", 0.5, (0.49, 0.51))
    both = {"density": "density", "volume": "volume"}
    sheet.work("mass", ("Mass", "mass"), mass_of, both)
    line = sheet.work("again", ("Again", "mass"), mass_of, {"density": "mass", "volume": "volume"})
    draw = np.random.default_rng(1)
    density, volume = draw.normal(20, 0.2, 200_000), draw.normal(0.5, 0.01, 200_000)
    assert line.value is not None
    assert line.high is not None
    assert line.high - line.value == pytest.approx(np.std(density * volume**2), rel=0.03)


def test_a_function_with_its_own_band_brings_it_along() -> None:
    """Also through the lines that stand on it."""
    sheet = Working()
    sheet.given("x", ("X", "density"), 10.0, ("set", "the plant"))
    one = sheet.work("swollen", ("Swollen", "density"), swollen, {"x": "x"})
    two = sheet.work("mass", ("Mass", "mass"), mass_of, {"density": "swollen", "volume": 2.0})
    assert (one.low, one.high) == (10.0, 13.0)
    assert (two.value, two.low, two.high) == (22.0, 20.0, 26.0)
    assert two.causes == ("the tenth is a guess",)
    assert two.narrowed_by == ("weigh ten",)


def test_what_is_missing_is_named_and_nothing_is_guessed() -> None:
    """Down to what a person can set."""
    sheet = Working()
    sheet.given("density", ("Density", "density"), None, ("set", ""))
    sheet.work("mass", ("Mass", "mass"), mass_of, {"density": "density", "volume": 2.0})
    line = sheet.work("share", ("Share", "fraction"), ratio, {"a": "mass", "b": 3.0})
    assert line.value is None
    assert line.lacking == ("Density",)


def test_what_lies_outside_is_refused_and_says_so() -> None:
    """And what stands on it says the same."""
    sheet = Working()
    sheet.given("density", ("Density", "density"), -1.0, ("set", ""))
    sheet.work("mass", ("Mass", "mass"), mass_of, {"density": "density", "volume": 2.0})
    line = sheet.work("share", ("Share", "fraction"), ratio, {"a": "mass", "b": 3.0})
    assert line.value is None
    assert "density is -1.0" in line.refused


def test_two_lines_of_one_name_are_a_slip() -> None:
    """The second would hide the first."""
    sheet = Working()
    sheet.given("x", ("X", "density"), 1.0, ("set", ""))
    with pytest.raises(KeyError):
        sheet.given("x", ("X", "density"), 2.0, ("set", ""))


@stands(Trust.EXACT, formula="a most, above 10", source="invented")
def most(x: float) -> float | NoFigure:
    """There is none up to 10."""
    return x if x > 10 else NoFigure("up to 10 there is none")


def test_an_answer_may_be_that_there_is_none() -> None:
    """Not 0 and not unknown; also where there is none at one end of what it is made of."""
    sheet = Working()
    put(sheet, "sure", 11.0, (10.5, 12.0))
    put(sheet, "unsure", 11.0, (9.0, 12.0))
    there = sheet.work("there", ("There", "1"), most, {"x": "sure"})
    none = sheet.work("none", ("None", "1"), most, {"x": "unsure"})
    after = sheet.work("after", ("After", "1"), ratio, {"a": "none", "b": "sure"})
    assert (there.value, there.origin) == (11.0, "worked")
    assert (none.value, none.origin, none.refused) == (None, "none", "up to 10 there is none")
    assert (after.value, after.origin, after.lacking) == (None, "worked", ())
