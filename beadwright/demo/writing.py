"""The folder: settings, sheets with their layouts, the answer sheet and a note.

Read :func:`write_plant` first.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from beadwright.demo.clock import END, ZONE, day_start, stamp
from beadwright.demo.description import NAME
from beadwright.demo.files import SHEETS, layout_text, sheet_text
from beadwright.demo.plantfile import plant_text
from beadwright.demo.sheets import Moulding
from beadwright.demo.story import Story, tell
from beadwright.demo.truth import truth

__all__ = ["Summary", "write_plant"]


@dataclass(frozen=True)
class Summary:
    """What was written."""

    folder: Path
    seed: int
    files: tuple[str, ...]
    rows: int
    blocks: int
    """Good form blocks moulded."""
    lots: int
    """Lots of form blocks."""
    packaging_lots: int
    bags: int
    faults: int


def write_plant(seed: int, folder: Path, *, drift: bool = True, short_ties: bool = True) -> Summary:
    """Write three weeks of an invented plant: the files that ``import`` reads, and the truth.

    The same seed gives the same bytes on every machine. Files of the same names are overwritten;
    nothing else in the folder is touched. A scale that drifts and pieces that lack ties may be
    left out of the plant.
    """
    story = tell(seed, drift=drift, short_ties=short_ties)
    folder.mkdir(parents=True, exist_ok=True)
    names = []
    for name, text in _files(story):
        (folder / name).write_bytes(text.encode("utf-8"))
        names.append(name)
    return _summary(story, folder, names)


def _files(story: Story) -> Iterator[tuple[str, str]]:
    yield "README.txt", _readme(story)
    yield "plant.toml", plant_text()
    for sheet in SHEETS:
        yield f"{sheet.name}.csv", sheet_text(sheet, story.sheets[sheet.kind])
        yield f"{sheet.name}.layout.toml", layout_text(sheet)
    yield "truth.json", json.dumps(truth(story), indent=1, sort_keys=True) + "\n"


def _readme(story: Story) -> str:
    return f"""INVENTED DATA

{NAME} does not exist. Its people, suppliers, receivers, products, figures and
faults were made by a program from the seed {story.seed}. Nothing here may be used as
evidence about any real product.

Three weeks, {stamp(day_start(0), "%Y-%m-%d")} to {stamp(END, "%Y-%m-%d")}, times of {ZONE}.

plant.toml          settings: products, grades, places, limits
NAME.csv            a sheet as its people keep it
NAME.layout.toml    how that sheet is written
truth.json          what was planted and what is true; for tests, read by no tool
"""


def _summary(story: Story, folder: Path, names: list[str]) -> Summary:
    stretches = [row for _, row in story.sheets["mould_runs"] if isinstance(row, Moulding)]
    form = [row for row in stretches if row.press != "PP1"]
    return Summary(
        folder=folder,
        seed=story.seed,
        files=tuple(names),
        rows=sum(len(rows) for rows in story.sheets.values()),
        blocks=sum(row.shots - row.scrap for row in form),
        lots=len({row.lot for row in form}),
        packaging_lots=len({row.lot for row in stretches} - {row.lot for row in form}),
        bags=len(story.sheets["bead_receipts"]),
        faults=len(story.faults),
    )
