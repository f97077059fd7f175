"""The set-up sheet of a product: what each number is made of, and what is missing.

Outside: a block of two panels of 2 5/8 in, 48 in by 16 in, holds 4032 in³, and so 3.150 lb of foam
at 1.35 lb/ft³; of some 7 lb the rest is ties (arithmetic; the 7 lb are common practice, no source).
Steam of 0.7 bar above a standard atmosphere boils at 115.39 °C (IAPWS-IF97, by a printed steam
table, from memory).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from beadwright.errors import Misuse
from beadwright.ledger import holds
from beadwright.ledger.draft import Reading
from beadwright.plant.ageing.formulas import per_dry, stale_age
from beadwright.plant.set_up import SetUp, set_up
from beadwright.plant.set_up.asked import Choice, Share
from beadwright.plant.worked import Line
from beadwright.science.beads import expanded_diameter
from beadwright.science.trust import NINE_IN_TEN, Trust
from tests.plant.yard import FORM, Yard, ms

pytestmark = pytest.mark.django_db

LB, FT3 = 0.45359237, 0.3048**3


def whole() -> Yard:
    """A plant that has set everything that a sheet asks for."""
    yard = Yard.open(silos=())
    panels = {"foam_volume": "4032 in3", "foam_mass": "3.150 lb"}
    yard.set("product", "FB6", {**FORM, **panels}, since=1)
    yard.set("approved", "FB6", revision="R1", grades=["F1", "T6"])
    yard.set("grade", "F1", of="bead", colour="white", pentane="6.0 %", raw_size="1.0 mm",
             raw_density="1030 kg/m3")  # fmt: skip
    yard.set("grade", "T6", of="tie")
    yard.set("place", "S1", kind="silo", content=True, accepts=["F1"], across="2.0 m")
    yard.set("place", "E1", kind="expander", feeds=["S1"], vessel="366 L", cup_volume="10 L",
             stops_on="level")  # fmt: skip
    yard.set("cup", "FB6", dried="20.6 kg/m3", hot="21.5 kg/m3", band="0.6 kg/m3")
    yard.set("mould", "M-1", tool_mass="150 kg", tool_from="60 °C", chest="0.25 m3",
             steam="0.7 bar", purges="1", cavities=1)  # fmt: skip
    yard.set("air", "outside", barometer="1013.25 mbar")
    yard.carton("T-1", unit_kg=0.29)
    yard.limit("FB6-MIN", "density", "min", "1.35 lb/ft3", statistic="mean")
    return yard


def sheet(yard: Yard, **choice: str) -> SetUp:
    """Its set-up sheet."""
    return set_up(yard.no, Choice("FB6", mould="M-1", **choice), ms(200))


def line(found: SetUp, key: str) -> Line:
    """A line of a sheet."""
    return next(one for one in found.lines if one.key == key)


def value(found: SetUp, key: str) -> float:
    """The figure of a line that is known."""
    figure = line(found, key).value
    assert figure is not None, line(found, key)
    return figure


def test_the_block_is_arithmetic_of_what_was_set() -> None:
    """Density, ties, and the block with its water, exactly."""
    found = sheet(whole())
    assert value(found, "moulded_density") == pytest.approx(1.35 * LB / FT3, rel=1e-4)
    assert value(found, "ties_mass") == pytest.approx(6 * 0.29)
    assert value(found, "block_24h") == pytest.approx(3.150 * LB * 1.01 + 6 * 0.29)
    assert value(found, "density_min_mean_kept") == pytest.approx(0, abs=1e-4)
    assert line(found, "moulded_density").trust is Trust.EXACT
    block = line(found, "block_24h")  # its water is set for all blocks, and each has its own
    assert block.trust is Trust.ESTIMATE
    assert (block.low, block.high) == pytest.approx(
        [3.150 * LB * (1 + share) + 6 * 0.29 for share in (0.005, 0.015)]
    )


def test_half_of_a_block_of_seven_pounds_is_ties() -> None:
    """3.850 lb of ties are left of 7 lb."""
    yard = whole()
    yard.carton("T-2", unit_kg=3.850 * LB / 6, at=5)
    found = sheet(yard)
    dry = value(found, "foam_mass") + value(found, "ties_mass")
    assert dry / LB == pytest.approx(7.0, abs=1e-3)


def test_beads_and_charge_follow_from_the_cup() -> None:
    """Each by its own law, worked out again here."""
    found = sheet(whole())
    bulk, packing, lost = 20.6, value(found, "packing"), value(found, "lost")
    bead = bulk / packing
    assert value(found, "bead_density") == pytest.approx(bead)
    size = 1e-3 * ((1 - lost) * 1030 / bead) ** (1 / 3)
    assert value(found, "bead_size") == pytest.approx(size)
    assert 2.9e-3 < size < 3.2e-3  # a raw bead at the top of the range becomes about 3 mm
    assert value(found, "charge") == pytest.approx(bulk * 0.366 / (1 - lost))
    assert value(found, "cup_dried") == pytest.approx(bulk * 0.010)
    assert value(found, "pentane_dry") == pytest.approx(0.06 / 0.94)


def test_a_default_from_memory_makes_an_estimate_and_says_so() -> None:
    """What rests on the packing of a heap has a band, and says what would narrow it."""
    bead = line(sheet(whole()), "bead_density")
    assert bead.trust is Trust.ESTIMATE
    assert bead.low is not None
    assert bead.high is not None
    assert bead.low < value(sheet(whole()), "bead_density") < bead.high
    assert any("from memory" in cause for cause in bead.causes)
    assert bead.narrowed_by


def test_steam_is_that_of_a_heat_balance() -> None:
    """Foam, tool, chests and purge, worked out again with a steam table's figures."""
    found = sheet(whole())
    assert value(found, "steam_temperature") - 273.15 == pytest.approx(115.39, abs=0.02)
    latent, hot = 2215.0e3 * 0.97, 115.39
    heat = 150 * 900 * (hot - 60) + 3.150 * LB * 1300 * (hot - 20)
    by_hand = heat / latent + 2 * 0.25 * 0.977  # filled, and purged once
    assert value(found, "steam_least") == pytest.approx(by_hand, rel=0.02)


