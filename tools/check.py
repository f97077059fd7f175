"""Everything that must hold, in groups: `check [--long] [GROUP ...]`, `check --list`.

Read :data:`GROUPS` first. `--long` gives the property tests more time.
Each group ends in one line with its time; the last line is the result.
Exit: 0 all ok, 1 something failed, 2 something could not be had here (INCOMPLETE), also misuse.
"""

import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from tools.fresh import FreshFailed, FreshNotTried, try_fresh
from tools.postgres import NoPostgresql, server
from tools.wheel import WheelFailed, WheelNotTried, try_wheel

__all__ = ["GROUPS", "Failed", "Incomplete", "Outcome", "main", "verdict"]

_ROOT = Path(__file__).resolve().parents[1]
_BIN = _ROOT / ".venv" / "bin"
_CODE = ("beadwright", "tests", "tools", "benchmarks")
_POSTGRES = "BEADWRIGHT_TEST_POSTGRES_URL"
_FROM_OUTSIDE = re.compile(
    r"<(script|img|iframe|source|embed)\b[^>]*\bsrc=[\"']?(https?:)?//"
    r"|<link\b[^>]*\bhref=[\"']?(https?:)?//"
    r"|url\([\"']?(https?:)?//"
)
_POPPLER = ("pdftotext", "pdfinfo", "pdffonts", "pdfdetach")
"""An independent reader of papers, which the environment does not carry."""

_LONG = ["--hypothesis-profile=long"]


class Failed(Exception):
    """The group found something that does not hold."""


class Incomplete(Exception):
    """The group needs something that cannot be had here; the message names it."""


@dataclass(frozen=True)
class Outcome:
    """How one group ended: "ok", "FAILED" or "INCOMPLETE", and why."""

    group: str
    end: str
    seconds: float
    why: str = ""

    def __str__(self) -> str:
        """Say it in one closing line."""
        why = f": {self.why.splitlines()[0]}" if self.why else ""
        return f"check: {self.group} {self.end} ({self.seconds:.1f} s){why}"


def _run(*command: str, **environment: str) -> None:
    program = _BIN / command[0]
    settings = {**os.environ, "PYTHONPATH": str(_ROOT), **environment}
    done = subprocess.run([str(program), *command[1:]], cwd=_ROOT, env=settings, check=False)
    if done.returncode:
        message = f"{command[0]} ended with {done.returncode}"
        raise Failed(message)


def _pytest(*arguments: str, **environment: str) -> None:
    long = _LONG if "--long" in sys.argv else []
    _run("pytest", *arguments, *long, **environment)


def _format() -> None:
    _run("ruff", "format", "--check", ".")


def _lint() -> None:
    _run("ruff", "check", ".")


def _types() -> None:
    _run("mypy", *_CODE)


def _floors() -> None:
    _run("lint-imports", "--no-cache", "--no-logo")
    _pytest("tests/house/test_floors.py", "-n2")


def _sqlite() -> None:
    apart = ("--ignore=tests/house", "--ignore=tests/browser")
    _pytest("-n2", *apart, "-m", "not poppler", **{_POSTGRES: ""})


def _papers() -> None:
    missing = [name for name in _POPPLER if shutil.which(name) is None]
    if missing:
        message = f"no {', '.join(missing)} here; on Debian: apt-get install poppler-utils"
        raise Incomplete(message)
    _pytest("tests/reports", "-m", "poppler", **{_POSTGRES: ""})


def _browser() -> None:
    if shutil.which("chromium") is None and shutil.which("chromium-browser") is None:
        message = "no Chromium here; on Debian: apt-get install chromium"
        raise Incomplete(message)
    _pytest("tests/browser", "-n2", **{_POSTGRES: ""})


def _postgres() -> None:
    apart = ("--ignore=tests/house", "--ignore=tests/browser")
    arguments = ("-n2", *apart, "-m", "store and not poppler", "tests")
    if os.environ.get(_POSTGRES):
        _pytest(*arguments)
        return
    try:
        with server() as url:
            _pytest(*arguments, **{_POSTGRES: url})
    except NoPostgresql as error:
        raise Incomplete(str(error)) from error


