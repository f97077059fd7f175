"""Papers at the shell: issued, written again, checked, and the visit file."""

import json
from pathlib import Path

import pytest

from beadwright.plant import moment as module
from beadwright.reports.issued import issued
from tests.cli.shell import Shell
from tests.cli.test_json import documented, read
from tests.plant.asking import good_yard, the_lot
from tests.plant.planning import decide
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


@pytest.fixture
def yard() -> Yard:
    """A plant with a released lot."""
    yard = good_yard("L1")
    yard.release("L1", the_lot(yard).evidence)
    return yard


def test_a_certificate_is_written_and_checks_true(yard: Yard, shell: Shell, tmp_path: Path) -> None:
    """Status 0 twice; a hold makes the check end with 1 and say why."""
    to = str(tmp_path / "L1.pdf")
    assert shell("certificate", "L1", "--by", "P-13", "--to", to).status == 0
    found = shell("check-certificate", to)
    assert (found.status, "true" in found.out) == (0, True)

    yard.hold("H-1", "B-1", reason="smell of solvent")
    found = shell("check-certificate", to)
    assert found.status == 1
    assert "smell of solvent" in found.out


@pytest.mark.usefixtures("yard")
def test_it_can_be_written_again(shell: Shell, tmp_path: Path) -> None:
    """The same bytes, and no second entry."""
    one, other = tmp_path / "one.pdf", tmp_path / "other.pdf"
    shell("certificate", "L1", "--by", "P-13", "--to", str(one))
    done = shell("certificate", "L1", "--again", "C-L1-1", "--to", str(other), "--json")

    assert one.read_bytes() == other.read_bytes()
    said = json.loads(done.out)
    assert (said["number"], said["bytes"]) == ("C-L1-1", other.stat().st_size)
    assert len(issued(1)) == 1


@pytest.mark.usefixtures("yard")
def test_a_file_that_is_there_is_not_written_over(shell: Shell, tmp_path: Path) -> None:
    """And nothing is issued for nothing."""
    to = tmp_path / "L1.pdf"
    to.write_text("a letter")
    done = shell("certificate", "L1", "--by", "P-13", "--to", str(to))

    assert done.status == 2
    assert to.read_text() == "a letter"
    assert issued(1) == ()


def test_what_is_refused_leaves_no_file(shell: Shell, tmp_path: Path) -> None:
    """Neither whole nor empty."""
    good_yard("L1")
    to = tmp_path / "L1.pdf"
    done = shell("certificate", "L1", "--by", "P-13", "--to", str(to))

    assert (done.status, to.exists()) == (1, False)
    assert "not_certifiable" in done.err


@pytest.mark.usefixtures("yard")
@pytest.mark.parametrize(
    "words",
    [
        ("certificate", "L1", "--to", "{}"),
        ("certificate", "L1", "--to", "{}", "--by", "P-13", "--paper", "a0"),
        ("certificate", "L1", "--to", "{}", "--again", "C-L1-4"),
        ("check-certificate", "{}"),
        ("visit", "--since", "yesterday", "--lot", "L1", "--to", "{}"),
        ("visit", "--since", "2026-09-01", "--lot", "L9", "--to", "{}"),
    ],
    ids=["nobody", "no size", "no number", "no file", "no day", "no lot"],
)
def test_what_cannot_be_meant_is_misuse(
    words: tuple[str, ...], shell: Shell, tmp_path: Path
) -> None:
    """Status 2, one message, no file."""
    to = tmp_path / "paper.pdf"
    done = shell(*(word.format(to) for word in words))

    assert (done.status, to.exists()) == (2, False)
    assert done.err


@pytest.mark.usefixtures("yard")
def test_an_altered_file_is_told_as_json(shell: Shell, tmp_path: Path) -> None:
    """Another program gets verdict and reasons under names that stay."""
    to = tmp_path / "L1.pdf"
    shell("certificate", "L1", "--by", "P-13", "--to", str(to))
    to.write_bytes(to.read_bytes() + b" ")
    done = shell("check-certificate", str(to), "--json")
    said = json.loads(done.out)

    assert done.status == 1
    assert (said["verdict"], said["good"], said["number"]) == ("altered", False, "C-L1-1")
    assert said["reasons"]


