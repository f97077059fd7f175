"""What every picture is made of."""

import xml.etree.ElementTree as ET

from beadwright.charts import svg


def test_words_cannot_break_out_of_a_picture() -> None:
    """Whatever a lot is called, it stands in the picture as text."""
    nasty = 'B-1</text><script>"&\x00'
    drawing = svg.frame("a", (100, 20), (nasty, nasty), [svg.text(1, 14, nasty, data_of=nasty)])

    root = ET.fromstring(drawing.svg)  # noqa: S314 - our own output

    assert "".join(root.itertext()).count("B-1</text><script>") == 3
    assert not [one for one in root.iter() if one.tag.endswith("script")]


def test_a_picture_says_its_title_and_its_words() -> None:
    """A reader who sees no picture is told what it says."""
    drawing = svg.frame("pour", (10, 10), ("Silo 3", "Half full."), [])

    root = ET.fromstring(drawing.svg)  # noqa: S314 - our own output

    by_id = {one.get("id"): one.text for one in root}
    assert by_id[root.get("aria-labelledby")] == "Silo 3"
    assert by_id[root.get("aria-describedby")] == "Half full."


def test_tones_follow_the_page_and_can_be_put_in() -> None:
    """A page's dark ground changes the tones; on paper there is none to change them."""
    mark = svg.rect(0, 0, 1, 1, fill=svg.tone("good"))

    assert "var(--chart-good" in mark
    assert svg.plain(mark) == f'<rect x="0" y="0" width="1" height="1" fill="{svg.TONES["good"]}"/>'


def test_a_minus_is_kept() -> None:
    """A coordinate below nothing stays there."""
    assert svg.figure(-0.5) == "-0.5"
