"""The verb `token`: the token alone on standard output, taken away by name."""

from __future__ import annotations

import pytest

from beadwright.plant import tokens
from beadwright.plant.access import Role
from beadwright.plant.opening import open_plant
from tests.cli.shell import Shell
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


def test_a_token_is_printed_once_and_lets_in_until_it_is_closed() -> None:
    """What a person should know of it goes to the error stream."""
    Yard.open()
    shell, plant = Shell.here(), open_plant("P1")
    made = shell("token", "press-1", "--role", "operator", "--station", "FP1")
    secret = made.out.removesuffix("\n")
    held = tokens.holder(plant, secret)

    assert made.status == 0, made.err
    assert secret not in made.err
    assert held is not None
    assert (held.role, held.station) == (Role.OPERATOR, "FP1")
    assert shell("token", "press-1", "--close").status == 0
    assert tokens.holder(plant, secret) is None
    assert shell("token", "press-1", "--close").status == 2


@pytest.mark.parametrize("words", [("--role", "king"), ("--station", "NOWHERE")])
def test_what_cannot_be_is_misuse(words: tuple[str, str]) -> None:
    """It says which roles and places there are."""
    Yard.open()
    told = Shell.here()("token", "m", *words)

    assert told.status == 2
    assert told.out == ""
    assert words[1] in told.err
