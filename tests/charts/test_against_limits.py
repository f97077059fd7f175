"""Readings against limits: what is drawn is what was read."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.charts.against_limits import AgainstLimits, Bound, Strip, draw, ticks
from tests.charts.drawn import SVG, overlaps, read, words_of

DENSITY = AgainstLimits(
    "density",
    "Foam density of L1-001",
    "kg/m³",
    (
        Strip("dry", (21.4, 21.9, 22.0, 22.02, 22.4), 21.944),
        Strip("wet, at the press", (24.1, 24.4), 24.25, note="screens only", judged=False),
    ),
    (
        Bound(21.6, "min", "at least 21.6 kg/m³, each"),
        Bound(22.2, "max", "at most 22.2, mean", "mean"),
    ),
    digits=2,
)


def test_every_piece_is_drawn_once_and_by_its_shape() -> None:
    """Inside is a disc, unjudged a ring, beyond a cross."""
    root = read(draw(DENSITY))
    fills = [one.get("fill", "") for one in root.iter(f"{SVG}circle")]
    crosses = [one for one in root.iter(f"{SVG}path") if one.get("stroke-width") == "2.6"]

    assert sum("bead" in fill for fill in fills) == 4
    assert sum("ground" in fill for fill in fills) == 2
    assert len(crosses) == 1


def test_a_place_on_the_scale_is_proportional_to_the_value() -> None:
    """Equal differences are equal distances: limits and pieces share one scale."""
    strip = Strip("wet", (10.0, 20.0, 40.0), judged=False)
    spec = AgainstLimits("a", "A", "kg", (strip,), (Bound(30.0, "min", "at least 30 kg"),))

    root = read(draw(spec))

    ten, twenty, forty = (float(one.get("cx", "")) for one in root.iter(f"{SVG}circle"))
    (limit,) = (
        float(one.get("x1", ""))
        for one in root.iter(f"{SVG}line")
        if one.get("stroke-width") == "2"
    )
    assert forty - twenty == pytest.approx(2 * (twenty - ten), abs=0.05)
    assert limit - twenty == pytest.approx(twenty - ten, abs=0.05)


def test_the_words_say_what_the_picture_says() -> None:
    """Who sees no picture is told the same."""
    said = draw(DENSITY).words

    assert "dry: 5 pieces, 21.40 to 22.40 kg/m³, mean 21.94." in said
    assert "wet, at the press (screens only): 2 pieces" in said
    assert "Limit: at least 21.6 kg/m³, each; 1 of 5 pieces lies beyond it." in said
    assert "Limit: at most 22.2, mean; the mean lies inside it." in said


def test_what_is_not_judged_is_called_neither_inside_nor_fine() -> None:
    """Screened pieces below a limit: nobody reads that the mean lies inside it."""
    bound = (Bound(15.0, "min", "at least 15", "mean"),)
    low, fine = (
        AgainstLimits("a", "A", "psi", (Strip("cut", (x,), x, judged=False),), bound)
        for x in (14.5, 15.5)
    )
    assert draw(low).words.endswith("nothing here is judged against it, and it would not be met.")
    assert draw(fine).words.endswith("nothing here is judged against it.")


def test_a_limit_of_the_mean_judges_the_mean_and_no_piece() -> None:
    """A piece above it is no failure; a mean above it is, and its diamond is full."""
    bound = (Bound(22.0, "max", "at most 22", "mean"),)
    high = AgainstLimits("a", "A", "kg", (Strip("dry", (21.0, 24.0), 22.5),), bound)
    low = AgainstLimits("b", "B", "kg", (Strip("dry", (21.0, 22.5), 21.75),), bound)

    assert draw(high).words.endswith("the mean lies beyond it.")
    assert draw(low).words.endswith("the mean lies inside it.")
    for spec, full in ((high, True), (low, False)):
        root = read(draw(spec))
        assert len(list(root.iter(f"{SVG}circle"))) == 2
        (mean,) = (one for one in root.iter(f"{SVG}path") if one.get("stroke-width") == "1.6")
        assert ("bad" in mean.get("fill", "")) is full


@pytest.mark.parametrize("value", [-3.0, 3.0])
def test_a_change_is_limited_to_either_side(value: float) -> None:
    """Growth and shrinkage alike are beyond a limit of two per cent."""
    bound = Bound(2.0, "within", "within 2 %")

    assert bound.lines == (-2.0, 2.0)
    assert bound.forbids(value)
    assert not bound.forbids(value / 2)


MEASURED = st.integers(-999_999, 999_999).map(lambda number: number / 1000)
"""Figures of readings: to a thousandth of their unit."""


@given(st.lists(MEASURED, min_size=1, max_size=40), MEASURED, MEASURED)
def test_nothing_leaves_the_picture_and_no_words_overlap(
    values: list[float], low: float, high: float
) -> None:
    """Whatever was read, every word can be read."""
    bounds = (Bound(low, "min", f"at least {low:.3g}"), Bound(high, "max", f"at most {high:.3g}"))
    spec = AgainstLimits("x", "X", "kg", (Strip("dry", tuple(values), values[0]),), bounds)
    drawing = draw(spec)

    for one in words_of(drawing):
        assert one.left >= 0
        assert one.right <= drawing.width
        assert one.top >= 0
        assert one.bottom <= drawing.height
    for circle in read(drawing).iter(f"{SVG}circle"):
        assert 0 <= float(circle.get("cx", "")) <= drawing.width
        assert 0 <= float(circle.get("cy", "")) <= drawing.height
    assert not [pair for pair in overlaps(drawing) if not all(map(_is_figure, pair))]


def _is_figure(text: str) -> bool:
    """Figures of a scale whose span dwarfs its step may touch; a real scale's do not."""
    return text.replace(".", "").replace("-", "").isdigit()


def test_figures_of_a_scale_do_not_touch() -> None:
    """Of a real characteristic every figure of the scale stands alone."""
    assert not overlaps(draw(DENSITY))


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6))
def test_round_figures_hold_the_span(low: float, wide: float) -> None:
    """The scale begins at or below the span and ends at or above it, in equal steps."""
    found = ticks(low, low + wide)

    step = found[1] - found[0]
    assert found[0] <= low + 1e-6 * step
    assert found[-1] >= low + wide - 1e-6 * step
    assert 3 <= len(found) <= 10
