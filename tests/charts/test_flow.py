"""A flow drawing: widths are masses, folding keeps the sums, every word can be read."""

import math
import re
from collections import defaultdict

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.charts.flow import Flow, Link, Node, draw, fold
from tests.charts.drawn import SVG, overlaps, read, words_of

LAYERS = ("bead bags", "silos", "mould runs", "bundles", "shipments")


@st.composite
def flows(draws: st.DrawFn) -> Flow:
    """Lots of a few layers, joined as a plant joins them."""
    masses = st.floats(0.001, 5000)
    nodes: list[Node] = []
    links: dict[tuple[str, str], Link] = {}
    before: list[str] = []
    for layer in range(len(LAYERS)):
        keys = [f"L{layer}-{n}" for n in range(draws(st.integers(1, 12)))]
        for n, key in enumerate(keys):
            name, asked = f"LOT-{layer}-{n:04}", layer == 2 and not n
            guess = draws(st.booleans())
            nodes.append(Node(key, layer, name, draws(masses), estimated=guess, asked=asked))
            for source in draws(st.lists(st.sampled_from(before or [""]), max_size=3)):
                if source:
                    links[source, key] = Link(source, key, draws(masses), draws(st.booleans()))
        before = keys
    return Flow("f", "What L2-0 was made of", "kg", LAYERS, tuple(nodes), tuple(links.values()))


def wide_of(path: str) -> tuple[float, float]:
    """Give the width of a band where it leaves and where it arrives."""
    points = [tuple(map(float, p)) for p in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path)]
    return points[7][1] - points[0][1], points[4][1] - points[3][1]


@given(flows())
def test_a_band_is_as_wide_as_its_mass_at_both_ends(flow: Flow) -> None:
    """One scale holds for the whole drawing."""
    bands = list(read(draw(flow)).iter(f"{SVG}path"))
    masses = sorted((one.mass for one in flow.links), reverse=True)

    assert len(bands) == len(masses)
    if not masses:
        return
    widths = [wide_of(band.get("d", "")) for band in bands]
    scale = widths[0][0] / masses[0]
    for (start, end), mass in zip(widths, masses, strict=True):
        assert start == pytest.approx(mass * scale, abs=0.03)
        assert end == pytest.approx(mass * scale, abs=0.03)


@given(flows(), st.sets(st.integers(0, 4)))
def test_folding_keeps_every_sum(flow: Flow, opened: set[int]) -> None:
    """Of each layer its mass and how many lots it has, and what goes from one to another."""
    folded = fold(flow, keep=3, opened=opened)
    names = {one.key for one in folded.nodes}

    for layer in range(len(LAYERS)):
        before = [one for one in flow.nodes if one.layer == layer]
        after = [one for one in folded.nodes if one.layer == layer]
        assert math.fsum(one.mass for one in after) == pytest.approx(
            math.fsum(one.mass for one in before)
        )
        assert sum(max(1, one.folded) for one in after) == len(before)
        if layer in opened:
            assert not any(one.folded for one in after)
    assert sums(flow.links) == pytest.approx(sums(folded.links))
    assert {name for link in folded.links for name in (link.source, link.into)} <= names


def sums(links: tuple[Link, ...]) -> dict[str, float]:
    """Give what goes from layer to layer."""
    found: dict[str, float] = defaultdict(float)
    for one in links:
        ends = (re.sub(r"L(\d)-.*|others-(\d)", r"\1\2", end) for end in (one.source, one.into))
        found["-".join(ends)] += one.mass
    return dict(found)


def test_the_lot_asked_about_is_never_folded() -> None:
    """However little there is of it, it is what the drawing is about."""
    nodes = [Node(f"B-{n}", 0, f"B-{n}", 100.0 + n) for n in range(9)]
    nodes.append(Node("OURS", 0, "OURS", 0.1, asked=True))

    folded = fold(Flow("f", "F", "kg", ("bags",), tuple(nodes), ()), keep=2)

    assert {one.name for one in folded.nodes} == {"OURS", "B-8", "8 others"}


def test_a_single_lot_is_not_folded() -> None:
    """One lot alone has a name, which says more than `1 others`."""
    nodes = tuple(Node(f"B-{n}", 0, f"B-{n}", 1.0 + n) for n in range(4))

    assert not [
        one for one in fold(Flow("f", "F", "kg", ("a",), nodes, ()), keep=3).nodes if one.folded
    ]


@given(flows(), st.sets(st.integers(0, 4)))
def test_every_word_is_inside_the_picture_and_alone(flow: Flow, opened: set[int]) -> None:
    """Whatever flows, and whatever was opened."""
    drawing = draw(fold(flow, keep=4, opened=opened))

    for one in words_of(drawing):
        assert one.left >= 0
        assert one.right <= drawing.width
        assert one.top >= 0
        assert one.bottom <= drawing.height
    for bar in read(drawing).iter(f"{SVG}rect"):
        assert float(bar.get("y", "")) >= 0
        assert float(bar.get("y", "")) + float(bar.get("height", "")) <= drawing.height + 0.01
    assert not overlaps(drawing)


def test_an_estimate_is_told_by_its_edge_and_in_words() -> None:
    """Nothing is told by colour alone."""
    flow = Flow(
        "f", "F", "kg", ("silos", "mould runs"),
        (Node("S3", 0, "S3", 12.34, estimated=True), Node("L1", 1, "L1-001", 12.34, "block")),
        (Link("S3", "L1", 12.34, estimated=True),),
    )  # fmt: skip

    drawing = draw(flow)

    (band,) = read(drawing).iter(f"{SVG}path")
    assert band.get("stroke-dasharray")
    assert drawing.words == "silos: S3 about 12.3 kg. mould runs: L1-001 12.3 kg."
    assert "≈ 12.3 kg" in [one.text for one in words_of(drawing)]
    assert any(one.text.startswith("broken edge, ≈: estimated") for one in words_of(drawing))


def test_a_folded_lot_opens_and_a_lot_leads_to_its_page() -> None:
    """By finger and by keyboard: they are links."""
    nodes = tuple(Node(f"B-{n}", 0, f"B-{n}", 9.0 - n, href=f"/lots/B-{n}/") for n in range(5))
    flow = Flow("f", "F", "kg", ("bags",), nodes, (), opens="?open=")

    root = read(draw(fold(flow, keep=2)))

    assert root.get("role") == "group"
    links = [one.get("href") for one in root.iter(f"{SVG}a")]
    assert links == ["/lots/B-0/", "/lots/B-1/", "?open=0"]
