"""What a row of each sheet becomes; each step adds up to the milligram."""

import pytest

from beadwright.interop.sheets import Intake
from beadwright.ledger.draft import (
    RECLAIM,
    Evidence,
    Label,
    Line,
    Loss,
    Material,
    NewLot,
    ReadingsDraft,
    StepDraft,
)
from tests.interop.plant import Plant, codes

MOULD = "1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1"


def step(intake: Intake, key: str) -> StepDraft:
    """The step of a row; the intake must be without fault or question."""
    assert not intake.faults, "\n".join(map(str, intake.faults))
    assert not intake.questions
    return next(d for d in intake.drafts if isinstance(d, StepDraft) and d.key == key)


def readings(intake: Intake, key: str) -> ReadingsDraft:
    """The readings of a row."""
    assert not intake.faults, "\n".join(map(str, intake.faults))
    return next(d for d in intake.drafts if isinstance(d, ReadingsDraft) and d.key == key)


def unbalanced(draft: StepDraft) -> int:
    """In less out, losses and remainder."""
    lines = -sum(line.sign * line.mg for line in draft.lines)
    return lines - sum(loss.mg for loss in draft.losses) - draft.remainder_mg


def test_a_bag_comes_in_with_its_grade_and_its_makers_label(ground: Plant) -> None:
    """The mass is kept in mg, and as keyed."""
    draft = step(ground.read(), "bead_receipts/1")

    assert draft.lines == (Line("B-1", 1, 400_295_267, keyed="882.5 lb"),)
    assert draft.new_lots == (
        NewLot(
            "B-1",
            Material.BEAD,
            "bag",
            grades=("F1",),
            labels=(Label("Pellmere Resins", "88-A"),),
        ),
    )
    assert draft.kind == "receipt"
    assert draft.by == "P-01"


def test_a_carton_is_counted_and_has_a_unit_mass(ground: Plant) -> None:
    """Pieces times unit mass is its mass; a maker not named is the supplier."""
    draft = step(ground.read(), "tie_receipts/1")

    assert draft.lines == (Line("C-1", 1, 1200 * 272_155, 1200, Evidence.COUNTED, "1200 pieces"),)
    assert draft.new_lots[0].unit_mg == 272_155
    assert draft.new_lots[0].labels == (Label("supplier", "T-7"),)


def test_an_expansion_row_draws_the_bag_and_fills_the_silo(ground: Plant) -> None:
    """Without a weighing the silo takes the mass less the loss."""
    draft = step(ground.read(), "expansion_runs/1")

    assert draft.lines == (
        Line("B-1", -1, 380_000_000, keyed="380 kg"),
        Line("S1", 1, 374_500_000, evidence=Evidence.BACKFLUSHED),
    )
    assert draft.losses == (Loss("pentane and moisture", 5_500_000, "5.5 kg"),)
    assert draft.remainder_mg == 0
    assert draft.run == "E-1"
    assert draft.facts["batches"] == "32"
    assert draft.facts["charge"] == "12 kg"
    assert draft.facts["started"] == "1788274800000"


def test_a_weighed_filling_leaves_the_rest_as_remainder(ground: Plant) -> None:
    """Beads that gained air by weight leave a remainder below nothing."""
    ground.sheets["expansion_runs"] = [
        "1,E-1,2026-09-01 10:00,2026-09-01 11:30,B-1,380,32,12,S1,377.2,5.5,DS"
    ]
    draft = step(ground.read(), "expansion_runs/1")

    assert draft.lines[1] == Line("S1", 1, 377_200_000, keyed="377.2 kg")
    assert draft.remainder_mg == -2_700_000
    assert unbalanced(draft) == 0


