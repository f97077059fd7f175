"""What `./bench` says about a figure."""

from pathlib import Path

import pytest

from benchmarks import Result, _kept


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


def test_a_module_replaces_its_own_figures_and_no_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page shows the last of each, and which are missed."""
    monkeypatch.setattr(_kept, "_FOLDER", tmp_path / "last")
    _kept.keep("posting", [Result("single posts", 900, "steps/s", target=800, baseline=3600)])
    _kept.keep("late_post", [Result("late", 2, "s", target=1, better="lower", note="a | b")])
    _kept.keep("posting", [Result("single posts", 700, "steps/s", target=800, baseline=3500)])
    page = _kept.figures_page()

    assert "| single posts | 700 steps/s | ≥ 800 | 3,500 | 0.2 | **missed** |  |" in page
    assert "900 steps/s" not in page
    assert "| late | 2 s | ≤ 1 |  |  | **missed** | a \\| b |" in page
    with pytest.raises(ValueError, match="measured nothing"):
        _kept.keep("posting", [])
