"""The pages of the documentation that the program writes itself: commands, codes, lists of words.

Read :data:`PAGES` first. As a program (`python -m tools.pages`) it writes them anew; a test
compares them with what stands in docs/.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import typer

from beadwright.cli.main import app
from beadwright.plant.codes import CODES
from benchmarks._kept import figures_page
from tools.sheets_page import sheets_page

__all__ = ["PAGES", "codes_page", "commands_page", "verbs"]

_DOCS = Path(__file__).resolve().parents[1] / "docs"

_COMMANDS = """\
# Commands

Written by `python -m tools.pages` from the program; do not edit.
"""

_CODES = """\
# Codes

Written by `python -m tools.pages` from the program; do not edit.
A code never changes its meaning once it has been shipped.

At the shell a refusal ends with exit status 1, whatever its code, but for a name that the record
does not know: a lot, cause, hold, step, readings, limit, file or action that is not there is misuse
(exit status 2), in a question and in a decision alike.

"""

_KINDS = {
    "refusal": (
        "Refusals",
        "What cannot be meant. It is refused always and nothing is written.",
    ),
    "forbidden": (
        "Nonconformities that hold",
        (
            "What is forbidden. It is refused where it is *planned*. Where it *has happened* it "
            "is recorded as it was keyed, its outputs go on hold, and an engineer closes it."
        ),
    ),
    "notice": (
        "Nonconformities that hold nothing",
        "What must be looked at. It holds nothing by itself.",
    ),
    "row": (
        "Faults in a file",
        "What an import finds in a row. A file with such a row posts nothing; all are listed.",
    ),
}


def codes_page() -> str:
    """Every code, by what it does."""
    odd = sorted({kind for kind, _ in CODES.values()} - set(_KINDS))
    if odd:
        message = f"codes of a kind that the page does not explain: {', '.join(odd)}"
        raise ValueError(message)
    parts = [_CODES]
    used = {kind for kind, _ in CODES.values()}
    for kind, (title, what) in ((kind, told) for kind, told in _KINDS.items() if kind in used):
        rows = [f"| `{code}` | {CODES[code][1]} |" for code in CODES if CODES[code][0] == kind]
        table = ["| code | meaning |", "| --- | --- |", *rows]
        parts.append(f"## {title}\n\n{what}\n\n" + "\n".join(table) + "\n\n")
    return "".join(parts).rstrip() + "\n"


def verbs() -> dict[str, Any]:
    """Each verb with its command, in the order they are shown."""
    root: Any = typer.main.get_command(app)
    return {name: command for name, command in root.commands.items() if not command.hidden}


def commands_page() -> str:
    """Every verb with its arguments and options."""
    root = typer.main.get_command(app)
    parts = [_COMMANDS, _described("beadwright", root, before="VERB ...")]
    parts += [_described(f"beadwright {name}", command) for name, command in verbs().items()]
    return "\n".join(parts).rstrip() + "\n"


def _described(name: str, command: Any, before: str = "") -> str:
    arguments = [item for item in command.params if item.param_type_name == "argument"]
    options = [
        item
        for item in command.params
        if item.param_type_name == "option" and not item.hidden and not _of_the_shell(item)
    ]
    words = [name, "[OPTIONS]" if options else "", *map(_metavar, arguments), before]
    usage = " ".join(word for word in words if word)
    lines = [f"## {name}", "", (command.help or "").replace("\b\n", "").strip(), ""]
    lines += ["```text", usage, "```", ""]
    rows = [f"| `{_metavar(item)}` | {_cell(item)} |" for item in arguments]
    rows += [f"| {_spelled(item)} | {_cell(item)} |" for item in options]
    if rows:
        lines += ["| given | meaning |", "| --- | --- |", *rows, ""]
    return "\n".join(lines)


def _of_the_shell(item: Any) -> bool:
    return bool({"--install-completion", "--show-completion"} & set(item.opts))


def _metavar(item: Any) -> str:
    name = str(item.metavar or item.name.upper())
    name += "..." if item.nargs == -1 else ""
    return name if item.required else f"[{name}]"


def _spelled(item: Any) -> str:
    value = "" if item.is_flag else f" {item.metavar or item.name.upper()}"
    names = [f"`{option}{value}`" for option in (*item.opts, *item.secondary_opts)]
    return ", ".join(names)


def _cell(item: Any) -> str:
    text = " ".join((item.help or "").split()).replace("|", "\\|")
    return f"{text} Must be given." if item.required and item.param_type_name == "option" else text


PAGES: dict[str, Callable[[], str]] = {
    "codes.md": codes_page,
    "commands.md": commands_page,
    "figures.md": figures_page,
    "sheets.md": sheets_page,
}


if __name__ == "__main__":
    for _name, _page in PAGES.items():
        (_DOCS / _name).write_text(_page(), encoding="utf-8")
