"""Makes .venv from the hashed requirement files: `environment.py core` or `environment.py dev`.

Needs only Python itself. A second call that finds nothing to do touches no network. An environment
that already holds more than was asked is left as it is.
"""

import fcntl
import hashlib
import importlib.util
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

__all__ = ["EnvironmentNotMade", "main", "make"]

_ROOT = Path(__file__).resolve().parents[1]
_VENV = _ROOT / ".venv"
_BOOT = _ROOT / ".boot"
_STAMP = _VENV / "beadwright-stamp.json"

# Both the shell and Python can read it, so the path of the checkout may hold blanks or be long.
_SCRIPT = """\
#!/bin/sh
'''exec' "{python}" "$0" "$@"
' '''
import sys

from beadwright.site.main import main

sys.exit(main())
"""


class EnvironmentNotMade(Exception):
    """The environment could not be made; the message says what a person can do."""


def main(arguments: list[str]) -> int:
    """Make the environment asked for, or say in one sentence why not."""
    if arguments not in (["core"], ["dev"]):
        print("usage: environment.py core|dev", file=sys.stderr)
        return 2
    try:
        make(arguments[0])
    except EnvironmentNotMade as error:
        print(error, file=sys.stderr)
        return 1
    return 0


def make(wanted: str) -> None:
    """Bring .venv to what is wanted: "core", or "dev", which holds core."""
    if _holds(wanted):
        return
    _require_venv()
    with _only_one():
        if _holds(wanted):  # another process made it while this one waited
            return
        before = _stamp()
        wanted = "dev" if before.get("set") == "dev" else wanted
        if before.get("root") != str(_ROOT) or not _runs(_VENV / "bin" / "python"):
            shutil.rmtree(_VENV, ignore_errors=True)
            shutil.rmtree(_BOOT, ignore_errors=True)
        _STAMP.unlink(missing_ok=True)  # a run cut off half-way must not look finished
        print(f"Making the environment ({wanted}) ...", file=sys.stderr, flush=True)
        _sync(_installer(), wanted)
        _join_checkout()
        _STAMP.write_text(json.dumps({"set": wanted, **_expected()}), encoding="utf-8")


def _holds(wanted: str) -> bool:
    stamp, expected = _stamp(), _expected()
    if stamp.get("root") != expected["root"] or not _runs(_VENV / "bin" / "python"):
        return False
    if wanted == "core":
        return stamp.get("core") == expected["core"]
    return stamp == {"set": "dev", **expected}


def _stamp() -> dict[str, str]:
    try:
        stamp: dict[str, str] = json.loads(_STAMP.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return stamp


def _expected() -> dict[str, str]:
    return {"root": str(_ROOT), "core": _digest("core"), "dev": _digest("dev")}


def _digest(name: str) -> str:
    return hashlib.sha256((_ROOT / "requirements" / f"{name}.txt").read_bytes()).hexdigest()


def _runs(python: Path) -> bool:
    """Whether this Python starts, and is the version asked for where one was asked for."""
    try:
        told = subprocess.run(
            [python, "-c", "import sys; print(*sys.version_info[:2])"],
            capture_output=True,
            text=True,
            check=True,
        )
    except (OSError, subprocess.CalledProcessError):
        return False
    asked = "BEADWRIGHT_PYTHON" in os.environ
    return not asked or told.stdout.split() == [str(part) for part in sys.version_info[:2]]


def _require_venv() -> None:
    if all(importlib.util.find_spec(name) for name in ("venv", "ensurepip")):
        return
    message = (
        f"{sys.executable} cannot make environments: install its venv package first "
        "(Debian and Ubuntu: apt-get install python3-venv)."
    )
    raise EnvironmentNotMade(message)


@contextmanager
def _only_one() -> Iterator[None]:
    folder = _ROOT / ".beadwright"
    folder.mkdir(exist_ok=True)
    with (folder / "environment.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def _installer() -> Path:
    """uv, brought by pip from a pinned and hashed line."""
    uv = _BOOT / "bin" / "uv"
    mark = _BOOT / "uv-digest"
    if mark.exists() and mark.read_text() == _digest("uv") and _runs(_BOOT / "bin" / "python"):
        return uv
    _do([sys.executable, "-m", "venv", "--clear", str(_BOOT)])
    pip = [str(_BOOT / "bin" / "python"), "-m", "pip", "install", "--disable-pip-version-check"]
    _do(
        [*pip, "-qq", "--require-hashes", "--no-deps", "-r", str(_ROOT / "requirements" / "uv.txt")]
    )
    mark.write_text(_digest("uv"))
    return uv


def _sync(uv: Path, wanted: str) -> None:
    if not _VENV.exists():
        _do([str(uv), "venv", "--quiet", "--no-project", "--python", sys.executable, str(_VENV)])
    locked = _ROOT / "requirements" / f"{wanted}.txt"
    python = str(_VENV / "bin" / "python")
    _do([str(uv), "pip", "sync", "--quiet", "--python", python, "--require-hashes", str(locked)])


def _join_checkout() -> None:
    """Let .venv import the checkout as it stands, and make .venv/bin/beadwright."""
    python = _VENV / "bin" / "python"
    ask = [str(python), "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"]
    packages = subprocess.run(ask, capture_output=True, text=True, check=True).stdout.strip()
    (Path(packages) / "beadwright-checkout.pth").write_text(f"{_ROOT}\n", encoding="utf-8")
    script = _VENV / "bin" / "beadwright"
    script.write_text(_SCRIPT.format(python=python), encoding="utf-8")
    script.chmod(0o755)


def _do(command: list[str]) -> None:
    settings = {**os.environ, "UV_SYSTEM_CERTS": "true"}
    done = subprocess.run(
        command, cwd=_ROOT, env=settings, capture_output=True, text=True, check=False
    )
    if done.returncode:
        step = " ".join(command[:4])
        message = (
            f"The environment could not be made: {step} ... ended with {done.returncode}.\n"
            f"{(done.stderr or done.stdout).strip()}\n"
            "If this machine has no network now, connect it once; later starts need none."
        )
        raise EnvironmentNotMade(message)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
