"""The verb for inspection plans: from a lot's size to a plan and its pieces."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from beadwright.statistics.sampling import Model, SinglePlan, acceptance
from tests.cli.shell import Shell

POINTS = ("inspection-plan", "270", "--good", "1 %", "--bad", "6 %")


def test_a_plan_by_two_points_says_what_it_protects_against(shell: Shell) -> None:
    """The plan, its curve, the caution, and how it was found."""
    told = shell(*POINTS)
    said = " ".join(told.out.split())

    assert told.status == 0
    assert "Look at 56 pieces drawn at random. Accept if at most 1 is bad." in said
    assert "inspect every piece" in said
    assert "turns away at most 5 of 100 lots with 1 % bad pieces" in said


def test_a_published_plan_says_where_its_arrow_leads(shell: Shell) -> None:
    """Letter, arrow, and how the table was read."""
    said = " ".join(shell("inspection-plan", "270", "--aql", "1.0").out.split())

    assert "Look at 50 pieces drawn at random." in said
    assert "letter G, whose arrow leads to H." in said
    assert "read in second sources" in said


def test_the_same_seed_draws_the_same_pieces(shell: Shell) -> None:
    """As many as the plan asks, out of those named; another seed draws others."""
    more = ("--pieces", "1001..1270", "--json", "--seed")
    one, again, other = (
        json.loads(shell(*POINTS, *more, seed).out)["pieces"] for seed in ("L1", "L1", "L2")
    )

    assert one == again
    assert one["first"] != other["first"]
    assert len(set(one["first"])) == 56
    assert all(1001 <= int(piece) <= 1270 for piece in one["first"])
    assert one["later"] == []


def test_a_double_plan_draws_both_samples(shell: Shell) -> None:
    """The second holds none of the first."""
    told = json.loads(shell(*POINTS, "--double", "--pieces", "1..270", "--seed", "x", "--json").out)
    first, later = told["pieces"]["first"], told["pieces"]["later"]

    assert told["plan"]["kind"] == "double"
    assert (len(first), len(later)) == (told["plan"]["first"], told["plan"]["second"])
    assert not set(first) & set(later)


def test_the_curve_is_that_of_the_lot(shell: Shell) -> None:
    """Each of its points by the hypergeometric distribution of 270 pieces."""
    for point in json.loads(shell(*POINTS, "--json").out)["curve"]:
        exact = float(acceptance(SinglePlan(56, 1), point["bad"] / 270, Model.LOT, 270))
        assert point["accepted"] == pytest.approx(exact)


def test_the_picture_is_written_once(shell: Shell, tmp_path: Path) -> None:
    """As an SVG that stands alone; it is not written over."""
    to = tmp_path / "curve.svg"
    told, again = shell(*POINTS, "--picture", str(to)), shell(*POINTS, "--picture", str(to))

    assert told.status == 0
    assert to.read_text("utf-8").startswith("<svg")
    assert "var(" not in to.read_text("utf-8")
    assert again.status == 2
    assert "is there already" in " ".join(again.err.split())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("270",), "Say --aql"),
        (("270", "--aql", "1.0", "--good", "1 %", "--bad", "6 %"), "one of the two"),
        (("270", "--good", "1 %"), "Say --aql"),
        (("270", "--good", "0.01", "--bad", "6 %"), "in per cent"),
        (("270", "--good", "6 %", "--bad", "1 %"), "above the share of a good lot"),
        (("270", "--aql", "1.2"), "must be one of"),
        (("270", "--aql", "15"), "not pieces"),
        (("270", "--aql", "one"), "No AQL"),
        (("270", "--aql", "1.0", "--level", "IV"), "No inspection level"),
        (("270", "--aql", "1.0", "--severity", "strict"), "No severity"),
        (("270", "--aql", "1.0", "--double"), "--double goes with"),
        (("270", "--aql", "1.0", "--pieces", "1..270"), "go together"),
        (("270", "--aql", "1.0", "--pieces", "1-270", "--seed", "a"), "No range"),
        (("270", "--aql", "1.0", "--pieces", "1..27", "--seed", "a"), "are 27 pieces"),
        (("270", "--aql", "1.0", "--picture", "/nowhere/x.svg"), "cannot be written"),
        (("1", "--aql", "1.0"), "greater than or equal to 2"),
    ],
)
def test_what_cannot_be_meant_is_said(words: tuple[str, ...], said: str, shell: Shell) -> None:
    """Misuse, with what to write."""
    told = shell("inspection-plan", *words)

    assert told.status == 2
    assert said in " ".join(told.err.split())


def test_a_large_lot_takes_no_longer_than_a_person_waits(shell: Shell, tmp_path: Path) -> None:
    """Half a million pieces: its curve is drawn with few points."""
    to = tmp_path / "curve.svg"
    told = shell("inspection-plan", "500000", "--aql", "0.65", "--picture", str(to))

    assert told.status == 0
    assert "Look at 800 pieces" in told.out
    assert len(to.read_text("utf-8")) < 20_000
