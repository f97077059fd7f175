"""The wheel in an empty environment: built, installed with the core's hashes, put to work.

Read :func:`try_wheel` first.
"""

import os
import subprocess
import tempfile
import zipfile
from pathlib import Path

__all__ = ["WheelFailed", "WheelNotTried", "try_wheel"]

_ROOT = Path(__file__).resolve().parents[1]
_PYTHON = _ROOT / ".venv" / "bin" / "python"
_UV = _ROOT / ".boot" / "bin" / "uv"
_MUST_HOLD = (
    "beadwright/py.typed",
    "beadwright/site/main.py",
    "beadwright/ledger/migrations/0001",
    "beadwright/reports/templates/",
    "beadwright/standards/data/",
)


class WheelFailed(Exception):
    """The wheel lacks something, or does not work."""


class WheelNotTried(Exception):
    """The wheel could not be tried here, for want of a network."""


def try_wheel() -> None:
    """Build it, install it where nothing else is, and let it assess a small plant."""
    with tempfile.TemporaryDirectory(prefix="beadwright-wheel-") as name:
        folder = Path(name)
        _do([_PYTHON, "-m", "hatchling", "build", "-t", "wheel", "-d", folder], _ROOT)
        (wheel,) = folder.glob("*.whl")
        _look_into(wheel)
        environment = folder / "environment"
        _do([_UV, "venv", "-q", "--no-project", "--python", _PYTHON, environment], _ROOT)
        _install(environment, wheel)
        elsewhere = folder / "elsewhere"
        elsewhere.mkdir()
        _use(environment / "bin", elsewhere)


def _look_into(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
    missing = [
        wanted for wanted in _MUST_HOLD if not any(name.startswith(wanted) for name in names)
    ]
    own = ("beadwright/", "beadwright-")
    stray = [name for name in names if not name.startswith(own)]
    if missing or stray:
        message = f"{wheel.name} lacks {missing} and carries {stray}, which are not its own"
        raise WheelFailed(message)


def _install(environment: Path, wheel: Path) -> None:
    python = environment / "bin" / "python"
    core = _ROOT / "requirements" / "core.txt"
    try:
        _do([_UV, "pip", "sync", "-q", "--python", python, "--require-hashes", core], _ROOT)
    except WheelFailed as error:
        message = f"the packages the wheel needs could not be fetched: {error}"
        raise WheelNotTried(message) from error
    offline = ["--no-deps", "--offline", "--no-index"]
    _do([_UV, "pip", "install", "-q", "--python", python, *offline, wheel], _ROOT)


def _use(programs: Path, elsewhere: Path) -> None:
    """The tool does its work with the checkout out of the way."""
    where = "import beadwright; print(beadwright.__file__)"
    said = _do([programs / "python", "-c", where], elsewhere)
    if not said.startswith(str(programs.parent)):
        message = f"the wheel's beadwright was imported from {said.strip()}"
        raise WheelFailed(message)
    beadwright = programs / "beadwright"
    store = elsewhere / "plant.sqlite3"
    _do([beadwright, "--help"], elsewhere)
    _do([beadwright, "demo", "--seed", "7", "--to", elsewhere / "files"], elsewhere)
    _do([beadwright, "--store", store, "import", elsewhere / "files"], elsewhere)
    _do([beadwright, "--store", store, "assess"], elsewhere, may_end=(0, 1))
    _do([beadwright, "--store", store, "verify"], elsewhere)
    visit: list[str | Path] = ["visit", "--since", "2025-09-15", "--lot", "L1-001", "--to"]
    _do([beadwright, "--store", store, *visit, elsewhere / "visit.pdf"], elsewhere)


def _do(command: list[str | Path], folder: Path, may_end: tuple[int, ...] = (0,)) -> str:
    # Nothing of the checkout's own settings may help the wheel.
    settings = {key: text for key, text in os.environ.items() if not key.startswith("BEADWRIGHT")}
    for key in ("PYTHONPATH", "DJANGO_SETTINGS_MODULE", "VIRTUAL_ENV"):
        settings.pop(key, None)
    settings["UV_SYSTEM_CERTS"] = "true"
    done = subprocess.run(
        [str(part) for part in command],
        cwd=folder,
        env=settings,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode not in may_end:
        words = " ".join(str(part) for part in command)
        message = f"{words} ended with {done.returncode}:\n{done.stdout}{done.stderr}"
        raise WheelFailed(message)
    return done.stdout
