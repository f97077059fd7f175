"""How specimens.csv was made from the load frame's files; see ORIGIN.md.

Run once, with the folder that holds `cubes/`, `older/` and `emodul/`:

    python extract.py FOLDER > specimens.csv

Each number is copied as typed, sign by sign. Only names and their order are ours.
"""

import re
import sys
from pathlib import Path

COLUMNS = {
    "Breite": "width [mm]",
    "Höhe": "height [mm]",
    "Länge": "length [mm]",
    "Durchmesser": "diameter [mm]",
    "Masse": "mass [g]",
}
HEAD = ["lot", "specimen", "tested on", "clock", *COLUMNS.values()]


def typed(path: Path) -> dict[str, str]:
    """What was typed before the test: the block between "Bediener Information" and its end."""
    lines = path.read_text("iso-8859-1").splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith("Bediener Information"))
    end = next(i for i, line in enumerate(lines) if line.startswith("Bediener Information Ende"))
    cells = {"clock": lines[start].split("\t")[-1].strip()}
    for line in lines[start + 1 : end]:
        name, _, value = line.partition("\t")
        word = name.split()[0].rstrip(":") if name.split() else ""
        column = {"Datum": "tested on", **COLUMNS}.get(word)
        if column:
            cells[column] = value.strip()
    return cells


def named(folder: Path) -> list[tuple[str, str, Path]]:
    """Lot, specimen and file: cubes by mix, then what is older, in the order of the file names."""
    rows = []
    for path in sorted((folder / "cubes").glob("*.dat")):
        mix = re.search(r"M0(\d)", path.stem)
        number = re.search(r"W0?(\d)$", path.stem)
        if mix and number:
            rows.append((f"mix-{mix[1]}", f"mix-{mix[1]}-{number[1]}", path))
    rows.sort(key=lambda row: row[:2])
    older = [*sorted((folder / "older").glob("*.dat")), *sorted((folder / "emodul").glob("*.dat"))]
    return rows + [("older", f"older-{i}", path) for i, path in enumerate(older, 1)]


def main(folder: Path) -> None:
    """Write the sheet to standard output."""
    lines = [";".join(HEAD)]
    for lot, specimen, path in named(folder):
        cells = {"lot": lot, "specimen": specimen, **typed(path)}
        lines.append(";".join(cells.get(column, "") for column in HEAD))
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
