"""The server: where it may listen, by which names it answers, and that it stops when told to."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from beadwright.cli.session import Served
from beadwright.errors import Misuse
from beadwright.site.secret import secret
from beadwright.site.serving import names_of, serve


@pytest.mark.parametrize("address", ["0.0.0.0", "192.0.2.10", "::"])  # noqa: S104 - refused
def test_beyond_this_machine_it_listens_over_tls_only(address: str, tmp_path: Path) -> None:
    """Nothing is opened, and nobody is told that it was."""
    with pytest.raises(Misuse, match="over TLS only"):
        serve(tmp_path / "store", "P1", Served(address, 8765), lambda: pytest.fail("ready"))


def test_a_certificate_goes_with_its_key_and_both_are_there(tmp_path: Path) -> None:
    """The message says which is not."""
    file = tmp_path / "plant.pem"
    for certificate, key, said in ((file, None, "together"), (file, file, "no file")):
        served = Served("127.0.0.1", 8765, certificate, key)
        with pytest.raises(Misuse, match=said):
            serve(tmp_path / "store", "P1", served, lambda: pytest.fail("ready"))


def test_it_answers_by_the_address_it_listens_on_and_the_names_it_is_given() -> None:
    """Where it listens on every address, by any name, unless names are given."""
    assert names_of("127.0.0.1", "") == ""
    assert names_of("192.0.2.10", "tablet.plant.example") == "tablet.plant.example,192.0.2.10"
    assert names_of("0.0.0.0", "") == "*"  # noqa: S104 - asked, not opened
    assert names_of("::", "tablet.plant.example") == "tablet.plant.example"


@pytest.mark.parametrize("in_file", [True, False])
def test_all_workers_sign_with_one_key(
    in_file: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Kept beside a store that is a file; of a server's store it is named to them all."""
    store = tmp_path / "store"
    monkeypatch.setattr(os, "environ", {} if in_file else {"BEADWRIGHT_DATABASE_URL": "elsewhere"})
    monkeypatch.setattr(os, "execv", lambda *_: None)
    serve(store if in_file else None, "P1", Served("127.0.0.1", 8765), lambda: None)

    named = os.environ["BEADWRIGHT_SECRET"]
    assert len(named) >= 40
    assert secret() == named
    if in_file:
        assert Path(f"{store}.key").read_text() == named


@pytest.mark.parametrize("told", ["Ctrl-C", "SIGTERM", "SIGTERM while it starts"])
def test_it_stops_when_told(told: str, tmp_path: Path, process_environ: dict[str, str]) -> None:
    """Whole, in time, without a fault; a terminal sends Ctrl-C to the workers as well."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = str(free.getsockname()[1])
    environ = {**process_environ, "BEADWRIGHT_STORE": str(tmp_path / "store.sqlite3")}
    command = [sys.executable, "-m", "beadwright.site.serving", "127.0.0.1", port, "", ""]
    log = tmp_path / "log"
    with log.open("w") as said:
        server = subprocess.Popen(
            command, env=environ, stdout=said, stderr=said, start_new_session=True
        )
    try:
        if told == "SIGTERM while it starts":
            _wait_for_workers(server)
        else:
            _wait_for_answer(server, port)
        if told == "Ctrl-C":
            _wait_until_deaf(server)
            os.killpg(server.pid, signal.SIGINT)
        else:
            server.terminate()
        assert server.wait(20) == 0
        # (a worker that is told before it listens may have to be killed)
        assert told == "SIGTERM while it starts" or "Killing" not in log.read_text()
        with pytest.raises(ProcessLookupError):
            os.killpg(server.pid, 0)
    finally:
        if server.poll() is None:
            os.killpg(server.pid, signal.SIGKILL)
            server.wait()


def _wait_for_answer(server: subprocess.Popen[bytes], port: str) -> None:
    for _ in range(300):
        assert server.poll() is None, "the server ended"
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/in/", timeout=20).close()
        except urllib.error.HTTPError as answer:  # the store holds no plant: it says so
            answer.close()
            return
        except urllib.error.URLError:
            time.sleep(0.1)
    pytest.fail("the server did not answer within 30 s")


def _wait_until_deaf(server: subprocess.Popen[bytes]) -> None:
    """Wait until no worker hears Ctrl-C any more: the second may still be on its way."""
    bit = 1 << (signal.SIGINT - 1)
    for _ in range(3000):
        blocked = [
            int(line.split()[1], 16)
            for child in _children(server)
            for line in Path(f"/proc/{child}/status").read_text(encoding="ascii").splitlines()
            if line.startswith("SigBlk:")
        ]
        if len(blocked) == 2 and all(mask & bit for mask in blocked):
            return
        time.sleep(0.01)
    pytest.fail("a worker hears Ctrl-C after 30 s")


def _children(server: subprocess.Popen[bytes]) -> list[str]:
    path = Path(f"/proc/{server.pid}/task/{server.pid}/children")
    return path.read_text(encoding="ascii").split()


def _wait_for_workers(server: subprocess.Popen[bytes]) -> None:
    for _ in range(3000):
        assert server.poll() is None, "the server ended"
        if len(_children(server)) == 2:
            return
        time.sleep(0.01)
    pytest.fail("no workers were made within 30 s")
