"""Looking back on an instrument found wrong: which lots would not have been released.

Days are of September 2026 in the plant's zone. A block holds 65.0 L of foam and six ties of 0.27
kg; of one a day old 1 % of the foam's mass is water.
"""

from __future__ import annotations

from datetime import date

import pytest

from beadwright.errors import Misuse, Refusal
from beadwright.ledger import lots
from beadwright.ledger.draft import Reading
from beadwright.plant.as_found import as_found
from beadwright.plant.keyed_in_units import value_in
from beadwright.plant.look_back import LookBack, look_back, taken
from beadwright.plant.look_back.words import not_looked_at
from beadwright.plant.release import assess
from tests.plant.asking import the_lot
from tests.plant.planning import STRENGTH, decide, hours, lot
from tests.plant.planning import plant as planned
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

FOAM = 1.495
TIES = 6 * 0.27
NOW = ms(24 * 30)


def block_of(density: float) -> float:
    """Give the mass of a block a day old, in kg: 1 % of its foam's mass is water."""
    return density * 0.065 / 0.99 + TIES


def plant(yard: Yard | None = None) -> Yard:
    """A plant that limits density to 22.0 kg/m3 and lists one balance, good on 2 September."""
    yard = yard or Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    calibrated(yard, 2)
    return yard


def calibrated(yard: Yard, day: int, result: str = "pass", **more: str) -> None:
    """Post a calibration of the balance."""
    body = {"done": f"2026-09-{day:02}", "result": result, "certificate": f"C-{day}", **more}
    decide(yard, "calibration", "BAL-2", body)


def weighed(yard: Yard, lot: str, density: float, day: int, instrument: str = "BAL-2") -> None:
    """Mould a lot the day before, and weigh three of its blocks."""
    yard.block_lot(lot, at=hours(day - 1, 5))
    mass = block_of(density)
    yard.read([
        Reading("block_mass_24h", f"{mass + off:.4f}", "kg", lot=lot, specimen=f"D{i}",
                instrument=instrument, facts={"state": "24h", "age_h": "26"})
        for i, off in enumerate((-0.0005, 0.0, 0.0005))
    ], at=hours(day, 9))  # fmt: skip


def asked(yard: Yard, **more: object) -> LookBack:
    """Look back on the balance."""
    return look_back(yard.no, "BAL-2", NOW, **more)  # type: ignore[arg-type]


def standings(found: LookBack) -> dict[str, str]:
    """Each lot's standing."""
    return {one.lot: one.standing for one in found.lots}


def test_a_lot_that_passed_by_the_error_alone_stands_worse() -> None:
    """The balance said 20 g too much: 22.2 was 21.9 kg/m3, and 22.6 was 22.3."""
    yard = plant()
    weighed(yard, "L1", 22.2, 10)
    weighed(yard, "L2", 22.6, 11)
    calibrated(yard, 20, "fail", as_found="+20 g")

    found = asked(yard)

    # 20 g of a block's mass are 19.8 g of dry foam in 65.0 L: 0.305 kg/m3.
    assert standings(found) == {"L1": "worse", "L2": "same"}
    (change,) = found.lots[0].changes
    assert change.name == "DEN"
    assert change.as_read.startswith("22.19 kg/m3, met")
    assert change.without.startswith("21.89 kg/m3, not met")
    assert found.to_hold == ("L1",)
    assert (found.readings, found.unanswered) == (6, 0)
    assert dict(found.read) == {"block_mass_24h": 6}


def test_a_lot_that_failed_by_the_error_alone_stands_better() -> None:
    """The balance said 20 g too little: 21.8 was 22.1 kg/m3."""
    yard = plant()
    weighed(yard, "L1", 21.8, 10)
    calibrated(yard, 20, "fail", as_found="-20 g")

    assert standings(asked(yard)) == {"L1": "better"}


def test_a_share_is_of_what_the_instrument_said() -> None:
    """At +1 %, a block of 3.078 kg was 3.047 kg: 30.5 g less."""
    yard = plant()
    weighed(yard, "L1", 22.2, 10)
    calibrated(yard, 20, "fail", as_found="+1 %")

    assert as_found("+1 %").text == "+1 %"
    assert standings(asked(yard)) == {"L1": "worse"}
    (change,) = asked(yard).lots[0].changes
    mass = block_of(22.2)
    truth = (mass / 1.01 - 0.0005 / 1.01 - TIES) * 0.99 / 0.065
    assert change.without.startswith(f"{truth:.2f} kg/m3")


