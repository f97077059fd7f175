"""Output shown in the README and the manual, kept true: run again and compared.

A block to keep true stands under a comment before its fence, such as
``<!-- shown: assess L2-008 || L2-008: +2 ; Where -> Not -->``. After ``||`` stand its parts,
parted by `` ; ``: ``A +N`` is the line that begins with A and N more, ``A -> B`` goes on to the
line that begins with B; nothing is all of it. Words are parted as a shell parts them.
The calls of one page run in order on a copy of the demonstration's store of seed 1.

As a program (`python -m tools.shown`) it writes the blocks anew; a test compares them.
"""

import json
import os
import re
import shlex
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from itertools import count
from pathlib import Path

__all__ = ["PAGES", "Block", "blocks", "caller", "environ", "main", "masked", "renewed", "store"]

_ROOT = Path(__file__).resolve().parents[1]
PAGES = (_ROOT / "README.md", *sorted((_ROOT / "docs").glob("*.md")))

_BLOCK = re.compile(
    r"<!-- shown: (?P<call>.+?)(?: \|\| (?P<parts>.+?))? -->\n\n?```text\n(?P<text>.*?)```\n",
    re.DOTALL,
)
_PROGRAM = "import sys; from beadwright.site.main import main; sys.exit(main())"
_CALL_MS = 2000
Block = tuple[str, str, str]
"""What is called, the parts shown of it, and the text that stands on the page."""


def blocks(page: str) -> Iterator[Block]:
    """Every block of a page that says how it was made."""
    for match in _BLOCK.finditer(page):
        yield match["call"], match["parts"] or "", match["text"]


def masked(text: str) -> str:
    """Hide what differs between two stores of one content: when it was keyed, and its hashes."""
    keyed = re.sub(r"\b\d{4}-\d\d-\d\d\s+\d\d:\d\d\s+by\s+", "# by ", text)
    return re.sub(r"\b[0-9a-f]{12,64}\b", "#", keyed)


def renewed(page: str, run: Callable[[list[str]], str]) -> str:
    """Give a page with its blocks made again."""

    def again(match: re.Match[str]) -> str:
        head = match[0][: match[0].index("```text\n")]
        text = _parts(run(shlex.split(match["call"])), match["parts"] or "")
        kept = match["text"] if masked(match["text"]) == masked(text) else text
        return f"{head}```text\n{kept}```\n"

    return _BLOCK.sub(again, page)


def _parts(text: str, wanted: str) -> str:
    lines = text.splitlines()
    shown: list[str] = []
    for part in wanted.split(" ; ") if wanted else ():
        start, more, rest = _wanted(lines, part)
        if shown and more:
            shown.append("  …")
        shown += lines[start:rest]
    return "\n".join(shown or lines).rstrip() + "\n"


def _wanted(lines: list[str], part: str) -> tuple[int, bool, int]:
    """First line of a part, whether something was left out before it, and the line after it."""
    if counted := re.fullmatch(r"(.+) \+(\d+)", part):
        start = _first(lines, counted[1], 0)
        return start, True, start + 1 + int(counted[2])
    begin, _, end = part.partition(" -> ")
    start = _first(lines, begin, 0)
    return start, True, _first(lines, end, start) + 1 if end else start + 1


def _first(lines: list[str], begins: str, after: int) -> int:
    for i in range(after, len(lines)):
        if lines[i].strip().startswith(begins.strip()):
            return i
    message = f"no line begins with {begins!r}; the output is:\n" + "\n".join(lines[:40])
    raise ValueError(message)


def store(folder: Path) -> Path:
    """Make the demonstration's files and its store in a folder."""
    path = folder / "store.sqlite3"
    for words in (
        ["demo", "--seed", "1", "--to", str(folder / "files")],
        ["--store", str(path), "import", str(folder / "files")],
    ):
        command = [sys.executable, "-c", _PROGRAM, *words]
        subprocess.run(command, env=environ(), check=True, capture_output=True)
    return path


def environ() -> dict[str, str]:
    """Give the environment without what would name another store, or another width."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("BEADWRIGHT_", "DJANGO_"))}
    kept.pop("COLUMNS", None)
    return {**kept, "PYTHONIOENCODING": "utf-8"}


def caller(path: Path) -> Callable[[list[str]], str]:
    """Give what runs calls on a store, as a person's shell would, eighty columns wide.

    The clock stands still in a call, two seconds after the one before, the first two after the
    store's last entry: on a slow machine the invented plant's hours would go on meanwhile.
    """
    own = {**environ(), "BEADWRIGHT_STORE": str(path)}
    with closing(sqlite3.connect(path)) as known:
        sql = "SELECT body FROM ledger_entry ORDER BY seq DESC LIMIT 1"
        (body,) = known.execute(sql).fetchone()
    at_ms = count(json.loads(body)["recorded_at"] + _CALL_MS, _CALL_MS)

    def run(words: list[str]) -> str:
        still = f"import time; time.time_ns = lambda: {next(at_ms) * 10**6}"
        command = [sys.executable, "-c", f"{still}; {_PROGRAM}", *words]
        done = subprocess.run(command, env=own, capture_output=True, encoding="utf-8", check=False)
        return done.stdout or done.stderr

    return run


def main() -> None:
    """Write every block anew."""
    with tempfile.TemporaryDirectory() as made:
        path = store(Path(made))
        for page in PAGES:
            text = page.read_text("utf-8")
            if any(True for _ in blocks(text)):
                copy = shutil.copy(path, Path(made) / f"{page.stem}.sqlite3")
                page.write_text(renewed(text, caller(Path(copy))), "utf-8")


if __name__ == "__main__":
    main()
