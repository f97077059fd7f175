"""An entry is shown as it was keyed, and corrected in place as the corrections sheet does."""

import pytest

from beadwright.errors import Misuse
from beadwright.interop.importing import import_files
from beadwright.interop.keyed import Done, again, correct, post, read, scanned
from beadwright.interop.recorded import Recorded
from beadwright.ledger.draft import Correction, ReadingsDraft, Void
from beadwright.ledger.texts import content_of
from beadwright.plant.access import Role, Who
from tests.interop.plant import Plant

pytestmark = pytest.mark.django_db

CODE = "LARKHOLLOW"
ENGINEER = Who("P-13", Role.ENGINEER)
SHEET_AT = 1_788_620_400_000  # 2026-09-05 10:00 in Chicago
MOULDED = "1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1,20,39,1,1.5,,W-1,,DS"
LOOKED_AT = "1,2026-09-03 10:00,L-1,3,27,24h,3.2,1219,406,279.4,10,0,1,0,0,1,W-9,tape 1,EI"


@pytest.fixture
def yard(ground: Plant, monkeypatch: pytest.MonkeyPatch) -> Plant:
    """A lot of blocks, bundled and looked at; the time of a correction is that of its sheet."""
    ground.add("mould_runs", MOULDED).add("bundles", "1,2026-09-03 13:00,BU-1,L-1,20,DS")
    ground.add("inspections", LOOKED_AT)
    assert not import_files([ground.write()]).refused
    monkeypatch.setattr("beadwright.interop.keyed.correcting.now_ms", lambda: SHEET_AT)
    return ground


def mend(key: str, reason: str = "misread", own: str = "1", **changes: str) -> Done:
    """Fill the form again, change some fields and send it."""
    form = again(CODE, key)
    texts = {**form.texts, **changes}
    return correct(CODE, key, texts, form.units, reason, who=ENGINEER, correction=own)


@pytest.mark.usefixtures("yard")
def test_an_entry_is_shown_as_it_was_keyed() -> None:
    """Texts and units as keyed, times in the plant's zone, people by their initials."""
    form = again(CODE, "mould_runs/1")
    assert (form.kind, form.corrected) == ("mould_runs", True)
    assert form.texts["started"] == "2026-09-02 07:00"
    assert (form.texts["foam_per_block"], form.units["foam_per_block"]) == ("1.5", "kg")
    assert (form.texts["by"], form.texts["good"]) == ("DS", "39")
    assert "ties_used" not in form.texts
    looked = again(CODE, "inspections/1/readings", decimal=",")
    assert (looked.texts["mass"], looked.texts["height"]) == ("3,2", "279,4")
    with pytest.raises(Misuse):
        again(CODE, "mould_runs/99")


@pytest.mark.parametrize(
    ("kind", "field", "value"),
    [
        ("mould_runs", "foam_per_block", "1.45"),
        ("mould_runs", "cause", "short shot"),
        ("inspections", "mass", "3.15"),
        ("inspections", "rejected", "2"),
        ("expansion_runs", "mass", "379"),
    ],
)
def test_a_correction_says_what_the_corrections_sheet_says(
    yard: Plant, kind: str, field: str, value: str
) -> None:
    """To the byte, with all that follows from it; sent twice, it is recorded once."""
    yard.sheets = {"corrections": [f"1,2026-09-05 10:00,{kind},1,{field},{value},misread,EI"]}
    intake = yard.read(Recorded(CODE), only=["corrections"])
    assert not intake.faults
    form = again(CODE, f"{kind}/1")
    sent = {**form.texts, field: value}
    done = mend(f"{kind}/1", **{field: value})

    assert done.posted, (done.refused, done.keyed.questions)
    said = {draft.key: content_of(draft) for draft in done.keyed.drafts}
    assert said == {draft.key: content_of(draft) for draft in intake.drafts}
    assert again(CODE, f"{kind}/1").texts[field] == value
    twice = correct(CODE, form.key, sent, form.units, "misread", who=ENGINEER, correction="1")
    assert (twice.posted, twice.repeated) == (True, True)


@pytest.mark.usefixtures("yard")
def test_what_rests_on_the_mass_of_a_piece_follows() -> None:
    """A bundle weighs what its blocks do."""
    done = mend("mould_runs/1", foam_per_block="1.45")
    steps = [one.step for one in done.keyed.drafts if isinstance(one, Correction)]
    assert steps[0] == "mould_runs/1"
    assert set(steps[1:]) == {"bundles/1", "inspections/1"}


@pytest.mark.usefixtures("yard")
def test_readings_are_voided_and_taken_again() -> None:
    """The old ones stay in the record."""
    done = mend("inspections/1", mass="3.1")
    assert [type(one) for one in done.keyed.drafts] == [Void, ReadingsDraft]
    assert mend("inspections/1", own="2", mass="3.15").posted
    assert again(CODE, "inspections/1").texts["mass"] == "3.15"


@pytest.mark.usefixtures("yard")
def test_a_correction_that_cannot_be_is_refused_at_its_field() -> None:
    """No reason, no change, a fault, a question, a role that may not."""
    assert [one.where for one in mend("mould_runs/1", reason=" ", good="37").refused] == [
        '"reason"'
    ]
    assert [one.what for one in mend("mould_runs/1").refused] == ["nothing was changed"]
    assert set(mend("mould_runs/1", press="FP9").keyed.faults) == {"press"}
    asked = mend("mould_runs/1", foam_per_block="15").keyed.questions
    assert [one.field for one in asked] == ["foam_per_block"]
    form = again(CODE, "mould_runs/1")
    who = Who("P-02", Role.OPERATOR)
    texts = {**form.texts, "cause": "short"}
    done = correct(CODE, form.key, texts, form.units, "why", who=who, correction="9")
    assert {one.code for one in done.refused} == {"not_allowed"}


@pytest.mark.usefixtures("yard")
def test_what_was_keyed_on_a_form_is_corrected_like_a_row() -> None:
    """A planned entry too."""
    texts = {"what": "transfer", "from": "S1", "to": "S2", "mass": "50"}
    keyed = read(CODE, "silo_moves", texts, units={"mass": "kg"}, key="f-1", by="P-02")
    assert post(CODE, keyed, ENGINEER).posted
    assert mend("silo_moves/f-1", mass="40").posted
    assert again(CODE, "silo_moves/f-1").texts["mass"] == "40"


@pytest.mark.usefixtures("yard")
def test_a_scan_finds_a_code_or_every_open_lot_of_a_label(yard: Plant) -> None:
    """A supplier's lot may come in two bags: both are shown, and a person says which."""
    yard.sheets = {"bead_receipts": ["2,2026-09-03 08:00,B-2,88-A,Pellmere Resins,F1,882.5,KR"]}
    assert not import_files([yard.write()]).refused
    assert [(one.code, one.by_label) for one in scanned(CODE, "b-1 ")] == [("B-1", False)]
    found = scanned(CODE, "88-A")
    assert {one.code for one in found} == {"B-1", "B-2"}
    assert {one.labels for one in found} == {(("Pellmere Resins", "88-A"),)}
    assert {(one.place, one.causes) for one in found} == {("", ())}
    assert scanned(CODE, "nothing") == ()
    assert scanned(CODE, "") == ()
