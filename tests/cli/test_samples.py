"""A sample taken and found at the shell."""

import pytest

from beadwright.ledger import lots
from tests.cli.shell import Shell
from tests.cli.test_json import documented, read
from tests.plant.planning import hours, plant
from tests.plant.test_conditioning import put_by
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


@pytest.fixture
def yard() -> Yard:
    """A plant that tests strength every week, with a lot."""
    yard = plant()
    yard.block_lot("L1", good=10, at=hours(8, 10))
    return yard


def take(shell: Shell, *more: str) -> tuple[int, str]:
    """Take a sample of two pieces; how that ended, and what was said."""
    told = shell("sample", "L1", "SA-1", "--pieces", "2", "--by", "P-13", *more)
    return told.status, told.out + told.err


def test_a_sample_is_taken_and_listed_with_when_it_is_ready(yard: Yard, shell: Shell) -> None:
    """The lot has fewer pieces, the sample is a lot, and both say the same time."""
    status, said = take(
        shell, "--at", "2026-09-09 10:00", "--conditioning-from", "2026-09-09 12:00",
        "--kept-at", "room 1",
    )  # fmt: skip

    assert status == 0
    assert "in conditioning since 2026-09-09 12:00" in said
    listed = " ".join(shell("samples").out.split())
    assert "SA-1: 2 pieces of L1, at room 1" in listed
    assert "was ready at 2026-09-11 04:00 (40 h for compressive resistance, plan FB6-STR)" in listed
    found = lots.get_many(yard.no, ["L1", "SA-1"])
    assert [found[code].pieces for code in ("L1", "SA-1")] == [8, 2]
    assert "SA-1" in shell("trace", "SA-1", "--back").out


def test_a_retained_piece_waits_for_nothing(yard: Yard, shell: Shell) -> None:
    """It is listed as that."""
    del yard
    status, _ = take(shell, "--retained", "--at", "2026-09-09 10:00")

    assert status == 0
    assert "retained since 2026-09-09 10:00" in shell("samples").out


def test_a_sample_of_nothing_is_refused_with_what_to_do(yard: Yard, shell: Shell) -> None:
    """A lot that nobody made, a time that is none."""
    del yard
    told = shell("sample", "L9", "SA-1", "--by", "P-13")
    assert told.status == 2
    assert "no lot or place is called L9" in told.err

    status, said = take(shell, "--conditioning-from", "noon")
    assert status == 1
    assert "noon" in said
    assert shell("samples").out == "No sample is put by.\n"


def test_a_list_of_samples_holds_what_is_documented(yard: Yard, shell: Shell) -> None:
    """One that is ready for a test of the plan."""
    put_by(yard, "SA-1", "L1", hours(9, 10), since=hours(9, 12))

    assert read(shell("samples", "--json")) == documented()["samples"]
