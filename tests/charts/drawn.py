"""A picture read back: its texts with the room they take, and its other marks."""

import xml.etree.ElementTree as ET
from dataclasses import dataclass

from beadwright.charts import svg
from beadwright.charts.svg import Drawing

__all__ = ["Words", "overlaps", "read", "words_of"]

SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Words:
    """One text, and the box it takes."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


def read(drawing: Drawing) -> ET.Element:
    """Parse a picture; what is not well-formed fails here."""
    return ET.fromstring(drawing.svg)  # noqa: S314 - our own output


def words_of(drawing: Drawing) -> list[Words]:
    """Give every text that is drawn."""
    found = []
    for one in read(drawing).iter(f"{SVG}text"):
        said = "".join(one.itertext())
        size, x, y = (float(one.get(name, "0")) for name in ("font-size", "x", "y"))
        wide = svg.width_of(said, size)
        left = x - wide * {"middle": 0.5, "end": 1.0}.get(one.get("text-anchor", ""), 0.0)
        found.append(Words(said, left, y - 0.8 * size, left + wide, y + 0.22 * size))
    return found


def overlaps(drawing: Drawing) -> list[tuple[str, str]]:
    """Give pairs of texts that lie over each other."""
    found, texts = [], words_of(drawing)
    for at, one in enumerate(texts):
        for other in texts[at + 1 :]:
            apart = (
                one.right <= other.left
                or other.right <= one.left
                or one.bottom <= other.top
                or other.bottom <= one.top
            )
            if not apart:
                found.append((one.text, other.text))
    return found
