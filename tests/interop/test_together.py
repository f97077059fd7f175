"""Two rows of one code that cannot both be are a fault that names both."""

import pytest

from beadwright.interop.importing import import_files
from beadwright.ledger import holds, lots
from beadwright.plant.opening import projections_differing
from tests.interop.plant import PLANT, Plant, codes
from tests.interop.record import MemoryRecord


@pytest.fixture
def stocked(ground: Plant) -> Plant:
    """Two lots of forty blocks, and a bundle of each."""
    mould = "FP1,tool 4,FB6S,H1,C-1"
    for n in (1, 2):
        times = f"2026-09-02 0{n}:00,2026-09-02 0{n}:50"
        ground.add("mould_runs", f"{n},M-{n},{times},{mould},L-{n},10,40,0,1.5,,,,KR")
        ground.add("bundles", f"{n},2026-09-03 08:0{n},BU-{n},L-{n},20,KR")
    return ground


def shipped(number: int, receiver: str, what: str, at: str = "2026-09-04 09:00") -> str:
    """A row of shipment SH-1."""
    return f"{number},{at},SH-1,{receiver},{what},20,KR"


def test_one_shipment_goes_to_one_receiver(stocked: Plant) -> None:
    """Or a recall would go to the wrong site."""
    stocked.add("shipments", shipped(1, "NORTH YARD", "BU-1"), shipped(2, "SOUTH YARD", "BU-2"))
    (fault,) = stocked.read().faults

    assert fault.code == "shipment_differs"
    assert fault.where == 'shipments.csv, row 3, "receiver"'
    assert "SH-1 goes to SOUTH YARD here, and to NORTH YARD in shipments.csv, row 2" in fault.what


def test_one_shipment_leaves_once(stocked: Plant) -> None:
    """On another day it is another; over midnight it may be loaded."""
    late = shipped(2, "NORTH YARD", "BU-2", "2026-09-05 09:00")
    stocked.add("shipments", shipped(1, "NORTH YARD", "BU-1"), late)
    (fault,) = stocked.read().faults
    assert (fault.code, fault.where) == ("shipment_differs", 'shipments.csv, row 3, "at"')
    assert "leaves at 2026-09-05 09:00 here, and at 2026-09-04 09:00 in" in fault.what

    night = ("2026-09-04 23:50", "2026-09-05 00:10")
    stocked.sheets["shipments"] = [
        shipped(n, "NORTH YARD", f"BU-{n}", at) for n, at in enumerate(night, 1)
    ]
    assert not stocked.read().faults


def test_a_shipment_of_the_record_is_held_against_too(stocked: Plant) -> None:
    """The second row comes a day later; what both are in the record already stays readable."""
    first = stocked.add("shipments", shipped(1, "NORTH YARD", "BU-1")).read()
    record = MemoryRecord(first.drafts, first.people)
    stocked.sheets["shipments"] = [shipped(2, "SOUTH YARD", "BU-2")]
    (fault,) = stocked.read(record, only=["shipments"]).faults
    assert "to NORTH YARD in the record (shipments/1)" in fault.what

    for draft in first.drafts:
        record.first.setdefault(draft.key.replace("shipments/1", "shipments/2"), draft)
    assert not stocked.read(record, only=["shipments"]).faults


def test_a_corrected_receiver_contradicts_nothing(stocked: Plant) -> None:
    """Rows are compared as corrected."""
    stocked.add("shipments", shipped(1, "NORTH YARD", "BU-1"), shipped(2, "SOUTH YARD", "BU-2"))
    row = "1,2026-09-05 08:00,shipments,2,receiver,NORTH YARD,wrong line,EI"

    assert not stocked.add("corrections", row).read().faults


def test_one_code_is_not_put_on_two_bundles(stocked: Plant) -> None:
    """Of two lots on two days, or with more pieces than a bundle holds."""
    stocked.add("bundles", "3,2026-09-04 08:00,BU-1,L-2,2,KR")
    (fault,) = stocked.read().faults
    assert (fault.code, fault.where) == ("bundle_repeated", 'bundles.csv, row 4, "bundle"')
    assert "of lot L-2 here, and of L-1 in bundles.csv, row 2, on another day" in fault.what

    stocked.sheets["bundles"][2] = "3,2026-09-03 08:10,BU-1,L-2,2,KR"
    (fault,) = stocked.read().faults
    assert "22 pieces, where a bundle holds 20" in fault.what


def test_the_rest_of_one_lot_and_the_first_of_the_next_are_one_bundle(stocked: Plant) -> None:
    """Within its size, at one time; and two rows of one lot are one bundle on any day."""
    stocked.sheets["bundles"] = [
        "1,2026-09-03 08:00,BU-1,L-1,15,KR",
        "2,2026-09-03 08:01,BU-1,L-2,5,KR",
        "3,2026-09-03 09:00,BU-2,L-1,10,KR",
        "4,2026-09-05 09:00,BU-2,L-1,10,KR",
    ]
    assert not stocked.read().faults


