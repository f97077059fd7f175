"""Every public function that takes plain numbers refuses what is no number, and nothing at all."""

import inspect
from collections.abc import Callable
from types import FunctionType
from typing import Any

import numpy as np
import pytest

from beadwright.errors import OutOfRange
from beadwright.science import ageing
from beadwright.science.ageing.partition import dissolved_ratio
from beadwright.science.ageing.sphere import bead_uptake
from beadwright.science.curve_fit.certainty import profile_rises
from beadwright.science.curve_fit.search import Box, Vector, least_squares
from beadwright.science.expansion import SteamingCurve
from beadwright.science.expansion.slopes import gain_slopes, in_fit_scale, log_ratio_slopes
from beadwright.science.trust import Banded
from tests.science.test_trust import public_functions

NUMBERS = {"ArrayLike", "float"}


def required(function: FunctionType) -> list[inspect.Parameter]:
    """What must be given to it."""
    given = inspect.signature(function).parameters.values()
    return [it for it in given if it.default is inspect.Parameter.empty]


PLAIN = [
    it
    for it in public_functions()
    if required(it) and {p.annotation for p in required(it)} <= NUMBERS
]  # those that take a dataclass have lists of their own beside their module's tests


@pytest.mark.parametrize("function", PLAIN, ids=lambda it: f"{it.__module__}.{it.__name__}")
@pytest.mark.parametrize("bad", [float("nan"), []], ids=["nan", "empty"])
def test_what_is_no_number_is_refused(function: FunctionType, bad: Any) -> None:
    """Whether it is NaN or empty, the refusal names an argument of the function."""
    names = [it.name for it in required(function)]
    if bad == [] and any(it.annotation == "float" for it in required(function)):
        bad = float("inf")

    with pytest.raises(OutOfRange) as caught:
        function(**dict.fromkeys(names, bad))

    assert any(str(caught.value).startswith(name) for name in names)


NAN = float("nan")
AT = np.array([3.7, 3.5, 0.0015, 6.0])
BOX = Box(np.array([-9.0]), np.array([9.0]))
GOOD = Banded.of([3600.0], [1800.0], [7200.0])
BAD = Banded.of([NAN], [1800.0], [7200.0])


def line(at: Vector) -> tuple[Vector, Vector]:
    """A straight line through nothing, at one and two."""
    return at[0] * np.array([1.0, 2.0]), np.array([[1.0], [2.0]])


def over(**bad: float) -> object:
    """The state of one silo's beads after an hour, with one number that is none."""
    of = {"density": 36.0, "pentane": 0.05, "radius": 1.5e-3, "kelvin": 296.15, "time": 3600.0}
    of |= bad
    beads = ageing.SiloBeads([of["density"]], [of["pentane"]], [[of["radius"]]], [of["kelvin"]])
    return ageing.ageing_over(beads, [of["time"]], lambda state: state.air_share)


def best() -> object:
    """Rises about the best line, with an end that is no number."""
    found = least_squares(line, [2.0, 4.0], [0.0], BOX)
    return profile_rises(line, [2.0, 4.0], found, BOX, [[1.5, NAN]])


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: over(density=NAN), "bead_density_kg_m3"),
        (lambda: over(pentane=NAN), "pentane_per_dry"),
        (lambda: over(radius=NAN), "radius_m"),
        (lambda: over(kelvin=NAN), "temperature_k"),
        (lambda: over(time=NAN), "time_s"),
        (lambda: bead_uptake(NAN, 5.0), "tau"),
        (lambda: bead_uptake(0.1, NAN), "biot"),
        (lambda: dissolved_ratio(NAN, 0.1), "total"),
        (lambda: dissolved_ratio(0.08, NAN), "vapour"),
        (lambda: gain_slopes(np.array([NAN]), AT), "time_s"),
        (lambda: log_ratio_slopes(np.array([1.0, NAN]), AT), r"time_s\[1\]"),
        (lambda: in_fit_scale(SteamingCurve(NAN, 35.0, 0.0015, 6.0)), "ceiling"),
        (lambda: in_fit_scale(SteamingCurve(42.0, 35.0, NAN, 6.0)), "collapse_per_second"),
        (lambda: least_squares(line, [2.0, NAN], [0.0], BOX), r"observed\[1\]"),
        (lambda: least_squares(line, [2.0, 4.0], [NAN], BOX), r"start\[0\]"),
        (best, r"held\[0, 1\]"),
        (lambda: ageing.proposed_hours(ageing.AgeingWindow(BAD, GOOD, GOOD, GOOD)), "ready_age_s"),
        (lambda: ageing.proposed_hours(ageing.AgeingWindow(GOOD, GOOD, GOOD, BAD)), "closes_s"),
    ],
)  # fmt: skip
def test_what_is_no_number_inside_another_is_refused(call: Callable[[], object], said: str) -> None:
    """Also where a number stands inside what is given; the refusal names it."""
    with pytest.raises(OutOfRange, match=f"^{said}"):
        call()
