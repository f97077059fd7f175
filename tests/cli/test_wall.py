"""What `wall` prints of the demonstration: the answer, the lots, the cautions; and misuse."""

from __future__ import annotations

import pytest

from tests.cli.test_json import Asked

__all__: list[str] = []


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (("--storey", "8 ft"), "With all courses of one lot the top ends"),
        (("--storey", "9 ft", "--units", "us"), "7 courses of 16.00 in as drawn are not 108.0 in"),
        (("--courses", "6"), "Nobody said, so taken by common practice: Storey"),
        ((), "goes on no paper that leaves it"),
        ((), "no figure for a label or a claim"),
    ],
)
def test_the_answer_is_said_with_its_cautions(
    said: tuple[str, ...], words: str, asked: Asked
) -> None:
    """Whatever is asked; what nobody said is listed."""
    told = asked("wall", "FB6S", *said)

    assert told.status == 0
    assert words in " ".join(told.out.split())


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (("PKC",), "is no form block"),
        (("FB6S", "--storey", "8"), "storey:"),
        (("FB6S", "--courses", "six"), '"six" is no whole number'),
        (("FB6S", "--courses", "61"), "from 1 to 60"),
        (("FB6S", "B-0001"), "lot B-0001"),
    ],
)
def test_what_cannot_be_meant_is_refused(said: tuple[str, ...], words: str, asked: Asked) -> None:
    """By field, with what was said."""
    told = asked("wall", *said)

    assert told.status == 2
    assert words in told.err
