"""What docs/json.md says of an answer is what the answer holds, name by name."""

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from beadwright.ledger.draft import Decision, Reading
from beadwright.plant.attached import FOLDER
from tests.cli.shell import Outcome, Shell
from tests.house.tree import ROOT
from tests.interop.plant import Plant
from tests.plant.asking import the_lot
from tests.plant.planning import hours
from tests.plant.restating import read_by, restate, weighed
from tests.plant.test_look_back import calibrated, plant
from tests.plant.test_look_back import weighed as weighed_with_it
from tests.plant.yard import Yard, ms
from tools.pages import verbs

_PAGE = (ROOT / "docs" / "json.md").read_text("utf-8")
_FREE = ("account.losses_mg", "lots[].defective", "facts", "readings[].facts")
"""Maps whose names the plant chose."""

_RESTATED = ("restated[]", "same_correction[]")

Asked = Callable[..., Outcome]


def documented() -> dict[str, set[str]]:
    """Fields of each verb, as the page lists them."""
    found = {}
    for part in _PAGE.split("\n## ")[1:]:
        found[part.partition("\n")[0]] = set(re.findall(r"^\| `([^`]+)` \|", part, re.MULTILINE))
    return found


def fields(value: Any, path: str = "") -> Iterator[str]:
    """Every field that a value holds, in the page's notation."""
    if isinstance(value, dict) and value:
        for name, inner in value.items():
            free = path in _FREE
            yield from fields(inner, f"{path}.{'*' if free else name}".lstrip("."))
    elif isinstance(value, list):
        for inner in value:
            yield from fields(inner, f"{path}[]")
    elif value != {}:
        yield path


def read(told: Outcome) -> set[str]:
    """Fields of an answer, which is one JSON object and nothing else."""
    return set(fields(json.loads(told.out)))


def test_every_verb_that_can_answer_so_is_documented() -> None:
    """And no other."""
    able = {
        name
        for name, command in verbs().items()
        if any("--json" in item.opts for item in command.params)
    }

    assert set(documented()) == able


@pytest.mark.parametrize("verb", ["stock", "people", "doctor", "verify", "findings"])
def test_an_answer_holds_what_is_documented_and_nothing_else(verb: str, asked: Asked) -> None:
    """Of the demonstration plant; lists that are empty there are looked at below."""
    found = read(asked(verb, "--json"))
    empty = {"breaks", "attachments_damaged", "file_damage"}
    never_here = {
        one for one in documented()[verb] if one.endswith("[]") or any(e in one for e in empty)
    }

    assert found <= documented()[verb]
    assert documented()[verb] - found <= never_here


def test_a_set_up_sheet_holds_what_is_documented(asked: Asked) -> None:
    """Of a form product, and of packaging, of whose tool nothing is known."""
    form = read(asked("set-up", "FB6S", "--json"))
    packaging = read(asked("set-up", "PKC", "--json"))

    assert form | packaging == documented()["set-up"]


def test_a_wall_holds_what_is_documented(asked: Asked) -> None:
    """Of the newest lots, of one lot that was named, and of a product without heights."""
    found = read(asked("wall", "FB6S", "--json")) | read(asked("wall", "FB6S", "L1-072", "--json"))
    never_here = {"heights", "storey[].lacking[]", "storey[].causes[]", "storey[].narrowed_by[]",
                  "resistance[].lacking[]"}  # fmt: skip

    assert found <= documented()["wall"]
    assert documented()["wall"] - found <= never_here


def test_a_pour_holds_what_is_documented(asked: Asked) -> None:
    """Answered, unknown, and of a lot without a test."""
    said = ("--height", "9 ft", "--rate", "4 ft/h", "--factor", "2", "--json")
    found = read(asked("pour", "FB6S", *said)) | read(asked("pour", "FB6S", "--json"))
    found |= read(asked("pour", "FB6S", "L1-002", *said))
    never_here = {"lots[].expected_and_not_used[].lacking[]"}

    assert found <= documented()["pour"]
    assert documented()["pour"] - found <= never_here


def test_costs_hold_what_is_documented(asked: Asked) -> None:
    """Every price is set there."""
    found = read(asked("costs", "--by", "press", "--json"))

    assert found <= documented()["costs"]
    assert documented()["costs"] - found <= {"lacks[]"}


def test_steering_holds_what_is_documented(asked: Asked) -> None:
    """No adjustment is told there, and none is said to cost anything; one machine is left."""
    found = read(asked("steer", "E1", "--json")) | read(asked("steer", "E2", "--json"))
    never_here = {"lacks[]", "habit", "cheapest"} | {
        one for one in documented()["steer"] if one.startswith(("habit.", "cheapest."))
    }
    nullable = {"advice", "drift", "band", "gain", "cups"}

    assert found <= documented()["steer"]
    assert documented()["steer"] - found <= never_here | nullable


