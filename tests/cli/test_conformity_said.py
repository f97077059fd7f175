"""What `conformity` says and holds."""

import pytest

from tests.cli.shell import Shell
from tests.cli.test_json import documented, read
from tests.plant.test_conformity import DENSITIES, made

pytestmark = pytest.mark.django_db


def test_it_is_said_with_its_assumptions(shell: Shell) -> None:
    """Lot by lot, then the risks."""
    made(*DENSITIES)
    told = shell("conformity", "FB6", "density")

    assert told.status == 0, told.err
    assert "Consumer's risk: beyond it, and accepted" in told.out
    assert "Taken for granted" in told.out


def test_its_json_holds_what_is_documented(shell: Shell) -> None:
    """Field by field."""
    made(*DENSITIES)

    assert read(shell("conformity", "FB6", "density", "--json")) == documented()["conformity"]