def test_the_look_goes_back_to_the_last_calibration_passed() -> None:
    """Days of both calibrations with it; what was read before, with another, or since is not."""
    yard = plant()
    calibrated(yard, 8)
    weighed(yard, "L1", 22.2, 6)
    weighed(yard, "L2", 22.2, 8)
    weighed(yard, "L3", 22.2, 12)
    weighed(yard, "L4", 22.2, 12, "BAL-9")
    calibrated(yard, 20, "fail", as_found="+20 g")
    calibrated(yard, 20)
    weighed(yard, "L5", 22.2, 22)

    found = asked(yard)

    assert standings(found) == {"L2": "worse", "L3": "worse"}
    assert found.span.last_good is not None
    assert found.span.last_good.done == date(2026, 9, 8)
    assert found.span.found is not None
    assert not found.span.found.passed
    assert standings(asked(yard, done=date(2026, 9, 20))) == standings(found)


def test_an_error_that_nobody_stated_leaves_every_lot_unknown() -> None:
    """It failed, and by how much is not known: nothing reads as the same."""
    yard = plant()
    weighed(yard, "L1", 25.0, 10)
    calibrated(yard, 20, "fail")

    found = asked(yard)

    assert standings(found) == {"L1": "unknown"}
    assert found.unanswered == 3
    assert found.to_hold == ("L1",)
    assert standings(asked(yard, error=as_found("+20 g"))) == {"L1": "same"}


def test_an_error_in_grams_says_nothing_of_a_length() -> None:
    """Readings of another kind by the same instrument stay unknown."""
    yard = plant()
    yard.limit("LEN", "length", "max", "1200 mm")
    yard.block_lot("L1", at=hours(9, 5))
    yard.read([Reading("length", "1199", "mm", lot="L1", specimen="D1", instrument="BAL-2",
                       facts={"state": "24h", "age_h": "26"})], at=hours(10, 9))  # fmt: skip
    calibrated(yard, 20, "fail", as_found="+20 g")

    found = asked(yard)

    assert standings(found) == {"L1": "unknown"}
    assert standings(asked(yard, error=as_found("+2 mm"))) == {"L1": "same"}
    assert standings(asked(yard, error=as_found("-2 mm"))) == {"L1": "worse"}


def test_what_if_needs_no_calibration_that_failed() -> None:
    """Until now, from the last it passed; without an error there is nothing to ask."""
    yard = plant()
    weighed(yard, "L1", 22.2, 10)

    with pytest.raises(Misuse, match="no calibration of BAL-2 failed"):
        asked(yard)
    assert standings(asked(yard, error=as_found("+20 g"))) == {"L1": "worse"}


def test_who_released_and_where_the_pieces_are_stand_with_it() -> None:
    """A released lot of which a bundle was shipped."""
    yard = plant()
    weighed(yard, "L1", 22.2, 3)
    yard.release("L1", the_lot(yard).evidence, at=hours(3, 12))
    yard.bundle("BU-1", "L1", 20, at=hours(4, 5))
    yard.ship("SH-1", "BU-1", 20, at=hours(5, 5))
    calibrated(yard, 20, "fail", as_found="+20 g")

    (one,) = asked(yard).lots

    assert [each.by for each in one.approvals] == ["P-13"]
    assert one.where is not None
    assert [(stand.receiver, stand.at_least) for stand in one.where.shipped] == [
        ("QUARRY LANE", 20)
    ]
    assert [(stand.lot, stand.at_least) for stand in one.where.in_stock] == [("L1", 20)]


def test_cups_of_a_silo_are_counted_and_judge_no_lot() -> None:
    """No release rests on them, but people do."""
    yard = plant()
    yard.block_lot("L1", at=hours(9, 5))
    yard.read([Reading("cup_weight", "220", "g", lot="S1", instrument="BAL-2",
                       facts={"place": "hot", "cup_volume": "10 L"})], at=hours(9, 6))  # fmt: skip
    calibrated(yard, 20, "fail", as_found="+20 g")

    found = asked(yard)

    assert (found.lots, found.elsewhere, found.readings) == ((), (("S1", 1),), 1)


