"""What the summary says of a group of lots is true of each of them."""

from dataclasses import replace

import pytest

from beadwright.cli.in_common import in_common
from beadwright.plant.assessment import LotAssessment
from tests.cli.shell import Shell
from tests.plant.asking import GOOD, good_yard, the_lot
from tests.plant.planning import lot, plant
from tests.plant.yard import DAY, HOUR, Yard

pytestmark = pytest.mark.django_db

_H = DAY // HOUR


def flat(text: str) -> str:
    """A page without its line breaks."""
    return " ".join(text.split())


def test_lots_of_several_days_are_not_said_to_be_made_on_one(shell: Shell) -> None:
    """A missing test names the span of days; a group of one day names that day."""
    yard = plant()
    for code, day in (("L1", 2), ("L2", 2), ("L3", 9)):
        lot(yard, code, day)

    told = flat(shell("assess").out)

    assert "covers what was made 2026-09-02 to 2026-09-09" in told
    assert "covers what was made 2026-09-02 " not in told.replace("09-02 to", "09-02_to")


def test_a_group_of_one_day_names_it(shell: Shell) -> None:
    """As before."""
    yard = plant()
    lot(yard, "L1", 2)
    lot(yard, "L2", 2)

    assert flat(shell("assess").out).endswith("covers what was made 2026-09-02")


def test_what_is_true_of_one_lot_alone_names_it(shell: Shell) -> None:
    """One of the two has two pieces measured, the other one."""
    yard = good_yard("L1")
    yard.limit("MANY", "density", "min", "22.0 kg/m3", specimens=9)
    yard.block_lot("L2", good=10, at=30)
    yard.weigh("L2", "24h", GOOD[:2], at=60)

    told = flat(shell("assess").out)

    assert f"L1: density: {len(GOOD)} of 9 pieces were measured" in told
    assert "L2: density: 2 of 9 pieces were measured" in told


def test_many_sentences_of_single_lots_are_counted() -> None:
    """A group of many lots does not fill the page."""
    one = the_lot(good_yard("L1"), "L1")
    lots = [replace(one, lot=f"L{n:03d}") for n in range(20)]

    def said(lot: LotAssessment) -> list[str]:
        return ["all of them", f"only {lot.lot}"]

    told = in_common(lots, said)

    assert told[0] == "all of them"
    assert told[1] == "L000: only L000"
    assert told[-1] == "L006 to L019: 14 sentences more, each lot's own"


def test_sources_too_small_to_name_are_told_as_a_sum(shell: Shell) -> None:
    """So that what is told makes up the whole."""
    yard = Yard.open()
    yard.limit("DENSITY", "density", "min", "21.6 kg/m3")
    yard.carton("T-1")
    for bag, kg in (("B-1", 95), ("B-2", 2), ("B-3", 3)):
        yard.bag(bag)
        yard.expand(bag, "S1", kg=kg, at=2)
    yard.mould("L1", at=20)

    told = " ".join(shell("assess", "L1").out.split())

    assert "S1 100.0%; before that B-1 95.0%, others 5.00%" in told
