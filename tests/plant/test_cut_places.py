"""Where a specimen was cut, as a result states it, held against its product's panel and ties."""

from __future__ import annotations

import pytest

from beadwright.interop.keyed import again, correct, post, read
from beadwright.lab.cut_map import Box, Cut, Direction, Skin
from beadwright.plant.access import Role, Who
from beadwright.plant.cut_places import (
    is_of_place,
    panel_of,
    place_departures_of,
    place_read,
    place_written,
)
from beadwright.quality.readings import of_lots
from tests.plant.yard import FORM, Yard

pytestmark = pytest.mark.django_db

AT = "2026-09-04 12:00"
PRODUCT = {
    "length": "48 in", "height": "16 in", "panel": "2.625 in", "ties": 6, "tie_spacing": "8 in",
}  # fmt: skip
"""A straight block with ties every 8 in, the first 4 in from its end: geometry, by hand."""


def test_ties_stand_evenly_about_the_middle() -> None:
    """At 4, 12, 20 … 44 in, each flange 1.5 in wide."""
    panel = panel_of(PRODUCT)
    assert panel is not None

    middles = [(one.box.x_m + one.box.length_m / 2) / 0.0254 for one in panel.ties]
    assert middles == pytest.approx([4, 12, 20, 28, 36, 44])
    assert panel_of({**PRODUCT, "panel": "2.625"}) is None
    assert panel_of({"length": "48 in"}) is None


@pytest.mark.parametrize(
    ("text", "characteristic", "codes"),
    [
        # Between ties 4.75 and 11.25 in are bare; 0.25 in is left at each: 5 to 11.
        ("5 along, 3 up, 0.8 deep; 6 by 4 by 1 in", "compressive_resistance", []),
        ("4.9 along, 3 up, 0.8 deep; 6 by 4 by 1 in", "compressive_resistance", ["near_tie"]),
        ("4.5 along, 3 up, 0.8 deep; 6 by 4 by 1 in", "compressive_resistance", ["in_tie"]),
        ("43 along, 3 up, 0.8 deep; 6 by 4 by 1 in", "water_absorption",
         ["outside_panel", "in_tie"]),
        ("127 along, 80 up, 20 deep; 100 by 100 by 25.4 mm; loaded up", "thermal_resistance",
         ["direction"]),
        # Skins are 0.1 in of each face; what says nothing of them is not held against them.
        ("5 along, 3 up, 0 deep; 6 by 4 by 1 in", "density", []),
        ("5 along, 3 up, 0 deep; 6 by 4 by 1 in", "core_density", ["on_skin"]),
        ("5 along, 3 up, 0.1 deep; 6 by 4 by 2.4 in; both skins", "density", ["skin_gone"]),
        ("from the middle of the outer panel", "density", []),
        ("5 along, 3 up, 0.8 deep; 0 by 4 by 1 in", "density", []),
    ],
)  # fmt: skip
def test_a_place_is_held_against_panel_ties_and_skins(
    text: str, characteristic: str, codes: list[str]
) -> None:
    """By hand, from the product's own sizes."""
    found = place_departures_of(text, "C1", characteristic, PRODUCT)

    assert [one.code for one in found] == codes
    assert all(is_of_place(str(one)) for one in found)
    assert place_departures_of(text, "C1", characteristic, {}) == ()


def test_a_place_is_read_as_it_was_written() -> None:
    """In inches and in millimetres, to a hundredth."""
    cut = Cut("F1", Box(0.127, 0.0508, 0.0254, 0.3048, 0.1016, 0.0254), Direction.UP, Skin.ONE)
    for system in ("si", "us"):
        read = place_read(place_written(cut, system), "F1", "flexural_strength")
        assert read is not None
        assert read[1]
        assert (read[0].loaded, read[0].skin) == (Direction.UP, Skin.ONE)
        assert read[0].box.low == pytest.approx(cut.box.low, abs=1e-5)
        assert read[0].box.high == pytest.approx(cut.box.high, abs=1e-5)
    found = place_departures_of(place_written(cut, "us"), "F1", "flexural_strength", PRODUCT)
    assert "direction" in [one.code for one in found]


def test_it_is_recorded_with_the_result_and_goes_as_the_place_is_corrected() -> None:
    """A specimen with a tie in it; then the place as it was meant."""
    yard = Yard.open()
    yard.set("product", "FB6", {**FORM, **PRODUCT})
    yard.block_lot("L1")
    who = Who("P-01", Role.ENGINEER)
    texts = {"lot": "L1", "specimen": "C1", "compressive_resistance": "17.0", "at": AT,
             "cut_at": "4.5 along, 3 up, 0.8 deep; 6 by 4 by 1 in"}  # fmt: skip
    form = read("P1", "results", texts, units={"compressive_resistance": "psi"}, key="r1",
                by="P-01")  # fmt: skip
    assert post("P1", form, who).posted, form.faults
    (one,) = of_lots(yard.no, ["L1"])["L1"]
    assert one.facts["departed"].startswith("Tie T1 is in the specimen.")

    shown = again("P1", form.key)
    meant = {**shown.texts, "cut_at": "5 along, 3 up, 0.8 deep; 6 by 4 by 1 in"}
    done = correct("P1", shown.key, meant, shown.units, "misread", who=who, correction="c1")
    assert done.posted, done.refused
    (one,) = of_lots(yard.no, ["L1"])["L1"]
    assert "departed" not in one.facts
