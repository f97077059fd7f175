"""How `./run` and `./check` make the environment, and what they say where they cannot."""

import json
import subprocess
from pathlib import Path

import pytest

from tests.house.tree import ROOT
from tools import environment


@pytest.fixture
def stamp(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A stamp of the test's own, beside an environment that runs."""
    path = tmp_path / "stamp.json"
    monkeypatch.setattr(environment, "_STAMP", path)
    monkeypatch.setattr(environment, "_runs", lambda _: True)
    return path


def write(stamp: Path, installed: str, **other: str) -> None:
    """Say what is installed."""
    stamp.write_text(json.dumps({"set": installed, **environment._expected(), **other}))


def test_the_core_is_there_where_everything_is_there(stamp: Path) -> None:
    """`./run` after `./check` changes nothing."""
    write(stamp, "dev")

    assert environment._holds("core")
    assert environment._holds("dev")


def test_the_core_alone_is_not_enough_to_develop(stamp: Path) -> None:
    """`./check` after `./run` adds what is missing."""
    write(stamp, "core")

    assert environment._holds("core")
    assert not environment._holds("dev")


@pytest.mark.parametrize("changed", [{"core": "0"}, {"root": "/elsewhere"}])
def test_other_requirements_or_another_place_make_it_anew(
    stamp: Path, changed: dict[str, str]
) -> None:
    """Scripts hold their path, and packages their version."""
    write(stamp, "dev", **changed)

    assert not environment._holds("core")


def test_a_damaged_stamp_is_no_stamp(stamp: Path) -> None:
    """An environment that was cut off half-way is made again."""
    stamp.write_text('{"set": "de')

    assert not environment._holds("core")


def test_a_python_without_venv_is_named_with_its_remedy(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """One sentence: what is missing, and which package to install."""
    monkeypatch.setattr(environment, "_STAMP", tmp_path / "none")
    monkeypatch.setattr("importlib.util.find_spec", lambda _: None)

    assert environment.main(["core"]) == 1
    said = capsys.readouterr().err.strip()
    assert "python3-venv" in said
    assert said.count("\n") == 0


@pytest.mark.parametrize("command", ["run", "check", "bench"])
def test_a_machine_without_python_is_told_which_to_install(command: str, tmp_path: Path) -> None:
    """The three commands say so themselves and do not start."""
    tools = tmp_path / "bin"
    tools.mkdir()
    (tools / "dirname").symlink_to("/usr/bin/dirname")

    done = subprocess.run(
        ["/bin/sh", str(ROOT / command)],
        env={"PATH": str(tools)},
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 1
    assert "needs Python 3.11" in done.stderr


@pytest.mark.parametrize("odd", [["--stroe", "x"], ["--store"], ["--store", ""], ["x"]])
def test_run_refuses_what_it_does_not_know(odd: list[str]) -> None:
    """Misuse is status 2, before anything is made."""
    done = subprocess.run([str(ROOT / "run"), *odd], capture_output=True, text=True, check=False)

    assert done.returncode == 2
    assert done.stderr.startswith("usage: ./run")
