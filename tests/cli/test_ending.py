"""How commands end: one message, on the right stream, with the right status."""

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.db.utils import OperationalError

from beadwright.cli import main
from beadwright.cli.ending import say, status_of
from beadwright.errors import (
    BeadwrightError,
    Fault,
    Misuse,
    OutOfRange,
    RecordBroken,
    Refusal,
    StoreUnreachable,
    UnitError,
)
from tests.cli.shell import Shell

FAULTS = [
    (
        Refusal([Fault("on_hold", "S2 is on hold", "", "", "Lift it.")]),
        1,
        "on_hold: S2 is on hold.",
    ),
    (BeadwrightError("odd"), 1, "odd"),
    (Misuse("say which way"), 2, "Say which way"),
    (UnitError("unit_unknown", "kgs is no unit.", "kgs", "Write kg."), 2, "kgs is no unit."),
    (OutOfRange("share", 2, valid="a number from 0 to 1"), 2, "share"),
    (RecordBroken(17, "changed"), 3, "entry 17"),
    (StoreUnreachable("no store is named"), 4, "No store is named"),
    (OperationalError("no such table: ledger_lot"), 4, "no such table"),
    (OperationalError("database is locked"), 4, "Another program is writing"),
    (ImproperlyConfigured("BEADWRIGHT_DATABASE_URL cannot be used"), 4, "BEADWRIGHT_DATABASE_URL"),
    (FileNotFoundError(2, "No such file or directory", "sheet.csv"), 2, "sheet.csv"),
    (ZeroDivisionError("division by zero"), 70, "a fault of the program"),
]


@pytest.mark.parametrize(("error", "status", "words"), FAULTS, ids=lambda item: type(item).__name__)
def test_every_fault_has_its_status_and_one_message(
    error: Exception, status: int, words: str
) -> None:
    """A person learns what was wrong; a program learns which kind of wrong it was."""
    given, lines = status_of(error)

    assert given == status
    assert words in "\n".join(lines)


def test_a_message_is_wrapped_and_a_path_is_not(capsys: pytest.CaptureFixture[str]) -> None:
    """Eighty columns hold it; what may be copied stays whole."""
    path = "/plants/" + "a-very-long-folder-name/" * 5 + "store.sqlite3"

    say("the file that was named is not there and so nothing could be read of it at all " + path)

    told = capsys.readouterr().err.splitlines()
    assert [line for line in told if len(line) > 80] == [f"  {path}"]


def test_a_fault_of_ours_is_no_traceback_unless_asked_for(
    shell: Shell, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """With --debug before the verb the traceback is shown, and the status is the same."""

    def broken(*_: object) -> None:
        message = "the wrong way round"
        raise ZeroDivisionError(message)

    monkeypatch.setattr("beadwright.cli.session.Session.plant", broken)

    quiet = shell("stock")
    loud = main.run(shell.stores, ["--debug", "stock"])

    assert quiet.status == loud == 70
    assert "ZeroDivisionError" in quiet.err
    assert "Traceback" in capsys.readouterr().err


def test_a_verb_that_is_none_is_misuse_and_the_near_one_is_named(shell: Shell) -> None:
    """A slip of the finger costs nothing."""
    told = shell("asess")

    assert (told.status, told.out) == (2, "")
    assert "assess" in told.err


def test_an_option_of_the_program_after_the_verb_says_where_it_belongs(shell: Shell) -> None:
    """`assess --store FILE` is what everybody types first."""
    told = shell("assess", "--store", "plant.sqlite3")

    assert told.status == 2
    assert "--store is written before the verb" in told.err


def test_no_verb_shows_the_help_and_is_misuse(shell: Shell) -> None:
    """Standard output stays free for answers."""
    told = shell()

    assert (told.status, told.out) == (2, "")
    assert "nonconformities" in told.err
