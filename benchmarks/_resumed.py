"""Long runs of many jobs that may be cut off: what is done is kept, and not done again.

Read :func:`resumed` first. Each job that ends is a line of a file under build/, with a mark of the
program that did it: a job done by another program is done again.
"""

from __future__ import annotations

import hashlib
import inspect
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor, as_completed
from dataclasses import asdict
from functools import cache
from multiprocessing import get_context
from pathlib import Path
from threading import Event
from typing import Any

__all__ = ["done", "resumed"]

_ROOT = Path(__file__).parent.parent
_KINDS = (".py", ".toml", ".json")

_Job = tuple[str | int | bool, ...]


def resumed(
    file: Path, work: Callable[..., Any], jobs: Sequence[_Job], processes: int
) -> Iterator[dict[str, Any]]:
    """Give what each job found, as a dict of its dataclass: first of those done before.

    Where one fails, those under way end and are kept, and no other is begun.
    """
    before = done(file, work, jobs)
    yield from before.values()
    file.parent.mkdir(exist_ok=True)
    stop, failed = Event(), None

    def one(job: _Job) -> Any:
        """Do a job in a process of its own: each has a store, and a process opens one."""
        if stop.is_set():
            return None
        with ProcessPoolExecutor(1, get_context("spawn")) as process:
            return process.submit(work, *job).result()

    with ThreadPoolExecutor(processes) as pool:
        begun = {pool.submit(one, job): job for job in jobs if job not in before}
        for ended in as_completed(begun):
            if error := ended.exception():
                failed = failed or error
                stop.set()
            elif ended.result() is not None:
                found = asdict(ended.result())
                line = {"program": _program(work), "job": begun[ended], "found": found}
                with file.open("a", encoding="utf-8") as lines:
                    lines.write("\n" + json.dumps(line))  # the last may have been cut off
                yield found
    if failed is not None:
        raise failed


def done(
    file: Path, work: Callable[..., Any], jobs: Sequence[_Job]
) -> Mapping[_Job, dict[str, Any]]:
    """What this program found of some jobs, by the file; a line that was cut off is passed over."""
    found: dict[_Job, dict[str, Any]] = {}
    for text in file.read_text(encoding="utf-8").splitlines() if file.exists() else ():
        try:
            line = json.loads(text)
        except ValueError:
            continue
        if line.get("program") == _program(work) and tuple(line["job"]) in jobs:
            found[tuple(line["job"])] = line["found"]
    return found


@cache
def _program(work: Callable[..., Any]) -> str:
    """Mark everything that a figure may hang on: the program, its simulator, and who scores it."""
    whole = hashlib.sha256(Path(inspect.getfile(work)).read_bytes())
    for folder in (_ROOT / "beadwright", _ROOT / "tests" / "simulated"):
        for path in sorted(path for path in folder.rglob("*") if path.suffix in _KINDS):
            whole.update(str(path.relative_to(_ROOT)).encode() + path.read_bytes())
    return whole.hexdigest()[:16]
