"""`defects` on the demonstration: text, documented JSON, a picture; and its page."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.shell import Outcome
from tests.cli.test_json import documented, read

Asked = Callable[..., Outcome]


def test_defects_hold_what_is_documented(asked: Asked) -> None:
    """By tie lot, of the demonstration's four weeks."""
    assert read(asked("defects", "--json")) == documented()["defects"]


@pytest.mark.parametrize("by", ["product", "press", "shift", "tie lot", "bead bag"])
def test_each_way_is_said(asked: Asked, by: str) -> None:
    """Both counts, each with its kinds."""
    told = asked("defects", "--by", by).out

    assert "Scrapped at the press:" in told
    assert "Found bad when looked over:" in told
    assert "is not yet the cause" in " ".join(told.split())


def test_the_kinds_are_drawn_once(asked: Asked, tmp_path: Path) -> None:
    """A file that is there already is left as it is."""
    to = tmp_path / "kinds.svg"
    assert asked("defects", "--picture", str(to)).status == 0
    assert to.read_text("utf-8").startswith("<svg")
    assert asked("defects", "--by", "press", "--picture", str(to)).status == 2