def test_an_expansion_says_on_which_pre_expander_it_ran(ground: Plant) -> None:
    """Where the sheet has the column; one that is no place is told, one that is missing is not."""
    assert step(ground.read(), "expansion_runs/1").place == ""
    ground.headers["expansion_runs"] = ground.headers["expansion_runs"].replace(
        ",by", ",expander,by"
    )
    row = "1,E-1,2026-09-01 10:00,2026-09-01 11:30,B-1,380,32,12,S1,,5.5,{},DS"
    ground.sheets["expansion_runs"] = [row.format("H1")]
    assert step(ground.read(), "expansion_runs/1").place == "H1"

    ground.sheets["expansion_runs"] = [row.format("NO-SUCH")]
    assert [fault.code for fault in ground.read().faults] == ["unknown_place"]


def test_a_cup_is_read_of_the_silo_at_the_step_of_its_run(ground: Plant) -> None:
    """A run of two rows: the cup belongs to the row of its silo and time."""
    ground.add(
        "expansion_runs",
        "2,E-1,2026-09-01 11:30,2026-09-01 11:45,B-1,12,1,12,S2,,0.2,DS",
    )
    ground.add("cups", "1,2026-09-01 11:40,E-1,S2,hot,221.4,10,scale 2,DS")
    draft = readings(ground.read(), "cups/1/readings")
    reading = draft.readings[0]

    assert (reading.characteristic, reading.value, reading.unit) == ("cup_weight", "221.4", "g")
    assert (reading.lot, reading.step) == ("S2", "expansion_runs/2")
    assert reading.facts == {"place": "hot", "cup_volume": "10 L", "run": "E-1"}
    assert reading.instrument == "scale 2"


def test_a_transfer_fills_a_hopper_by_what_people_say(ground: Plant) -> None:
    """What leaves a silo is on no scale."""
    draft = step(ground.read(), "silo_moves/1")

    assert draft.kind == "fill"
    assert [(line.lot, line.sign, line.mg) for line in draft.lines] == [
        ("S1", -1, 180_000_000),
        ("H1", 1, 180_000_000),
    ]
    assert {line.evidence for line in draft.lines} == {Evidence.BACKFLUSHED}


@pytest.mark.parametrize(
    ("row", "kind", "lines"),
    [
        ("2,2026-09-02 10:00,ran_empty,H1,,,,,DS", "ran_empty", [("H1", 0, 0)]),
        ("2,2026-09-02 10:00,swept_empty,H1,,,EI,,DS", "swept_empty", [("H1", 0, 0)]),
        ("2,2026-09-02 10:00,stocktake,S1,,192,,,DS", "stocktake", [("S1", 0, 192_000_000)]),
        (
            "2,2026-09-02 10:00,scrap,S1,,7,,W-1,DS",
            "scrap",
            [("S1", -1, 7_000_000), ("W-1", 1, 7_000_000)],
        ),
    ],
)
def test_a_silo_is_stated_empty_counted_or_scrapped(
    ground: Plant, row: str, kind: str, lines: list[tuple[str, int, int]]
) -> None:
    """A statement of stock moves nothing; scrap goes into a bin."""
    draft = step(ground.add("silo_moves", row).read(), "silo_moves/2")

    assert draft.kind == kind
    assert [(line.lot, line.sign, line.mg) for line in draft.lines] == lines
    assert unbalanced(draft) == 0


def test_swept_empty_names_who_inspected_it(ground: Plant) -> None:
    """It alone cuts a recall, so it is refused without."""
    good = ground.add("silo_moves", "2,2026-09-02 10:00,swept_empty,H1,,,EI,,DS")
    assert step(good.read(), "silo_moves/2").facts["inspected_by"] == "P-13"

    ground.sheets["silo_moves"][-1] = "2,2026-09-02 10:00,swept_empty,H1,,,,,DS"
    assert codes(ground.read()) == ["field_missing"]


