"""A fresh copy of the project on a bare machine: `./run --no-serve`, and again.

Read :func:`try_fresh` first.
"""

import os
import shutil
import subprocess
import tempfile
import time
from pathlib import Path

__all__ = ["FreshFailed", "FreshNotTried", "try_fresh"]

_ROOT = Path(__file__).resolve().parents[1]
_SECOND_START_S = 15.0


class FreshFailed(Exception):
    """A fresh copy did not do what it promises."""


class FreshNotTried(Exception):
    """It could not be tried here, for want of a network."""


def try_fresh() -> str:
    """Run a fresh copy twice and then a store of one's own; the seconds each start took."""
    with tempfile.TemporaryDirectory(prefix="beadwright fresh ") as name:  # a path with blanks
        copy, home = Path(name) / "copy", Path(name) / "home"
        home.mkdir()
        _copy(copy)
        first, said = _run(copy, home)
        second, again = _run(copy, home)
        if second > _SECOND_START_S:
            message = f"the second start took {second:.1f} s"
            raise FreshFailed(message)
        if not said.endswith(again):
            message = f"the second start said something else:\n{again}"
            raise FreshFailed(message)
        own = home / "plant.sqlite3"
        _, empty = _run(copy, home, "--store", str(own))
        if not own.exists() or "demonstration" in empty.lower():
            message = f"a store of one's own was not opened empty:\n{empty}"
            raise FreshFailed(message)
        return f"first start {first:.1f} s, second {second:.1f} s"


def _copy(copy: Path) -> None:
    ask = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    told = subprocess.run(ask, cwd=_ROOT, capture_output=True, text=True, check=True)
    for name in set(told.stdout.split("\0")) - {""}:
        if (_ROOT / name).is_file():
            (copy / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(_ROOT / name, copy / name)


def _run(copy: Path, home: Path, *arguments: str) -> tuple[float, str]:
    """Seconds and words of one start, with nothing of this machine's settings but the network's."""
    begun = time.monotonic()
    done = subprocess.run(
        [str(copy / "run"), "--no-serve", *arguments],
        cwd=home,
        env=_bare(home),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    if "The environment could not be made" in done.stderr:
        raise FreshNotTried(done.stderr.strip())
    if done.returncode:
        message = f"./run ended with {done.returncode}:\n{done.stdout}{done.stderr}"
        raise FreshFailed(message)
    return time.monotonic() - begun, done.stdout


def _bare(home: Path) -> dict[str, str]:
    """What a login gives anyone, and how this machine reaches a network."""
    network = ("SSL_", "PIP_", "UV_", "HTTP", "ALL_PROXY", "NO_PROXY", "REQUESTS_")
    kept = {key: text for key, text in os.environ.items() if key.upper().startswith(network)}
    return {**kept, "HOME": str(home), "PATH": os.environ["PATH"], "LANG": "C.UTF-8"}