EIGHT = """
[product.FB8S]
family = "form"
ties = 6
foam_mass = "1.5 kg"
bundle = 20
moisture = { press = "0.04", 24h = "0.01", dry = "0" }

[approved.FB8S]
revision = "R2"
grades = ["F1", "T6"]
"""


def mixed(stocked: Plant) -> Plant:
    """One bundle of 9 pieces of L-1 and 4 of L-2, which is of another product."""
    stocked.settings = PLANT + EIGHT
    stocked.sheets["mould_runs"][1] = stocked.sheets["mould_runs"][1].replace("FB6S", "FB8S")
    stocked.sheets["bundles"] = [
        "1,2026-09-03 08:00,BU-1,L-1,9,KR",
        "2,2026-09-03 08:01,BU-1,L-2,4,KR",
    ]
    return stocked


def test_a_bundle_holds_one_product(stocked: Plant) -> None:
    """Whatever its size and time; the row is named with both products."""
    (fault,) = mixed(stocked).read().faults

    assert (fault.code, fault.where) == ("bundle_of_other_product", 'bundles.csv, row 3, "lot"')
    assert "BU-1 is of FB6S (lot L-1 in bundles.csv, row 2); lot L-2 is of FB8S" in fault.what
    assert "a bundle of their own" in fault.remedy


def test_a_bundle_of_the_record_takes_no_other_product(stocked: Plant) -> None:
    """The second row comes a day later, or from a form."""
    second = mixed(stocked).sheets["bundles"].pop()
    first = stocked.read()
    assert not first.faults
    stocked.sheets["bundles"] = [second]
    (fault,) = stocked.read(MemoryRecord(first.drafts, first.people), only=["bundles"]).faults

    assert fault.code == "bundle_of_other_product"
    assert "BU-1 is of FB6S (lot L-1 in the record (bundles/1))" in fault.what


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("run", "lot", "bundle"), [("1", "L-1", "FB8S"), ("2", "L-2", "FB6S")], ids=["first", "second"]
)
def test_a_lot_whose_product_is_corrected_shows_in_its_bundle(
    stocked: Plant, run: str, lot: str, bundle: str
) -> None:
    """The bundle is of its first lot's product, follows it, and is held for the other."""
    mixed(stocked)
    stocked.sheets["mould_runs"][1] = stocked.sheets["mould_runs"][1].replace("FB8S", "FB6S")
    stocked.add("bundles", f"3,2026-09-03 09:00,BU-3,{lot},5,KR")
    assert not import_files([stocked.write()]).refused
    stocked.add("corrections", f"1,2026-09-05 08:00,mould_runs,{run},product,FB8S,typed wrong,EI")
    report = import_files([stocked.write()])
    assert not report.refused, report.faults

    no = lots.plant_number("LARKHOLLOW")
    code = "bundle_of_other_product"
    found = [(one.step, one.lot) for one in holds.nonconformities(no) if one.code == code]
    assert found == [("bundles/2", "L-2")]
    mixed_, alone = lots.get(no, "BU-1"), lots.get(no, "BU-3")
    assert mixed_ is not None
    assert alone is not None
    assert (mixed_.product, alone.product) == (bundle, "FB8S")
    assert f"{code}:L-2" in mixed_.causes
    assert f"{code}:L-2" not in alone.causes
    assert projections_differing("LARKHOLLOW") == ()


@pytest.mark.parametrize(("place", "kind"), [("FP1", "press"), ("DOCK", "dock")])
def test_a_place_that_holds_no_beads_is_no_source_of_foam(
    stocked: Plant, place: str, kind: str
) -> None:
    """It says what it is, and which places hold beads."""
    stocked.settings = PLANT + '\n[place.DOCK]\nkind = "dock"\n'
    row = stocked.sheets["mould_runs"][0].replace(",H1,", f",{place},")
    stocked.sheets["mould_runs"][0] = row
    fault = stocked.read().faults[0]

    assert (fault.code, fault.where) == ("place_without_content", 'mould_runs.csv, row 2, "from"')
    assert f"{place} is a {kind} and holds no beads; prefoam or regrind is needed" in fault.what
    assert "Name a place that holds beads: H1, S1, S2" in fault.remedy


def test_nothing_is_moved_into_itself(ground: Plant) -> None:
    """S1 to S1."""
    ground.add("silo_moves", "2,2026-09-02 07:00,transfer,S1,S1,10,,,DS")

    assert codes(ground.read()) == ["same_place"]