def _house() -> None:
    _pytest("tests/house", "--ignore=tests/house/test_floors.py", "-n2", **{_POSTGRES: ""})


def _docs() -> None:
    out = str(_ROOT / "docs" / "_build")
    _run("sphinx-build", "-q", "-W", "--keep-going", "-E", "-b", "html", "docs", out)
    fetched = [path.name for path in Path(out).rglob("*") if _fetches(path)]
    if fetched:
        message = f"pages fetch something from outside: {', '.join(sorted(fetched))}"
        raise Failed(message)


def _fetches(path: Path) -> bool:
    """Whether a browser would load something from another host to show this page."""
    if path.suffix not in {".html", ".css"}:
        return False
    return _FROM_OUTSIDE.search(path.read_text(encoding="utf-8", errors="replace")) is not None


def _wheel() -> None:
    try:
        try_wheel()
    except WheelFailed as error:
        raise Failed(str(error)) from error
    except WheelNotTried as error:
        raise Incomplete(str(error)) from error


def _fresh() -> None:
    try:
        print(try_fresh())
    except FreshFailed as error:
        raise Failed(str(error)) from error
    except FreshNotTried as error:
        raise Incomplete(str(error)) from error


GROUPS: dict[str, tuple[Callable[[], None], str]] = {
    "format": (_format, "the formatter would change nothing"),
    "lint": (_lint, "the linter finds nothing"),
    "types": (_types, "mypy strict on everything but migrations"),
    "floors": (_floors, "imports point down, and planted violations are caught"),
    "sqlite": (_sqlite, "unit, property and outside checks, on SQLite"),
    "papers": (_papers, "an independent reader finds every figure in the papers"),
    "browser": (_browser, "each page in Chromium: pictures, no axe violation, keyboard"),
    "postgres": (_postgres, "the tests that need a store, on PostgreSQL"),
    "house": (_house, "sizes, names, docstrings, documentation, migrations"),
    "docs": (_docs, "the documentation builds without a warning"),
    "wheel": (_wheel, "the wheel works in an empty environment"),
    "fresh": (_fresh, "a fresh copy runs, starts again in seconds, and opens a plant's own store"),
}


def verdict(outcomes: list[Outcome]) -> tuple[str, int]:
    """The last line and the exit status: a failure outweighs what could not be had."""
    for end, status in (("FAILED", 1), ("INCOMPLETE", 2)):
        groups = [outcome.group for outcome in outcomes if outcome.end == end]
        if groups:
            return f"check: {end}: {', '.join(groups)}", status
    return f"check: ok: {', '.join(outcome.group for outcome in outcomes)}", 0


def main(arguments: list[str]) -> int:
    """Run the groups named, or all of them."""
    if arguments == ["--list"]:
        for name, (_, what) in GROUPS.items():
            print(f"{name:9} {what}")
        return 0
    names = [argument for argument in arguments if argument != "--long"]
    odd = [name for name in names if name not in GROUPS]
    if odd:
        print(f"check: no such group: {', '.join(odd)}. There are: {', '.join(GROUPS)}.")
        return 2
    with suppress(AttributeError):  # our lines and those of the tools in the order they happen
        sys.stdout.reconfigure(line_buffering=True)  # type: ignore[union-attr]
    outcomes = [_outcome(name) for name in names or GROUPS]
    print()
    for outcome in outcomes:
        print(outcome)
    line, status = verdict(outcomes)
    print(line)
    return status


def _outcome(name: str) -> Outcome:
    print(f"\n== {name}: {GROUPS[name][1]}")
    start = time.monotonic()
    end, why = "ok", ""
    try:
        GROUPS[name][0]()
    except Failed as error:
        end, why = "FAILED", str(error)
    except Incomplete as error:
        end, why = "INCOMPLETE", str(error)
    outcome = Outcome(name, end, time.monotonic() - start, why)
    for line in why.splitlines()[1:]:
        print(line)
    print(outcome)
    return outcome


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
