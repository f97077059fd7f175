"""Readings: kept as keyed and in SI, refused where they cannot be meant, voided, never pooled."""

from collections.abc import Mapping
from dataclasses import replace

import pytest

from beadwright.errors import Refusal
from beadwright.ledger.draft import Reading, ReadingsDraft, Void
from beadwright.plant.opening import rebuild_plant
from beadwright.quality import readings
from beadwright.quality.characteristics import CHARACTERISTICS, Scale, kind_of
from beadwright.quality.keyed import measure, reading_faults
from beadwright.quality.models import Reading as Row
from tests.plant.yard import Yard, ms

MASS = Reading("block_mass_24h", "7.00", "lb", lot="L1")
CUP = Reading("cup_weight", "220", "g", lot="S1", facts={"place": "hot", "cup_volume": "10 L"})


def drafted(*some: Reading) -> ReadingsDraft:
    """A draft of readings."""
    return ReadingsDraft("sheet/1/readings", ms(60), some)


def codes(reading: Reading) -> list[str]:
    """Codes of what is wrong with a reading."""
    return [fault.code for fault in reading_faults(drafted(reading))]


def test_a_value_is_kept_in_si_with_its_uncertainty() -> None:
    """7.00 lb with 0.01 lb, by the definition of the pound."""
    measured, faults = measure(replace(MASS, uncertainty="0.01"), 0, "k")

    assert not faults
    assert measured.characteristic == "block_mass_24h"
    assert measured.si == pytest.approx(7 * 0.45359237, rel=1e-15)
    assert measured.u_si == pytest.approx(0.01 * 0.45359237, rel=1e-15)


@pytest.mark.parametrize("place", ["hot", "dried", "hopper"])
def test_a_cup_has_a_characteristic_for_each_place(place: str) -> None:
    """Three characteristics of their own, whatever was keyed is called cup_weight."""
    facts = {**CUP.facts, "place": place}

    assert measure(replace(CUP, facts=facts), 0, "k")[0].characteristic == f"cup_weight_{place}"


@pytest.mark.parametrize(
    ("reading", "code"),
    [
        (replace(MASS, unit=""), "unit_missing"),
        (replace(MASS, unit="in"), "unit_unknown"),
        (replace(MASS, value="7,00"), "not_a_number"),
        (replace(MASS, value=""), "not_a_number"),
        (replace(MASS, value="-7"), "amount_negative"),
        (replace(MASS, value="0"), "amount_negative"),
        (replace(MASS, uncertainty="-0.01"), "uncertainty_negative"),
        (replace(MASS, uncertainty="small"), "not_a_number"),
        (replace(MASS, characteristic="colour"), "unknown_characteristic"),
        (replace(MASS, characteristic="foam_mass"), "unknown_characteristic"),
        (replace(CUP, characteristic="cup_weight_hot"), "unknown_characteristic"),
        (replace(MASS, lot=""), "subject_missing"),
        (replace(MASS, replicate=0), "bad_reference"),
        (replace(MASS, parents=(0,)), "bad_reference"),
        (replace(MASS, characteristic="wet_block_mass"), "fact_missing"),
        (replace(CUP, facts={"cup_volume": "10 L"}), "fact_missing"),
        (replace(CUP, facts={"place": "hot"}), "fact_missing"),
        (replace(CUP, facts={"place": "cold", "cup_volume": "10 L"}), "fact_unknown"),
        (replace(CUP, facts={"place": "hot", "cup_volume": "10"}), "unit_missing"),
        (replace(CUP, facts={"place": "hot", "cup_volume": "0 L"}), "amount_negative"),
        (Reading("checked", "1.5", "pcs", lot="L1"), "not_whole"),
        (Reading("checked", "5", "kg", lot="L1"), "unit_unknown"),
        (Reading("interlock_fit", "nearly", "", lot="L1"), "not_a_grade"),
        (Reading("interlock_fit", "pass", "kg", lot="L1"), "unit_unknown"),
        (Reading("surface_grade", "D", "", lot="L1"), "not_a_grade"),
    ],
)
def test_what_cannot_be_meant_has_a_code(reading: Reading, code: str) -> None:
    """One fault, with its code and the reading's place."""
    (fault,) = reading_faults(drafted(reading))

    assert fault.code == code
    assert fault.where == "sheet/1/readings, reading 1"


