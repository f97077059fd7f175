"""Every public function that takes plain numbers refuses what is no number, and nothing at all."""

import inspect
from types import FunctionType
from typing import Any

import pytest

from beadwright.errors import OutOfRange
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
