"""A plant drawn: every word inside its box, no box over another, nothing told by colour alone."""

import re
import xml.etree.ElementTree as ET
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.charts.marks import Mark, wrapped
from beadwright.charts.stages import Stage, Stages, Stop, draw, words
from beadwright.charts.stages_parts import outline
from beadwright.charts.stages_places import Box, place
from beadwright.charts.svg import Drawing, width_of
from tests.charts.drawn import SVG, overlaps, read, words_of

texts = st.text(
    "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 -.,:≈<", max_size=30
)
names = st.text("ABCDEFGH0123456789-", min_size=1, max_size=20)
marks = st.builds(Mark, st.sampled_from(["good", "warn", "bad", "busy", "quiet"]), texts)
stops = st.builds(
    Stop,
    names,
    texts,
    st.lists(texts, max_size=3).map(tuple),
    st.none() | marks,
    st.none() | st.floats(0, 1),
    st.sampled_from(["", "/silos/#S1"]),
)


@st.composite
def plants(draws: st.DrawFn) -> Stages:
    """Some rows of stages, wide or narrow."""
    shapes = st.sampled_from(["bag", "machine", "vessel", "plain"])
    stages = st.builds(
        Stage,
        names,
        shapes,
        st.lists(stops, max_size=7).map(tuple),
        st.integers(1, 3),
        st.floats(0.9, 1.5),
    )
    rows = draws(st.lists(st.lists(stages, min_size=1, max_size=3).map(tuple), max_size=4))
    return Stages("p", "A plant", tuple(rows), draws(st.sampled_from([780.0, 1240.0])))


@given(plants())
def test_every_word_stands_inside_the_picture_and_over_no_other(plant: Stages) -> None:
    """However long a code is and however many places there are."""
    drawing = draw(plant)

    for one in words_of(drawing):
        assert one.left >= 0, one
        assert one.top >= 0, one
        assert one.right <= drawing.width + 0.5, one
        assert one.bottom <= drawing.height, one
    assert overlaps(drawing) == []


@given(plants())
def test_no_box_lies_over_another_and_all_are_inside(plant: Stages) -> None:
    """Boxes of one stage, of two in a row, and of two rows."""
    placed = place(plant)
    boxes = [box for spot in placed.spots for box in spot.boxes]
    height = draw(plant).height

    for box in boxes:
        assert box.x >= 0
        assert box.x + box.width <= placed.width + 0.01
        assert box.top + box.height <= height + 0.01
    for one, other in combinations(boxes, 2):
        assert (
            one.x + one.width <= other.x + 0.01
            or other.x + other.width <= one.x + 0.01
            or one.top + one.height <= other.top + 0.01
            or other.top + other.height <= one.top + 0.01
        )


@given(plants())
def test_the_words_of_the_picture_say_every_stage_and_stop(plant: Stages) -> None:
    """Also what was too long for its box."""
    said = words(plant)

    for stage in plant.stages:
        assert stage.name in said
        for stop in stage.stops:
            assert stop.name in said
            assert stop.figure in said
            assert all(line in said for line in stop.lines)
            assert stop.mark is None or stop.mark.word in said


def a_plant(*some: Stop, shape: str = "plain") -> Drawing:
    """Draw one stage."""
    stage = Stage("Silos", shape, some, 2)  # type: ignore[arg-type]
    return draw(Stages("p", "A plant", ((stage,),), 600))


def test_a_state_is_told_by_a_shape_and_a_word() -> None:
    """Five states give five shapes; the bad one has a thicker edge besides."""
    shapes = set()
    for kind in ("good", "warn", "bad", "busy", "quiet"):
        drawing = a_plant(Stop("S1", mark=Mark(kind, "so")))
        root = read(drawing)
        assert "so" in {one.text for one in words_of(drawing)}
        group = root.find(f"{SVG}g")
        assert group is not None
        shapes.add("".join(re.sub(r"[\d. -]", "", ET.tostring(one, "unicode")) for one in group))
    assert len(shapes) == 5


def test_a_held_place_has_a_thick_edge() -> None:
    """Seen from three metres."""
    widths = {
        float(one.get("stroke-width", "0"))
        for one in read(a_plant(Stop("S1", mark=Mark("bad", "held")))).iter(f"{SVG}path")
    }

    assert max(widths) >= 4


def test_the_filling_is_as_high_as_the_level() -> None:
    """Half full ends in the middle of its level glass; a place of no known level has none."""
    found = []
    for level in (None, 0.0, 0.25, 0.5, 3.0):
        rects = list(read(a_plant(Stop("S1", level=level), shape="vessel")).iter(f"{SVG}rect"))
        found.append([float(one.get("height", "0")) for one in rects])
    none, *filled = found
    full = filled[0][1]

    assert none == []
    assert filled == [[pytest.approx(share * full, abs=0.01), full] for share in (0, 0.25, 0.5, 1)]


def test_a_vessel_has_a_foot_and_a_bag_round_corners() -> None:
    """What is drawn differs by what it is, before anything is read."""
    box = Box(0, 0, 100, 100)

    drawn = {kind: " ".join(outline(kind, box)) for kind in ("vessel", "bag", "machine", "plain")}

    assert len(set(drawn.values())) == 4


def test_a_place_leads_to_its_page_and_the_picture_is_then_no_mere_image() -> None:
    """What stands in an image is nothing that a keyboard reaches."""
    linked, plain = a_plant(Stop("S1", href="/silos/#S1")), a_plant(Stop("S1"))

    (link,) = read(linked).iter(f"{SVG}a")
    assert link.get("href") == "/silos/#S1"
    assert link.findtext(f"{SVG}title") == "S1"
    assert read(linked).get("role") == "group"
    assert read(plain).get("role") == "img"


def test_words_break_between_words_only() -> None:
    """Into as many lines as are allowed; the last takes the rest."""
    room = width_of("swept", 18) + 1

    assert wrapped("swept empty", 18, room, 2) == ["swept", "empty"]
    assert wrapped("swept empty today", 18, room, 2) == ["swept", "empty today"]
    assert wrapped("ready", 18, 1, 2) == ["ready"]
