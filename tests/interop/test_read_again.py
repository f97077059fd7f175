"""At a form a piece that was read before is asked about; a correction of its own reading is not."""

import pytest

from beadwright.interop.importing import import_files
from beadwright.interop.keyed import Keyed, again, correct, read
from tests.interop.plant import Plant
from tests.interop.test_keyed_again import CODE, ENGINEER, LOOKED_AT, MOULDED

pytestmark = pytest.mark.django_db

ASKED = "piece_read_again"


@pytest.fixture(autouse=True)
def yard(ground: Plant) -> Plant:
    """A lot of which block 3 was weighed and gauged a day old, at entry 11 or so."""
    ground.add("mould_runs", MOULDED).add("inspections", LOOKED_AT)
    assert not import_files([ground.write()]).refused
    return ground


def keyed(changed: dict[str, str] | None = None, kept: frozenset[str] = frozenset()) -> Keyed:
    """A block read at the form of inspections."""
    texts = {"lot": "L-1", "specimen": "3", "age": "29", "state": "24h", "length": "1219.5"}
    texts = {name: text for name, text in {**texts, **(changed or {})}.items() if text}
    units = {"age": "h", "length": "mm"}
    at = "2026-09-03 14:00"
    return read(CODE, "inspections", texts, units=units, key="k-1", by="P-13", at=at, kept=kept)


def codes(found: Keyed) -> list[str]:
    """What is asked."""
    assert not found.faults
    return [one.code for one in found.questions]


def test_a_piece_of_which_the_same_was_read_is_asked_about_once() -> None:
    """With what was read and where; once kept it may be."""
    found = keyed()
    (one,) = [each for each in found.questions if each.code == ASKED]
    assert "3 of L-1 has this already: length 1219 mm (entry " in one.why
    assert one.why.endswith("Is it 3 again?")
    assert ASKED not in codes(keyed(kept=frozenset({"specimen"})))


@pytest.mark.parametrize(
    "changed",
    [
        {"specimen": "4"}, {"specimen": ""}, {"state": "dry", "age": "200"},
    ],
)  # fmt: skip
def test_another_piece_or_state_is_not(changed: dict[str, str]) -> None:
    """Nor one without a name, of which nobody can say."""
    assert ASKED not in [one.code for one in keyed(changed).questions]


def test_a_correction_is_asked_only_where_it_names_another_piece() -> None:
    """Its own readings, as they were and as they were corrected, are no other reading."""
    key = "inspections/1/readings"
    for own, length in (("1", "1218"), ("2", "1217.5")):
        form = again(CODE, key)
        texts = {**form.texts, "length": length}
        done = correct(CODE, key, texts, form.units, "misread", who=ENGINEER, correction=own)
        assert done.posted
