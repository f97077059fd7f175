"""Kills a worker at a moment, and says what it had been told by then."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

__all__ = ["Killed", "Work"]

_ROOT = Path(__file__).resolve().parents[2]
_PATIENCE_S = 60


@dataclass(frozen=True)
class Killed:
    """What a worker had been told when it ended, and whether the kill ended it."""

    told: list[dict[str, Any]]
    killed: bool
    seconds: float


@dataclass(frozen=True)
class Work:
    """Work of a worker on a store: the environment that names it, and a folder for its answers."""

    environ: Mapping[str, str]
    folder: Path

    def run(self, *words: str, kill_after_s: float | None = None) -> Killed:
        """Start a worker; from when it is ready, let it work that long, or to its end."""
        answers = self.folder / "answers"
        with answers.open("wb") as file:
            worker = subprocess.Popen(
                [sys.executable, "-m", "tests.crash.worker", *words],
                cwd=_ROOT,
                env=dict(self.environ),
                stdout=file,
            )
        _wait_until_ready(worker, answers)
        start = time.monotonic()
        if kill_after_s is not None:
            time.sleep(kill_after_s)
            worker.kill()
        ended = worker.wait(_PATIENCE_S)
        seconds = time.monotonic() - start
        assert ended in ({0, -9} if kill_after_s is not None else {0})
        lines = answers.read_bytes().split(b"\n")
        return Killed([json.loads(line) for line in lines[1:-1]], ended != 0, seconds)


def _wait_until_ready(worker: subprocess.Popen[bytes], answers: Path) -> None:
    give_up = time.monotonic() + _PATIENCE_S
    while b"\n" not in answers.read_bytes():
        assert worker.poll() is None, "the worker ended before it was ready"
        assert time.monotonic() < give_up
        time.sleep(0.002)
