"""What an import is asked to do must be meant: answers, the plant, the settings beside sheets."""

import json
from pathlib import Path

import pytest

from beadwright.cli.show_import import as_json, show
from beadwright.errors import Misuse
from beadwright.interop.importing import ImportReport, import_files
from beadwright.ledger import lots, people
from tests.interop.plant import PLANT, Plant
from tests.interop.test_following import corrected, packed

__all__ = ["packed"]  # the plant whose blocks are corrected, with what was made of them

pytestmark = pytest.mark.django_db

HEAVY = "bead_receipts.csv:3:mass"


@pytest.fixture
def doubtful(ground: Plant) -> Plant:
    """A plant with one value that is asked about."""
    return ground.add("bead_receipts", "2,2026-09-01 08:00,B-2,88-A,,F1,9999,KR")


def other_plant(folder: Path) -> Plant:
    """The same sheets, of a plant with another code."""
    folder.mkdir()
    return Plant(folder, PLANT.replace("LARKHOLLOW", "MEREFORD")).ground()


@pytest.mark.parametrize(
    "answer", ["nonsense", "a.csv:1:mass", "bead_receipts.csv:2:mass", "bead_receipts.csv:3:bag"]
)
def test_an_answer_to_what_was_not_asked_is_misuse(doubtful: Plant, answer: str) -> None:
    """It names the answer, and what is asked about; nothing is recorded, in a dry run too."""
    folder = doubtful.write()
    for dry_run in (False, True):
        with pytest.raises(Misuse) as refused:
            import_files([folder], keep=frozenset({answer, HEAVY}), dry_run=dry_run)
        assert f"--keep {answer} names no value that is asked about" in str(refused.value)

    with pytest.raises(Misuse, match=f"asked about is {HEAVY}"):
        import_files([folder], keep=frozenset({answer}))
    assert lots.plants() == ()


def test_an_answer_of_last_time_may_be_said_again(doubtful: Plant) -> None:
    """The row is in the record; an answer to nothing is refused then too."""
    folder = doubtful.write()
    assert import_files([folder], keep=frozenset({HEAVY})).posted

    assert import_files([folder], keep=frozenset({HEAVY})).posted == 0
    with pytest.raises(Misuse):
        import_files([folder], keep=frozenset({"nonsense"}))


def test_faults_come_before_answers(doubtful: Plant) -> None:
    """A row with a fault is not asked about yet, so an answer about it is no misuse."""
    doubtful.sheets["bead_receipts"][1] = "2,2026-09-01 08:00,B-2,88-A,,F9,9999,KR"

    report = import_files([doubtful.write()], keep=frozenset({"bead_receipts.csv:3:bag"}))

    assert [fault.code for fault in report.faults] == ["unknown_grade"]


def test_another_plant_joins_a_store_only_if_it_is_named(ground: Plant, tmp_path: Path) -> None:
    """It would stay there for ever; the message says both plants and how to go on."""
    import_files([ground.write()])
    folder = other_plant(tmp_path / "other").write()

    with pytest.raises(Misuse) as refused:
        import_files([folder])
    told = str(refused.value)
    assert "these files are of MEREFORD, and the store holds LARKHOLLOW" in told
    assert "say --plant MEREFORD before the verb" in told
    assert lots.plants() == ("LARKHOLLOW",)

    assert import_files([folder], plant="MEREFORD").posted
    assert lots.plants() == ("LARKHOLLOW", "MEREFORD")
    with pytest.raises(Misuse, match="these files are of MEREFORD, and --plant says LARKHOLLOW"):
        import_files([folder], plant="LARKHOLLOW")


def test_a_folder_without_settings_says_so_once(ground: Plant) -> None:
    """And not that nobody is known, row by row."""
    folder = ground.write()
    (folder / "plant.toml").unlink()
    (fault,) = import_files([folder]).faults

    assert fault.code == "settings_missing"
    assert "there is no plant.toml among these files" in fault.what
    assert "--plant CODE before the verb" in fault.remedy


def test_sheets_alone_are_read_by_the_record(ground: Plant) -> None:
    """Which knows people and places from before."""
    import_files([ground.write()])
    ground.add("bead_receipts", "2,2026-09-01 08:30,B-2,88-A,,F1,882.5,KR")

    assert import_files([ground.write() / "bead_receipts.csv"]).posted == 1


def test_initials_of_whoever_was_erased_say_what_to_do(ground: Plant) -> None:
    """They are kept in plant.toml alone: imported with the sheet, it is read."""
    import_files([ground.write()])
    people.erase("LARKHOLLOW", "P-01")
    ground.add("bead_receipts", "2,2026-09-01 08:30,B-2,88-A,,F1,882.5,KR")
    sheet = ground.write() / "bead_receipts.csv"

    faults = import_files([sheet]).faults
    assert {fault.code for fault in faults} == {"unknown_person"}
    assert "import it with the sheet: of whoever was erased, it alone knows them" in str(faults[0])
    assert import_files([sheet, ground.folder / "plant.toml"]).posted == 1


def test_corrections_that_follow_are_named_apart(
    packed: Plant, capsys: pytest.CaptureFixture[str]
) -> None:
    """What a corrected mass took with it; the second time there is nothing new."""
    folder = packed.write()
    import_files([folder], keep=frozenset({"mould_runs.csv:2:foam_per_block"}))
    corrected(packed)
    packed.write()
    report = import_files([folder / "corrections.csv"])

    assert len(report.following) == report.posted - 1
    assert all(key.startswith("corrections/") for key in report.following)
    told = printed(report, capsys)
    assert f"{len(report.following)} corrections that follow from those in the files" in told
    assert report.following[0] in told
    assert json.loads(json.dumps(as_json(report)))["following"] == list(report.following)
    assert import_files([folder / "corrections.csv"]).following == ()


def printed(report: ImportReport, capsys: pytest.CaptureFixture[str]) -> str:
    """What a person reads."""
    capsys.readouterr()
    show(report, json=False)
    return " ".join(capsys.readouterr().out.split())


PLAN_ALONE = """
[inspection.FB6S]
aql = "1.0"
for_release = true
"""


def test_one_setting_alone_is_taken_for_the_plant_in_the_store(
    ground: Plant, tmp_path: Path
) -> None:
    """It says since when itself, and an engineer signs it; without a plant it is refused."""
    alone = tmp_path / "alone" / "plant.toml"
    alone.parent.mkdir()
    alone.write_text(PLAN_ALONE + "since = 2026-09-02\n", "utf-8")
    assert "no [plant] is stated" in str(import_files([alone]).faults[0])
    assert not import_files([ground.write()]).refused

    report = import_files([alone], by="EI")

    assert not report.refused, report.faults
    (one,) = report.anew
    assert (one.change.topic, one.change.name, str(one.since)) == (
        "inspection", "FB6S", "2026-09-02",
    )  # fmt: skip
    alone.write_text(PLAN_ALONE, "utf-8")
    (fault,) = import_files([alone], by="EI").faults
    assert "does not say since when" in str(fault)
    alone.write_text('[people]\nXX = { id = "P-99", name = "X", role = "operator" }\n', "utf-8")
    (fault,) = import_files([alone], by="EI").faults
    assert "[people] is dated by [plant]" in str(fault)
