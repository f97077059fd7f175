"""The last results of every module, a file each under benchmarks/last/, and their page.

Read :func:`keep`. The files are part of the repository: a run of one module replaces its own file
and leaves the others as they were measured.
"""

from __future__ import annotations

import json
import os
import platform
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path

from benchmarks import Result

__all__ = ["figures_page", "keep"]

_FOLDER = Path(__file__).parent / "last"

_HEAD = """\
# Figures of the last benches

Written by `python -m tools.pages` from benchmarks/last/; do not edit. What each measures, and what
was seen, is told in {doc}`speed`. The bare floor is measured in the same run: the same rows
written, the same queries asked or the same numbers worked out by a general library, with nothing
around them. A figure with no target is shown for what it is.
"""


def keep(module: str, results: list[Result]) -> Path:
    """Write a module's results down; the file.

    Raises
    ------
    ValueError
        If it measured nothing.
    """
    if not results:
        message = f"{module} measured nothing"
        raise ValueError(message)
    record = {
        "measured_at": datetime.now(UTC).isoformat(timespec="seconds"),
        "python": platform.python_version(),
        "cores": os.cpu_count(),
        "results": [asdict(result) for result in results],
    }
    _FOLDER.mkdir(exist_ok=True)
    path = _FOLDER / f"{module}.json"
    path.write_text(json.dumps(record, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return path


def figures_page() -> str:
    """Give the page of every module's last results."""
    return _HEAD + "".join(_module(path) for path in sorted(_FOLDER.glob("*.json")))


def _module(path: Path) -> str:
    record = json.loads(path.read_text(encoding="utf-8"))
    when = str(record["measured_at"])[:10]
    rows = [_row(Result(**one)) for one in record["results"]]
    return (
        f"\n## {path.stem.replace('_', ' ').capitalize()}\n\n"
        f"`./bench {path.stem}` on {when}, Python {record['python']}, {record['cores']} cores.\n\n"
        "| measure | figure | target | bare floor | ratio | | note |\n"
        "| --- | --- | --- | --- | --- | --- | --- |\n" + "\n".join(rows) + "\n"
    )


def _row(one: Result) -> str:
    sign = "≥" if one.better == "higher" else "≤"
    target = "" if one.target is None else f"{sign} {one.target:,.6g}"
    floor = "" if one.baseline is None else f"{one.baseline:,.4g}"
    ratio = "" if one.ratio is None else f"{one.ratio:.3g}"
    verdict = {True: "met", False: "**missed**", None: ""}[one.met]
    note = one.note.replace("|", "\\|")
    return (
        f"| {one.name} | {one.value:,.4g} {one.unit} | {target} | {floor} | {ratio} | {verdict}"
        f" | {note} |"
    )
