"""Signatures on printed limits: what verifies one, what the door refuses, what the reasons say."""

from collections.abc import Mapping

import pytest

from beadwright.errors import Refusal
from beadwright.ledger.draft import Decision
from beadwright.plant.opening import rebuild_plant
from tests.plant.asking import block, coded, the_lot
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

ROW = "ASTM C578/10/II/density"
READ = {"value": "1.35", "unit": "lb/ft3", "page": "Table 1, p. 3", "note": ""}


def standing(edition: str = "10", **changes: object) -> Yard:
    """A plant with a lot that meets density of type II."""
    yard = Yard.open()
    body = {"standard": "ASTM C578", "edition": edition, "type": "II"}
    yard.set("standard", "FB6", {**body, "characteristics": ["density"], **changes})
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [block(23), block(23.1), block(22.9)])
    return yard


def sign(yard: Yard, body: Mapping[str, object] = READ, *, row: str = ROW, **more: object) -> None:
    """Bring a signature to the door, at hour 70 (3 September on the plant's clock)."""
    kind, by, at = more.get("kind", "limit_signed"), more.get("by", "P-13"), more.get("at", 70.0)
    key = f"sign/{kind}/{row}/{at}"
    yard.post(Decision(key, ms(float(str(at))), str(kind), row, body, by=str(by)))


def codes(yard: Yard, body: Mapping[str, object] = READ, **more: object) -> list[str]:
    """Codes of a refused signature."""
    with pytest.raises(Refusal) as refused:
        sign(yard, body, **more)  # type: ignore[arg-type]  # row, kind, by, at
    return [fault.code for fault in refused.value.faults]


def test_a_signed_limit_says_who_verified_it_and_when() -> None:
    """In every source that names it, on the plant's own calendar; nothing is unverified now."""
    yard = standing()
    before = the_lot(yard)
    sign(yard)

    lot = the_lot(yard)

    assert coded(before, "unverified_limit")
    assert not coded(lot, "unverified_limit")
    (reason,) = coded(lot, "limits_met")
    assert reason.source.endswith("type II, verified by P-13 on 2026-09-03")
    (limit,) = (result.limit for result in lot.limits)
    assert (limit.verified, limit.verified_by, limit.verified_on) == (True, "P-13", "2026-09-03")


def test_a_signature_is_part_of_the_evidence() -> None:
    """The hash of what a release approves changes with it; the answer does not."""
    yard = standing()
    before = the_lot(yard)
    sign(yard)

    assert the_lot(yard).evidence != before.evidence
    assert the_lot(yard).answer == before.answer == "may_ship"


def test_a_signature_holds_for_its_row_only() -> None:
    """Strength stays unverified where density was signed."""
    yard = standing(characteristics=["density", "compressive_resistance"])
    sign(yard)

    verified = {one.limit.characteristic: one.limit.verified for one in the_lot(yard).limits}

    assert verified == {"density": True, "compressive_resistance": False}


@pytest.mark.parametrize(("value", "unit"), [("1.35", "pcf"), ("1.350", "lb/ft³")])
def test_the_same_figure_may_be_written_otherwise(value: str, unit: str) -> None:
    """A unit's other spelling and a trailing zero change nothing."""
    yard = standing()
    sign(yard, {**READ, "value": value, "unit": unit})

    assert the_lot(yard).limits[0].limit.verified


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"value": "1.40"}, "limit_differs"),
        ({"value": "22", "unit": "kg/m3"}, "limit_differs"),
        ({"value": "21.62", "unit": "kg/m3"}, "limit_differs"),
        ({"unit": "psi"}, "unit_unknown"),
        ({"value": "1,35"}, "not_a_number"),
        ({"value": ""}, "bad_decision"),
        ({"value": 135}, "bad_decision"),
        ({"unit": ""}, "bad_decision"),
        ({"page": " "}, "bad_decision"),
        ({"note": 3}, "bad_decision"),
        ({"colour": "white"}, "bad_decision"),
    ],
)
def test_what_was_not_read_so_is_refused(changes: dict[str, object], code: str) -> None:
    """Nothing is signed then, and the limit stays unverified."""
    yard = standing()

    assert codes(yard, {**READ, **changes}) == [code]
    assert coded(the_lot(yard), "unverified_limit")


def test_a_refusal_says_what_to_do_with_another_figure() -> None:
    """It names both figures, the column that does not decide, and the plant's own limit."""
    with pytest.raises(Refusal) as refused:
        sign(standing(), {**READ, "value": "22", "unit": "kg/m3"})

    (fault,) = refused.value.faults
    assert "the paid text says 22 kg/m3, and here stands 1.35 lb/ft3" in fault.what
    assert "22 kg/m3 is the column beside it, which does not decide" in fault.what
    assert "set a limit of the plant's own" in fault.remedy


def test_nobody_signs_a_row_that_is_not_carried_or_a_cross_check() -> None:
    """Nor without a name."""
    yard = standing()

    assert codes(yard, row="ASTM C578/22/II/density") == ["unknown_limit"]
    assert codes(yard, row="ASTM D6817/07/EPS22/density") == ["unknown_limit"]
    assert codes(yard, by=" ") == ["bad_decision"]


def test_a_signature_is_withdrawn_and_given_again() -> None:
    """The newest word on a row counts; a withdrawal says why."""
    yard = standing()
    sign(yard)
    assert codes(yard, {}, kind="limit_unsigned", at=71) == ["bad_decision"]

    sign(yard, {"reason": "wrong edition read"}, kind="limit_unsigned", at=71)
    without = the_lot(yard)
    sign(yard, by="P-14", at=72)

    assert coded(without, "unverified_limit")
    assert the_lot(yard).limits[0].limit.verified_by == "P-14"


def test_signatures_outlast_a_rebuild() -> None:
    """They are entries of the record."""
    yard = standing()
    sign(yard)
    before = the_lot(yard)

    rebuild_plant("P1")

    assert the_lot(yard) == before


def test_a_superseded_edition_is_told_once() -> None:
    """Signed or not: edition -10 has been superseded, and the newest seen is -22."""
    yard = standing(characteristics=["density", "oxygen_index"])
    sign(yard)

    (reason,) = coded(the_lot(yard), "superseded_edition")

    assert reason.weight == "notes"
    assert reason.sentence == (
        "ASTM C578-10 has been superseded; the next edition seen is ASTM C578-12b, the newest"
        " ASTM C578-22; by the older one are judged: density, oxygen index"
    )


def test_the_newest_edition_is_not_superseded() -> None:
    """E2634-18 (2022) is the newest seen."""
    yard = standing("18", standard="ASTM E2634", type="EPS")

    assert not coded(the_lot(yard), "superseded_edition")
