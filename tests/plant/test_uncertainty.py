"""What a reading is worth where its row states nothing: by its instrument and its method."""

from __future__ import annotations

import math

import pytest

from beadwright.errors import Refusal
from beadwright.ledger.draft import Decision, Reading
from beadwright.plant.uncertainty import in_si, is_uncertainty
from tests.plant.asking import block, the_limit, the_lot
from tests.plant.planning import STRENGTH, plant, report, told
from tests.plant.planning import lot as planned_lot
from tests.plant.yard import Yard, ms

DB = pytest.mark.django_db


def calibrated(**more: str) -> Yard:
    """A plant whose balance and rule are fit, with a lot; what the balance's paper says besides."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.set("instrument", "BAL-2", what="balance", every="year", u="0.026 kg")
    yard.set("instrument", "CAL-1", what="calliper", every="year", u="0.1 mm")
    for name in ("BAL-2", "CAL-1"):
        body = {"done": "2026-09-01", "result": "pass", "certificate": f"C-{name}"}
        body |= more if name == "BAL-2" else {}
        yard.post(Decision(f"cal/{name}", ms(50), "calibration", name, body, by="P-13"))
    yard.block_lot("L1")
    return yard


def weighed(yard: Yard, density: float = 23.0, uncertainty: str = "") -> None:
    """Read one block a day old."""
    yard.read([
        Reading("block_mass_24h", f"{block(density):.6f}", "kg", lot="L1", specimen="D1",
                uncertainty=uncertainty, instrument="BAL-2", facts={"state": "24h", "age_h": "26"})
    ])  # fmt: skip


def scale_part(yard: Yard) -> float:
    """The scale's part of the density's uncertainty, in kg/m³, without that of the water."""
    u = the_limit(yard).u_si
    assert u is not None
    return math.sqrt(u**2 - (0.0025 * 23.0) ** 2)


@DB
def test_the_instruments_uncertainty_completes_a_reading() -> None:
    """26 g of 65 L of foam are 0.4 kg/m³."""
    yard = calibrated()
    weighed(yard)

    assert scale_part(yard) == pytest.approx(0.026 / 0.065, rel=1e-4)


@DB
def test_what_the_row_states_stands() -> None:
    """13 g: the plant's own word on this weighing."""
    yard = calibrated()
    weighed(yard, uncertainty="0.013")

    assert scale_part(yard) == pytest.approx(0.2, rel=1e-4)


@DB
def test_the_newest_calibrations_figure_goes_before_the_settings() -> None:
    """A certificate that states 6.5 g."""
    yard = calibrated(uncertainty="6.5 g")
    weighed(yard)

    assert scale_part(yard) == pytest.approx(0.1, rel=1e-3)


@DB
def test_the_methods_repeatability_adds_in_squares() -> None:
    """JCGM 100:2008, equation 10 [from memory]: parts that do not go together."""
    yard = calibrated()
    yard.set("repeatability", "block_mass_24h", s="19.5 g", source="own study")
    weighed(yard)

    assert scale_part(yard) == pytest.approx(math.hypot(0.026, 0.0195) / 0.065, rel=1e-4)


@DB
def test_a_completed_reading_can_be_accepted_under_a_guard_band() -> None:
    """Without its instrument it could not be."""
    yard = calibrated()
    yard.set("decision", "rule", acceptance="guarded", k="2")
    weighed(yard, 23.0)
    assert the_limit(yard).finding == "met"

    yard.weigh("L1", "24h", [block(23.0)], at=62)  # by no instrument that is named
    assert the_lot(yard).reasons[0].code == "uncertainty_unknown"


@DB
def test_a_cut_specimens_density_carries_what_it_was_measured_with() -> None:
    """By hand: 1 g of 100 g are 1 %; three sizes of one calliper, 1 % each, go together to 3 %."""
    yard = calibrated()
    parts = {"mass": ("23", "g", "0.23", "BAL-2")}
    parts |= dict.fromkeys(("length", "width", "height"), ("100", "mm", "1", "CAL-1"))
    yard.read([
        Reading(f"specimen_{name}", value, unit, lot="L1", specimen="S1", uncertainty=u,
                instrument=of)
        for name, (value, unit, u, of) in parts.items()
    ])  # fmt: skip
    result = the_limit(yard)

    assert result.value_si == pytest.approx(23.0)
    assert result.u_si == pytest.approx(23.0 * math.hypot(0.01, 0.03), rel=1e-3)


@DB
def test_a_report_states_its_uncertainty_or_decides_nothing_under_a_guard_band() -> None:
    """17.4 psi is 2.4 inside 15 psi: with u = 1 psi enough for 2 u, with 1.3 psi not."""
    for uncertainty, answer in (
        ("", "not_enough_evidence"), ("1.0 psi", "may_ship"), ("1.3 psi", "may_not_ship"),
        ("5 %", "may_ship"),
    ):  # fmt: skip
        yard = plant() if not uncertainty else again(uncertainty)
        yard.set("decision", STRENGTH, acceptance="guarded", k="2")
        planned_lot(yard, "L1", 10)
        more = {"uncertainty": uncertainty} if uncertainty else {}
        report(yard, "R-1", 9, **more)

        assert told(yard, "L1")[0] == answer, uncertainty


def again(uncertainty: str) -> Yard:
    """A plant of its own for each case."""
    yard = Yard.open(f"P{sum(map(ord, uncertainty))}")
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.limit("STR", STRENGTH, "min", "15.0 psi", statistic="mean")
    yard.set("plan", "FB6-STR", product="FB6", characteristic=STRENGTH, evidence="periodic_test",
             every="week", specimens=5, method="ASTM D1621", conditioning_h=40)  # fmt: skip
    return yard


@pytest.mark.parametrize(("text", "characteristic", "si", "u"), [
    ("5 g", "block_mass_24h", 3.0, 0.005),
    ("0.5 %", "compressive_resistance", 100_000.0, 500.0),
    ("0.5 %", "compressive_resistance", -100_000.0, 500.0),
    ("5 g", "width", 0.3, None),  # grams say nothing of a length
    ("0.2 %", "oxygen_index", 0.28, 0.002),  # of what is a share, a share is itself
])  # fmt: skip
def test_an_uncertainty_is_read_as_the_kind_of_what_was_read(
    text: str, characteristic: str, si: float, u: float | None
) -> None:
    """Its unit, or a share of it."""
    found = in_si(text, characteristic, si)

    assert found == (None if u is None else pytest.approx(u))


@pytest.mark.parametrize("text", ["0 kg", "-1 g", "5", "kg", "", "nan kg", "inf kg"])
def test_what_is_no_uncertainty_is_told(text: str) -> None:
    """One of nothing would narrow a guard band to nothing."""
    assert not is_uncertainty(text)


@DB
def test_a_setting_that_is_none_is_refused() -> None:
    """Of an instrument and of a method."""
    yard = Yard.open()
    with pytest.raises(Refusal):
        yard.set("instrument", "BAL-2", what="balance", every="year", u="0 kg")
    with pytest.raises(Refusal):
        yard.set("repeatability", "density", s="little")
