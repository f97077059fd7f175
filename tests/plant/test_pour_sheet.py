"""A pour sheet: what a lot's measured strength supports, never above the manual's rate.

Outside: at 70 °F a wall of plain concrete has 150 + 9000 R/70 lb/ft² (ACI 347R-14, 4.2.2.1a(b),
read in a second source), never under 600 and never over 150 lb/ft³ times its height; a strip of
2 5/8 in over ties 8 in apart supports S/F · t²/(0.6 L²) (beam theory). Worked out here by hand.
"""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from beadwright.errors import Misuse
from beadwright.ledger import holds, lots
from beadwright.ledger.draft import Reading
from beadwright.plant.pour import PourAsked, PourSheet, answer_words, pour_json, pour_sheet
from beadwright.plant.worked import Line
from beadwright.plant.worked_words import told
from beadwright.science.pour import CAUTION
from tests.plant.yard import FORM, Yard, ms

pytestmark = pytest.mark.django_db

NOW = ms(100)
FOOT, PSI, PSF, LBF = 0.3048, 6894.757, 47.88026, 4.4482216
FT_H = FOOT / 3600
WALL = {
    **FORM, "height": "16 in", "panel": "2.625 in", "tie_spacing": "8 in", "tie_rise": "16 in",
}  # fmt: skip
PSF_OF_PSI = 144 * 2.625**2 / (0.6 * 8**2) / 2  # of a panel per psi of its foam, with a factor of 2
SAID = PourAsked(
    "FB6", height_m=9 * FOOT, manual_m_s=4 * FT_H, safety_factor=2.0, density_kg_m3=2402.77,
    slump_m=5 * FOOT / 12, temperature_k=294.261, vibration_m=3 * FOOT, binder="plain",
    retarder=False, continuous=True, placed="top",
)  # fmt: skip


def bend(yard: Yard, lot: str, *psi: float) -> None:
    """Test bars of a lot."""
    yard.read(
        [
            Reading("flexural_strength", f"{one}", "psi", lot=lot, specimen=f"{lot}-B{one}")
            for one in psi
        ],
        at=90,
    )


def tested(yard: Yard) -> None:
    """Three lots that may ship, two with a test; a fourth, weak and without evidence."""
    yard.set("product", "FB6", WALL)
    yard.limit("D-MIN", "density", "min", "21.6 kg/m3")
    for lot in ("L1", "L2", "L3"):
        if lots.get(yard.no, lot) is None:
            yard.block_lot(lot)
        yard.weigh(lot, "24h", [3.13, 3.131, 3.129])
    yard.block_lot("L4")
    bend(yard, "L1", 55.0, 50.0, 52.0)
    bend(yard, "L2", 60.0, 70.0)
    bend(yard, "L4", 20.0)


@pytest.fixture
def yard() -> Yard:
    """A plant with lots of which bars were bent."""
    yard = Yard.open()
    tested(yard)
    return yard


def sheet(yard: Yard, **more: object) -> PourSheet:
    """The sheet of what is said above, but for some of it."""
    return pour_sheet(yard.no, replace(SAID, **more), NOW)  # type: ignore[arg-type]


def line(found: PourSheet, key: str, lot: int = 0) -> Line:
    """A line of a lot."""
    return next(one for one in found.lots[lot].lines if one.key == key)


def says(found: PourSheet, units: str = "us") -> str:
    """The answer of the lot that governs, in words."""
    assert found.governs is not None
    assert found.governs.answer is not None
    return " ".join(answer_words(found.governs.answer, units))  # type: ignore[arg-type]


def test_the_weakest_released_lot_governs(yard: Yard) -> None:
    """Its least specimen sets the rate, below the manual's; a lot not released is left out."""
    found = sheet(yard)
    assert [one.lot for one in found.lots] == ["L1", "L2"]
    assert found.left_out == 1
    assert found.governs is found.lots[0]
    supported = 50 * PSF_OF_PSI
    assert line(found, "supported").value == pytest.approx(supported * PSF, rel=1e-5)
    by_hand = (supported - 150) * 70 / 9000
    assert 0 < by_hand < 4
    assert line(found, "rate").value == pytest.approx(by_hand * FT_H, rel=1e-4)
    assert line(found, "pressure").value == pytest.approx((150 + 9000 * 4 / 70) * PSF, rel=1e-4)
    assert line(found, "rate", lot=1).value == pytest.approx(4 * FT_H)
    assert f"at most {int(by_hand * 100) / 100} ft/h, below the manual's 4.00 ft/h" in says(found)