def test_a_mould_row_makes_blocks_of_foam_and_ties(ground: Plant) -> None:
    """Foam by pieces, ties by count; the scrapped blocks and loose ties go into the bin."""
    ground.add("mould_runs", f"{MOULD},25,97,3,1.5,604,W-1,short fill,KR")
    draft = step(ground.read(), "mould_runs/1")
    block = 1_500_000 + 6 * 272_155

    assert draft.lines == (
        Line("H1", -1, 150_000_000, 0, Evidence.BACKFLUSHED, "100 × 1.5 kg"),
        Line("C-1", -1, 604 * 272_155, 604, Evidence.COUNTED, "604 pieces"),
        Line("L-1", 1, 97 * block, 97, Evidence.COUNTED, "97 pieces"),
        Line("W-1", 1, 3 * block + 4 * 272_155, 0, Evidence.BACKFLUSHED, "3 pieces"),
    )
    assert draft.remainder_mg == 0
    assert [(lot.code, lot.kind, lot.unit_mg) for lot in draft.new_lots] == [
        ("L-1", Material.BLOCK, block),
        ("W-1", Material.SCRAP, 0),
    ]
    assert (draft.product, draft.place, draft.run) == ("FB6S", "FP1", "M-1")
    assert draft.facts["cause"] == "short fill"
    assert draft.facts["mould"] == "tool 4"


def test_ties_not_counted_are_those_the_blocks_should_have(ground: Plant) -> None:
    """Then they are known from the pieces."""
    ground.add("mould_runs", f"{MOULD},25,97,3,1.5,,W-1,,KR")
    line = step(ground.read(), "mould_runs/1").lines[1]

    assert (line.pieces, line.evidence) == (600, Evidence.BACKFLUSHED)


def test_too_few_ties_show_as_a_remainder(ground: Plant) -> None:
    """Blocks cannot have ties that nobody took: the difference stands, and is not hidden."""
    ground.add("mould_runs", f"{MOULD},25,100,0,1.5,599,,,KR")
    draft = step(ground.read(), "mould_runs/1")

    assert draft.remainder_mg == -272_155
    assert unbalanced(draft) == 0


def test_only_the_first_row_of_a_lot_brings_it(ground: Plant) -> None:
    """Rows of one run from two places share their lot, whatever their order in the file."""
    later = MOULD.replace("1,M-1", "2,M-1").replace("02 07:00", "02 08:00").replace("H1", "S1")
    ground.add("mould_runs", f"{later},10,40,0,1.5,,,,KR", f"{MOULD},15,60,0,1.5,,,,KR")
    intake = ground.read()

    assert [lot.code for lot in step(intake, "mould_runs/1").new_lots] == ["L-1"]
    assert step(intake, "mould_runs/2").new_lots == ()


def test_packaging_has_no_ties(ground: Plant) -> None:
    """Its blocks are foam alone, and a lot of their own kind."""
    row = MOULD.replace("FB6S", "PKC").replace("C-1", "")
    ground.add("mould_runs", f"{row},25,100,0,0.31,,,,KR")
    lot = step(ground.read(), "mould_runs/1").new_lots[0]

    assert (lot.kind, lot.unit_mg) == (Material.PACKAGING, 310_000)


def test_an_inspection_row_becomes_readings_and_a_rejection(ground: Plant) -> None:
    """Mass by the state of the block, sizes, pieces; what is rejected goes into the bin."""
    ground.add("mould_runs", f"{MOULD},25,97,3,1.5,,W-1,,KR")
    ground.add(
        "inspections",
        "1,2026-09-02 09:30,L-1,9,1.5,press,3.19,1219.2,285.8,406.4,20,1,0,0,2,2,W-1,scale 3,KR",
    )
    intake = ground.read()
    taken = readings(intake, "inspections/1/readings").readings
    rejected = step(intake, "inspections/1")

    assert [(one.characteristic, one.value, one.unit) for one in taken] == [
        ("wet_block_mass", "3.19", "kg"),
        ("length", "1219.2", "mm"),
        ("width", "285.8", "mm"),
        ("height", "406.4", "mm"),
        ("checked", "20", "pcs"),
        ("defective_ties", "1", "pcs"),
        ("defective_fusion", "0", "pcs"),
        ("defective_dimension", "0", "pcs"),
        ("defective_surface", "2", "pcs"),
    ]
    assert taken[0].facts == {"age_h": "1.5", "state": "press"}
    assert (taken[0].lot, taken[0].specimen, taken[0].instrument) == ("L-1", "9", "scale 3")
    assert [(line.lot, line.sign, line.pieces) for line in rejected.lines] == [
        ("L-1", -1, 2),
        ("W-1", 1, 0),
    ]
    assert rejected.lines[0].mg == 2 * (1_500_000 + 6 * 272_155)
    assert unbalanced(rejected) == 0


