"""What `./bench` says about a figure."""

import pytest

from benchmarks import Result


@pytest.mark.parametrize(
    ("value", "target", "better", "met"),
    [
        (800, 800, "higher", True),
        (799, 800, "higher", False),
        (90, 90, "lower", True),
        (91, 90, "lower", False),
        (1, None, "lower", None),
    ],
)
def test_a_target_is_met_in_its_own_direction(
    value: float, target: float | None, better: str, met: bool | None
) -> None:
    """Speed must reach its target, time must stay under it, and no target is no verdict."""
    assert Result("import", value, "s", target=target, better=better).met is met


def test_a_figure_stands_beside_the_bare_floor() -> None:
    """The ratio is ours over the floor's."""
    assert Result("post", 800, "1/s", baseline=3200).ratio == 0.25


def test_a_direction_that_is_none_is_refused() -> None:
    """A typing error must not turn a miss into a success."""
    with pytest.raises(ValueError, match="'hihger'"):
        Result("post", 1, "1/s", better="hihger")
