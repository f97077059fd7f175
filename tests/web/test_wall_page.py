"""The page of a wall: where its courses end, of which lots, and what is wrong and where."""

from __future__ import annotations

import re
from urllib.parse import urlencode

import pytest

from beadwright.plant.access import Role
from tests.plant.test_wall_sheet import HEIGHTS, WALL
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

SAID = {"storey": "8", "unit-storey": "ft", "tolerance": "4", "unit-tolerance": "mm"}


@pytest.fixture(autouse=True)
def lots(yard: Yard) -> None:
    """Two lots that may ship, with heights; a third that may not, far too high."""
    yard.set("product", "FB6", WALL)
    yard.limit("D-MIN", "density", "min", "21.6 kg/m3")
    for lot, heights in HEIGHTS.items():
        if lot != "L1":
            yard.block_lot(lot)
        yard.weigh(lot, "24h", [3.13, 3.131, 3.129])
        yard.gauge(lot, "height", [f"{one} mm" for one in heights])
    yard.block_lot("L3")
    yard.gauge("L3", "height", ["440.0 mm", "441.0 mm"])


def page(as_: SignIn, said: dict[str, str]) -> str:
    """The page as an engineer sees it."""
    address = f"/products/FB6/wall/?{urlencode(said)}"
    answer = as_(Role.ENGINEER).get(address)
    assert answer.status_code == 200
    return str(answer.content.decode())


def test_the_answer_stands_with_its_lots_its_picture_and_its_caution(as_: SignIn) -> None:
    """Of released lots alone; a chance is for inside the plant."""
    shown = page(as_, SAID)
    assert "goes on no paper that leaves it" in shown
    assert "<svg" in shown
    lots = shown.partition('aria-label="Lots and their heights"')[2].partition("</table>")[0]
    assert sorted(re.findall(r">(L\d)</a>", lots)) == ["L1", "L2"]
    assert "Left out, because they are not released: 1 lot with heights." in shown
    assert "no figure for a label or a claim" in shown


def test_what_is_wrong_stands_and_the_rest_is_worked_out(as_: SignIn) -> None:
    """A field that cannot be read is said; a lot that is none is said; a product, not found."""
    shown = page(as_, {**SAID, "courses": "none"})
    assert "is no whole number" in shown.replace("&quot;", '"')
    assert "<svg" in shown
    assert "L99" in page(as_, {**SAID, "lots": "L99"})
    assert as_(Role.ENGINEER).get("/products/NONE/wall/").status_code == 404
