"""What `./bench` says about a figure, and how a long run goes on after it was cut off."""

import json
from dataclasses import dataclass
from pathlib import Path

import pytest

from benchmarks import Result, _kept
from benchmarks._resumed import done, resumed


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


@dataclass(frozen=True)
class Squared:
    """What a job found."""

    of: int
    value: int


def squared(number: int) -> Squared:
    """Work that fails for a number below zero."""
    if number < 0:
        raise ValueError(number)
    return Squared(number, number**2)


def test_a_run_that_was_cut_off_goes_on_where_it_was(tmp_path: Path) -> None:
    """What ended before a failure is kept; the next run does the rest, and no job twice."""
    file = tmp_path / "squared.jsonl"
    with pytest.raises(ValueError, match="-1"):
        list(resumed(file, squared, [(2,), (-1,), (3,)], 1))
    assert {"of": 2, "value": 4} in done(file, squared, [(2,), (3,)]).values()

    written = file.read_text(encoding="utf-8").replace('"value": 4', '"value": 5')
    file.write_text(written + '{"program": "cut of', encoding="utf-8")
    found = [Squared(**one) for one in resumed(file, squared, [(2,), (3,)], 1)]
    assert sorted((one.of, one.value) for one in found) == [(2, 5), (3, 9)]
    assert done(file, squared, [(2,), (3,)]).keys() == {(2,), (3,)}


def test_what_another_program_found_is_not_taken_over(tmp_path: Path) -> None:
    """A line with another mark, or of a job that is not asked for, counts for nothing."""
    file = tmp_path / "squared.jsonl"
    list(resumed(file, squared, [(2,)], 1))
    assert done(file, squared, [(2,)]) == {(2,): {"of": 2, "value": 4}}
    assert done(file, squared, [(4,)]) == {}
    line = json.loads(file.read_text(encoding="utf-8"))
    file.write_text(json.dumps(line | {"program": "0" * 16}) + "\n", encoding="utf-8")
    assert done(file, squared, [(2,)]) == {}