def test_it_never_raises_the_manuals_rate(yard: Yard) -> None:
    """However strong the lot."""
    bend(yard, "L3", 900.0)
    found = sheet(yard, lots=("L3",))
    assert line(found, "rate").value == pytest.approx(4 * FT_H)
    assert "the manual's 4.00 ft/h; by this model the lot does not lower it" in says(found)


def test_where_no_rate_is_supported_it_says_none_and_why(yard: Yard) -> None:
    """Never 0 ft/h; the lift that is left is the head of what the panel supports, rounded down."""
    bend(yard, "L3", 40.0)
    found = sheet(yard, lots=("L3",))
    rate = line(found, "rate")
    assert (rate.value, rate.origin) == (None, "none")
    assert told(rate, (), "us").value == "none"
    assert "least pressure" in rate.refused
    assert found.governs is not None
    assert found.governs.answer is not None
    assert found.governs.answer.rate_m_s is None
    assert says(found).startswith("Rate to discuss: none. The least pressure")
    lift_ft = 40 * PSF_OF_PSI / 150
    assert line(found, "lift").value == pytest.approx(lift_ft * FOOT, rel=1e-4)
    for units, of in (("us", 12 * lift_ft), ("si", 304.8 * lift_ft)):
        shown = float(told(line(found, "lift"), (), units).value.split()[0])  # type: ignore[arg-type]
        assert of - 1 < shown <= of
    body = json.dumps(pour_json(found))
    assert '"rate_m_s": null' in body
    assert "0 ft/h" not in says(found)
    assert "0 m/h" not in body.replace("0 m/h,", "")


def test_a_lift_below_one_course_says_so(yard: Yard) -> None:
    """A lift of a foot is less than a block of 16 in."""
    bend(yard, "L3", 10.0)
    assert "less than one course of blocks (16 in)" in says(sheet(yard, lots=("L3",)))


def test_where_the_floor_is_the_head_the_rate_no_longer_matters(yard: Yard) -> None:
    """A lift of 4 ft: 600 lb/ft² at every rate; said in plain words."""
    found = sheet(yard, height_m=4 * FOOT)
    assert line(found, "floor").value == pytest.approx(line(found, "head").value, rel=1e-5)
    assert found.governs is not None
    assert found.governs.answer is not None
    assert found.governs.answer.every_rate == "floor"
    assert "The rate no longer matters: the least design pressure" in says(found)
    assert sheet(yard).lots[0].answer.every_rate == ""  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("more", "every"),
    [
        ({"slump_m": None}, "liquid"),
        ({"slump_m": 0.2}, "liquid"),
        ({"vibration_m": None}, "liquid"),
        ({"self_consolidating": True}, "liquid"),
        ({"placed": ""}, "base"),
        ({"placed": "base"}, "base"),
    ],
)
def test_what_makes_the_full_head_act_is_named(
    yard: Yard, more: dict[str, object], every: str
) -> None:
    """Said or not said: what nobody says is taken at its worst."""
    found = sheet(yard, **more)
    answer = found.lots[0].answer
    assert answer is not None
    assert (answer.every_rate, answer.rate_m_s) == (every, None)
    assert line(found, "rate").origin == "none"


def test_what_nobody_says_is_taken_at_its_worst_and_listed(yard: Yard) -> None:
    """No word flatters: saying each of them never lowers what is supported."""
    bare = PourAsked("FB6", height_m=9 * FOOT, manual_m_s=4 * FT_H, safety_factor=2.0)
    found = pour_sheet(yard.no, bare, NOW)
    assert found.taken == (
        "Density of fresh concrete", "Mix's chemistry: coefficient", "Slump",
        "Concrete's temperature", "Vibration reaches down",
        "Placing: of the full head", "Panel's spans: bending, of p L²",
    )  # fmt: skip
    least = line(found, "lift").value
    for field in ("density_kg_m3", "slump_m", "temperature_k", "vibration_m", "binder",
                  "retarder", "continuous", "placed"):  # fmt: skip
        one = pour_sheet(yard.no, replace(bare, **{field: getattr(SAID, field)}), NOW)
        assert line(one, "lift").value >= least  # type: ignore[operator]
    assert sheet(yard).taken == ()