def test_every_fault_of_every_reading_is_told_at_once() -> None:
    """A person mends a sheet once."""
    bad = drafted(replace(MASS, unit="", lot=""), MASS, replace(MASS, value="x"))

    found = reading_faults(bad)

    assert [fault.code for fault in found] == ["subject_missing", "unit_missing", "not_a_number"]
    assert found[-1].where.endswith("reading 3")


def test_a_draft_without_readings_is_a_fault() -> None:
    """Nothing was read."""
    assert [fault.code for fault in reading_faults(drafted())] == ["no_reading"]


@pytest.mark.parametrize(
    ("characteristic", "value", "unit", "si"),
    [
        ("checked", "40", "pcs", 40.0),
        ("defective_ties", "0", "pcs", 0.0),
        ("interlock_fit", "pass", "", 1.0),
        ("interlock_fit", "fail", "", 0.0),
        ("surface_grade", "B", "", None),
    ],
)
def test_each_scale_has_its_values(
    characteristic: str, value: str, unit: str, si: float | None
) -> None:
    """Counts, pass/fail and grades besides ratios."""
    measured, faults = measure(Reading(characteristic, value, unit, lot="L1"), 0, "k")

    assert not faults
    assert measured.si == si


def test_every_characteristic_says_its_scale_and_unit() -> None:
    """Whatever is a number has a unit kind, other scales have none; grades have words."""
    for name, one in CHARACTERISTICS.items():
        assert one.name == name
        numbers = {Scale.RATIO, Scale.CHANGE, Scale.INTERVAL, Scale.COUNT}
        assert (one.kind is not None) == (one.scale in numbers)
        assert bool(one.grades) == (one.scale is Scale.GRADE)
        assert kind_of(name) == one.kind


def test_a_model_refuses_to_save_or_delete() -> None:
    """Only the record writes readings."""
    with pytest.raises(TypeError, match="written by the record only"):
        Row().save()
    with pytest.raises(TypeError, match="never deleted"):
        Row().delete()


@pytest.mark.django_db
def test_readings_of_many_lots_come_by_lot_in_order_of_time() -> None:
    """As keyed, with conditions and parents."""
    yard = Yard.open()
    yard.block_lot("L1")
    yard.block_lot("L2", at=21)
    yard.weigh("L1", "24h", [3.1], at=62)
    yard.weigh("L1", "press", [3.2], at=21)
    later = Reading("length", "48.0", "in", lot="L2", parents=(0,), method="tape", instrument="T3")
    yard.read([replace(later, parents=()), later], at=63)

    found = readings.of_lots(yard.no, ["L1", "L2", "L3"])

    assert set(found) == {"L1", "L2"}
    assert [one.characteristic for one in found["L1"]] == ["wet_block_mass", "block_mass_24h"]
    assert found["L1"][0].keyed == "3.2000 kg"
    assert found["L1"][0].facts == {"state": "press", "age_h": "0.2"}
    second = found["L2"][1]
    assert (second.parents, second.method, second.instrument) == ((0,), "tape", "T3")
    assert second.si == pytest.approx(48 * 0.0254, rel=1e-15)
    assert (second.line, second.at_ms) == (1, ms(63))


@pytest.mark.django_db
def test_readings_of_a_step_are_found_by_its_key() -> None:
    """A cup taken at an expansion run."""
    yard = Yard.open()
    yard.bag("B-1")
    posted = yard.expand("B-1", "S1")
    yard.cup("S1", "dried", "221", at=1.8, step=posted.key)

    found = readings.of_steps(yard.no, [posted.key])

    assert [one.characteristic for one in found[posted.key]] == ["cup_weight_dried"]


