"""A command that a message names can be typed again as it stands."""

from pathlib import Path

import pytest

from beadwright.cli.called import Called, remember, retyped, typed
from tests.cli.shell import OpenStores, Outcome, Shell
from tests.plant.yard import Yard

_LONG = ".venv/bin/beadwright --store 'my plant.sqlite3' --plant P1"


@pytest.fixture(autouse=True)
def _forget() -> None:
    """What one test was called as is not what the next is."""
    remember(Called())


@pytest.mark.parametrize(
    ("called", "text", "told"),
    [
        (Called(), "see `beadwright assess L1`", "see `beadwright assess L1`"),
        (
            Called(".venv/bin/beadwright", Path("my plant.sqlite3"), "P1"),
            "see `beadwright assess L1` and `beadwright doctor --mend`.",
            f"see `{_LONG} assess L1` and `{_LONG} doctor --mend`.",
        ),
        (
            Called("./bw", Path("a.sqlite3")),
            "`beadwright --store FILE …` or `beadwright layout bags.csv`",
            "`./bw --store FILE …` or `./bw layout bags.csv`",
        ),
        (Called("./bw", Path("a.sqlite3")), "the beadwright of `release`", None),
    ],
)
def test_a_command_is_told_as_it_can_be_typed(called: Called, text: str, told: str | None) -> None:
    """With the program, the store and the plant as they were given, and nothing that was not."""
    remember(called)

    assert retyped(text) == (text if told is None else told)


def test_the_program_is_named_by_its_name_where_the_shell_finds_it_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else by the path that it was called by."""
    program = tmp_path / "beadwright"
    program.write_text("#!/bin/sh\n")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))

    assert typed(str(program)) == "beadwright"
    assert typed("elsewhere/bin/beadwright") == "elsewhere/bin/beadwright"
    assert typed("-c") == "beadwright"


@pytest.mark.django_db
def test_a_refusal_names_the_store_that_was_given() -> None:
    """What to do next can be copied."""
    Yard.open().block_lot("L1")
    shell = Shell(OpenStores(), ("--store", "plant.sqlite3"))

    told = shell("release", "L1", "--by", "P-13")

    assert told.status == 1
    assert "`beadwright --store plant.sqlite3 assess L1`" in told.err


@pytest.mark.django_db
def test_a_hint_names_no_store_that_the_environment_names(shell: Shell) -> None:
    """Nothing more is to be typed."""
    Yard.open().block_lot("L1")

    assert "`beadwright assess LOT`" in shell("assess").err


def test_misuse_says_what_to_try_as_it_was_called(shell: Shell) -> None:
    """The reader is at the same prompt."""
    told: Outcome = shell("assess", "--nothing")

    assert "Try: `beadwright assess --help`" in told.err
