"""The newest entries of a kind are the same whether or not earlier ones were read before."""

import pytest

from beadwright.ledger import newest
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    """Look through a few entries only, with nothing read before."""
    monkeypatch.setattr(newest, "_WINDOW", 6)
    monkeypatch.setattr(newest, "_kept", {})


def keys(number: int = 3) -> list[str]:
    """Keys of the newest receipts."""
    return [one.key for one in newest.newest_of("P1", "receipt", number)]


def test_entries_are_read_once_and_forgotten_when_they_are_old() -> None:
    """After each entry the answer is that of a question asked for the first time."""
    yard = Yard.open()
    seen = set()
    for n in range(12):
        if n % 3:
            yard.bag(f"B-{n}", at=n)
        else:
            yard.carton(f"T-{n}", at=20 - n)
        kept = keys()
        newest._kept.clear()
        assert keys() == kept
        seen.update(kept)

    assert len(keys(6)) == 6
    assert len(seen) > 6, "nothing was ever forgotten"


def test_what_was_taken_back_is_not_given() -> None:
    """Kept drafts that end at no entry of the record are dropped."""
    yard = Yard.open()
    yard.bag("B-1")
    (key,) = keys()
    (held,) = newest._kept.values()
    newest._kept["P1", "receipt", 3] = newest._Read(held.seq, "0" * 64, ((1, None), *held.drafts))
    yard.bag("B-2", at=1)

    assert keys()[1:] == [key]


def test_a_late_entry_stands_where_it_happened() -> None:
    """The newest is what happened last, and not what was entered last."""
    yard = Yard.open()
    yard.bag("B-1", at=9)
    first = keys()
    yard.bag("B-2", at=3)

    assert keys()[0] == first[0]
