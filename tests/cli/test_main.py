"""The program as a whole: its help, how quickly it starts, how small its commands are."""

import ast
import subprocess
import sys

import pytest

import beadwright
from tests.cli.shell import Shell
from tests.house.tree import module_name, modules, parsed
from tools.pages import verbs

COMMAND_LINES = 15
HEAVY = {"django", "numpy", "rich", "pint"}


def test_the_help_starts_without_anything_heavy() -> None:
    """A person who asks for help waits for nothing: no database, no arithmetic is loaded."""
    program = (
        "import sys; from beadwright.site.main import main; main(['--help'])\n"
        f"print(sorted({HEAVY!r} & set(sys.modules)), file=sys.stderr)"
    )

    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )

    assert done.stderr.strip() == "[]"
    assert done.stdout.startswith("Usage: beadwright")


def test_the_version_is_said(shell: Shell) -> None:
    """For a message to us."""
    assert shell("--version").out == f"beadwright {beadwright.__version__}\n"


@pytest.mark.parametrize("verb", verbs())
def test_every_verb_has_help_with_an_example(verb: str, shell: Shell) -> None:
    """The help shows how the verb is typed, in eighty columns."""
    told = shell(verb, "--help")

    assert told.status == 0
    assert "Example: beadwright " in told.out
    assert [line for line in told.out.splitlines() if len(line) > 80] == []


def test_every_verb_is_shown_whole_in_the_list(shell: Shell) -> None:
    """No line of the list ends in three dots."""
    assert "..." not in shell("--help").out.partition("Commands:")[2]


def bodies() -> dict[str, int]:
    """Lines of each command's body, its docstring left out."""
    trees = {module_name(path): parsed(path) for path in modules("beadwright")}
    found = {}
    for verb, command in verbs().items():
        function = command.callback
        for node in trees[function.__module__].body:
            if isinstance(node, ast.FunctionDef) and node.name == function.__name__:
                found[verb] = (node.end_lineno or 0) - node.body[1].lineno + 1
    return found


def test_a_command_parses_asks_and_shows() -> None:
    """What a command does stands in fifteen lines; the rest is somebody else's work."""
    sizes = bodies()

    assert len(sizes) == len(verbs())
    assert {name: size for name, size in sizes.items() if size > COMMAND_LINES} == {}
