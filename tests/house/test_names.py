"""What a module gives to others is listed, and no module is a drawer for odds and ends."""

import ast
import importlib
from pathlib import Path

import pytest

from tests.house.tree import ROOT, module_name, modules, own_files, parsed

OURS = modules("beadwright", "benchmarks", "tools")
DRAWERS = {"util", "utils", "helper", "helpers", "common", "base", "misc", "manager", "managers"}


def public_names(tree: ast.Module) -> set[str]:
    """What a module defines at its top and does not mark as its own."""
    names: set[str] = set()
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            names.add(node.name)
        elif isinstance(node, ast.Assign):
            names |= {target.id for target in node.targets if isinstance(target, ast.Name)}
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            names.add(node.target.id)
    return {name for name in names if not name.startswith("_")}


@pytest.mark.parametrize("path", OURS, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_module_lists_what_it_gives(path: Path) -> None:
    """Every module has `__all__`; each name in it exists, and each public name is in it."""
    module = importlib.import_module(module_name(path))  # noqa: TID251  (the test's subject)
    listed = getattr(module, "__all__", None)

    assert listed is not None, f"{path} has no __all__"
    assert sorted(set(listed)) == sorted(listed), "a name is listed twice"
    missing = {name for name in listed if not hasattr(module, name)}
    unlisted = public_names(parsed(path)) - set(listed)
    assert not missing, f"listed and not there: {', '.join(sorted(missing))}"
    assert not unlisted, f"public and not listed: {', '.join(sorted(unlisted))}"


def test_no_module_is_a_drawer() -> None:
    """A package or module is named after what it holds."""
    parts = {part for path in own_files() for part in path.relative_to(ROOT).with_suffix("").parts}

    assert not DRAWERS & parts
