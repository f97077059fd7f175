"""A piece that lacks ties is light by whole ties: read as keyed, and no slip of the hand."""

import pytest

from tests.interop.plant import Plant

TIE_KG = 0.6 * 0.45359237
WHOLE_KG = 1.5 * 1.01 + 6 * TIE_KG
MOULD = "1,M-1,2026-09-02 08:00,2026-09-02 08:50,FP1,tool 4,FB6S,H1,C-1,L-1,40,40,0,1.5,240,,,KR"


def piece(number: int, kg: float, length: str = "1219") -> str:
    """A row of one piece a day old."""
    at = f"2026-09-03 1{number}:00"
    return f"{number},{at},L-1,D{number},26,24h,{kg:.3f},{length},286,406,,,,,,,,BAL-1,DS"


def read(plant: Plant, *rows: str) -> list[str]:
    """Fields asked about."""
    whole = [piece(number, WHOLE_KG + 0.002 * number) for number in range(1, 6)]
    intake = plant.add("mould_runs", MOULD).add("inspections", *whole, *rows).read()
    assert intake.faults == ()
    return [question.where for question in intake.questions]


@pytest.mark.parametrize("short", [1, 2, 3])
def test_a_piece_short_of_whole_ties_is_not_asked_about(ground: Plant, short: int) -> None:
    """One, two or three ties: the lot's assessment asks to count them."""
    assert read(ground, piece(6, WHOLE_KG - short * TIE_KG)) == []


def test_a_piece_short_of_half_a_tie_more_is_asked_about(ground: Plant) -> None:
    """Two ties and a half are no ties."""
    assert read(ground, piece(6, WHOLE_KG - 2.5 * TIE_KG)) != []


def test_a_piece_of_another_size_is_asked_about(ground: Plant) -> None:
    """Its mass may fit, its length does not."""
    assert read(ground, piece(6, WHOLE_KG - 2 * TIE_KG, "2119")) != []
