"""What is attached is kept by its content: once, whole, and found out when it is not."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from beadwright.errors import Misuse
from beadwright.ledger.draft import Decision
from beadwright.plant.attached import Damaged, damaged, folder, keep, path_of
from tests.conftest import FreshStore
from tests.door.filed import entry
from tests.plant.yard import Yard, ms

PICTURE = b"\xff\xd8 a wall with a gap"
SHA = hashlib.sha256(PICTURE).hexdigest()


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    """A photograph as it came from a site."""
    path = tmp_path / "wall 3.jpg"
    path.write_bytes(PICTURE)
    return path


def test_a_file_is_kept_under_its_hash_and_once(picture: Path, tmp_path: Path) -> None:
    """Name and size are the record's; the content lies under its hash, read-only, alone."""
    where = tmp_path / "plant.sqlite3.files"

    kept = keep(picture, where)
    again = keep(picture.rename(tmp_path / "copy.jpg"), where)

    assert (kept.sha256, kept.name, kept.bytes) == (SHA, "wall 3.jpg", len(PICTURE))
    assert (again.sha256, again.name) == (SHA, "copy.jpg")
    assert [p for p in where.rglob("*") if p.is_file()] == [where / SHA[:2] / SHA]
    assert path_of(where, SHA).read_bytes() == PICTURE
    assert path_of(where, SHA).stat().st_mode & 0o222 == 0


def test_keeping_a_file_again_mends_an_altered_copy(picture: Path, tmp_path: Path) -> None:
    """What lies under a hash and is not that content is no reason to lose the true one."""
    keep(picture, tmp_path / "f")
    path = path_of(tmp_path / "f", SHA)
    path.chmod(0o644)
    path.write_bytes(b"another wall")

    keep(picture, tmp_path / "f")

    assert path.read_bytes() == PICTURE


@pytest.mark.parametrize("name", ["nothing.jpg", "."])
def test_what_is_no_file_is_not_kept(name: str, tmp_path: Path) -> None:
    """The message names the path; nothing is made."""
    with pytest.raises(Misuse, match="no file"):
        keep(tmp_path / name, tmp_path / "f")
    assert not (tmp_path / "f").exists()


def test_files_stand_beside_the_store_or_where_the_environment_says(
    fresh_store: FreshStore, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A store that is a file has its folder beside it; another must be told of one."""
    monkeypatch.delenv("BEADWRIGHT_FILES", raising=False)
    if fresh_store.path is None:
        with pytest.raises(Misuse, match="BEADWRIGHT_FILES"):
            folder()
    else:
        assert folder() == Path(f"{fresh_store.path}.files")
    monkeypatch.setenv("BEADWRIGHT_FILES", str(tmp_path / "kept"))
    assert folder() == tmp_path / "kept"


@pytest.mark.django_db
def test_what_is_missing_or_altered_is_named(
    picture: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of files and of reports, by what it belongs to; where all is well nothing is said."""
    monkeypatch.setenv("BEADWRIGHT_FILES", str(tmp_path / "kept"))
    yard = Yard.open()
    assert damaged(yard.no) == ()
    kept = keep(picture, folder())
    said = {"sha256": kept.sha256, "name": kept.name, "bytes": kept.bytes}
    yard.post(entry("open", title="gap", origin="photograph", files=[said]))
    report = {
        "laboratory": "Fenwright Laboratory", "products": ["FB6"], "file": "cd" * 32,
        "characteristic": "compressive_resistance", "result": "pass", "sampled": "2026-09-01",
    }  # fmt: skip
    yard.post(Decision("r", ms(40), "report", "R-1", report))
    path = path_of(folder(), SHA)

    lost = path_of(folder(), "cd" * 32)
    assert damaged(yard.no) == (Damaged("R-1", "report", "cd" * 32, str(lost), "missing"),)

    path.chmod(0o644)
    path.write_bytes(b"another wall")
    altered = Damaged("NC-0001", "wall 3.jpg", SHA, str(path), "altered")
    assert damaged(yard.no)[0] == altered
    path.unlink()
    assert damaged(yard.no)[0] == Damaged("NC-0001", "wall 3.jpg", SHA, str(path), "missing")


def test_an_empty_file_is_not_kept(tmp_path: Path) -> None:
    """A photograph of nothing would stand as evidence."""
    (tmp_path / "wall.jpg").touch()
    with pytest.raises(Misuse, match="is empty"):
        keep(tmp_path / "wall.jpg", tmp_path / "store.files")

    assert not (tmp_path / "store.files").exists()
