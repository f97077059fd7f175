"""Every public function of the physics says how far it may be trusted."""

import importlib
import inspect
from types import FunctionType

import numpy as np
import pytest

from beadwright.science.ageing import (
    NITROGEN,
    OXYGEN,
    PENTANE_DIFFUSIVITY,
    PENTANE_SPREAD,
    PERMEABILITY_SPREAD,
)
from beadwright.science.trust import Banded, Parameter, Standing, Trust, standing_of, stands
from tests.house.tree import module_name, modules

OF_TRUST_ITSELF = "beadwright.science.trust"


def public_functions() -> list[FunctionType]:
    """The functions that the physics gives to others."""
    found = []
    for path in modules("beadwright"):
        name = module_name(path)
        if name.startswith("beadwright.science") and name != OF_TRUST_ITSELF:
            module = importlib.import_module(name)  # noqa: TID251  (the test's subject)
            things = (getattr(module, given) for given in getattr(module, "__all__", ()))
            found += [it for it in things if inspect.isfunction(it) and it.__module__ == name]
    return found


def test_every_function_says_how_far_it_may_be_trusted() -> None:
    """Its trust, its formula and its source; an estimate also why, and what would narrow it."""
    silent = [f"{it.__module__}.{it.__name__}" for it in public_functions() if not worn(it)]
    assert silent == []


def worn(function: FunctionType) -> bool:
    """Whether a function says what it rests on, and with words."""
    try:
        standing = standing_of(function)
    except LookupError:
        return False
    return bool(standing.formula and standing.source)


def test_a_silent_function_is_seen() -> None:
    """A function without a standing fails the rule above; one with a standing passes."""

    def silent() -> None: ...

    assert not worn(silent)  # type: ignore[arg-type]
    assert worn(stands(Trust.EXACT, formula="a = b", source="arithmetic")(silent))  # type: ignore[arg-type]


def test_an_estimate_must_say_what_would_narrow_it() -> None:
    """A band without its cause, or without a way out, is refused."""
    with pytest.raises(TypeError, match="narrow"):
        Standing(Trust.ESTIMATE, "a = b", "a book", cause="unknown")


def test_a_parameter_lies_in_its_range() -> None:
    """A default outside its own plausible range is a slip."""
    with pytest.raises(TypeError, match="outside"):
        Parameter("D", 3.0, 1.0, 2.0, "m^2/s", "a book")


def test_pentane_s_range_is_what_its_spread_says() -> None:
    """Nine in ten, a factor of 7.2 either way; the same for air's permeabilities, of 3.2."""
    for one, spread, factor in (
        (PENTANE_DIFFUSIVITY, PENTANE_SPREAD, 7.2),
        (NITROGEN, PERMEABILITY_SPREAD, 3.2),
        (OXYGEN, PERMEABILITY_SPREAD, 3.2),
    ):
        assert one.high / one.value == pytest.approx(np.exp(1.644854 * spread.value), rel=1e-6)
        assert one.value / one.low == pytest.approx(factor, abs=0.05)


def test_a_band_holds_its_value() -> None:
    """Whichever end is given first, low <= value <= high."""
    band = Banded.of([1.0, 2.0], 3.0, [0.5, 2.5])
    assert np.all(band.low <= band.value)
    assert np.all(band.value <= band.high)
    assert band.low.tolist() == [0.5, 2.0]