def test_the_ageing_of_beads_holds_what_is_documented(asked: Asked) -> None:
    """Of some silos a probe and a mesh sample are known; nothing is unknown there."""
    found = read(asked("ageing", "--json"))
    never_here = {
        "silos[].missing[]", "silos[].signed.unsigned[]", "silos[].against_signed[]",
        "silos[].grades[].missing[]", "silos[].grades[].rests_on[].lacking[]",
        "silos[].signed", "silos[].estimate", "silos[].grades[].would_propose",
        "silos[].grades[].mesh_samples[].pentane_m2_s",
        "silos[].grades[].mesh_samples[].air_multiplier",
    }  # fmt: skip

    assert found <= documented()["ageing"]
    assert documented()["ageing"] - found <= never_here


def test_the_air_of_the_rooms_holds_what_is_documented(asked: Asked) -> None:
    """One room known and one unknown; no bead is unknown there, nor is a block's age."""
    found = read(asked("air", "--json"))
    never_here = {
        "rooms[].gives_off[].missing[]", "rooms[].gives_off[].rests_on[].lacking[]",
        "rooms[].hours[].given_off_si", "fresh.no_age[]",
    }  # fmt: skip

    assert found <= documented()["air"]
    assert documented()["air"] - found <= never_here


def test_nonconformities_hold_what_is_documented(asked: Asked) -> None:
    """By cause, and counted by station."""
    by_cause = read(asked("nonconformities", "--json"))
    counted = read(asked("nonconformities", "--by-station", "--json"))

    assert by_cause | counted == documented()["nonconformities"]


def test_a_trace_holds_what_is_documented(asked: Asked) -> None:
    """Back the account is null; forward it is all there."""
    back = read(asked("trace", "L1-010", "--back", "--json"))
    forward = read(asked("trace", "F2-D1-04", "--forward", "--json"))

    assert back | forward == documented()["trace"]


def test_an_entry_and_a_history_hold_what_is_documented(asked: Asked) -> None:
    """Over a step, its correction, readings and a setting; some lists are empty there."""
    corrected = json.loads(asked("entry", "corrections/1", "--json").out)
    (lot,) = (one["lot"] for one in corrected["lines"] if one["lot"].startswith("L"))
    told = asked("history", lot, "--json")
    said = next(e["key"] for e in json.loads(told.out)["entries"] if e["kind"] == "readings")
    keys = (corrected["about"], "corrections/1", said, "tie_receipts/4", "4")
    found = set().union(*(read(asked("entry", key, "--json")) for key in keys))
    history = read(told)
    never_here = {"named_lots[]", "readings[].parents[]"} | {
        f"losses[].{name}" for name in ("name", "mass_mg", "keyed")
    }

    elsewhere = (*_RESTATED, "evidence_signed[]")
    never_here |= {one for one in documented()["entry"] if one.startswith(elsewhere)}
    assert found <= documented()["entry"]
    assert documented()["entry"] - found <= never_here
    assert history == documented()["history"]


@pytest.mark.django_db
@pytest.mark.usefixtures("full")
def test_an_entry_that_restates_readings_holds_what_is_documented(shell: Shell) -> None:
    """The void, found by the correction's key."""
    found = read(shell("entry", "corrections/60", "--json"))

    assert found <= documented()["entry"]
    assert {one for one in documented()["entry"] if one.startswith(_RESTATED)} <= found