def test_the_signed_hours_stand_beside_the_estimate() -> None:
    """The estimate is one; the hours are what an engineer signed."""
    found = sheet(whole())
    assert value(found, "signed_min_h") == 8 * 3600
    ready = line(found, "ready")
    assert ready.trust is Trust.ESTIMATE
    assert 0 < value(found, "ready") < value(found, "stale")


def test_what_a_thousand_blocks_take_is_unknown_before_any_was_moulded() -> None:
    """No scrap share is guessed."""
    assert line(sheet(whole()), "resin").value is None
    assert "Scrap" in line(sheet(whole()), "resin").lacking[0]


@pytest.mark.parametrize(
    ("topic", "name", "body", "key", "missing"),
    [
        (
            "grade",
            "F1",
            {"of": "bead", "colour": "white"},
            "pentane_dry",
            "Pentane in the raw bead",
        ),
        ("mould", "M-1", {"cavities": 1}, "steam_least", "Steam at the mould, gauge"),
        ("place", "E1", {"kind": "expander", "feeds": ["S1"]}, "charge", "Vessel"),
        ("air", "outside", {}, "steam_temperature", "Altitude"),
        ("grade", "F1", {"of": "bead"}, "inch", "Colour of the bead"),
    ],
)
def test_what_nobody_set_is_unknown_and_named(
    topic: str, name: str, body: dict[str, object], key: str, missing: str
) -> None:
    """And the rest of the sheet stands."""
    yard = whole()
    yard.set(topic, name, body, since=2)
    found = sheet(yard)
    assert line(found, key).value is None
    assert any(missing in one for one in line(found, key).lacking)
    assert value(found, "moulded_density") > 0


def test_a_product_or_a_part_that_is_none_is_refused() -> None:
    """With what there is instead."""
    yard = whole()
    with pytest.raises(Misuse, match="there are: FB6"):
        set_up(yard.no, Choice("FB9"), ms(200))
    with pytest.raises(Misuse, match='no grade "F2" fits here; there are: F1'):
        set_up(yard.no, Choice("FB6", grade="F2"), ms(200))


def test_a_density_beyond_the_relation_gets_no_answer() -> None:
    """Strength is not drawn out beyond the foams that were tested."""
    yard = whole()
    yard.set("product", "FB6", {**FORM, "foam_volume": "65 L", "foam_mass": "3.0 kg"}, since=3)
    found = line(sheet(yard), "compressive_resistance")
    assert found.value is None
    assert "density" in found.refused


def test_a_plants_own_tests_draw_the_estimate_to_them() -> None:
    """Weak foam of the plant's own, with the density of its lots, is expected to stay weak."""
    yard = whole()
    before = line(sheet(yard), "compressive_resistance")
    yard.bag("B-1")
    yard.expand("B-1", "S1")
    for number in range(6):
        lot = f"L{number}"
        yard.mould(lot, "S1", good=20, at=20 + number, unit_kg=0.29)
        yard.weigh(lot, "24h", [3.20, 3.21, 3.19], at=60 + number)
        strengths = [
            Reading("compressive_resistance", psi, "psi", lot=lot, specimen=f"C{psi}")
            for psi in ("12.0", "12.2", "11.8")
        ]
        yard.read(strengths, at=90)
    after = line(sheet(yard), "compressive_resistance")
    assert value(sheet(yard), "compressive_resistance_tests") == 18
    assert before.value is not None
    assert after.value is not None
    assert after.value < before.value
    assert after.value == pytest.approx(12.0 * 6894.757, rel=0.15)


