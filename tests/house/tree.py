"""The project's own files and modules, as the house tests see them."""

import ast
import subprocess
from functools import cache
from pathlib import Path

__all__ = ["ROOT", "module_name", "modules", "own_files", "parsed"]

ROOT = Path(__file__).resolve().parents[2]


@cache
def own_files() -> tuple[Path, ...]:
    """Every file that is, or would be, in the repository."""
    ask = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    told = subprocess.run(ask, cwd=ROOT, capture_output=True, text=True, check=True)
    paths = (ROOT / name for name in sorted(set(told.stdout.split("\0")) - {""}))
    return tuple(path for path in paths if path.is_file())


def modules(*folders: str) -> list[Path]:
    """The Python files under these folders of the project; migrations are Django's, not ours."""
    return [
        path
        for path in own_files()
        if path.suffix == ".py"
        and path.relative_to(ROOT).parts[0] in folders
        and "migrations" not in path.parts
    ]


def module_name(path: Path) -> str:
    """The name a file is imported by."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def parsed(path: Path) -> ast.Module:
    """A file's syntax tree."""
    return ast.parse(path.read_text(encoding="utf-8"), str(path))
