"""A block says which cavity it comes out of: kept with each of its figures, and corrected."""

import pytest

from beadwright.interop.importing import import_files
from beadwright.interop.keyed import again, correct, post, read
from beadwright.ledger import lots
from beadwright.plant.access import Role, Who
from beadwright.plant.costs.moulded import moulded
from beadwright.plant.opening import open_plant
from beadwright.quality import readings
from tests.interop.plant import HEADERS, Plant

pytestmark = pytest.mark.django_db

CODE = "LARKHOLLOW"
WEIGHED = {"lot": "L-1", "specimen": "W1", "age": "0.1", "state": "press", "mass": "3.2"}
UNITS = {"mass": "kg", "length": "mm", "age": "h"}


def cavity() -> list[str]:
    """Cavities that the lot's readings tell."""
    found = readings.of_lots(lots.plant_number(CODE), ["L-1"])["L-1"]
    return [one.facts.get("cavity", "") for one in found]


def test_a_cavity_is_kept_with_each_figure(ground: Plant) -> None:
    """And can be corrected like any other field."""
    ground.add(
        "mould_runs",
        "1,M-1,2026-09-02 15:00,2026-09-02 16:00,FP1,tool 4,FB6S,H1,C-1,L-1,4,8,0,1.5,,,,DS",
    )
    assert not import_files([ground.write()]).refused
    texts = {**WEIGHED, "length": "1221", "cavity": "2"}
    when = "2026-09-02 15:30"
    form = read(CODE, "inspections", texts, units=UNITS, key="1", by="P-02", at=when)
    done = post(CODE, form, Who("P-02", Role.OPERATOR))
    assert done.posted, (done.refused, done.keyed.questions)
    assert cavity() == ["2", "2"]
    shown = again(CODE, "inspections/1")
    assert shown.texts["cavity"] == "2"
    mended = correct(
        CODE, shown.key, {**shown.texts, "cavity": "1"}, shown.units, "the other one",
        who=Who("P-13", Role.ENGINEER), correction="c-1",
    )  # fmt: skip
    assert mended.posted, mended.refused
    assert cavity() == ["1", "1"]


def test_a_run_says_its_shift(ground: Plant) -> None:
    """As the plant calls it; costs and defects are told apart by it."""
    ground.headers["mould_runs"] = HEADERS["mould_runs"].replace(",cause,", ",cause,shift,")
    ground.add("mould_runs", RUN.format(1, 1, 3, 3, "late"))
    assert not import_files([ground.write()]).refused
    plant = open_plant(CODE)
    assert {one.shift for one in moulded(plant.no, plant.zone, 0, 2**42)} == {"late"}


def test_no_cavity_is_number_nought(ground: Plant) -> None:
    """They are counted from one."""
    assert not import_files([ground.write()]).refused
    form = read(CODE, "inspections", {**WEIGHED, "cavity": "0"}, units=UNITS, key="1", by="P-02")
    assert "cavity" in form.faults


MOULD = '\n[mould."tool 4"]\ncavities = 2\n'
RUN = (
    "{},M-{},2026-09-02 1{}:00,2026-09-02 1{}:30,FP1,tool 4,FB6S,H1,C-1,L-1,4,6,2,1.5,,BIN-1,short,"
    "{},DS"
)


def with_cavity_three(ground: Plant) -> None:
    """Scrap, and pieces looked over, of a third cavity."""
    ground.headers["mould_runs"] = HEADERS["mould_runs"].replace(",cause,", ",cause,cavity,")
    ground.headers["inspections"] = HEADERS["inspections"].replace(",state,", ",state,cavity,")
    ground.add("mould_runs", RUN.format(1, 1, 3, 3, 3))
    ground.add("inspections", "1,2026-09-03 16:00,L-1,,,24h,3,,,,,6,0,0,0,0,,,,DS")


def test_a_cavity_that_the_mould_does_not_have_is_refused(ground: Plant) -> None:
    """Of scrap and of pieces looked over, by one code, before anything is recorded."""
    with_cavity_three(ground)
    ground.settings += MOULD
    found = import_files([ground.write()])
    assert found.posted == 0
    assert [fault.code for fault in found.faults] == ["cavity_beyond_mould"] * 2
    assert {fault.what for fault in found.faults} == {"cavity 3, and tool 4 has 2 cavities"}


def test_of_a_mould_that_nobody_set_up_any_cavity_is_taken(ground: Plant) -> None:
    """It is not known how many it has."""
    with_cavity_three(ground)
    assert not import_files([ground.write()]).refused
    assert cavity() == ["3"] * 5


def test_a_form_of_a_cavity_that_the_mould_does_not_have_is_refused(ground: Plant) -> None:
    """By the mould of the lot's run, and the same when it is corrected to it."""
    ground.settings += MOULD
    ground.add(
        "mould_runs",
        "1,M-1,2026-09-02 15:00,2026-09-02 16:00,FP1,tool 4,FB6S,H1,C-1,L-1,4,8,0,1.5,,,,DS",
    )
    assert not import_files([ground.write()]).refused
    when = "2026-09-02 15:30"
    texts = {**WEIGHED, "cavity": "3"}
    form = read(CODE, "inspections", texts, units=UNITS, key="1", by="P-02", at=when)
    assert [one.code for one in form.faults["cavity"]] == ["cavity_beyond_mould"]
    form = read(
        CODE, "inspections", {**texts, "cavity": "2"}, units=UNITS, key="1", by="P-02", at=when
    )
    assert post(CODE, form, Who("P-02", Role.OPERATOR)).posted
    shown = again(CODE, "inspections/1")
    mended = correct(
        CODE, shown.key, {**shown.texts, "cavity": "9"}, shown.units, "slip",
        who=Who("P-13", Role.ENGINEER), correction="c-1",
    )  # fmt: skip
    assert [one.code for one in mended.refused] == ["cavity_beyond_mould"]
