"""What a study says: its band, what does not belong, what it cannot see, and a blank sheet."""

from __future__ import annotations

import csv
import io
from collections import Counter
from decimal import Decimal
from itertools import pairwise

import numpy as np
import pytest

from beadwright.errors import Misuse
from beadwright.plant.gauge_studies.blank import Size, blank, read_size
from beadwright.plant.gauge_studies.cells import Cells
from beadwright.plant.gauge_studies.crossed import (
    GaugeStudy,
    Tolerance,
    band_of,
    gauge_study,
    read_tolerance,
)
from beadwright.plant.gauge_studies.crossed_words import crossed_written
from beadwright.plant.gauge_studies.from_limits import tolerance_of
from beadwright.plant.gauge_studies.jig import jig_study
from beadwright.plant.gauge_studies.jig_words import jig_written
from tests.plant.yard import Yard, ms


def cells(array: np.ndarray, digits: int = 3) -> Cells[Decimal]:
    """Give a study of parts by people by trials."""
    parts, people, trials = array.shape
    values = {
        place: Decimal(f"{float(array[place]):.{digits}f}") for place in np.ndindex(array.shape)
    }
    names = tuple(str(n + 1) for n in range(parts))
    return Cells(names, tuple("ABCDEF"[:people]), trials, values)


def made(spread: float, *, slip: float = 0.0, digits: int = 3) -> GaugeStudy:
    """Ten parts a millimetre apart by three people, the gauge's own spread given."""
    drawn = np.random.default_rng(3)
    array = drawn.normal(0, spread, (10, 3, 3)) + np.arange(10)[:, None, None]
    array[4, 1, 2] += slip
    limits = Tolerance(Decimal(-2), Decimal(12), "mm", "as asked")
    return gauge_study("made.csv", "mm", cells(array, digits), limits)


@pytest.mark.parametrize(("share", "band"), [(0.099, "fit"), (0.10, "conditional"),
                                             (0.30, "conditional"), (0.301, "unfit")])  # fmt: skip
def test_bands_are_those_stated(share: float, band: str) -> None:
    """Up to 10 %, up to 30 %, above."""
    assert band_of(share) == band


def test_the_tolerance_decides_where_it_is_stated() -> None:
    """Six deviations of measuring by its width; the words say so, and what to put on the gauge."""
    found = made(0.1)
    words = " ".join(crossed_written(found).verdict)

    assert found.deciding == pytest.approx(6 * found.study.gauge.sd / 14)
    assert found.band == "fit"
    assert "of the tolerance, -2 to 12 mm" in words
    assert f"standard uncertainty of {found.uncertainty:.3g} mm" in words
    assert found.uncertainty == pytest.approx(0.1, rel=0.2)


def test_what_does_not_belong_is_named_and_left_in() -> None:
    """One slip of a millimetre: the share counts it, and the share without that part beside."""
    clean, slipped = made(0.1), made(0.1, slip=1.0)
    (one,) = slipped.outliers

    assert not clean.outliers
    assert (one.part, one.person, one.trial) == ("5", "B", 3)
    assert slipped.study.share > clean.study.share
    assert one.share_without == pytest.approx(clean.study.share, rel=0.25)
    assert slipped.cells.array.size == 90
    assert any("it is left in" in text for text in crossed_written(slipped).sections[1].texts)


def test_a_step_that_hides_what_repeats_is_said() -> None:
    """Readings in whole millimetres of a gauge that repeats to a tenth."""
    assert made(0.2, digits=0).coarse
    assert not made(0.2).coarse
    said = crossed_written(made(0.2, digits=0)).sections[0].texts
    assert any("steps of 1 mm" in text for text in said)


