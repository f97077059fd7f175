"""Small windows: what is read ahead in the ledger is read in many small parts."""

import pytest

from beadwright.ledger import rebuild, refold, store, walk


@pytest.fixture
def small_windows(monkeypatch: pytest.MonkeyPatch) -> None:
    """Make a small plant turn the pages that only a large one would."""
    monkeypatch.setattr(refold, "_AHEAD", 4)
    monkeypatch.setattr(refold, "_SIDE_BY_SIDE", 2)
    monkeypatch.setattr(walk, "_WINDOW", 4)
    monkeypatch.setattr(rebuild, "_CHUNK", 5)
    monkeypatch.setattr(store.parts, "__defaults__", (3,))
