"""Starts the server of the pages on a store, and stops it.

It listens on this machine alone unless it is given a certificate: what people key, and their codes,
go over no open line.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from granian import Granian
from granian.constants import Interfaces
from granian.log import LogLevels

from beadwright.cli.session import Served
from beadwright.errors import Misuse
from beadwright.site.secret import secret

__all__ = ["main", "names_of", "serve"]

_EVERYWHERE = ("0.0.0.0", "::")  # noqa: S104 - over TLS, where somebody asks for it
_HERE = ("127.0.0.1", "localhost", "::1")
_PATIENCE_S = 5
"""How long a worker may take to end; one that is told so while it starts would never."""


def serve(path: Path | None, plant: str, served: Served, ready: Callable[[], None]) -> None:
    """Serve the pages of a plant until told to stop.

    Raises
    ------
    Misuse
        If it is to listen beyond this machine without a certificate, or a file is missing.
    """
    _require_safe(served)
    if path is not None:
        os.environ["BEADWRIGHT_STORE"] = str(path.absolute())
    # One key for all workers: what one of them signs the others must read.
    os.environ["BEADWRIGHT_SECRET"] = secret()
    os.environ["BEADWRIGHT_PLANT"] = plant
    os.environ["BEADWRIGHT_TLS"] = "1" if served.certificate else "0"
    os.environ["BEADWRIGHT_HOSTS"] = names_of(
        served.address, os.environ.get("BEADWRIGHT_HOSTS", "")
    )
    ready()
    # A fresh process: this one has set Django up for the shell, and what it forks would keep that.
    words = (served.address, str(served.port), served.certificate or "", served.key or "")
    os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, sys.path))
    os.execv(sys.executable, [sys.executable, "-m", __name__, *map(str, words)])  # noqa: S606


def names_of(address: str, given: str) -> str:
    """Names, besides this machine's own, by which the pages may be asked for.

    Who listens on every address is not told which there are: then any name will do, for the
    browser holds it against the certificate.
    """
    if address in _EVERYWHERE:
        return given or "*"
    return ",".join(filter(None, (given, "" if address in _HERE else address)))


def _told_by_a_thread(server: Any) -> Callable[..., None]:
    """Give what a signal calls: it lets a thread of its own tell the server to stop.

    A signal is handled between two steps of the main thread. Where that is just about to wait, it
    holds the very lock that the server's own handler would take, and neither would ever go on.
    """

    def stop(*_: object, **__: object) -> None:
        server.interrupt_signal = True
        threading.Thread(target=server.main_loop_interrupt.set).start()

    return stop


def main(arguments: Sequence[str]) -> None:
    """Run the server: address, port, certificate and key; the last two may be empty."""
    address, port, certificate, key = arguments
    server: Any = Granian(
        "beadwright.site.wsgi:application",
        address=address,
        port=int(port),
        interface=Interfaces.WSGI,
        workers=2,
        blocking_threads=2,
        respawn_failed_workers=True,
        workers_kill_timeout=_PATIENCE_S,
        ssl_cert=Path(certificate) if certificate else None,
        ssl_key=Path(key) if key else None,
        log_level=LogLevels.warning,
    )
    server.signal_handler_interrupt = _told_by_a_thread(server)
    server.serve(target_loader=_pages)


def _pages(_: str) -> Any:
    """Give a worker what it serves; only the process that started the workers may stop them.

    A terminal sends Ctrl-C to all of them at once, and a worker that was told twice never ends.
    """
    signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    from beadwright.site.wsgi import application
    from beadwright.units import converter

    converter("lb", "mass")  # so that the first to ask does not wait for the table of units
    return application


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


if __name__ == "__main__":
    main(sys.argv[1:])
