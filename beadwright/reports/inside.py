"""What a PDF of ours carries inside: whether a text is attached to it, byte for byte.

Read :func:`holds`, and :func:`plain` for all that can be read. Streams are read as our typesetter
writes them, plain or deflated, and nothing more of the format: what is not found so is taken as
not there.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator

__all__ = ["holds", "plain"]

_MOST = 1_000_000
"""Bytes that one stream is inflated to at most."""

_STREAM = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.DOTALL)


def holds(pdf: bytes, text: str) -> bool:
    """Whether one stream of the file is this text."""
    wanted = text.encode()
    return any(_plain(found, len(wanted)) == wanted for found in _STREAM.findall(pdf))


def plain(pdf: bytes) -> Iterator[bytes]:
    """Give the file as it is, then each of its streams as far as it can be inflated."""
    yield pdf
    for found in _STREAM.findall(pdf):
        yield _plain(found, _MOST)


def _plain(stream: bytes, size: int) -> bytes:
    """Inflate no more than would be needed: a stream may be made to burst."""
    try:
        return zlib.decompressobj().decompress(stream, size + 1)
    except zlib.error:
        return stream
