"""Small things are read; large things are feared."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house.tree import ROOT, modules, parsed

MODULE_LINES = 400
FUNCTION_LINES = 40
CODE = modules("beadwright", "benchmarks", "tests", "tools")


def functions(tree: ast.AST) -> Iterator[tuple[str, int]]:
    """Each function's name and length, its docstring left out."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            documented = ast.get_docstring(node) is not None
            first = node.body[0]
            docstring = (first.end_lineno or 0) - first.lineno + 1 if documented else 0
            yield node.name, (node.end_lineno or 0) - node.lineno + 1 - docstring


@pytest.mark.parametrize("path", CODE, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_module_and_its_functions_are_short(path: Path) -> None:
    """A module has at most 400 lines, a function at most 40 besides its docstring."""
    lines = len(path.read_text(encoding="utf-8").splitlines())
    long = {name: size for name, size in functions(parsed(path)) if size > FUNCTION_LINES}

    assert not long
    assert lines <= MODULE_LINES


def test_a_long_function_would_be_seen() -> None:
    """The measure counts a body and leaves its docstring out."""
    body = "\n".join(f"    x = {number}" for number in range(41))
    tree = ast.parse(f'def long():\n    """Say.\n\n    More.\n    """\n{body}\n')

    assert dict(functions(tree)) == {"long": 42}
