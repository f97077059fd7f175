"""What `demo` says of the files it wrote."""

from __future__ import annotations

from pathlib import Path

from beadwright.cli.printed import Page
from beadwright.errors import Misuse

__all__ = ["require_empty", "write", "written"]


def require_empty(folder: Path) -> None:
    """Refuse a folder that holds anything.

    Raises
    ------
    Misuse
        If it holds files, or is no folder.
    """
    if folder.exists() and not folder.is_dir():
        message = f"{folder} is a file: name a folder that is new or empty"
        raise Misuse(message)
    if folder.exists() and any(folder.iterdir()):
        message = f"{folder} is not empty: name a folder that is new or empty"
        raise Misuse(message)


def write(seed: int, folder: Path, months: int, parameters: Path | None) -> None:
    """Write the three weeks, or a simulated plant of some months.

    Raises
    ------
    Misuse
        If parameters are given for the three weeks, which have none, or cannot be read.
    """
    from beadwright.demo import simulated, write_plant

    if months:
        plant = simulated.simulate(seed, months, simulated.load(parameters))
        simulated.write_simulated(plant, folder)
    elif parameters is not None:
        message = "--parameters are those of a simulated plant: say how many --months it has"
        raise Misuse(message)
    else:
        write_plant(seed, folder)


def written(seed: int, folder: Path) -> None:
    """List what was written, sheet by sheet."""
    page = Page()
    names = sorted(path.name for path in folder.iterdir())
    sheets = [name for name in names if name.endswith(".csv")]
    page.line(f"An invented plant (seed {seed}), its people and figures invented too: {folder}")
    rows = [(name, f"{_rows(folder / name)}") for name in sheets]
    page.table(("!sheet", "rows>"), rows)
    others = [name for name in names if name not in sheets and not name.endswith(".layout.toml")]
    page.line(f"Beside them the layout of each sheet, and {', '.join(others)}.")


def _rows(path: Path) -> int:
    return max(0, sum(1 for line in path.read_bytes().splitlines() if line.strip()) - 1)
