"""`inspection`: where it stands by the plan, as text, JSON and picture; and its page."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.shell import Shell
from tests.cli.test_json import documented, read
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


@pytest.fixture
def yard() -> Yard:
    """Two lots of 120, the second not accepted."""
    yard = Yard.open()
    yard.set("inspection", "FB6", aql="1.0", switching=True, since=1)
    body = {"product": "FB6", "characteristic": "length", "good": "1 %", "bad": "20 %"}
    yard.set("variables", "LENGTH", body, since=1)
    yard.limit("LENGTH-MIN", "length", "min", "1198 mm", statistic="each")
    for number, bad in ((1, 0), (2, 2)):
        yard.block_lot(f"L{number}", good=120, at=20 + number)
        yard.look_over(f"L{number}", 20, ties=bad)
    yard.gauge("L2", "length", [f"{1200 + n % 5} mm" for n in range(20)], at=70)
    return yard


def test_where_inspection_stands_is_said(shell: Shell, yard: Yard, tmp_path: Path) -> None:
    """Text, documented JSON, and the curve, drawn once."""
    assert yard.no
    told = " ".join(shell("inspection", "FB6").out.split())
    assert "L1, normal: asks 13 pieces, at most 0 bad (0 of 20); 20 looked over, 0 bad" in told
    assert "L2, normal: asks 13 pieces, at most 0 bad (0 of 20); 20 looked over, 2 bad" in told
    assert "Variables plan LENGTH - Measure" in told
    assert "L1: Not judged: 0 of" in told
    assert "in a lot like L2 - Look at 13 pieces drawn at random" in told
    of_one = read(shell("inspection", "FB6", "--lot", "L2", "--json"))
    whole = read(shell("inspection", "FB6", "--json"))
    assert of_one | whole == documented()["inspection"]
    to = tmp_path / "curve.svg"
    assert shell("inspection", "FB6", "--picture", str(to)).status == 0
    assert to.read_text("utf-8").startswith("<svg")
    assert shell("inspection", "FB6", "--picture", str(to)).status == 2
    of_lot = tmp_path / "L2.png"
    drawn = shell("inspection", "FB6", "--lot", "L2", "--picture", str(of_lot))
    assert f"Drawn in {of_lot}" in " ".join(drawn.err.split())
    assert of_lot.read_bytes().startswith(b"\x89PNG")


def test_which_pieces_of_a_lot_is_said(shell: Shell, yard: Yard) -> None:
    """Thirteen of them, the same each time; of a lot that is none, misuse."""
    assert yard.no
    once, again = (
        shell("inspection", "FB6", "--lot", "L2"),
        shell("inspection", "FB6", "--lot", "L2"),
    )
    assert once.out == again.out
    assert "Look at 13 pieces drawn at random" in once.out
    assert shell("inspection", "FB6", "--lot", "NONE").status == 2
    other = shell("inspection", "PK1", "--lot", "L2")
    assert other.status == 2
    assert "L2 is of FB6, not of PK1" in " ".join(other.err.split())
    assert shell("inspection", "NONE").status == 2
