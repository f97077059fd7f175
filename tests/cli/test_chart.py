"""`chart`: every series without set-up, one with the lots made since, as text, JSON and picture."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.shell import Outcome
from tests.cli.test_json import documented, read

Asked = Callable[..., Outcome]


def test_charts_hold_what_is_documented(asked: Asked) -> None:
    """All in short; one that is over, one that lasts, a count, and some without a chart."""
    keys = ("", "density_24h.FB8S", "density_24h.FB8L", "scrap.FP2.tie-out-of-place",
            "density_24h.FB6S", "compressive_resistance.FB6S")  # fmt: skip
    found: set[str] = set()
    for key in keys:
        found |= read(asked("chart", *([key] if key else []), "--json"))

    # Of one series or another these are empty lists, which have no fields.
    assert found - documented()["chart"] <= {"absent", "others", "signals", "lots", "reasons"}
    assert documented()["chart"] <= found


def test_the_light_silo_is_seen_and_its_lots_are_named(asked: Asked) -> None:
    """What was planted in the demonstration: lots L2-008 and L2-009 of one light silo, no other."""
    told = asked("chart", "density_24h.FB8S", "--units", "us").out

    assert "Limits at L2-008: one point beyond the control limits, below." in told
    assert "2 lots made then\n  L2-008, L2-009\n" in told
    assert "lb/ft³" in told


def test_the_list_begins_with_what_signals(asked: Asked) -> None:
    """And says how many signals chance alone gives."""
    told = asked("chart").out

    signals, _, quiet = told.partition("\nQuiet\n")
    assert "density_24h.FB8S" in signals
    assert "length_24h.FB8S" in quiet
    said = " ".join(signals.split())
    assert "chance alone gives" in said
    assert "2025-09-09 10:08, below, most likely since L2-008, 2025-09-09." in said
    of_press = asked("chart", "--of", "FP2").out
    assert "scrap.FP2.tie-out-of-place" in of_press
    assert "density_24h.FB8S" not in of_press


def test_a_list_of_charts_says_side_and_since_as_one_chart_does(asked: Asked) -> None:
    """The lot at which its *Since when* begins, and the side of its newest signal."""
    listed = json.loads(asked("chart", "--json").out)
    short = {one["key"]: one["newest"] for one in listed["signalling"]}
    whole = json.loads(asked("chart", "density_24h.FB6S", "--json").out)
    newest = max(whole["signals"], key=lambda one: one["at"])
    mine = short["density_24h.FB6S"]

    assert mine["side"] == newest["side"] == "above"
    assert mine["since"] == whole["since"]["first_at"]
    assert mine["lot"] == whole["points"][whole["since"]["first"]]["lot"]
    assert mine["known"] is whole["since"]["hold_proposed"]
    assert any(f"A step at {mine['lot']} (from 23.2" in one for one in whole["reasons"])
    assert not any("at point" in one for one in whole["reasons"])
    assert short["cup_hot.E2"]["kind"] == "point"
    assert short["cup_hot.E2"]["lot"] is None


def test_a_chart_is_drawn_once(asked: Asked, tmp_path: Path) -> None:
    """A file that is there already is left as it is."""
    to = tmp_path / "chart.svg"
    assert asked("chart", "density_24h.FB8S", "--picture", str(to)).status == 0
    assert to.read_text("utf-8").startswith("<svg")

    png = tmp_path / "chart.png"
    assert asked("chart", "density_24h.FB8S", "--picture", str(png)).status == 0
    assert png.read_bytes().startswith(b"\x89PNG")
    assert asked("chart", "density_24h.FB8S", "--picture", str(tmp_path / "chart.gif")).status == 2

    again = asked("chart", "length_24h.FB8S", "--picture", str(to))
    assert again.status == 2
    assert "is there already" in " ".join(again.err.split())


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("density_24h.NONE",), "has no series density_24h.NONE"),
        (("density_24h.FB8S", "--kind", "scatter"), "is no kind of chart"),
        (("--kind", "individuals"), "belong to one series"),
    ],
)
def test_what_cannot_be_charted_is_misuse(asked: Asked, given: tuple[str, ...], said: str) -> None:
    """Said in one sentence, and ends with 2."""
    told = asked("chart", *given)

    assert told.status == 2
    assert said in " ".join(told.err.split())
