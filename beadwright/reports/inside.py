"""What a PDF of ours carries inside: whether a text is attached to it, byte for byte.

Read :func:`holds`. It reads streams as our typesetter writes them, plain or deflated, and nothing
more of the format: what it does not find is taken as not there.
"""

from __future__ import annotations

import re
import zlib

__all__ = ["holds"]

_STREAM = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.DOTALL)


def holds(pdf: bytes, text: str) -> bool:
    """Whether one stream of the file is this text."""
    wanted = text.encode()
    return any(_plain(found, len(wanted)) == wanted for found in _STREAM.findall(pdf))


def _plain(stream: bytes, size: int) -> bytes:
    """Inflate no more than would be needed: a stream may be made to burst."""
    try:
        return zlib.decompressobj().decompress(stream, size + 1)
    except zlib.error:
        return stream
