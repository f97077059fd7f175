"""A wall's bounds hold what lies between, and simulated storeys end as often off as was said."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.linalg import spsolve
from scipy.special import stdtr

from beadwright.errors import OutOfRange
from beadwright.science import wall

thicknesses = st.lists(st.floats(0.01, 0.3), min_size=1, max_size=4)
STOREY = 2.4384
FOOT_OF_BLOCKS = wall.BlockHeights(0.4066, 0.0001, 0.0003, 0.0004, np.inf, np.inf)


@given(thicknesses, st.floats(0.02, 2.0), st.floats(0.02, 2.0), st.floats(0, 1), st.data())
def test_isothermal_planes_never_exceed_parallel_paths(
    thickness: list[float], one: float, other: float, share: float, data: st.DataObject
) -> None:
    """The lower bound is the lower; both lie between the walls of either path alone."""
    paths = [
        [data.draw(st.floats(0.02, 2.0)) for _ in thickness],
        [one if i % 2 else other for i in range(len(thickness))],
    ]
    found = wall.bridged_resistance(wall.Layers(thickness, paths, [1 - share, share], 0.15))
    alone = [
        float(wall.series_resistance(wall.layer_resistance(thickness, path), 0.15))
        for path in paths
    ]

    assert found.low <= found.mean * (1 + 1e-12)
    assert found.mean <= found.high * (1 + 1e-12)
    assert min(alone) * (1 - 1e-12) <= found.high <= max(alone) * (1 + 1e-12)
    assert 0 <= found.error < 1 or found.error == pytest.approx(0, abs=1e-12)


@given(thicknesses)
def test_without_ties_both_bounds_are_the_layers(thickness: list[float]) -> None:
    """One path, or a path of no area, is layers in series."""
    plain = float(wall.series_resistance(wall.layer_resistance(thickness, 0.036), 0.15))
    one = wall.Layers(thickness, [[0.036] * len(thickness)], [1.0], 0.15)
    none = wall.Layers(thickness, [[0.036] * len(thickness), [9.0] * len(thickness)], [1, 0], 0.15)

    for layers in (one, none):
        found = wall.bridged_resistance(layers)
        assert [found.low, found.high] == pytest.approx([plain, plain])


def test_a_finite_difference_wall_lies_between_the_bounds() -> None:
    """Heat in two dimensions through a tie in foam, on a grid: between the bounds, ties as given.

    Half a tie spacing of 100 mm with half a web of 2 mm, panel 60 mm thick, films on both sides.
    """
    width, depth, nx, ny = 0.100, 0.060, 100, 60
    dx = width / nx
    assert dx == depth / ny
    foam, tie, film = 0.036, 0.22, 0.15
    k = np.full((ny, nx), foam)
    k[:, :2] = tie
    grid = np.arange(nx * ny).reshape(ny, nx)
    rows, columns, values = [], [], []
    b = np.zeros(nx * ny)

    def add(i: NDArray[np.int64], j: NDArray[np.int64], g: NDArray[np.float64]) -> None:
        rows.append(i)
        columns.append(j)
        values.append(g)

    for first, second, one, other in (
        (grid[:, :-1], grid[:, 1:], k[:, :-1], k[:, 1:]),
        (grid[:-1], grid[1:], k[:-1], k[1:]),
    ):
        g = (2 * one * other / (one + other)).ravel()
        i, j = first.ravel(), second.ravel()
        add(i, i, g)
        add(j, j, g)
        add(i, j, -g)
        add(j, i, -g)
    side = dx / (film / 2 + dx / (2 * k[0]))
    for edge in (grid[0], grid[-1]):
        add(edge, edge, side)
    b[grid[0]] += side
    entries = np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))
    t = spsolve(csr_array(entries, shape=(nx * ny, nx * ny)), b).reshape(ny, nx)
    resistance = width / float(np.sum((1 - t[0]) * side))
    share = 2 * dx / width
    bound = wall.bridged_resistance(wall.Layers([depth], [[foam], [tie]], [1 - share, share], film))

    assert bound.low < resistance < bound.high
    assert bound.mean * (1 + bound.error) == pytest.approx(bound.high)
    assert bound.mean * (1 - bound.error) == pytest.approx(bound.low)
    assert abs(resistance / bound.mean - 1) < bound.error


@pytest.mark.parametrize("lots", [[6], [3, 3], [4, 2], [1] * 6])
def test_storeys_end_off_as_often_as_was_said(lots: list[int]) -> None:
    """Of 400,000 simulated storeys with known spreads, as many end too high and too low.

    Four standard errors of a share are allowed.
    """
    rng = np.random.default_rng(sum(lots) + len(lots))
    many = 400_000
    block = FOOT_OF_BLOCKS
    courses = wall.Courses(STOREY, 0.003, lots, seat_m=0.0001, seat_spread_m=0.0002)
    mean = block.mean_m + block.u_mean_m * rng.standard_normal(many)
    height = 5 * 0.0001 + 0.0002 * np.sqrt(5) * rng.standard_normal(many)
    for count in lots:
        of_lot = mean + block.between_m * rng.standard_normal(many)
        height += count * of_lot + block.within_m * np.sqrt(count) * rng.standard_normal(many)
    off = height - STOREY
    said = wall.stack_up(block, courses)

    assert said.deviation_m == pytest.approx(off.mean(), abs=4 * off.std() / np.sqrt(many))
    assert said.u_m == pytest.approx(off.std(), rel=0.005)
    for chance, share in (
        (said.chance_low, (off < -0.003).mean()),
        (said.chance_high, (off > 0.003).mean()),
    ):
        assert chance == pytest.approx(share, abs=4 * np.sqrt(share / many) + 1e-5)


def test_a_plant_that_measured_eight_lots_is_told_right() -> None:
    """Of 4000 plants' storeys half end outside the middle half foretold, and 5 % outside 95 %.

    Each plant measures eight lots of six blocks, estimates its own spreads, and builds from a
    lot that nobody measured. Four standard errors are allowed, and 1 % for what the degrees of
    freedom, a first-order rule, are worth.
    """
    rng = np.random.default_rng(8)
    far = []
    for _ in range(4000):
        lots = 0.4066 + 0.0004 * rng.standard_normal(9)
        blocks = lots[:8, None] + 0.0003 * rng.standard_normal((8, 6))
        found = wall.block_heights(blocks.ravel(), np.repeat(np.arange(8), 6))
        said = wall.stack_up(found, wall.Courses(STOREY, 0.003, [6]))
        height = 6 * lots[8] + 0.0003 * np.sqrt(6) * rng.standard_normal()
        error = abs(height - STOREY - said.deviation_m) / said.u_m
        far.append(2 * stdtr(said.dof, -error))

    for level in (0.5, 0.05):
        error = 4 * np.sqrt(level * (1 - level) / len(far)) + 0.01
        assert np.mean(np.array(far) < level) == pytest.approx(level, abs=error)


@given(st.integers(1, 12), st.floats(0, 0.01))
def test_courses_of_one_lot_are_the_worst_mix(count: int, tolerance: float) -> None:
    """The spread of a storey is largest from one lot, least from a lot for each course."""
    one = wall.stack_up(FOOT_OF_BLOCKS, wall.Courses(count * 0.4066, tolerance, [count]))
    each = wall.stack_up(FOOT_OF_BLOCKS, wall.Courses(count * 0.4066, tolerance, [1] * count))

    assert each.u_m <= one.u_m
    assert each.chance <= one.chance + 1e-12
    assert one.courses == each.courses == count


def test_a_block_without_spread_ends_where_arithmetic_says() -> None:
    """Without any spread the chance is 0 or 1."""
    exact = wall.BlockHeights(0.4070, 0.0, 0.0, 0.0, np.inf, np.inf)
    off = wall.stack_up(exact, wall.Courses(STOREY, 0.003, [6]))

    assert off.deviation_m == pytest.approx(0.0036)
    assert (off.chance_low, off.chance_high) == (0.0, 1.0)
    assert wall.stack_up(exact, wall.Courses(STOREY, 0.004, [6])).chance == 0.0


def test_a_naive_twin_gives_the_same_spreads() -> None:
    """Unbalanced lots, in any order, against the analysis of variance written out lot by lot."""
    rng = np.random.default_rng(21)
    lots = {lot: 0.4 + 0.001 * lot + 0.0003 * rng.standard_normal(3 + lot) for lot in range(5)}
    every = np.concatenate(list(lots.values()))
    names = np.concatenate([np.full(len(h), lot) for lot, h in lots.items()])
    shuffled = rng.permutation(len(every))
    found = wall.block_heights(every[shuffled], names[shuffled])
    within = sum(float(((h - h.mean()) ** 2).sum()) for h in lots.values()) / (len(every) - 5)
    among = sum(len(h) * float((h.mean() - every.mean()) ** 2) for h in lots.values()) / 4
    size = (len(every) - sum(len(h) ** 2 for h in lots.values()) / len(every)) / 4

    assert found.mean_m == pytest.approx(every.mean())
    assert found.within_m == pytest.approx(within**0.5)
    assert found.between_m == pytest.approx(((among - within) / size) ** 0.5)


def test_storeys_of_a_measured_lot_end_as_often_off_as_was_said() -> None:
    """Simulated: a lot measured on five blocks, six other blocks of it stacked, many times."""
    draw = np.random.default_rng(11)
    lot_mean = draw.normal(0.4064, 0.0005, 20_000)
    known = wall.BlockHeights(0.4064, 0.0001, 0.0004, 0.0005, 9.0, 400.0)
    gauged = draw.normal(lot_mean[:, None], 0.0004, (20_000, 5))
    ends = draw.normal(lot_mean[:, None], 0.0004, (20_000, 6)).sum(axis=1)
    heights = [wall.lot_heights(one, known) for one in gauged[:50]]
    off = ends - 6 * gauged.mean(axis=1)
    room = 0.002
    said = wall.stack_up(heights[0], wall.Courses(6 * heights[0].mean_m, room, [6]))

    assert float(np.mean(np.abs(off) > room)) == pytest.approx(said.chance, abs=0.01)
    assert wall.lot_heights(gauged[0]).dof == 4


BAD: list[tuple[Callable[[], object], str]] = [
    (lambda: wall.layer_resistance(-0.1, 0.036), "thickness_m is -0.1"),
    (lambda: wall.layer_resistance(0.1, [0.036, 0.0]), r"conductivity_w_mk\[1\] is 0"),
    (lambda: wall.series_resistance([]), "resistances_m2k_w is empty"),
    (lambda: wall.series_resistance([1.0, np.nan]), r"resistances_m2k_w\[1\] is nan"),
    (lambda: wall.series_resistance([1.0], -0.1), "films_m2k_w is -0.1"),
    (
        lambda: wall.bridged_resistance(wall.Layers([0.1], [[0.036], [0.2]], [0.9, 0.2])),
        "area_share is 1.1 in all",
    ),
    (
        lambda: wall.bridged_resistance(wall.Layers([0.1], [0.036], [1.0])),
        r"conductivity_w_mk is of shape \(1,\)",
    ),
    (
        lambda: wall.bridged_resistance(wall.Layers([0.1], [[0.036], [-0.2]], [0.9, 0.1])),
        r"conductivity_w_mk\[1, 0\] is -0.2",
    ),
    (
        lambda: wall.bridged_resistance(wall.Layers([0.1], [[0.036]], [1.0], np.nan)),
        "films_m2k_w is nan",
    ),
    (lambda: wall.block_heights([0.4, 0.4], [1, 2]), "lot is 2 blocks of 2 lots"),
    (lambda: wall.block_heights([0.4, 0.4], [1, 1]), "lot is 2 blocks of 1 lots"),
    (lambda: wall.block_heights([0.4, 0.0, 0.4], [1, 1, 2]), r"height_m\[1\] is 0"),
    (lambda: wall.block_heights([0.4, 0.4], [1, 1, 2]), r"of shape \(3,\)"),
    (lambda: wall.lot_heights([0.4]), r"height_m is of shape \(1,\)"),
    (lambda: wall.lot_heights([0.4, -0.4]), r"height_m\[1\] is -0.4"),
    (
        lambda: wall.stack_up(FOOT_OF_BLOCKS, wall.Courses(STOREY, -0.001, [6])),
        "tolerance_m is -0.001",
    ),
    (lambda: wall.stack_up(FOOT_OF_BLOCKS, wall.Courses(STOREY, 0.003, [0])), "courses is 0"),
    (
        lambda: wall.stack_up(FOOT_OF_BLOCKS, wall.Courses(STOREY, 0.003, [])),
        "courses_of_lot is empty",
    ),
    (
        lambda: wall.stack_up(FOOT_OF_BLOCKS, wall.Courses(STOREY, 0.003, [6, -1])),
        r"courses_of_lot\[1\] is -1",
    ),
    (
        lambda: wall.stack_up(
            wall.BlockHeights(0.4, 0.0, 0.0, 0.0, 0.0, 9.0), wall.Courses(STOREY, 0.003, [6])
        ),
        "dof is 0.0",
    ),
]


@pytest.mark.parametrize(("call", "said"), BAD, ids=[said for _, said in BAD])
def test_what_cannot_be_is_refused_by_name(call: Callable[[], object], said: str) -> None:
    """The message names the argument, the first bad value and where it stands."""
    with pytest.raises(OutOfRange, match=said):
        call()