@pytest.mark.parametrize("text", ["2 g", "+2", "g", "+1,5 g", "+100 %", "+2 g lost"])
def test_an_error_that_cannot_be_read_is_refused(text: str) -> None:
    """No sign, no unit, no number, a comma, no instrument in use; a unit that nothing has."""
    yard = plant()
    if text == "+2 g lost":
        assert as_found(text).taken_from("block_mass_24h") is None
        return
    with pytest.raises(ValueError, match=r"as \"\+2 g\"|no sign|below 100"):
        as_found(text)
    with pytest.raises(Refusal, match="as_found must be an error"):
        calibrated(yard, 20, "fail", as_found=text)


def test_an_instrument_that_is_not_listed_cannot_be_looked_back_on() -> None:
    """The plant's are named."""
    yard = plant()
    assert lots.plant_code(yard.no) == "P1"

    with pytest.raises(Misuse, match="no instrument 'BAL-7' is listed; there are: BAL-2"):
        look_back(yard.no, "BAL-7", NOW)
    with pytest.raises(Misuse, match="no calibration done on 2026-09-03; there are: 2026-09-02"):
        asked(yard, done=date(2026, 9, 3))


def test_what_the_error_is_uncertain_by_may_turn_a_lot() -> None:
    """+20 g ± 12 g: 22.6 was 22.29, at worst 22.11, met; 22.4 was 22.10, at worst 21.91.

    12 g of a block's mass are 11.9 g of dry foam in 65.0 L: 0.183 kg/m3.
    """
    yard = plant()
    weighed(yard, "L1", 22.2, 10)
    weighed(yard, "L2", 22.4, 11)
    weighed(yard, "L3", 22.6, 12)
    calibrated(yard, 20, "fail", as_found="+20 g ± 12 g")

    found = asked(yard)
    sure = asked(yard, error=as_found("+20 g"))

    assert standings(found) == {"L1": "worse", "L2": "may", "L3": "same"}
    assert standings(sure) == {"L1": "worse", "L2": "same", "L3": "same"}
    (change,) = found.lots[1].changes
    assert change.without.startswith("at worst 21.91 kg/m3, not met")
    assert found.to_hold == ("L1", "L2")
    assert found.span.error is not None
    assert found.span.error.text == "+20 g ± 12 g"
    assert "nobody stated" in not_looked_at(sure)
    assert "uncertainty" not in not_looked_at(found)


@pytest.mark.parametrize(
    ("text", "same"),
    [("+2 ± 0.5 g", "+2 g ± 0.5 g"), ("-0.4 % +/- 0.1 %", "-0.4 % ± 0.1 %"),
     ("0 g ± 1 g", "+0 g ± 1 g")],
)  # fmt: skip
def test_an_error_is_read_with_its_uncertainty(text: str, same: str) -> None:
    """However it is written."""
    assert as_found(text).text == same


@pytest.mark.parametrize("text", ["+2 g ± 1 kg", "+2 g ±", "+2 g ± -1 g", "+2 g ± 1 ± 1 g"])
def test_an_uncertainty_that_cannot_be_read_is_refused(text: str) -> None:
    """In another unit, without a number, with a sign of its own, twice."""
    with pytest.raises(ValueError, match=r"is not one|another unit"):
        as_found(text)


def test_a_lot_for_which_a_doubtful_test_speaks_cannot_be_judged_either() -> None:
    """Strength of the week, pressed on one lot by a machine that failed: nobody knows."""
    yard = planned()
    yard.set("instrument", "PRESS-1", what="press", every="year")
    body = {"done": "2026-09-02", "result": "pass", "certificate": "C-1"}
    decide(yard, "calibration", "PRESS-1", body)
    for day in (8, 9):
        lot(yard, f"L{day}", day)
    yard.read([
        Reading(STRENGTH, f"{value}", "psi", lot="L8", specimen=f"C{i}", instrument="PRESS-1",
                facts={"conditioned_h": "48"})
        for i, value in enumerate((16, 17, 16.5, 17.2, 16.8))
    ], at=hours(12, 9))  # fmt: skip
    decide(yard, "calibration", "PRESS-1", {"done": "2026-09-20", "result": "fail"})

    found = look_back(yard.no, "PRESS-1", ms(24 * 70))

    assert standings(found) == {"L8": "unknown", "L9": "unknown"}
    assert found.to_hold == ("L8", "L9")
    far = look_back(yard.no, "PRESS-1", ms(24 * 70), error=as_found("+3 psi"))
    assert standings(far) == {"L8": "worse", "L9": "worse"}


