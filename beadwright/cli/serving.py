"""The verb `serve`: the pages of a plant, for the browsers of this machine or of the plant."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from beadwright.cli.ending import DONE
from beadwright.cli.session import Served, of

__all__ = ["serve"]

_Listen = Annotated[
    str,
    typer.Option(metavar="ADDRESS", help="Where to listen; beyond this machine over TLS only."),
]
_Port = Annotated[int, typer.Option(metavar="N", min=1, max=65535, help="Port to listen on.")]
_Certificate = Annotated[Path | None, typer.Option(metavar="FILE", help="TLS certificate, PEM.")]
_Key = Annotated[Path | None, typer.Option(metavar="FILE", help="Its key, PEM.")]


def serve(
    context: typer.Context,
    listen: _Listen = "127.0.0.1",
    port: _Port = 8765,
    certificate: _Certificate = None,
    key: _Key = None,
) -> int:
    """Serve the pages of a plant until told to stop (Ctrl-C).

    People sign in with a code that `account` gives them; in a demonstration anybody may be anybody.
    Marked flammable-vapour zone: only devices rated for it.

    Example: beadwright --store plant.sqlite3 serve
    """
    from beadwright.cli.ending import say
    from beadwright.plant import accounts

    session = of(context)
    plant = session.plant()
    if plant.invented:
        accounts.open_demonstration(plant)
    served = Served(listen, port, certificate, key)
    session.stores.serve(
        session.store, plant.code, served, lambda: say(f"{plant.name}: {served.url} (Ctrl-C stops)")
    )
    return DONE
