"""A picture as a PNG: as large as the picture, on white, the same bytes each time."""

from __future__ import annotations

import struct
import zlib

import numpy as np
from numpy.typing import NDArray

from beadwright.charts import svg
from beadwright.charts.svg import Drawing
from beadwright.reports.raster import png


def square() -> Drawing:
    """A picture of 40 by 20 with a full red square in its left half."""
    content = [svg.rect(4, 4, 12, 12, fill="#ff0000")]
    return svg.frame("square", (40, 20), ("A square", "It is red."), content)


def dots(data: bytes) -> NDArray[np.uint8]:
    """Read the dots of a PNG by its published layout (ISO/IEC 15948, clauses 5, 9 and 11)."""
    assert data.startswith(b"\x89PNG\r\n\x1a\n")
    at, packed, head = 8, b"", b""
    while at < len(data):
        length, kind = struct.unpack(">I4s", data[at : at + 8])
        body = data[at + 8 : at + 8 + length]
        packed += body if kind == b"IDAT" else b""
        head = body if kind == b"IHDR" else head
        at += 12 + length
    width, height, depth, colour = struct.unpack(">IIBB", head[:10])
    channels = {2: 3, 6: 4}[colour]
    assert depth == 8
    rows = np.frombuffer(zlib.decompress(packed), np.uint8).reshape(height, 1 + width * channels)
    found = np.zeros((height, width * channels), np.uint8)
    for number, row in enumerate(rows):
        above = found[number - 1] if number else np.zeros_like(found[0])
        found[number] = _unfiltered(int(row[0]), row[1:], above, channels)
    return found.reshape(height, width, channels)[:, :, :3]


def _unfiltered(
    how: int, row: NDArray[np.uint8], above: NDArray[np.uint8], step: int
) -> NDArray[np.uint8]:
    made = np.zeros(len(row), np.uint8)
    for i, value in enumerate(row.tolist()):
        left = int(made[i - step]) if i >= step else 0
        up, corner = int(above[i]), int(above[i - step]) if i >= step else 0
        guess = left + up - corner
        nearest = min((left, up, corner), key=lambda one: abs(guess - one))
        made[i] = (value + (0, left, up, (left + up) // 2, nearest)[how]) % 256
    return made


def test_a_picture_becomes_dots() -> None:
    """Two dots for each unit: a red square on white, where it lies in the picture."""
    found = dots(png(square()))

    assert found.shape == (40, 80, 3)
    assert found[20, 20].tolist() == [255, 0, 0]
    assert found[20, 60].tolist() == [255, 255, 255]
    assert found[2, 2].tolist() == [255, 255, 255]


def test_the_same_picture_gives_the_same_bytes() -> None:
    """No clock and no font of the machine is in it."""
    assert png(square()) == png(square())
