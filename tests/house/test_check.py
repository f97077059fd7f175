"""What `./check` says and how it exits."""

from pathlib import Path

import pytest

from tools import check, postgres
from tools.check import GROUPS, Failed, Incomplete, Outcome, main, verdict


def outcome(group: str, end: str) -> Outcome:
    """A group that ended like this."""
    return Outcome(group, end, 1.0)


def test_all_ok_is_status_0() -> None:
    """Only then."""
    assert verdict([outcome("lint", "ok")]) == ("check: ok: lint", 0)


def test_what_could_not_be_had_is_incomplete_and_no_success() -> None:
    """A check that did not run is not a check that held."""
    outcomes = [outcome("lint", "ok"), outcome("postgres", "INCOMPLETE")]

    assert verdict(outcomes) == ("check: INCOMPLETE: postgres", 2)


def test_a_failure_outweighs_what_could_not_be_had() -> None:
    """The last line names the failure."""
    outcomes = [outcome("postgres", "INCOMPLETE"), outcome("lint", "FAILED")]

    assert verdict(outcomes) == ("check: FAILED: lint", 1)


@pytest.mark.parametrize(
    ("fault", "end", "status"),
    [(Failed("odd"), "FAILED", 1), (Incomplete("nothing to be had"), "INCOMPLETE", 2)],
)
def test_a_group_that_ends_badly_says_why(
    fault: Exception,
    end: str,
    status: int,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Its closing line gives the reason, the last line the result."""

    def group() -> None:
        raise fault

    monkeypatch.setitem(GROUPS, "lint", (group, "planted"))

    assert main(["lint"]) == status
    lines = capsys.readouterr().out.splitlines()
    assert any(line.startswith(f"check: lint {end}") and str(fault) in line for line in lines)
    assert lines[-1] == f"check: {end}: lint"


def test_a_program_that_fails_fails_its_group() -> None:
    """The exit status of the tool decides, not its words."""
    with pytest.raises(Failed):
        check._run("python", "-c", "import sys; sys.exit(3)")


def test_a_machine_without_postgresql_is_incomplete(monkeypatch: pytest.MonkeyPatch) -> None:
    """The group says so and does not pass."""

    def none(_: object) -> None:
        message = "there is no PostgreSQL here"
        raise postgres.NoPostgresql(message)

    monkeypatch.delenv("BEADWRIGHT_TEST_POSTGRES_URL", raising=False)
    monkeypatch.setattr(postgres, "_programs", none)

    with pytest.raises(Incomplete, match="no PostgreSQL"):
        GROUPS["postgres"][0]()


def test_a_machine_without_a_reader_of_papers_is_incomplete(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The group names the programs and the package, and does not pass."""
    monkeypatch.setenv("PATH", str(tmp_path))

    with pytest.raises(Incomplete, match=r"pdftotext.*poppler-utils"):
        GROUPS["papers"][0]()


def test_an_unknown_group_is_misuse(capsys: pytest.CaptureFixture[str]) -> None:
    """The answer names the groups there are."""
    assert main(["lnit"]) == 2
    assert "lint" in capsys.readouterr().out
