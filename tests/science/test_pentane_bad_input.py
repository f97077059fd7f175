"""Bad input to any function of pentane is named: argument, value, place, valid range."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from beadwright.errors import OutOfRange
from beadwright.science import pentane
from beadwright.science.pentane import (
    Air,
    Beads,
    DilutionTask,
    LowerLimit,
    PerDryPolymer,
    PerWetBead,
    Room,
)
from beadwright.science.trust import Banded

STORE = Beads([400.0, 300.0], PerDryPolymer.of([0.05, 0.045]), [0.0, 7200.0], 1.5e-3, 2.3e-13)
KNOWN = Room(2400.0, 2.5, fan_running=True, pressure_pa=99_000.0, mixing=2.0)
RATE = Banded.of([2e-4, 1e-4], [1e-4, 5e-5], [4e-4, 2e-4])
EDGES = [0.0, 3600.0, 7200.0]

NAN = float("nan")
DRY = PerDryPolymer.of(0.05)
WET = PerWetBead.of(0.05)
GOOD = DilutionTask(1e-4, 293.15, 1e5)
BAD: list[tuple[Callable[..., Any], tuple[Any, ...], str]] = [
    (PerWetBead.of, (6.0,), "kg_kg is 6.0: must be a number from 0 to 0.25"),
    (PerWetBead.of, ([0.05, NAN],), r"kg_kg\[1\] is nan"),
    (PerDryPolymer.of, (0.05, -0.1), "u_kg_kg is -0.1"),
    (PerDryPolymer.of, ([],), "kg_kg is empty"),
    (pentane.per_dry_polymer, (WET, 0.6), "water_kg_kg is 0.6"),
    (pentane.per_wet_bead, (DRY, [0.0, -0.1]), r"water_kg_kg\[1\] is -0.1"),
    (pentane.wet_basis_shortfall, (WET, DRY), "after is of type PerDryPolymer"),
    (pentane.stage_losses, (0.0, PerDryPolymer.of([0.06, 0.05])), "dry_polymer_kg is 0.0"),
    (pentane.stage_losses, (9.0, PerDryPolymer.of([0.06, 0.05]), -1.0), "u_dry_polymer_kg is -1"),
    (pentane.stage_losses, (9.0, PerDryPolymer.of([0.06])), r"contents is of shape \(1,\)"),
    (pentane.emitted_share, (1.2, 0.5), "captured is 1.2"),
    (pentane.emitted_share, (0.9, [0.9, NAN]), r"destroyed\[1\] is nan"),
    (pentane.per_hundred_raw, (1.0, 0.0), "raw_kg is 0.0"),
    (pentane.per_hundred_raw, ([], 1.0), "emitted_kg is empty"),
    (pentane.vapour_density, (20.0, 1e5), "temperature_k is 20.0"),
    (pentane.vapour_density, (293.15, [1e5, 1.0]), r"pressure_pa\[1\] is 1.0"),
    (pentane.mg_m3_of, (-1.0,), "ppm is -1.0"),
    (pentane.ppm_of, ([1.0, -1.0],), r"concentration_mg_m3\[1\] is -1.0"),
    (pentane.dilution_air, (replace(GOOD, emission_kg_s=-1.0),), "emission_kg_s is -1.0"),
    (pentane.dilution_air, (replace(GOOD, share=0.5),), "share is 0.5"),
    (pentane.dilution_air, (replace(GOOD, share=0.0),), "share is 0.0"),
    (pentane.dilution_air, (replace(GOOD, mixing=[1.0, 0.5]),), r"mixing\[1\] is 0.5"),
    (pentane.dilution_air, (replace(GOOD, limit=LowerLimit(1.1, "")),), "lower_limit is 1.1"),
    (pentane.rounded_up, (NAN,), "value is nan"),
    (pentane.rounded_up, (1.0, 0), "digits is 0"),
    (pentane.emission, (replace(STORE, radius_m=0.0), EDGES), "radius_m is 0.0"),
    (pentane.emission, (replace(STORE, dry_polymer_kg=[1.0, -1.0]), EDGES), r"kg\[1\] is -1.0"),
    (pentane.emission, (replace(STORE, radius_m=[1.0, 2.0, 3.0]), EDGES), "radius_m is of shape"),
    (pentane.emission, (replace(STORE, gone_s=[-1.0, 9e9]), EDGES), r"gone_s\[0\] is -1.0"),
    (pentane.emission, (STORE, [0.0, 2.0, 1.0]), r"edges_s\[2\] is 1.0"),
    (pentane.emission, (STORE, [0.0]), r"edges_s is of shape \(1,\)"),
    (pentane.emission_rate, (STORE, EDGES, 0.5), "factor is 0.5"),
    (pentane.emission_rate, (STORE, [0.0, NAN]), r"edges_s\[1\] is nan"),
    (pentane.content_left, (DRY, -1.0, 1e-3, 1e-13), "age_s is -1.0"),
    (pentane.content_left, (DRY, 1.0, 1e-3, 0.0), "diffusivity_m2_s is 0.0"),
    (pentane.board_lag, (0.0,), "thickness_m is 0.0"),
    (pentane.room_air, (Air(0.0, 1.0), [1e-4], [0.0, 1.0]), "volume_m3 is 0.0"),
    (pentane.room_air, (Air(9.0, -1.0), [1e-4], [0.0, 1.0]), "air_m3_s is -1.0"),
    (pentane.room_air, (Air(9.0, 1.0, 0.9), [1e-4], [0.0, 1.0]), "mixing is 0.9"),
    (pentane.room_air, (Air(9.0, 1.0), [1e-4, NAN], EDGES), r"emission_kg_s\[1\] is nan"),
    (pentane.room_air, (Air(9.0, 1.0), [1e-4], EDGES), r"edges_s is of shape \(3,\)"),
    (pentane.room_air, (Air(9.0, 1.0), [1e-4, 1e-4], [0.0, 2.0, 1.0]), r"edges_s\[2\] is 1.0"),
    (pentane.screen_room, (replace(KNOWN, volume_m3=-1.0), RATE, EDGES), "volume_m3 is -1.0"),
    (pentane.screen_room, (replace(KNOWN, mixing=99.0), RATE, EDGES), "mixing is 99.0"),
]


@pytest.mark.parametrize(("function", "given", "said"), BAD)
def test_bad_input_is_named(
    function: Callable[..., Any], given: tuple[Any, ...], said: str
) -> None:
    """The argument, its first bad value, its place, and the valid range."""
    with pytest.raises(OutOfRange, match=said) as caught:
        function(*given)
    assert "must be" in str(caught.value)


def test_every_function_is_tried_with_bad_input() -> None:
    """None is left out of the list above."""
    functions = {it for it in pentane.__all__ if it[0].islower()}
    assert functions == {function.__name__ for function, *_ in BAD} - {"of"}