@pytest.mark.usefixtures("yard")
def test_the_visit_file_is_written(shell: Shell, tmp_path: Path) -> None:
    """What it holds is told, and given whole as JSON."""
    one, other = tmp_path / "one.pdf", tmp_path / "other.pdf"
    words = ("visit", "--since", "2026-09-01", "--lot", "L1", "--to")
    told = shell(*words, str(one))
    said = json.loads(shell(*words, str(other), "--json").out)

    assert one.read_bytes().startswith(b"%PDF-")
    assert "Nonconformities" in told.out
    assert said["content"]["parts"][0]["title"] == "The record"


def test_papers_of_a_demonstration_are_made_at_its_own_time(
    yard: Yard, shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A balance calibrated for 30 days is so in its weeks, though by the clock it has lapsed."""
    yard.set("plant", "P1", name="Yard", zone="America/Chicago", invented=True, since=1)
    yard.set("instrument", "BAL-2", what="balance", every="30 days")
    decide(
        yard, "calibration", "BAL-2", {"done": "2026-09-01", "result": "pass", "certificate": "C-1"}
    )
    monkeypatch.setattr(module, "now_ms", lambda: ms(24 * 60))  # the door's clock, 60 days on
    words = ("visit", "--since", "2026-09-01", "--lot", "L1", "--to", str(tmp_path / "v.pdf"))
    said = json.loads(shell(*words, "--json").out)["content"]

    (row,) = [
        row for part in said["parts"] for one in part["tables"] for row in one["rows"]
        if row[1:2] == ["BAL-2"] and row[0] in {"fit", "lapsed"}
    ]  # fmt: skip
    assert row[0] == "fit"
    assert said["made"][1] == 9
    shell("certificate", "L1", "--by", "P-13", "--to", str(tmp_path / "c.pdf"))
    assert issued(1)[-1].content["issued"][:2] == [2026, 9]


@pytest.mark.usefixtures("yard")
def test_what_papers_answer_is_what_is_documented(shell: Shell, tmp_path: Path) -> None:
    """Name by name; a true certificate gives no reason, and this plant is not invented."""
    to, told = str(tmp_path / "L1.pdf"), documented()
    done = shell("certificate", "L1", "--by", "P-13", "--to", to, "--json")
    assert read(done) == told["certificate"]
    assert (
        read(shell("check-certificate", to, "--json")) | {"reasons[]"}
        == (told["check-certificate"])
    )
    words = ("visit", "--since", "2026-09-01", "--lot", "L1", "--to", str(tmp_path / "v.pdf"))
    assert read(shell(*words, "--json")) == told["visit"]


def test_the_demonstrations_papers(damaged: tuple[Shell, Path], tmp_path: Path) -> None:
    """Lots of a whole plant: certified, the same after a rebuild, told when a bag is held."""
    shell, _ = damaged
    told = json.loads(shell("assess", "--json").out)["lots"]
    clean = [one["lot"] for one in told if one["answer"] == "may_ship"][:3]
    for lot in clean:
        for person in ("EI", "OB"):
            assert shell("release", lot, "--by", person).status == 0
        assert shell("certificate", lot, "--by", "EI", "--to", str(tmp_path / lot)).status == 0
    assert shell("rebuild").status == 0
    for lot in clean:
        again = str(tmp_path / f"{lot}.again")
        shell("certificate", lot, "--again", f"C-{lot}-1", "--to", again)
        assert (tmp_path / lot).read_bytes() == Path(again).read_bytes()
        assert shell("check-certificate", str(tmp_path / lot)).status == 0

    back = json.loads(shell("trace", clean[0], "--back", "--json").out)["lots"]
    bag = next(one["lot"] for one in back if one["kind"] == "bead")
    shell("hold", bag, "--id", "H-1", "--reason", "recalled by its maker", "--by", "EI")
    found = shell("check-certificate", str(tmp_path / clean[0]))
    assert found.status == 1
    assert "recalled by its maker" in found.out