@pytest.mark.django_db
def test_a_voided_draft_is_in_no_answer_and_still_there() -> None:
    """The first void counts, the readings stay."""
    yard = Yard.open()
    yard.block_lot("L1")
    key = yard.weigh("L1", "24h", [3.1, 3.2])
    kept = yard.weigh("L1", "24h", [3.3], at=64)
    first = yard.void(key)
    yard.void(key, at=81)

    assert kept
    assert [one.value for one in readings.of_lots(yard.no, ["L1"])["L1"]] == ["3.3000"]
    everything = readings.of_lots(yard.no, ["L1"], voided=True)["L1"]
    assert [one.voided_by for one in everything] == [first.seq, first.seq, None]


@pytest.mark.django_db
@pytest.mark.parametrize("key", ["readings/99", "bag"])
def test_a_void_of_no_readings_is_refused(key: str) -> None:
    """Neither of what was never posted nor of a step; nothing is written."""
    yard = Yard.open()
    bag = yard.bag("B-1")
    wrong = bag.key if key == "bag" else key

    with pytest.raises(Refusal) as refused:
        yard.post(Void("void/1", ms(80), wrong, "wrong"))

    assert refused.value.codes == ("unknown_readings",)


@pytest.mark.django_db
def test_a_bad_reading_takes_its_whole_batch_back() -> None:
    """The projection lets nothing through that the door should have stopped."""
    yard = Yard.open()
    yard.block_lot("L1")
    good = ReadingsDraft("a", ms(60), (MASS,))
    bad = ReadingsDraft("b", ms(60), (replace(MASS, unit=""),))

    with pytest.raises(Refusal) as refused:
        yard.door.post_many([good, bad], yard.who)

    assert refused.value.codes == ("unit_missing",)
    assert readings.of_lots(yard.no, ["L1"]) == {}


@pytest.mark.django_db
def test_the_same_draft_posts_once() -> None:
    """An import that is run again doubles nothing."""
    yard = Yard.open()
    yard.block_lot("L1")
    draft = ReadingsDraft("a", ms(60), (MASS,))

    assert not yard.post(draft).repeated
    assert yard.post(draft).repeated
    assert len(readings.of_lots(yard.no, ["L1"])["L1"]) == 1


@pytest.mark.django_db
def test_a_filling_has_its_cups_by_place_and_not_those_of_another() -> None:
    """From one time the silo was empty to the next; cups of a run belong to its step."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.cup("S1", "hot", "219", at=1)
    first = yard.expand("B-1", "S1", at=2)
    yard.cup("S1", "hopper", "214", at=20)
    yard.sweep("S1", at=30)
    yard.cup("S1", "hot", "230", at=31)
    second = yard.expand("B-1", "S1", kg=300, at=32)
    yard.cup("S1", "dried", "231", at=29, step=second.key)

    one, two = (readings.filling(yard.no, "S1", ms(at)) for at in (10, 40))

    assert one is not None
    assert two is not None
    assert (one.from_ms, one.to_ms, one.steps) == (ms(2), ms(30), (first.key,))
    assert [cup.reading.value for cup in one.hot] == ["219"]
    assert [cup.reading.value for cup in one.hopper] == ["214"]
    assert one.dried == ()
    assert (two.from_ms, two.to_ms) == (ms(32), None)
    assert [cup.reading.value for cup in two.dried] == ["231"]
    assert two.hot[0].density_kg_m3 == pytest.approx(23.0, rel=1e-12)
    assert readings.filling(yard.no, "S1", ms(31)) is None
    assert readings.filling(yard.no, "S2", ms(31)) is None


@pytest.mark.django_db
def test_a_rebuild_keeps_the_same_readings() -> None:
    """The projection equals what the record says, voids included."""
    yard = Yard.open()
    yard.block_lot("L1")
    yard.void(yard.weigh("L1", "24h", [3.1, 3.2]))
    yard.weigh("L1", "dry", [3.0], at=64)
    yard.cup("S1", "hot", "219", at=1)
    before = _rows()

    rebuild_plant(yard.door.plant)

    assert len(before) == 4
    assert _rows() == before


def _rows() -> list[Mapping[str, object]]:
    return list(Row.objects.order_by("p", "seq", "line").values())
