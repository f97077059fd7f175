"""A panel and its specimens to scale: nothing lies beyond the panel, and doubt is seen and said."""

import pytest

from beadwright.charts.cut_map import Apart, CutMap, Piece, draw
from tests.charts.drawn import SVG, read

TIES = (Apart("T1", 3.0, 0.0, 1.5, 16.0), Apart("T2", 47.5, 0.0, 1.5, 16.0))
PIECES = (
    Piece("C1", 6.0, 1.0, 0.3, 4.0, 4.0, 1.0),
    Piece("C2", 6.0, 1.0, 1.4, 4.0, 4.0, 1.0),
    Piece("C3", 20.0, 8.0, 0.0, 2.0, 2.0, 2.0, wrong=True),
)


def a_map(pieces: tuple[Piece, ...] = PIECES) -> CutMap:
    """Give a panel of 48 by 16 by 2.625 in."""
    return CutMap("cuts", "outer", "in", 48.0, 16.0, 2.625, 0.12, TIES, pieces)


def test_face_and_top_are_to_one_scale_and_nothing_lies_beyond() -> None:
    """The panel is 14 inches to the unit everywhere; a tie that reaches beyond its end is cut."""
    drawing = draw(a_map())
    boxes = [
        tuple(float(one.get(name, "")) for name in ("x", "y", "width", "height"))
        for one in read(drawing).iter(f"{SVG}rect")
    ]
    scale = boxes[0][2] / 48

    assert boxes[0][3] == pytest.approx(16 * scale, abs=0.02)
    assert any(one[2] == pytest.approx(4 * scale, abs=0.02) for one in boxes)
    for x, y, width, height in boxes:
        assert x >= boxes[0][0] - 0.01
        assert x + width <= boxes[0][0] + boxes[0][2] + 0.01
        assert y + height <= drawing.height


def test_specimens_behind_each_other_share_a_label() -> None:
    """Both names stand where both lie."""
    texts = [one.text for one in read(draw(a_map())).iter(f"{SVG}text")]

    assert "C1 C2" in texts
    assert "C3" in texts


def test_names_too_wide_for_their_place_stand_one_above_the_other() -> None:
    """In a piece of two inches, three names do not fit beside each other."""
    pieces = tuple(Piece(f"C1{n}", 6.0, 1.0, 0.6 * n, 2.0, 2.0, 0.5) for n in range(3))
    texts = [one.text for one in read(draw(a_map(pieces))).iter(f"{SVG}text")]

    assert {"C10", "C11", "C12"} <= set(texts)


def test_doubt_is_dashed_and_said_and_words_tell_every_place() -> None:
    """Not by colour alone."""
    drawing = draw(a_map())
    dashed = [one for one in read(drawing).iter(f"{SVG}rect") if one.get("stroke-dasharray")]

    assert len(dashed) == 2  # on the face and from above
    assert "C3: 20 along, 8 up, 0 deep, 2 by 2 by 2, its place in doubt." in drawing.words
    assert "C1: 6 along, 1 up, 0.3 deep, 4 by 4 by 1." in drawing.words


def test_a_panel_without_specimens_is_drawn() -> None:
    """With its ties alone."""
    assert "0 specimens" in draw(a_map(())).words
