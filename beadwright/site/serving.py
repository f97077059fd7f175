"""Starts the server of the pages on a store, and stops it.

It listens on this machine alone unless it is given a certificate: what people key, and their codes,
go over no open line.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from beadwright.errors import Misuse

__all__ = ["Served", "serve"]

_HERE = ("127.0.0.1", "localhost", "::1")


@dataclass(frozen=True, slots=True)
class Served:
    """Where the pages are to be asked for."""

    address: str = "127.0.0.1"
    port: int = 8765
    certificate: Path | None = None
    key: Path | None = None

    @property
    def url(self) -> str:
        """Address of the first page."""
        scheme = "https" if self.certificate else "http"
        return f"{scheme}://{self.address}:{self.port}/"


def serve(served: Served) -> None:
    """Serve the pages of the store that Django was set up on until told to stop.

    Raises
    ------
    Misuse
        If it is to listen beyond this machine without a certificate, or a file is missing.
    """
    _require_safe(served)
    os.environ["BEADWRIGHT_TLS"] = "1" if served.certificate else "0"
    if served.address not in _HERE:
        names = os.environ.get("BEADWRIGHT_HOSTS", "")
        os.environ["BEADWRIGHT_HOSTS"] = ",".join(filter(None, (names, served.address)))
    from granian import Granian
    from granian.constants import Interfaces

    Granian(
        "beadwright.site.wsgi:application",
        address=served.address,
        port=served.port,
        interface=Interfaces.WSGI,
        workers=2,
        blocking_threads=2,
        respawn_failed_workers=True,
        ssl_cert=served.certificate,
        ssl_key=served.key,
        log_level="warning",  # type: ignore[arg-type]  # its own type is an enum of these words
    ).serve()


def _require_safe(served: Served) -> None:
    if served.address not in _HERE and served.certificate is None:
        message = (
            f"to listen on {served.address}, give --certificate FILE and --key FILE: beyond this"
            " machine the pages are served over TLS only"
        )
        raise Misuse(message)
    if (served.certificate is None) != (served.key is None):
        message = "a certificate and its key go together: give --certificate FILE and --key FILE"
        raise Misuse(message)
    for file in (served.certificate, served.key):
        if file is not None and not file.is_file():
            message = f"there is no file {file}"
            raise Misuse(message)