def test_a_study_that_tells_nothing_is_refused() -> None:
    """Every reading of a part the same, or one person alone."""
    alike = np.repeat(np.arange(5.0), 6).reshape(5, 2, 3)
    with pytest.raises(Misuse, match="step hides"):
        gauge_study("alike.csv", "mm", cells(alike))
    with pytest.raises(Misuse, match="one person alone"):
        gauge_study("alone.csv", "mm", cells(alike[:, :1]))


@pytest.mark.django_db
def test_a_products_limits_give_the_tolerance() -> None:
    """The narrowest of both sides, by name; of one side there is none."""
    yard = Yard.open()
    yard.limit("H-MIN", "height", "min", "400 mm")
    yard.limit("H-LOW", "height", "min", "15.8 in")
    yard.limit("H-MAX", "height", "max", "410 mm")
    yard.limit("L-MAX", "length", "max", "1200 mm")
    now = ms(24 * 30)

    found = tolerance_of(yard.no, now, "FB6", "height", "mm")
    assert (found.low, found.high) == (Decimal("401.32"), Decimal(410))
    assert found.source == "limits H-LOW and H-MAX"
    for name, unit, words in (
        ("length", "mm", "a most alone"),
        ("width", "mm", "no limit on width; there are limits on"),
        ("height", "kg", "is in in, and what was measured is in kg"),
    ):
        with pytest.raises(Misuse, match=words):
            tolerance_of(yard.no, now, "FB6", name, unit)


def test_the_worst_person_decides_of_a_jig() -> None:
    """One misses nothing, the other half of what is bad: not fit, and the words name who."""
    values = {(i, j, k): i < 5 for i in range(10) for j in range(2) for k in range(2)}
    values |= {(i, 1, 0): True for i in range(5, 10)}
    found = jig_study("jig.csv", Cells(tuple("0123456789"), ("A", "B"), 2, values),
                      [True] * 5 + [False] * 5, (), "")  # fmt: skip
    words = " ".join(jig_written(found).verdict)

    assert (found.band(0), found.band(1), found.worst) == ("fit", "unfit", "unfit")
    assert found.wrong == tuple("56789")
    assert "25.0 % (5 of 20;" in words
    assert "Not fit in the hands of B" in words
    with pytest.raises(Misuse, match="every reference piece is good"):
        jig_study("jig.csv", found.cells, [True] * 10, (), "")


def test_a_jig_without_a_miss_proves_little() -> None:
    """And the words say how many there may be."""
    values = {(i, j, k): i < 5 for i in range(10) for j in range(2) for k in range(2)}
    found = jig_study("jig.csv", Cells(tuple("0123456789"), ("A", "B"), 2, values),
                      [True] * 5 + [False] * 5, (), "")  # fmt: skip

    # Clopper and Pearson of 0 of 20: 1 - 0.025^(1/20).
    assert "up to 16.8 % may" in " ".join(jig_written(found).verdict)


def test_a_blank_sheet_can_be_made_again() -> None:
    """The same seed gives the same order, another another; every cell once, nobody twice on end."""
    sheet = blank(Size(10, 3, 3), 7)
    rows = list(csv.DictReader(io.StringIO(sheet)))
    cells_ = Counter((row["part"], row["person"], row["trial"]) for row in rows)
    last = [(row["part"], row["person"]) for row in rows]

    assert sheet == blank(Size(10, 3, 3), 7) != blank(Size(10, 3, 3), 8)
    assert len(rows) == len(cells_) == 90
    assert all(one != two for one, two in pairwise(last))
    assert read_size(" 10 x 3x2 ") == Size(10, 3, 2)
    for text in ("10x3", "1x3x3", "900x9x9", "ten"):
        with pytest.raises(Misuse):
            read_size(text)


def test_a_tolerance_without_a_known_kind_needs_the_sheets_unit() -> None:
    """In the same unit it is taken as it stands."""
    assert read_tolerance("-1 .. 1 mm", "mm", None).width == 2
    with pytest.raises(Misuse, match="no unit of what was measured"):
        read_tolerance("-1..1 in", "mm", None)
