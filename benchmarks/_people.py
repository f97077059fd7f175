"""People at their screens: each asks, reads for a while, and asks again.

Read :func:`crowd`. A person is a thread with a connection that is kept open, as a browser's is.
"""

from __future__ import annotations

import random
import re
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from http.client import HTTPConnection, HTTPResponse, RemoteDisconnected
from threading import Thread
from urllib.parse import urlencode

__all__ = ["Answered", "Person", "Screen", "crowd", "filled", "lives"]

_READS_S = 10.0
"""How long a person looks at what came, on average: as often does a page that lives ask anew."""

_SETTLES_S = 10.0
"""What is asked before that is not counted: the first pages of a worker are slow."""

_INPUT = re.compile(r'<input[^>]* name="([^"]+)"[^>]*? value="([^"]*)"')
_LIVES = re.compile(r'hx-get="([^"]+)"')


@dataclass(frozen=True, slots=True)
class Answered:
    """One request, and how long it took."""

    what: str
    seconds: float
    status: int
    size: int


@dataclass(slots=True)
class Person:
    """Somebody with a browser."""

    address: tuple[str, int]
    number: int
    cookies: dict[str, str] = field(default_factory=dict)
    answered: list[Answered] = field(default_factory=list)
    _line: HTTPConnection | None = None

    def get(self, what: str, path: str, *, part: bool = False) -> str:
        """Ask for a page, or for a part of one."""
        return self._ask(what, "GET", path, None, {"HX-Request": "true"} if part else {})

    def post(self, what: str, path: str, texts: dict[str, str]) -> str:
        """Send a form."""
        headers = {"Content-Type": "application/x-www-form-urlencoded"}
        return self._ask(what, "POST", path, urlencode(texts), headers)

    def _ask(
        self, what: str, method: str, path: str, body: str | None, headers: dict[str, str]
    ) -> str:
        kept = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        begun = time.perf_counter()
        try:
            answer = self._answer(method, path, body, {**headers, "Cookie": kept})
        except (RemoteDisconnected, ConnectionError):  # kept open too long for the server
            self._line = None
            answer = self._answer(method, path, body, {**headers, "Cookie": kept})
        text = answer.read()
        seconds = time.perf_counter() - begun
        self._keep(answer)
        self.answered.append(Answered(what, seconds, answer.status, len(text)))
        return text.decode()

    def _answer(
        self, method: str, path: str, body: str | None, headers: dict[str, str]
    ) -> HTTPResponse:
        if self._line is None:
            self._line = HTTPConnection(*self.address, timeout=30)
        self._line.request(method, path, body, headers)
        return self._line.getresponse()

    def _keep(self, answer: HTTPResponse) -> None:
        for one in answer.headers.get_all("Set-Cookie") or ():
            name, _, value = one.partition(";")[0].partition("=")
            self.cookies[name] = value


Screen = Callable[[Person, random.Random], None]
"""What somebody does in one go: a page, or a form filled and sent."""


def crowd(people: Sequence[Person], screens: Sequence[tuple[float, Screen]], seconds: float
          ) -> list[Answered]:  # fmt: skip
    """Let them all work for a while; give what was answered once it had settled."""
    until = time.perf_counter() + seconds
    counted = time.perf_counter() + _SETTLES_S
    found: list[Answered] = []

    def work(person: Person) -> None:
        chance = random.Random(person.number)
        weights = [weight for weight, _ in screens]
        time.sleep(chance.uniform(0, _READS_S))
        while time.perf_counter() < until:
            person.answered.clear()
            chance.choices(screens, weights)[0][1](person, chance)
            if time.perf_counter() > counted:
                found.extend(person.answered)
            time.sleep(chance.expovariate(1 / _READS_S))

    threads = [Thread(target=work, args=(person,)) for person in people]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return found


def filled(page: str) -> dict[str, str]:
    """Give the form of a page as it is proposed."""
    return dict(_INPUT.findall(page))


def lives(page: str) -> str:
    """Give the address that a page is asked anew by; empty where it does not live."""
    found = _LIVES.search(page)
    return found[1].replace("&amp;", "&") if found else ""
