"""An import that changes settings tells each change, and an engineer signs for it."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.cli.shell import Shell
from tests.interop.plant import Plant

pytestmark = pytest.mark.django_db

SELF_MADE = """
[role.P-01]
since = 2026-09-02
role = "engineer"

[release.rule]
since = 2026-09-03
persons = 1
tester_apart = false
"""
RULE = """
[release.rule]
since = 2026-09-01
persons = 2
tester_apart = true
"""


@pytest.fixture
def plant(tmp_path: Path, shell: Shell) -> Plant:
    """A plant that is in the record, with a strict rule of release."""
    plant = Plant(tmp_path).ground()
    plant.settings += RULE
    plant.add("bead_receipts", "7,2026-09-04 08:00,B-7,88-A,,F1,882.5,KR")
    assert shell("import", str(plant.write())).status == 0
    return plant


def changed(plant: Plant) -> str:
    """Its folder, with a role that somebody gave himself and a rule that he loosened."""
    plant.settings = plant.settings.replace(RULE, "") + SELF_MADE
    return str(plant.write())


def entries(shell: Shell) -> int:
    """How many entries the record holds."""
    return int(json.loads(shell("verify", "--json").out)["plants"][0]["head"].partition(":")[0])


def test_a_file_that_nobody_signs_for_changes_no_setting(plant: Plant, shell: Shell) -> None:
    """It is refused whole; what would change is told, and what to type."""
    folder = changed(plant)
    before = entries(shell)
    told = shell("import", folder)

    assert told.status == 1
    assert "Nothing was recorded." in told.out
    back = r"role P-01, from 2026-09-02 \([0-9]+ days before today; 2 steps in the record happened"
    assert re.search(back, _flat(told.out))
    assert re.search(r"persons +2 +1\n", told.out)
    assert re.search(r"tester_apart +true +false\n", told.out)
    assert "--by and the initials of an engineer who stands for it: EI" in _flat(told.out)
    assert "[setting_unsigned]" in _flat(told.out)
    assert entries(shell) == before


def test_nobody_signs_for_his_own_role(plant: Plant, shell: Shell) -> None:
    """The file gives him the role; the record does not know it yet."""
    told = shell("import", changed(plant), "--by", "KR")

    assert told.status == 1
    assert "KR (operator) may not change settings (role P-01, release rule)" in _flat(told.out)


def test_an_engineer_signs_and_the_entries_keep_it(plant: Plant, shell: Shell) -> None:
    """By initials or id; once in the record, the same file needs nobody."""
    folder = changed(plant)
    done = json.loads(shell("import", folder, "--json", "--by", "P-13").out)
    again = shell("import", folder)

    assert (done["recorded"], done["settings_by"]) == (2, "P-13")
    by_topic = {one["topic"]: one for one in done["settings"]}
    assert by_topic["role"]["keys"] == [{"key": "role", "before": "operator", "after": "engineer"}]
    assert (by_topic["release"]["new"], by_topic["release"]["since"]) == (False, "2026-09-03")
    assert (again.status, "changed" in again.out) == (0, False)
    for key in ("setting/role/P-01/2026-09-02", "setting/release/rule/2026-09-03"):
        assert "P-13" in shell("entry", key).out


def test_a_dry_run_tells_the_same(plant: Plant, shell: Shell) -> None:
    """Before anything is recorded."""
    folder = changed(plant)
    told = shell("import", folder, "--dry-run", "--by", "EI")

    assert told.status == 0
    assert "2 settings that would change, signed for by P-13" in told.out


def test_an_unknown_signer_is_misuse(plant: Plant, shell: Shell) -> None:
    """Where something is to be signed; else nobody is asked for."""
    assert shell("import", changed(plant), "--by", "XX").status == 2
    assert shell("import", str(plant.folder / "bead_receipts.csv"), "--by", "XX").status == 0


def test_the_first_import_may_be_signed_too(tmp_path: Path, shell: Shell) -> None:
    """By somebody whom its own files name; it tells no changes, for there was nothing before."""
    first = Plant(tmp_path).ground()
    done: dict[str, Any] = json.loads(
        shell("import", str(first.write()), "--json", "--by", "EI").out
    )

    assert (done["settings"], done["settings_by"]) == ([], "P-13")
    assert shell("import", str(first.write())).status == 0


def test_while_nobody_is_an_engineer_the_plant_is_being_set_up(
    tmp_path: Path, shell: Shell
) -> None:
    """Else nobody could ever change anything."""
    first = Plant(tmp_path).ground()
    first.settings = first.settings.replace('role = "engineer"', 'role = "technician"')
    assert shell("import", str(first.write())).status == 0
    first.settings += SELF_MADE
    told = shell("import", str(first.write()))

    assert told.status == 0
    assert "2 settings changed" in told.out


def _flat(text: str) -> str:
    return " ".join(text.split())
