"""A file that was put in by a page, and that the page carries on until it is done with.

Read :func:`carried`.
"""

from __future__ import annotations

import base64
import binascii
import zlib
from dataclasses import dataclass
from pathlib import Path

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest

from beadwright.errors import Misuse

__all__ = ["Carried", "carried"]

_NAME = 80


@dataclass(frozen=True, slots=True)
class Carried:
    """A file that was put in."""

    name: str
    raw: bytes

    @property
    def packed(self) -> str:
        """Give it so that a form can carry it on."""
        return base64.b64encode(zlib.compress(self.raw, 9)).decode()


def carried(request: HttpRequest, most: int, default: str) -> Carried | None:
    """Give the file, else the one that the form carried; None where there is neither.

    ``most`` is how many bytes a page takes, ``default`` what a file without a name is called.

    Raises
    ------
    Misuse
        If it is larger.
    """
    file = request.FILES.get("file")
    if isinstance(file, UploadedFile):
        if (file.size or 0) > most:
            message = f"{file.name} is larger than {most / 1e6:g} MB: read it at the shell"
            raise Misuse(message)
        return Carried(Path(file.name or default).name[-_NAME:], file.read())
    name = Path(request.POST.get("name", "") or default).name[-_NAME:]
    try:
        opener = zlib.decompressobj()
        raw = opener.decompress(base64.b64decode(request.POST.get("packed", "")), most)
    except (binascii.Error, zlib.error, ValueError):
        raw = b""
    return Carried(name, raw) if raw else None
