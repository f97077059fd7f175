"""A picture as a shell asks for it: an SVG or a PNG, by the ending of the file's name."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from beadwright.charts.curves import alone
from beadwright.charts.svg import Drawing
from beadwright.cli.ending import say
from beadwright.cli.handing import new_file, require_new
from beadwright.errors import Misuse
from beadwright.reports.raster import png

__all__ = ["draw"]


def _svg(picture: Drawing) -> bytes:
    return f"{alone(picture)}\n".encode()


_WAYS: dict[str, Callable[[Drawing], bytes]] = {".svg": _svg, ".png": png}


def _require_picture(to: Path) -> None:
    """Refuse a file that is there already, or whose name does not say what it is to be.

    Raises
    ------
    Misuse
        If it is one of these.
    """
    if to.suffix.lower() not in _WAYS:
        message = f"{to.name!r} ends in neither .svg nor .png: its ending says what to draw"
        raise Misuse(message)
    require_new(to)


def draw(picture: Drawing, to: Path) -> None:
    """Write a picture, and say what was drawn.

    Raises
    ------
    Misuse
        If the file cannot be that.
    """
    _require_picture(to)
    made = _WAYS[to.suffix.lower()](picture)
    try:
        with new_file(to) as file:
            file.write(made)
    except OSError as fault:
        message = f"{to} cannot be written: {fault.strerror}"
        raise Misuse(message) from None
    say(f"Drawn in {to}: {picture.title}.")
