"""A block says which cavity it comes out of: kept with each of its figures, and corrected."""

import pytest

from beadwright.interop.importing import import_files
from beadwright.interop.keyed import again, correct, post, read
from beadwright.ledger import lots
from beadwright.plant.access import Role, Who
from beadwright.quality import readings
from tests.interop.plant import Plant

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


def test_no_cavity_is_number_nought(ground: Plant) -> None:
    """They are counted from one."""
    assert not import_files([ground.write()]).refused
    form = read(CODE, "inspections", {**WEIGHED, "cavity": "0"}, units=UNITS, key="1", by="P-02")
    assert "cavity" in form.faults