@pytest.mark.parametrize(
    ("result", "error", "told"),
    [
        ("fail", "", "failed its calibration on"),
        ("fail", "+20 g", "failed its calibration and was found with an error of +20 g on"),
        ("pass", "+20 g ± 2 g", "was found with an error of +20 g ± 2 g on"),
        ("pass", "+1 g ± 2 g", ""),
        ("pass", "+0 g", ""),
    ],
)
def test_whoever_releases_is_told_of_an_instrument_found_wrong(
    result: str, error: str, told: str
) -> None:
    """As a note, whatever its limits say; what was read since the calibration is not meant."""
    yard = plant()
    weighed(yard, "L1", 22.6, 10)
    weighed(yard, "L2", 22.6, 21)
    stated = {"as_found": error} if error else {}
    calibrated(yard, 20, result, **stated)

    before, after = assess(yard.no, ["L1", "L2"], at_ms=ms(24 * 25)).lots
    notes = [one for one in before.reasons if one.code == "found_wrong_since"]
    assert [one.weight for one in notes] == (["notes"] if told else [])
    assert not told or told in notes[0].sentence
    assert "limits_met" in {one.code for one in before.reasons}
    assert "found_wrong_since" not in {one.code for one in after.reasons}


def test_what_an_instrument_read_is_listed_since_it_was_last_right() -> None:
    """The newest first, in parts; what was voided since is listed and says so."""
    yard = plant()
    weighed(yard, "L1", 22.6, 10)
    weighed(yard, "L2", 22.6, 11)
    calibrated(yard, 8)  # right again: what was read before it is not in doubt
    weighed(yard, "L0", 22.6, 5)
    key = yard.read([Reading("block_mass_24h", "3.1", "kg", lot="L1", instrument="BAL-2")],
                    at=hours(12, 9))  # fmt: skip
    yard.void(key, at=hours(12, 10))

    found = taken(yard.no, "BAL-2", NOW)
    first = taken(yard.no, "BAL-2", NOW, part=(None, 3))
    rest = taken(yard.no, "BAL-2", NOW, part=(first.next, 9))

    assert [one.lot for one in found.readings] == ["L1", "L2", "L2", "L2", "L1", "L1", "L1"]
    assert [bool(one.voided_by) for one in found.readings] == [True] + [False] * 6
    assert found.next is None
    assert (*first.readings, *rest.readings) == found.readings
    assert rest.next is None
    assert str(found.since) == "2026-09-08"
    assert len(taken(yard.no, "BAL-2", NOW, since=date(2026, 9, 1)).readings) == 10


@pytest.mark.parametrize(
    ("result", "error", "since"),
    [
        ("pass", "", "2026-09-20"),
        ("pass", "+0 g", "2026-09-20"),
        ("pass", "+20 g", "2026-09-02"),  # adjusted since: what it read before is in doubt
        ("fail", "", "2026-09-02"),
    ],
)
def test_a_calibration_that_found_it_wrong_is_no_beginning(
    result: str, error: str, since: str
) -> None:
    """What it read is listed from the calibration before that."""
    yard = plant()
    calibrated(yard, 20, result, **({"as_found": error} if error else {}))

    assert str(taken(yard.no, "BAL-2", NOW).since) == since


@pytest.mark.parametrize(
    ("value", "unit", "us", "si"),
    [
        ("3.18", "kg", "7.01 lb", "3.18 kg"),
        ("7.01", "lb", "7.01 lb", "3.18 kg"),
        ("220", "g", "220 g", "220 g"),
    ],
)
def test_a_reading_is_shown_in_the_readers_units(value: str, unit: str, us: str, si: str) -> None:
    """With as many digits as were keyed; 1 lb is 0.45359237 kg (NIST SP 811, B.8 [from memory])."""
    yard = plant()
    yard.block_lot("L1")
    yard.read([Reading("block_mass_24h", value, unit, lot="L1", instrument="BAL-2")])
    (one,) = taken(yard.no, "BAL-2", NOW, since=date(2026, 8, 1)).readings

    assert (value_in(one, "us"), value_in(one, "si")) == (us, si)