def test_a_printed_limit_that_nobody_signed_says_so_and_insulation_has_one_too() -> None:
    """ASTM C578 type II asks 4.0 °F·ft²·h/Btu of an inch (from memory): 0.704441 m²·K/W."""
    yard = whole()
    yard.set("standard", "FB6", standard="ASTM C578", edition="10", type="II",
             characteristics=["compressive_resistance", "thermal_resistance"], since=1)  # fmt: skip
    found = sheet(yard)
    least = line(found, "thermal_resistance_min_mean")
    assert least.value == pytest.approx(0.704441, rel=1e-6)
    assert least.title == "Least thermal resistance, mean, unverified"
    assert ", unverified: " in least.source
    kept = line(found, "thermal_resistance_min_mean_kept")
    assert kept.value == pytest.approx(value(found, "inch") / 0.704441 - 1, rel=1e-4)
    assert "unverified" in line(found, "compressive_resistance_min_mean").title
    assert "unverified" not in line(found, "density_min_mean").title


def test_no_more_pentane_can_be_lost_than_all_that_expansion_loses(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """By hand: of beads that lose a quarter of what they hold at most, three quarters stay."""
    yard = whole()
    held = line(sheet(yard), "pentane_wet").value
    assert held is not None
    wide = line(sheet(yard), "kept")
    share = Share(0.015, 0.010, held / 4, 30, "30 runs")
    monkeypatch.setattr("beadwright.plant.set_up.asked._lost", lambda *_: share)
    kept = line(sheet(yard), "kept")
    assert (wide.low, kept.low) == (0.65, 0.75)
    assert (wide.value, wide.high) == (kept.value, kept.high)


def test_a_sheet_holds_nothing() -> None:
    """However far an estimate lies from what is signed."""
    yard = whole()
    sheet(yard)
    assert list(holds.placed(yard.no)) == []


_BEADS_BELOW = ("packing", "raw_density", "kept", "pentane_pace", "pentane_activation", "filled")


def _closes(found: SetUp, **instead: float) -> tuple[float, float]:
    """Work out the window's last hour anew: as the bag cools, and where it was cool at once."""
    at = {one.key: one.value or 0.0 for one in found.lines} | instead
    bead = at["bulk_density"] / at["packing"]
    lost = {"lost_share": at["lost"]}
    size = expanded_diameter(at["raw_size"], at["raw_density"], bead, **lost)
    age = stale_age(
        bead, float(size) / 2, at["size_spread"], per_dry(at["pentane_wet"], at["kept"]),
        at["room"], at["filled"], at["silo_radius"], at["pentane_pace"], at["pentane_activation"],
        at["least_pentane"],
    )  # fmt: skip
    return float(age.value.item()), float(age.high.item())


def test_the_last_hour_holds_what_activation_and_cooling_do_together() -> None:
    """A bag that is cool at once is near 23 °C, where the activation energy hardly counts.

    So both together do less than each at its warmest times the other would say.
    """
    found = sheet(whole())
    energy = line(found, "pentane_activation")
    value, cool = _closes(found)
    assert value == pytest.approx(line(found, "stale").value)
    assert energy.low is not None
    assert energy.high is not None

    corners = [_closes(found, pentane_activation=one) for one in (energy.low, energy.high)]
    alone = max(one[0] for one in corners)
    together = max(max(one) for one in corners)
    joined = value * math.exp(math.hypot(math.log(cool / value), math.log(alone / value)))
    assert cool < together < joined < cool * alone / value


def test_drawn_numbers_lie_within_the_band_of_the_last_hour() -> None:
    """At most one in twenty beyond either end: all that is not well known drawn at once.

    Half-normal to either side, with 5 % beyond each end; of ratios for the diffusivity. The bag
    cools anyhow between by conduction alone and at once.
    """
    found = sheet(whole())
    draw = np.random.default_rng(3)
    below = {key: line(found, key) for key in _BEADS_BELOW}
    hours = []
    for _ in range(_DRAWS):
        instead = {key: _drawn(one, float(draw.normal()) / NINE_IN_TEN)
                   for key, one in below.items()}  # fmt: skip
        warm, cool = _closes(found, **instead)
        hours.append(warm * (cool / warm) ** draw.uniform())
    stale = line(found, "stale")
    assert stale.low is not None
    assert stale.high is not None

    assert np.mean(np.less(hours, stale.low)) <= 0.05
    assert np.mean(np.greater(hours, stale.high)) <= 0.05


_DRAWS = 400


def _drawn(one: Line, steps: float) -> float:
    value, low, high = (x or 0.0 for x in (one.value, one.low, one.high))
    end = high if steps > 0 else low
    if one.key == "pentane_pace":
        return float(value * (end / value) ** abs(steps))
    drawn = value + abs(steps) * (end - value)
    return float(min(drawn, 1.0) if one.key == "kept" else max(drawn, 0.0))
