"""Names are held apart from the record; an erased one is in no file of the store any more."""

from pathlib import Path

import pytest

from beadwright.interop.importing import import_files
from beadwright.ledger import accounts, people, store
from beadwright.ledger.people import Person
from tests.conftest import FreshStore
from tests.interop.plant import PLANT, Plant

NAMES = ("Kesta Rumlow", "Dorrin Selwick", "Edda Ivesworth")


@pytest.fixture
def filled(fresh_store: FreshStore, tmp_path: Path) -> FreshStore:
    """A store with a small plant's record and its people."""
    folder = tmp_path / "files"
    folder.mkdir()
    import_files([Plant(folder).ground().write()])
    return fresh_store


def _bytes(held: FreshStore) -> bytes:
    """Everything that is on the disk of a store in a file."""
    assert held.path is not None
    return b"".join(file.read_bytes() for file in held.path.parent.glob(f"{held.path.name}*"))


def test_no_entry_of_the_record_holds_a_name_or_initials(filled: FreshStore) -> None:
    """Whoever did it stands there by id."""
    del filled
    bodies = [body for (body,) in store.select("SELECT body FROM ledger_entry")]

    assert all(name in PLANT for name in NAMES)
    assert any('"P-01"' in body for body in bodies)
    for text in (*NAMES, '"KR"', '"DS"', '"EI"'):
        assert not [body for body in bodies if text in body]


def test_an_erased_name_is_in_no_file_of_the_store(filled: FreshStore) -> None:
    """Not in a page set free, nor in the log; the others stay, and the chain is whole."""
    people.match("LARKHOLLOW", [Person("KR", "P-01", "Kesta Rumlow", confirmed=True)])
    if filled.path is not None:
        assert b"Kesta Rumlow" in _bytes(filled)
    chain = store.select("SELECT seq, hash FROM ledger_entry ORDER BY seq")
    people.erase("LARKHOLLOW", "P-01")

    if filled.path is not None:
        assert b"Kesta Rumlow" not in _bytes(filled)
        assert b"Dorrin Selwick" in _bytes(filled)
    assert set(people.names("LARKHOLLOW")) == {"DS", "EI"}
    assert store.select("SELECT seq, hash FROM ledger_entry ORDER BY seq") == chain


def test_an_erased_account_leaves_no_hash_of_its_code(filled: FreshStore) -> None:
    """What a code could be tried against is gone with the name."""
    for person in ("P-01", "P-02"):
        accounts.keep("LARKHOLLOW", person, f"hash-of-the-code-of-{person}")
    people.erase("LARKHOLLOW", "P-01")

    assert [one.person for one in accounts.of_plant("LARKHOLLOW")] == ["P-02"]
    if filled.path is not None:
        assert b"hash-of-the-code-of-P-01" not in _bytes(filled)
        assert b"hash-of-the-code-of-P-02" in _bytes(filled)


def test_everybody_can_be_erased(filled: FreshStore) -> None:
    """One after the other."""
    for person in ("P-01", "P-02", "P-13"):
        assert people.erase("LARKHOLLOW", person) == 1
        assert people.erase("LARKHOLLOW", person) == 0

    assert people.names("LARKHOLLOW") == {}
    assert people.erased("LARKHOLLOW") == {"P-01", "P-02", "P-13"}
    if filled.path is not None:
        assert not [name for name in NAMES if name.encode() in _bytes(filled)]


def test_of_many_people_the_erased_leave_no_trace(filled: FreshStore) -> None:
    """A table of several pages, whose rows moved while it grew."""
    many = [Person(f"X{n}", f"Q-{n}", f"Somebody {n:03d} " + "x" * 60) for n in range(400)]
    people.match("LARKHOLLOW", many)
    gone = [one.person for one in many[::2]]
    for person in gone:
        people.erase("LARKHOLLOW", person)

    assert len(people.names("LARKHOLLOW")) == 203
    if filled.path is not None:
        held = _bytes(filled)
        assert [n for n in range(400) if f"Somebody {n:03d} ".encode() in held] == [
            *range(1, 400, 2)
        ]