@pytest.mark.parametrize(
    ("state", "characteristic"),
    [("press", "wet_block_mass"), ("24h", "block_mass_24h"), ("dry", "dry_block_mass")],
)
def test_a_block_mass_is_named_by_the_state_of_the_block(
    ground: Plant, state: str, characteristic: str
) -> None:
    """Wet, rested and dry masses are three characteristics and are never pooled."""
    ground.add("mould_runs", f"{MOULD},25,97,3,1.5,,W-1,,KR")
    ground.add("inspections", f"1,2026-09-03 09:30,L-1,,26,{state},3.2,,,,,,,,,,,,KR")
    reading = readings(ground.read(), "inspections/1/readings").readings[0]

    assert reading.characteristic == characteristic


def test_an_age_in_minutes_is_hours_in_the_record(ground: Plant) -> None:
    """Its header may state another unit than hours."""
    ground.add("mould_runs", f"{MOULD},25,97,3,1.5,,W-1,,KR")
    ground.headers["inspections"] = ground.headers["inspections"].replace("age", "age [min]")
    ground.add("inspections", "1,2026-09-02 09:30,L-1,,90,press,3.2,,,,,,,,,,,,KR")
    reading = readings(ground.read(), "inspections/1/readings").readings[0]

    assert reading.facts["age_h"] == "1.5"


def test_blocks_are_bundled_and_shipped_by_the_piece(ground: Plant) -> None:
    """A bundle takes over unit mass and product; a shipment stands outside, with its receiver."""
    ground.add("mould_runs", f"{MOULD},25,97,3,1.5,,W-1,,KR")
    ground.add("bundles", "1,2026-09-03 08:00,U-1,L-1,20,KR", "2,2026-09-03 08:05,U-1,L-1,4,KR")
    ground.add("shipments", "1,2026-09-04 08:00,D-1,QUILLSTONE SITE 4,U-1,24,KR")
    intake = ground.read()
    block = 1_500_000 + 6 * 272_155
    bundle, shipped = step(intake, "bundles/1"), step(intake, "shipments/1")

    assert [(line.lot, line.sign, line.mg, line.pieces) for line in bundle.lines] == [
        ("L-1", -1, 20 * block, 20),
        ("U-1", 1, 20 * block, 20),
    ]
    assert bundle.new_lots[0].unit_mg == block
    assert bundle.new_lots[0].product == "FB6S"
    assert step(intake, "bundles/2").new_lots == ()
    assert shipped.lines[1].place == "outside:QUILLSTONE SITE 4"
    assert [lot.code for lot in shipped.new_lots] == ["D-1"]


def test_scrap_is_stripped_ground_and_blown_back(ground: Plant) -> None:
    """The tie plastic is a lot of its own; what is ground carries the mark of reclaim."""
    ground.add("mould_runs", f"{MOULD},25,97,3,1.5,,W-1,,KR")
    ground.add(
        "reclaim",
        "1,2026-09-03 08:00,strip,W-1,W-1F,9.4,4.9,KR",
        "2,2026-09-03 09:00,grind,W-1F,R-1,4.5,,KR",
        "3,2026-09-03 10:00,dispose,W-1F-T,,4.9,,KR",
    )
    ground.add("silo_moves", "2,2026-09-03 11:00,transfer,R-1,H1,4,,,DS")
    intake = ground.read()
    stripped, blown = step(intake, "reclaim/1"), step(intake, "silo_moves/2")

    assert [(line.lot, line.sign, line.mg) for line in stripped.lines] == [
        ("W-1", -1, 9_400_000),
        ("W-1F", 1, 4_500_000),
        ("W-1F-T", 1, 4_900_000),
    ]
    assert step(intake, "reclaim/2").new_lots[0].grades == (RECLAIM,)
    assert step(intake, "reclaim/3").losses == (Loss("disposed", 4_900_000, "4.9 kg"),)
    assert blown.kind == "fill"
    assert blown.lines[0].lot == "R-1"
    assert all(unbalanced(step(intake, f"reclaim/{n}")) == 0 for n in (1, 2, 3))


