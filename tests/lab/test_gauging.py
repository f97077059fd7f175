"""A block gauged hot: the estimate, and what is no estimate."""

import pytest

from beadwright.errors import OutOfRange
from beadwright.lab import size_after_a_day


def test_the_offset_is_taken_off_and_its_uncertainty_counts() -> None:
    """48.16 in less 0.12 in; 3 and 4 thousandths of an inch make 5."""
    inch = 0.0254
    got = size_after_a_day(48.16 * inch, 0.12 * inch, u_hot_m=0.003 * inch, u_offset_m=0.004 * inch)

    assert float(got.value) == pytest.approx(48.04 * inch)
    assert float(got.u) == pytest.approx(0.005 * inch)


def test_many_at_once() -> None:
    """One offset, several blocks."""
    assert size_after_a_day([1.0, 1.1], 0.01).value.tolist() == pytest.approx([0.99, 1.09])


@pytest.mark.parametrize(("hot", "offset"), [(0.0, 0.0), (-1.0, 0.0), (1.0, -0.1)])
def test_what_no_block_measures_is_refused(hot: float, offset: float) -> None:
    """Nothing, or a block that grows as it cools."""
    with pytest.raises(OutOfRange):
        size_after_a_day(hot, offset)