@pytest.fixture
def full(shell: Shell) -> Outcome:
    """A release that was, a hold on a bundle, doubtful ties, a shipment, a printed limit."""
    yard = Yard.open()
    yard.limit("DENSITY", "density", "min", "21.6 kg/m3")
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [3.13, 3.13, 3.14])
    yard.release("L1", the_lot(yard).evidence)
    yard.set("standard", "FB6", standard="ASTM C578", edition="10", type="II",
             characteristics=["density"])  # fmt: skip
    yard.limit("STRENGTH", "compressive_resistance", "min", "15 psi")
    yard.set("variables", "D", product="FB6", characteristic="density", state="24h", good="1 %",
             bad="20 %")  # fmt: skip
    yard.set("plan", "STR", product="*", characteristic="compressive_resistance",
             evidence="periodic_test", every="week")  # fmt: skip
    yard.set("plan", "FIRE", product="*", characteristic="flame spread", evidence="type_test")
    yard.set("instrument", "BAL-9", what="balance", every="year")
    body = {"laboratory": "Northgate Testing", "products": ["FB6"], "result": "17 psi",
            "characteristic": "compressive_resistance", "sampled": "2026-09-01"}  # fmt: skip
    yard.post(Decision("report-1", ms(60), "report", "R-1", body))
    yard.weigh("L1", "24h", [3.13, 3.13, 3.14, 2.86])
    yard.read([Reading("wet_block_mass", "3.2", "kg", lot="L1", specimen="W1",
                       instrument="BAL-9", facts={"age_h": "0.2"})])  # fmt: skip
    yard.read([Reading("compressive_resistance", "17", "psi", lot="L1", specimen="C1")])
    yard.set("instrument", "BAL-8", what="balance", every="year")
    yard.read([Reading("length", "1219", "mm", lot="L1", specimen="D9", instrument="BAL-8",
                       facts={"state": "24h"})])  # fmt: skip
    yard.limit("LONG", "length", "min", "1210 mm")
    late = {"done": "2026-08-31", "result": "pass", "certificate": "C-8", "due": "2027-08-30"}
    yard.post(Decision("calibration-8", ms(60), "calibration", "BAL-8", late, by="P-13"))
    door = yard.door
    yard.door = replace(door, clock=lambda: ms(90 * 24))
    yard.read([Reading("width", "300", "mm", lot="L1", specimen="D9", facts={"state": "24h"})])
    yard.limit("WIDE", "width", "min", "290 mm")
    yard.door = door
    restate(yard, read_by(yard, "inspections/1/readings", weighed("3.12")), weighed("3.14"))
    yard.bundle("BN-1", "L1", 10)
    yard.ship("SH-1", "L1", 5)
    yard.hold("H-1", "BN-1")
    return shell("assess", "BN-1", "--json")


@pytest.mark.django_db
def test_an_assessment_holds_what_is_documented(full: Outcome, asked: Asked) -> None:
    """All of it, over one plant where everything is wrong and one where most is right."""
    found = read(full) | read(asked("assess", "--json"))

    assert found <= documented()["assess"]
    assert documented()["assess"] - found <= {"lots[].ties_in_doubt[]"}


@pytest.mark.django_db
@pytest.mark.usefixtures("full")
def test_a_list_of_limits_holds_what_is_documented(shell: Shell) -> None:
    """Printed ones, the plant's own, and what is missing."""
    assert read(shell("limits", "--json")) == documented()["limits"]


