"""A plant to type sheets in."""

from pathlib import Path

import pytest

from tests.interop.plant import Plant


@pytest.fixture
def plant(tmp_path: Path) -> Plant:
    """A plant with its settings and no sheets."""
    return Plant(tmp_path)


@pytest.fixture
def ground(plant: Plant) -> Plant:
    """A plant with beads, ties, a filled silo and a filled hopper."""
    return plant.ground()
