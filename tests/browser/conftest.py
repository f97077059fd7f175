"""The pages in the real browser: a served demonstration, somebody signed in, pictures kept.

Run by `./check browser`, or left out with its reason where there is no Chromium.
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    Page,
    StorageState,
    ViewportSize,
    sync_playwright,
)

from tests.house.tree import ROOT

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
SIZES: dict[str, ViewportSize] = {
    "tablet": {"width": 800, "height": 1280},
    "desk": {"width": 1280, "height": 800},
}
SEEN = (("tablet", "light"), ("desk", "dark"))
"""Each size and each light once; `./check --long` looks at each page in both."""
PICTURES = ROOT / "build" / "pictures"

_CODE = "invented"
_ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]

# The program sets itself up; what the tests' own process was set up with is not for it.
_NOT_ITS = ("DJANGO_SETTINGS_MODULE", "BEADWRIGHT_")
ENVIRONMENT = {name: value for name, value in os.environ.items() if not name.startswith(_NOT_ITS)}

Visit = Callable[..., Page]


@dataclass(frozen=True, slots=True)
class Served:
    """A demonstration that is served."""

    address: str
    store: Path

    def asked(self, *words: str) -> str:
        """Ask its store in a shell; what is printed."""
        return _program(self.store, words)


def _program(store: Path, words: Sequence[str]) -> str:
    command = [str(Path(sys.executable).parent / "beadwright"), "--store", str(store), *words]
    done = subprocess.run(
        command, cwd=store.parent, check=True, capture_output=True, text=True, env=ENVIRONMENT
    )
    return done.stdout


@pytest.fixture(scope="session")
def imported(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Store of a demonstration as it was imported: to be copied, and not to be served itself."""
    store = tmp_path_factory.mktemp("imported") / "store.sqlite3"
    _program(store, ["demo", "--seed", "1", "--to", "files"])
    _program(store, ["import", "files"])
    return store


@pytest.fixture(scope="session")
def served(imported: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of a demonstration that is served for all tests."""
    with _served(imported, tmp_path_factory.mktemp("served")) as its:
        yield its.address


@pytest.fixture
def alone(imported: Path, tmp_path: Path) -> Iterator[Served]:
    """A demonstration of a test's own, which nobody else's test is in."""
    with _served(imported, tmp_path) as its:
        yield its


@contextmanager
def _served(imported: Path, folder: Path) -> Iterator[Served]:
    store = Path(shutil.copy(imported, folder / "store.sqlite3"))
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = str(free.getsockname()[1])
    program = str(Path(sys.executable).parent / "beadwright")
    command = [program, "--store", str(store), "serve", "--port", port]
    with (folder / "log").open("w") as log:
        server = subprocess.Popen(command, stdout=log, stderr=log, env=ENVIRONMENT)
        try:
            address = f"http://127.0.0.1:{port}"
            _wait(address, server)
            yield Served(address, store)
        finally:
            server.terminate()
            assert server.wait(20) is not None


def _wait(address: str, server: subprocess.Popen[bytes]) -> None:
    for _ in range(150):
        assert server.poll() is None, "the server ended"
        try:
            urllib.request.urlopen(f"{address}/in/", timeout=5).close()  # noqa: S310 - our own
        except (urllib.error.URLError, TimeoutError):
            time.sleep(0.2)
        else:
            return
    pytest.fail("the server did not answer within 30 s")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One browser for all tests."""
    assert CHROMIUM is not None, "no Chromium: `./check browser` says what to install"
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=_ARGUMENTS)
        yield browser
        browser.close()


Signed = dict[tuple[str, str], StorageState]
"""What a browser keeps of somebody who has signed in at an address."""


@pytest.fixture(scope="session")
def signed() -> Signed:
    """Whoever signed in once, in any test: the demonstration takes a third of a second for each."""
    return {}


@pytest.fixture
def visit(served: str, browser: Browser, signed: Signed) -> Iterator[Visit]:
    """Open a page as somebody, at a size and in a scheme; nobody where no initials are given."""
    with _visits(served, browser, signed) as visited:
        yield visited


@pytest.fixture
def visit_alone(alone: Served, browser: Browser) -> Iterator[Visit]:
    """The same, of a demonstration in which no other test has keyed anything."""
    with _visits(alone.address, browser, {}) as visited:
        yield visited


@contextmanager
def _visits(address: str, browser: Browser, signed: Signed) -> Iterator[Visit]:
    open_: list[BrowserContext] = []

    def visited(path: str, *, by: str = "EI", size: str = "desk", scheme: str = "light") -> Page:
        context = browser.new_context(
            viewport=SIZES[size],
            color_scheme="dark" if scheme == "dark" else "light",
            base_url=address,
            storage_state=signed.get((address, by)),
        )
        open_.append(context)
        page = context.new_page()
        page.set_default_timeout(10_000)
        if by and (address, by) not in signed:
            page.goto("/in/")
            page.fill("#named", by)
            page.fill("#code", _CODE)
            page.get_by_role("button", name="Sign in").click()
            page.wait_for_url(f"{address}/")
            signed[address, by] = context.storage_state()
        page.goto(path)
        page.evaluate("document.fonts.ready.then(() => true)")
        return page

    yield visited
    for context in open_:
        context.close()