def test_a_closed_trailer_and_a_hot_wire_are_facts_of_their_steps(ground: Plant) -> None:
    """The gates of age read them; another word is a fault of the row."""
    ground.add("mould_runs", f"{MOULD},25,97,3,1.5,,W-1,,KR")
    ground.headers["shipments"] = ground.headers["shipments"].replace(",by", ",trailer,by")
    ground.headers["reclaim"] = ground.headers["reclaim"].replace(",by", ",cut,by")
    ground.add("shipments", "1,2026-09-04 08:00,D-1,QUILLSTONE SITE 4,L-1,24,closed,KR")
    ground.add("reclaim", "1,2026-09-03 08:00,strip,W-1,W-1F,9.4,4.9,hot wire,KR")
    intake = ground.read()

    assert step(intake, "shipments/1").facts["trailer"] == "closed"
    assert step(intake, "reclaim/1").facts["cut"] == "hot wire"
    ground.sheets["reclaim"] = ["1,2026-09-03 08:00,strip,W-1,W-1F,9.4,4.9,torch,KR"]
    assert codes(ground.read()) == ["choice_unknown"]


def test_a_log_is_densified_and_a_return_comes_back(ground: Plant) -> None:
    """Each names what it becomes."""
    ground.add("mould_runs", f"{MOULD},25,97,3,1.5,,W-1,,KR")
    ground.add(
        "reclaim",
        "1,2026-09-03 08:00,densify,W-1,G-1,4,,KR",
        "2,2026-09-03 09:00,return,L-1,W-2,3,,2,KR",
    )
    ground.headers["reclaim"] = ground.headers["reclaim"].replace(",by", ",pieces,by")
    ground.sheets["reclaim"][0] = "1,2026-09-03 08:00,densify,W-1,G-1,4,,,KR"
    intake = ground.read()

    assert step(intake, "reclaim/1").new_lots[0].kind is Material.DENSIFIED
    assert step(intake, "reclaim/2").kind == "return"
    assert step(intake, "reclaim/2").new_lots[0].code == "W-2"
    assert step(intake, "reclaim/2").lines[0].pieces == 2


def test_specimens_may_say_with_what_they_were_weighed(plant: Plant) -> None:
    """The row's instrument stands for each of its figures, and comes back with a correction."""
    plant.headers["specimens"] = "at,lot,specimen,length [mm],mass [g],instrument,by"
    plant.add("specimens", "1,2026-09-03 08:00,,K-1,150,7985,BAL-L1,")
    taken = readings(plant.read(), "specimens/1/readings").readings

    assert [one.instrument for one in taken] == ["BAL-L1", "BAL-L1"]


def test_a_laboratorys_specimens_need_no_lot_and_no_person(plant: Plant) -> None:
    """Only what was weighed and measured."""
    plant.add("specimens", "1,2026-09-03 08:00,,K-1,150,150,149,,7985,")
    taken = readings(plant.read(), "specimens/1/readings").readings

    assert [(one.characteristic, one.value, one.unit) for one in taken] == [
        ("specimen_mass", "7985", "g"),
        ("specimen_length", "150", "mm"),
        ("specimen_width", "150", "mm"),
        ("specimen_height", "149", "mm"),
    ]
    assert {one.specimen for one in taken} == {"K-1"}
