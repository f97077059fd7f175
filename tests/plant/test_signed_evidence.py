"""Evidence that was signed is shown again from the release's entry, whatever came since."""

import hashlib
import json
from pathlib import Path

import pytest

from beadwright.plant import attached
from beadwright.plant.entry_json import entry_json
from beadwright.plant.history import entry
from beadwright.plant.opening import open_plant
from beadwright.plant.signed_evidence import SignedEvidence, signed_evidence
from tests.door.released import release, sound
from tests.plant.asking import block, the_lot
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the store's files are."""
    monkeypatch.setenv(attached.FOLDER, str(tmp_path))
    return tmp_path


def released() -> tuple[Yard, str]:
    """A lot that was released, and the hash of what that was over."""
    yard = sound(Yard.open())
    evidence = the_lot(yard).evidence
    yard.post(release(yard, "P-13"))
    return yard, evidence


def looked_at(sha256: str) -> SignedEvidence:
    """What a release of the lot over a hash is over."""
    return signed_evidence(open_plant().no, "L1", sha256)


def test_what_is_hashed_is_what_is_shown(files: Path) -> None:
    """The text has the hash that the release names; its readings are those of the record."""
    _, sha256 = released()
    found = looked_at(sha256)

    assert found.same_now
    assert found.text is not None
    assert hashlib.sha256(found.text.encode()).hexdigest() == sha256
    assert "Kept as it was signed" in found.words
    readings, limits = found.shown
    assert [row[1:3] for row in readings.rows] == [
        ("block mass 24h", f"{one:.4f}") for one in (block(23), block(23.1), block(22.9))
    ]
    assert limits.rows[0][:2] == ("density", "each")
    assert limits.rows[0][3] == "met"
    del files


def test_what_came_since_is_said_and_changes_nothing_of_what_was_signed(files: Path) -> None:
    """Another reading, and another limit."""
    yard, sha256 = released()
    before = looked_at(sha256)
    yard.weigh("L1", "24h", [block(23.2)])
    yard.limit("LIM", "density", "min", "21.5 kg/m3", since=1)

    after = looked_at(sha256)
    assert (after.text, after.shown) == (before.text, before.shown)
    assert not after.same_now
    readings, limits = after.changed
    assert readings.startswith("readings since: entries ")
    assert limits == "limits, or what was found by them: LIM"
    del files


def test_a_text_that_was_altered_is_not_shown(files: Path) -> None:
    """Nor is one that is gone, once the evidence there is now is another."""
    yard, sha256 = released()
    path = attached.path_of(files, sha256)
    path.chmod(0o644)
    path.write_text(path.read_text().replace("met", "not"))
    yard.weigh("L1", "24h", [block(23.2)])

    assert looked_at(sha256).text is None
    (one,) = attached.damaged(yard.no)
    assert (one.about, one.name, one.what) == ("L1", "evidence", "altered")
    path.unlink()
    assert looked_at(sha256).text is None
    assert attached.damaged(yard.no) == ()


def test_a_store_without_files_shows_it_while_it_is_the_same() -> None:
    """And says that it was not kept once it is not."""
    yard, sha256 = released()
    assert looked_at(sha256).text is not None
    yard.weigh("L1", "24h", [block(23.2)])
    gone = looked_at(sha256)
    assert gone.text is None
    assert "was not kept" in gone.words


def test_the_entry_says_it_as_json(files: Path) -> None:
    """The text whole, so that whoever asks can hash it again."""
    yard, sha256 = released()
    seq = the_lot(yard).approvals[0].seq
    plant = open_plant()
    (said,) = entry_json(plant, entry(plant, str(seq)))["evidence_signed"]
    assert said["sha256"] == hashlib.sha256(said["written"].encode()).hexdigest() == sha256
    assert json.loads(said["written"])["lot"] == "L1"
    del files
