"""The manual's pages on physics and on curves, kept true: worked examples and pictures.

A page's calculations stand folded in ``python`` blocks and run in order, one set of names a page;
what one prints stands above its fold in a ``text`` block. Its picture stands beside it as NAME.svg,
and the words for who sees no picture are those of the picture.
As a program (`python -m tools.physics`) it writes outputs, pictures and their words anew; a test
compares them.
"""

import contextlib
import io
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from beadwright.charts.curves import Curves, alone, draw
from beadwright.charts.physics import (
    ageing,
    beads,
    expansion,
    foam,
    moulding,
    pentane,
    pour,
    specimens,
    steam,
    wall,
)
from beadwright.charts.svg import Drawing

__all__ = ["CURVES", "FOLDER", "OF_CURVES", "PICTURES", "drawn", "main", "renewed", "with_words"]

FOLDER = Path(__file__).resolve().parents[1] / "docs" / "physics"
PICTURES: Mapping[str, Callable[[], Curves]] = {
    "ageing": ageing.picture,
    "beads": beads.picture,
    "expansion": expansion.picture,
    "foam": foam.picture,
    "moulding": moulding.picture,
    "pentane": pentane.picture,
    "pour": pour.picture,
    "steam": steam.picture,
    "wall": wall.picture,
}
"""By page."""

CURVES = FOLDER.parent / "curves.md"
"""The page on the laboratory's curves, kept true likewise; its pictures stand beside it."""
OF_CURVES: Mapping[str, Callable[[], Curves]] = {
    "curve-compression": specimens.compression_picture,
    "curve-bending": specimens.bending_picture,
}
"""By picture."""

_BLOCK = re.compile(
    r"(?P<said>```text\n(?:(?!```).)*```\n\n)?"
    r"(?P<fold><details><summary>[^<\n]*</summary>\n\n```python\n(?P<source>(?:(?!```).)*)```\n)",
    re.DOTALL,
)


def renewed(page: str) -> str:
    """Give a page with what its calculations print made again."""
    names: dict[str, Any] = {}

    def again(match: re.Match[str]) -> str:
        printed = io.StringIO()
        with contextlib.redirect_stdout(printed):
            exec(compile(match["source"], "<page>", "exec"), names)  # noqa: S102 - our own pages
        said = f"```text\n{printed.getvalue()}```\n\n" if printed.getvalue() else ""
        return f"{said}{match['fold']}"

    return _BLOCK.sub(again, page)


def drawn(name: str) -> tuple[Drawing, str]:
    """Give a page's picture, and its file."""
    drawing = draw({**PICTURES, **OF_CURVES}[name]())
    return drawing, f"{alone(drawing)}\n"


def with_words(page: str, name: str, words: str) -> str:
    """Give a page whose picture has these words for who does not see it."""
    picture = re.compile(rf"!\[[^\]]*\]\({name}\.svg\)")
    return picture.sub(lambda _: f"![{words}]({name}.svg)", page)


def main() -> None:
    """Write outputs, pictures and their words anew."""
    for name in PICTURES:
        drawing, file = drawn(name)
        (FOLDER / f"{name}.svg").write_text(file, "utf-8")
        path = FOLDER / f"{name}.md"
        page = with_words(path.read_text("utf-8"), name, drawing.words)
        path.write_text(renewed(page), "utf-8")
    page = CURVES.read_text("utf-8")
    for name in OF_CURVES:
        drawing, file = drawn(name)
        (CURVES.parent / f"{name}.svg").write_text(file, "utf-8")
        page = with_words(page, name, drawing.words)
    CURVES.write_text(renewed(page), "utf-8")


if __name__ == "__main__":
    main()
