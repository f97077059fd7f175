"""Where specimens lay, and a plan of where to cut them."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.lab.cut_map import (
    LOADED,
    Box,
    Cut,
    Direction,
    Panel,
    Skin,
    Tie,
    gap_between,
    nearest_tie,
    place_departures,
)
from beadwright.lab.cut_plan import Wanted, cut_plan
from beadwright.quality.characteristics import CHARACTERISTICS

INCH = 0.0254


def block_panel() -> Panel:
    """A panel of 48 by 16 by 2 5/8 in with six ties, each 1 1/2 in wide, 8 in apart."""
    ties = tuple(
        Tie(f"T{n + 1}", Box((4 + 8 * n - 0.75) * INCH, 0, 0.5 * INCH, 1.5 * INCH, 16 * INCH,
                             2.125 * INCH))
        for n in range(6)
    )  # fmt: skip
    return Panel("outer", 48 * INCH, 16 * INCH, 2.625 * INCH, ties, edge_m=0.5 * INCH)


wanted = st.lists(
    st.builds(
        Wanted,
        name=st.sampled_from(["A", "B", "C", "D"]),
        number=st.integers(1, 8),
        length_m=st.floats(0.02, 0.35),
        height_m=st.floats(0.02, 0.2),
        depth_m=st.floats(0.01, 0.07),
        skin=st.sampled_from(list(Skin)),
        may_turn=st.booleans(),
    ),
    max_size=4,
    unique_by=lambda one: one.name,
)


@given(wanted, st.floats(0, 0.006), st.floats(0, 0.02))
def test_a_plan_is_clear_of_ties_and_of_itself(
    asked: list[Wanted], kerf: float, clear: float
) -> None:
    """Whatever is asked: within the panel, clear of ties, a kerf apart, skins as wanted."""
    panel = block_panel()
    plan = cut_plan(panel, asked, kerf_m=kerf, clear_m=clear)

    for cut in plan.cuts:
        assert place_departures(panel, cut, clear_m=clear, others=plan.cuts) == ()
        assert cut.box.x_m >= panel.edge_m - 1e-9
        assert cut.box.high[1] <= panel.height_m - panel.edge_m + 1e-9
    for one, other in itertools.combinations(plan.cuts, 2):
        assert gap_between(one.box, other.box) >= kerf - 1e-9
    for each in asked:
        cut_of = [one for one in plan.cuts if one.specimen.startswith(each.name)]
        assert len(cut_of) + plan.without_place.get(each.name, 0) == each.number
        assert len({one.specimen for one in cut_of}) == len(cut_of)


@given(st.floats(0.03, 0.3), st.floats(0.03, 0.3), st.floats(0, 0.01))
def test_like_pieces_fill_a_bare_panel_as_a_grid_would(
    length: float, height: float, kerf: float
) -> None:
    """As many as rows times columns, by arithmetic."""
    panel = Panel("bare", 1.0, 0.4, 0.05)
    columns = math.floor((1.0 + kerf) / (length + kerf))
    rows = math.floor((0.4 + kerf) / (height + kerf))
    one = Wanted("P", 1000, length, height, 0.05, skin=Skin.BOTH, may_turn=False)
    plan = cut_plan(panel, [one], kerf_m=kerf)

    assert len(plan.cuts) == columns * rows
    assert plan.used == pytest.approx(len(plan.cuts) * length * height / 0.4)


def test_thin_cores_are_cut_one_behind_the_other() -> None:
    """Two of 1 in from 2 5/8 in less its skins, and one that keeps a skin from each face."""
    panel = block_panel()
    cores = cut_plan(panel, [Wanted("K", 2, 0.1, 0.1, INCH)], kerf_m=0.003)
    skins = cut_plan(panel, [Wanted("S", 2, 0.1, 0.1, INCH, skin=Skin.ONE)], kerf_m=0.003)

    assert {(one.box.x_m, one.box.y_m) for one in cores.cuts} == {
        (cores.cuts[0].box.x_m, cores.cuts[0].box.y_m)
    }
    assert [one.box.z_m for one in skins.cuts] == [0.0, pytest.approx(1.625 * INCH)]
    assert not any(place_departures(panel, one) for one in (*cores.cuts, *skins.cuts))


def test_what_does_not_fit_between_ties_is_counted() -> None:
    """A flexure bar of 12 in finds no bay of 6 1/2 in along the panel, but stands up in it."""
    panel = block_panel()
    lying = Wanted("F", 3, 12 * INCH, 4 * INCH, INCH, may_turn=False)
    plan = cut_plan(panel, [lying], kerf_m=0.003)
    turned = cut_plan(panel, [Wanted("F", 3, 12 * INCH, 4 * INCH, INCH)], kerf_m=0.003)

    assert plan.without_place == {"F": 3}
    assert plan.cuts == ()
    assert turned.without_place == {}
    assert {one.box.height_m for one in turned.cuts} == {12 * INCH}


PLACE = Cut("C1", Box(5 * INCH, INCH, 0.25 * INCH, 2 * INCH, 2 * INCH, 2 * INCH),
            Direction.THROUGH)  # fmt: skip


@pytest.mark.parametrize(
    ("box", "code"),
    [
        (Box(3 * INCH, INCH, 0.25 * INCH, 2 * INCH, 2 * INCH, 2 * INCH), "in_tie"),
        (Box(4.9 * INCH, INCH, 0.25 * INCH, 2 * INCH, 2 * INCH, 2 * INCH), "near_tie"),
        (Box(5.5 * INCH, INCH, 0.0, 2 * INCH, 2 * INCH, 2 * INCH), "on_skin"),
        (Box(5.5 * INCH, 15 * INCH, 0.25 * INCH, 2 * INCH, 2 * INCH, 2 * INCH), "outside_panel"),
    ],
)
def test_each_thing_that_can_be_wrong_with_a_place_is_said(box: Box, code: str) -> None:
    """A sound place says nothing."""
    sound = Cut("C1", Box(5.5 * INCH, INCH, 0.25 * INCH, 2 * INCH, 2 * INCH, 2 * INCH),
                Direction.THROUGH)  # fmt: skip

    def said(where: Box) -> list[str]:
        cut = Cut("C1", where, Direction.THROUGH)
        found = place_departures(block_panel(), cut, clear_m=0.5 * INCH, asked=Direction.THROUGH)
        return [one.code for one in found]

    assert said(sound.box) == []
    assert said(box) == [code]


def test_a_wrong_direction_lost_skins_and_a_shared_place_are_said() -> None:
    """Each by its code, the other specimen by its name."""
    panel = Panel("bare", 1.0, 0.4, 0.05)
    cut = Cut("C1", Box(0.1, 0.1, 0.01, 0.1, 0.1, 0.03), Direction.UP, Skin.BOTH)
    other = Cut("C2", Box(0.15, 0.1, 0.01, 0.1, 0.1, 0.03), Direction.UP)
    found = place_departures(panel, cut, asked=LOADED["compressive_resistance"], others=[other])

    assert [one.code for one in found] == ["skin_gone", "direction", "shared_place"]
    assert "C2" in found[-1].what


def test_the_nearest_tie_is_named() -> None:
    """With its distance across the gap; a panel without ties has none."""
    name, gap = nearest_tie(block_panel(), PLACE.box) or ("", 0.0)

    assert name == "T1"
    assert gap == pytest.approx(0.25 * INCH)
    assert nearest_tie(Panel("bare", 1.0, 0.4, 0.05), PLACE.box) is None


def test_gaps_are_straight_or_across_corners_and_overlaps_are_below_zero() -> None:
    """In one, two and three directions."""
    unit = Box(0, 0, 0, 1, 1, 1)

    assert gap_between(unit, Box(1, 0, 0, 1, 1, 1)) == 0
    assert gap_between(unit, Box(3, 0, 0, 1, 1, 1)) == 2
    assert gap_between(unit, Box(2, 3, 3, 1, 1, 1)) == pytest.approx(3)
    assert gap_between(unit, Box(0.75, 0.5, 0.5, 1, 1, 1)) == pytest.approx(-0.25)


def test_what_has_no_size_is_refused() -> None:
    """A panel, a specimen, a kerf below 0."""
    with pytest.raises(OutOfRange):
        Panel("none", 0.0, 0.4, 0.05)
    with pytest.raises(OutOfRange):
        cut_plan(block_panel(), [Wanted("A", 1, 0.0, 0.1, 0.02)], kerf_m=0.003)
    with pytest.raises(OutOfRange):
        cut_plan(block_panel(), [], kerf_m=-0.001)


def test_directions_are_of_characteristics() -> None:
    """No characteristic that nobody measures has one."""
    assert set(LOADED) <= set(CHARACTERISTICS)
