"""Files into the record, at the shell: what is listed, what stands in the way, how it ends."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from beadwright.ledger import lots
from tests.cli.shell import Outcome, Shell
from tests.interop.plant import Plant

Program = Callable[..., Outcome]

pytestmark = pytest.mark.django_db


@pytest.fixture
def plant(tmp_path: Path) -> Plant:
    """A folder with a small plant's sheets."""
    return Plant(tmp_path).ground()


def test_a_folder_is_read_once_and_again_without_doubling(plant: Plant, shell: Shell) -> None:
    """The second time everything was in the record already; progress is no answer."""
    folder = str(plant.write())

    first, again = shell("import", folder), shell("import", folder)

    assert (first.status, again.status) == (0, 0)
    assert "entries recorded; 0 nonconformities found." in first.out
    assert "0 entries recorded, " in again.out
    assert "were in the record already" in again.out
    assert "recorded" in first.err


def test_every_bad_row_is_listed_and_nothing_is_recorded(plant: Plant, shell: Shell) -> None:
    """File, row, field, value and remedy of each."""
    plant.add("bead_receipts", "2,2026-09-01 08:00,B-2,88-A,,F1,lots,KR")
    plant.add("bead_receipts", "3,2026-09-31 08:00,B-3,88-A,,F1,882.5,ZZ")

    told = shell("import", str(plant.write()))

    said = " ".join(told.out.split())
    assert told.status == 1
    assert "Nothing was recorded." in said
    for part in ('bead_receipts.csv, row 3, "mass [lb]"', "lots", "2026-09-31", "ZZ"):
        assert part in said
    assert lots.plants() == ()


def test_a_value_asked_about_is_kept_or_mended(plant: Plant, shell: Shell) -> None:
    """The answer is typed as the question prints it."""
    for number in range(2, 9):
        mass = "8825" if number == 8 else "882.5"
        plant.add("bead_receipts", f"{number},2026-09-01 08:00,B-{number},88-A,,F1,{mass},KR")
    folder = str(plant.write())

    asked = shell("import", folder)
    question = asked.out.partition("--keep ")[2].split()[0]
    kept = shell("import", folder, "--keep", question)

    assert (asked.status, kept.status) == (1, 0)
    assert question == "bead_receipts.csv:9:mass"
    assert "8825 lb" in asked.out


def test_a_row_that_has_changed_is_shown_and_not_taken(plant: Plant, shell: Shell) -> None:
    """The message says how a correction is made; the status says that something is open."""
    shell("import", str(plant.write()))
    plant.sheets["bead_receipts"][0] = "1,2026-09-01 08:00,B-1,88-A,Pellmere Resins,F1,890,KR"

    told = shell("import", str(plant.write()))

    assert told.status == 1
    assert "bead_receipts/1" in told.out
    assert "corrections" in told.out


def test_a_dry_run_records_nothing(plant: Plant, shell: Shell) -> None:
    """It says what would be recorded."""
    told = shell("import", str(plant.write()), "--dry-run")

    assert told.status == 0
    assert "Dry run: nothing was recorded" in told.out
    assert lots.plants() == ()


@pytest.mark.parametrize("named_by", ["option", "environment"])
@pytest.mark.parametrize("before", ["no file", "an empty file"])
def test_a_dry_run_needs_no_store(
    named_by: str, before: str, plant: Plant, tmp_path: Path, program: Program
) -> None:
    """However the store is named that an import would make; it is not made."""
    store, files = tmp_path / "new.sqlite3", str(plant.write())
    if before == "an empty file":
        store.touch()
    words, environ = ["--store", str(store)], {}
    if named_by == "environment":
        words, environ = [], {"BEADWRIGHT_STORE": str(store)}

    told = program(*words, "import", files, "--dry-run", **environ)

    assert told.status == 0, told.err
    assert "Dry run: nothing was recorded" in told.out
    assert not store.exists() or not store.read_bytes()


@pytest.mark.parametrize("named_by", ["option", "environment"])
def test_a_dry_run_into_a_folder_that_is_not_there_says_so(
    named_by: str, plant: Plant, tmp_path: Path, program: Program
) -> None:
    """As the import itself would."""
    store, files = str(tmp_path / "nowhere" / "new.sqlite3"), str(plant.write())
    words, environ = ["--store", store], {}
    if named_by == "environment":
        words, environ = [], {"BEADWRIGHT_STORE": store}

    told = program(*words, "import", files, "--dry-run", **environ)

    assert told.status == 4
    assert "there is no folder" in told.err


def test_a_path_that_is_not_there_is_misuse(tmp_path: Path, shell: Shell) -> None:
    """It is named; nothing else is read."""
    told = shell("import", str(tmp_path), str(tmp_path / "nowhere"))

    assert (told.status, told.out) == (2, "")
    assert "nowhere" in told.err


def test_a_name_is_written_in_other_than_ascii(plant: Plant, shell: Shell) -> None:
    """What people type comes back as they typed it."""
    plant.settings = plant.settings.replace("Larkhollow Form Works (invented)", "Lärchental ŁÓ 形")

    shell("import", str(plant.write()))

    assert "Lärchental ŁÓ 形" in shell("stock").out


def test_the_invented_plant_is_written_into_an_empty_folder_only(
    tmp_path: Path, shell: Shell
) -> None:
    """What stands in a folder is never written over; the same seed gives the same files."""
    one, two = tmp_path / "one", tmp_path / "two"

    assert shell("demo", "--seed", "7", "--to", str(one)).status == 0
    assert shell("demo", "--seed", "7", "--to", str(two)).status == 0
    refused = shell("demo", "--seed", "8", "--to", str(one))

    assert refused.status == 2
    assert "not empty" in refused.err
    names = sorted(path.name for path in one.iterdir())
    assert [n for n in names if (one / n).read_bytes() != (two / n).read_bytes()] == []


def test_whoever_was_erased_is_not_brought_back(plant: Plant, shell: Shell) -> None:
    """Not by the same settings, nor under other initials; the import names the id alone."""
    folder = str(plant.write())
    first = shell("import", folder)
    assert shell("people", "--erase", "P-13", "--by", "EI", "--yes").status == 0
    plant.settings = plant.settings.replace("EI = {", "EV = {")
    plant.add("bead_receipts", "2,2026-09-01 08:00,B-2,88-A,,F1,882.5,EV")
    plant.write()

    dry, again = shell("import", folder, "--dry-run"), shell("import", folder)
    told = json.loads(shell("import", folder, "--json").out)

    assert (first.status, dry.status, again.status) == (0, 0, 0)
    assert "erased" not in first.out
    for said in (dry.out, again.out):
        assert "P-13 was erased, and stays so." in said
        assert "Edda" not in said
    assert "1 entry recorded" in again.out
    assert told["erased"] == ["P-13"]
    kept = shell("people").out
    assert "P-01" in kept
    assert not any(word in kept for word in ("P-13", "Edda", "EI ", "EV "))


def test_an_erasure_is_of_one_plant(plant: Plant, shell: Shell) -> None:
    """Another plant of the store may have a person of the same id."""
    shell("import", str(plant.write()))
    assert shell("people", "--erase", "P-13", "--by", "EI", "--yes").status == 0
    plant.settings = plant.settings.replace('"LARKHOLLOW"', '"MEREFORD"')

    told = shell("--plant", "MEREFORD", "import", str(plant.write()))

    assert (told.status, "erased" in told.out) == (0, False)
    assert "Edda" in shell("--plant", "MEREFORD", "people").out