@pytest.mark.django_db
@pytest.mark.parametrize("verb", ["due", "reports", "instruments"])
def test_evidence_holds_what_is_documented(
    verb: str, full: Outcome, shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of the plant above, whose balance was calibrated once and where a lot waits."""
    del full
    monkeypatch.setenv(FOLDER, str(tmp_path))
    sheet = str(ROOT / "docs" / "samples" / "heights.csv")
    for words in (
        ("gauge-study", sheet, "--record", "BAL-9", "--of", "height", "--done", "2026-09-02",
         "--by", "P-13"),
        ("calibration", "BAL-9", "--done", "2026-09-02", "--result", "pass",
         "--certificate", "C-9", "--by", "P-13"),
        ("report", "R-2", "--laboratory", "N", "--product", "FB6",
         "--characteristic", "flame spread", "--result", "fail",
         "--sampled", "2026-09-01", "--by", "P-13"),
    ):  # fmt: skip
        assert shell(*words).status == 0

    assert read(shell(verb, "--json")) == documented()[verb]


@pytest.mark.django_db
def test_a_plant_s_answer_is_the_same_shape_where_nothing_is_there(shell: Shell) -> None:
    """A program that reads the counts need not ask first whether there is a plant."""
    told = shell("assess", "--json")

    assert told.status == 1
    assert json.loads(told.out)["counts"] == {
        "may_ship": 0, "may_not_ship": 0, "not_enough_evidence": 0, "may_leave": 0,
        "look_back_first": 0,
    }  # fmt: skip


@pytest.mark.django_db
def test_an_import_holds_what_is_documented(shell: Shell, tmp_path: Path) -> None:
    """A bad row, a value asked about, a row changed, one that follows, somebody erased."""
    plant = Plant(tmp_path).ground()
    layout = plant.layout("bead_receipts")
    plant.layouts["bead_receipts"] = layout.replace('decimal = "."', "")
    times = "2026-09-02 07:00,2026-09-02 07:50"
    plant.add("mould_runs", f"1,M-1,{times},FP1,tool 4,FB6S,H1,C-1,L-1,10,40,0,1.5,,,,KR")
    plant.add("bundles", "1,2026-09-03 08:00,BU-1,L-1,20,KR")
    folder = str(plant.write())
    found = read(shell("import", folder, "--json"))
    plant.add("corrections", "1,2026-09-04 08:00,mould_runs,1,foam_per_block,1.51,misread,EI")
    plant.write()
    found |= read(shell("import", folder, "--json"))
    assert shell("people", "--erase", "P-13", "--by", "EI", "--yes").status == 0
    plant.sheets["bead_receipts"][0] = "1,2026-09-01 08:00,B-1,88-A,Pellmere Resins,F1,890,KR"
    plant.write()
    found |= read(shell("import", folder, "--json"))
    plant.add("bead_receipts", "2,2026-09-01 08:00,B-2,88-A,,F1,lots,KR")
    for number in range(3, 9):
        mass = "8825" if number == 8 else "882.5"
        plant.add("bead_receipts", f"{number},2026-09-01 08:00,B-{number},88-A,,F1,{mass},KR")
    plant.write()
    found |= read(shell("import", folder, "--json"))

    plant.settings += '\n[place.S9]\nkind = "silo"\n'
    plant.write()
    found |= read(shell("import", folder, "--json", "--by", "P-13"))

    assert found == documented()["import"]


def test_a_layout_holds_what_is_documented(shell: Shell, tmp_path: Path) -> None:
    """Something stated, something taken, something open."""
    plant = Plant(tmp_path).add("cups", "1,2026-09-01 12:00,,S1,hot,221,10,,DS")
    plant.layouts["cups"] = 'decimal = "."'
    told = shell("layout", str(plant.write() / "cups.csv"), "--json")

    assert told.status == 1
    assert read(told) == documented()["layout"]


@pytest.mark.django_db
def test_a_look_back_holds_what_is_documented(shell: Shell) -> None:
    """Of a lot that was released and shipped in part, with a cup of a silo; and what if."""
    yard = plant()
    weighed_with_it(yard, "L1", 22.2, 3)
    yard.release("L1", the_lot(yard).evidence, at=hours(3, 12))
    yard.ship("SH-1", "L1", 20, at=hours(5, 5))
    cup = Reading("cup_weight", "220", "g", lot="S1", instrument="BAL-2",
                  facts={"place": "hot", "cup_volume": "10 L"})  # fmt: skip
    yard.read([cup], at=hours(3, 6))
    calibrated(yard, 20, "fail", as_found="+20 g")
    yard.set("instrument", "BAL-5", what="balance", every="365 days")

    found = shell("look-back", "BAL-2", "--json")
    if_so = shell("look-back", "BAL-5", "--error", "+1 g", "--json")

    assert (found.status, if_so.status) == (1, 0)
    assert read(found) | read(if_so) == documented()["look-back"]
    never = read(shell("readings", "BAL-5", "--json"))
    assert read(shell("readings", "BAL-2", "--json")) | never == documented()["readings"]
    said = shell("readings", "BAL-2", "--since", "2026-09-01", "--units", "us")
    assert "What BAL-2 read since 2026-09-01: 4 readings." in said.out
    assert shell("readings", "BAL-2", "--since", "soon").status == 2


@pytest.mark.django_db
def test_a_look_back_is_said_in_lines(shell: Shell) -> None:
    """Found, since when, the answer, the lot with its figures, and what to do."""
    yard = plant()
    weighed_with_it(yard, "L1", 22.2, 3)
    weighed_with_it(yard, "L2", 22.6, 4)
    calibrated(yard, 20, "fail")
    unknown = shell("look-back", "BAL-2")
    known = shell("look-back", "BAL-2", "--error", "+20 g")
    bad = shell("look-back", "BAL-2", "--error", "20 g")

    assert "nobody said how far off it was" in unknown.out
    assert "Cannot be judged, and nobody released: 2 lots" in unknown.out
    assert "L1  WOULD NOT HAVE PASSED" in known.out
    assert "beadwright hold L1 --reason" in known.out
    assert (unknown.status, known.status, bad.status) == (1, 1, 2)
    assert "has no sign" in bad.err


def test_an_inspection_plan_holds_what_is_documented(shell: Shell) -> None:
    """By two points in two samples with its pieces, and published."""
    found: set[str] = set()
    for words in (
        ("--good", "1 %", "--bad", "6 %", "--double", "--pieces", "1..270", "--seed", "a"),
        ("--aql", "1.0"),
    ):
        found |= read(shell("inspection-plan", "270", *words, "--json"))

    assert found == documented()["inspection-plan"]
