"""The manual's notebook, kept true: its cells run in a kernel, and what they say stands in it.

As a program (`python -m tools.notebook`) it runs the cells and writes what they say anew; a test
compares it. Nothing is kept of when and where it ran.
"""

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import nbformat
from nbclient import NotebookClient
from traitlets.config import Config

from tools.shown import environ

__all__ = ["NOTEBOOK", "main", "renewed"]

_ROOT = Path(__file__).resolve().parents[1]
NOTEBOOK = _ROOT / "docs" / "notebooks" / "physics.ipynb"
_SLOWEST_S = 120


def renewed(text: str) -> str:
    """Give a notebook with what its cells say made again; a cell that fails raises."""
    book: Any = nbformat.reads(text, as_version=4)  # type: ignore[no-untyped-call]
    # Kernels that start at one time in one folder would take each other's sockets.
    with TemporaryDirectory() as apart:
        sockets = Config({"KernelManager": {"transport": "ipc", "ip": f"{apart}/kernel"}})
        client = NotebookClient(book, timeout=_SLOWEST_S, record_timing=False, config=sockets)
        client.execute(cwd=str(_ROOT), env=environ())
    for cell in book.cells:
        if cell.cell_type == "code":
            cell.outputs = [_bare(one) for one in _joined(cell.outputs)]
    book.metadata.language_info = {"name": "python"}
    written = nbformat.writes(book, indent=1, ensure_ascii=False)  # type: ignore[no-untyped-call]
    return f"{written.rstrip()}\n"


def _joined(outputs: list[Any]) -> list[Any]:
    """Join what was printed in pieces: how a kernel cuts it is chance."""
    whole: list[Any] = []
    for one in outputs:
        if whole and one.output_type == whole[-1].output_type == "stream":
            whole[-1].text += one.text
        else:
            whole.append(one)
    return whole


def _bare(output: Any) -> Any:
    """Leave out of a picture what names an object in memory."""
    if "data" in output and "image/svg+xml" in output.data:
        output.data.pop("text/plain", None)
    return output


def main() -> None:
    """Run the cells and write what they say."""
    NOTEBOOK.write_text(renewed(NOTEBOOK.read_text("utf-8")), "utf-8")


if __name__ == "__main__":
    main()