@pytest.mark.parametrize("field", ["height_m", "manual_m_s", "safety_factor"])
def test_height_rate_and_factor_are_never_taken(yard: Yard, field: str) -> None:
    """Without one of them the answer is unknown, and says which."""
    found = sheet(yard, **{field: None})
    assert found.lots[0].answer is None
    rate = line(found, "rate")
    assert (rate.value, rate.origin, len(rate.lacking)) == (None, "worked", 1)
    assert told(rate, (), "us").value == "unknown"


def test_a_lot_without_a_test_has_no_figure(yard: Yard) -> None:
    """Where one of those named has none, none governs; its density's estimate stands apart."""
    found = sheet(yard, lots=("L2", "L3"))
    assert found.governs is None
    assert found.lacking.startswith("L3: no flexural strength of it was measured")
    assert [one.lot for one in found.lots if one.lines] == ["L2"]
    (bare,) = (one for one in found.lots if one.lot == "L3")
    apart = next(one for one in bare.apart if one.key == "expected")
    assert apart.value is not None
    assert "not used" in apart.title
    assert "L4: it is not released" in sheet(yard, lots=("L4",)).lacking


def test_without_any_test_none_is_said(yard: Yard) -> None:
    """And what is lacking."""
    yard.set("product", "FB9", {**WALL, "title": "Another"})
    found = sheet(yard, product="FB9")
    assert (found.lots, found.governs) == ((), None)
    assert found.lacking == "no released lot of FB9 has a flexural test of its own"


def test_the_weaker_of_foam_and_tie_counts(yard: Yard) -> None:
    """A tie of 300 lbf on 8 by 16 in bears 169 lb/ft² with a factor of 2; unknown is said."""
    assert "what a tie bears is not known" in says(sheet(yard))
    yard.set("product", "FB6", {**WALL, "tie_strength": "300 lbf"}, since=5)
    found = sheet(yard)
    assert line(found, "rate").origin == "none"
    head_ft = 300 / 2 / (8 * 16 / 144) / 150
    assert line(found, "lift").value == pytest.approx(head_ft * FOOT, rel=1e-4)
    assert "The tie is the weaker" in says(found)
    pull = (150 + 9000 * 4 / 70) * 8 * 16 / 144
    assert line(found, "tie_pull").value == pytest.approx(pull * LBF, rel=1e-4)
    assert line(found, "tie_times").value == pytest.approx(300 / pull, rel=1e-4)
    yard.set("product", "FB6", {**WALL, "tie_strength": "3000 lbf"}, since=6)
    assert "The foam is the weaker" in says(sheet(yard))


def test_caution_and_aid_stand_with_every_lot(yard: Yard) -> None:
    """In the words that were decided; the whole sheet is JSON; no bare code stands in a title."""
    found = sheet(yard)
    body = json.loads(json.dumps(pour_json(found)))
    assert body["caution"] == CAUTION
    assert {one["caution"] for one in body["lots"]} == {CAUTION}
    assert "engineer of record" in body["aid"]
    assert not any("1 plain" in one.title for one in found.said)
    assert any("Types I, II and III" in one.source for one in found.said)


def test_it_holds_nothing(yard: Yard) -> None:
    """However weak a lot is."""
    sheet(yard, lots=("L4",))
    assert list(holds.placed(yard.no)) == []


def test_what_cannot_be_meant_is_refused(yard: Yard) -> None:
    """With what it may be."""
    yard.set("product", "PK", family="packaging")
    for asked in (PourAsked("NONE"), PourAsked("PK"), PourAsked("FB6", ("B-1",))):
        with pytest.raises(Misuse):
            pour_sheet(yard.no, asked, NOW)
    for wrong, words in (
        ({"height_m": -1.0}, "fresh concrete, height"),
        ({"height_m": float("nan")}, "fresh concrete, height"),
        ({"manual_m_s": 0.0}, "rate of the installation manual"),
        ({"safety_factor": 0.9}, "0.9 is not from 1 to 20"),
        ({"temperature_k": 320.0}, r"46.8 °C is not from 3.8 °C to 37.8 °C \(38.9 °F to 100.1 °F"),
        ({"density_kg_m3": 150.0}, "density of fresh concrete"),
        ({"slump_m": -0.1}, "slump"),
        ({"vibration_m": -0.1}, "vibration"),
        ({"binder": "slag"}, "there are: plain, blended, high"),
        ({"placed": "side"}, "there are: top, base"),
    ):
        with pytest.raises(Misuse, match=words):
            PourAsked("FB6", **wrong)
