"""A limit says where it is written, and never more than that."""

import pytest

from beadwright.plant.bounds import LimitInForce


@pytest.mark.parametrize(("source", "said"), [
    ("", "the plant's own, its setting names no source"),
    ("the plant's own, signed by its engineer",
     "the plant's own, as its setting says: signed by its engineer"),
    ("ASTM C578-22, verified by P-14",
     "the plant's own, as its setting says: ASTM C578-22, verified by P-14"),
])  # fmt: skip
def test_a_plants_own_limit_never_passes_for_a_printed_one(source: str, said: str) -> None:
    """What stands there is the plant's word; only a printed limit is signed against the text."""
    assert LimitInForce("X", "density", source=source).stated == said
    assert LimitInForce("X", "density", source="ASTM C578", verified=False).stated == "ASTM C578"
