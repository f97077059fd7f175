"""How long people wait for a page, fifty of them at once, while some of them key.

They ask as a plant's people do: most screens only live, some key, some read a lot's story, search
or follow a trace. Some hundred lots wait to be released, limits and plan are asked of each. The
floor is a page of fifty rows by the framework alone, asked from the same store by as many people
as often.
"""

from __future__ import annotations

import os
import random
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path
from statistics import quantiles

from beadwright.interop.importing import import_files
from beadwright.plant.access import Role, Who
from beadwright.plant.accounts import give
from beadwright.plant.opening import door_of, open_plant
from benchmarks import Result
from benchmarks._asked import asked
from benchmarks._people import Answered, Person, Screen, crowd, filled, lives
from benchmarks._stores import PLANT, Store, apart, both, waiting_folder
from benchmarks._stores import filled as filled_with

__all__ = ["run"]

_PEOPLE = 50
_SECONDS = 70.0
_CODE = "of the bench"
_TARGET_MS = 250


def run() -> list[Result]:
    """Serve each store to fifty people, and the bare page after it."""
    return [result for store in both() for result in _on(store)]


def _on(store: Store) -> list[Result]:
    filled_with(store)
    apart(store, _set_up, waiting_folder())
    with _serving(
        store, [str(Path(sys.executable).parent / "beadwright"), "serve", "--port"]
    ) as at:
        ours = crowd(_signed_in(at), _SCREENS, _SECONDS)
    with _serving(store, [sys.executable, "-m", "benchmarks._bare_page"]) as at:
        people = [Person(at, number) for number in range(_PEOPLE)]
        bare = crowd(people, [(1, _bare)], _SECONDS)
    wrong = [one for one in (*ours, *bare) if one.status not in (200, 204)]
    assert not wrong, wrong[:3]
    note = f"{len(ours)} requests in {_SECONDS - 10:.0f} s; " + ", ".join(
        f"{what} {_p95(ours, what):.0f}" for what in sorted({one.what for one in ours})
    )
    floor = round(_p95(bare), 1)
    return [
        Result(f"a page with {_PEOPLE} people, p95, {store.name}", round(_p95(ours), 1), "ms",
               _TARGET_MS, floor, "lower", note),
        Result(f"the same by the bare page, {store.name}", round(_p95(ours) / floor, 1), "times",
               2, None, "lower", "of its p95"),
    ]  # fmt: skip


def _p95(answered: Sequence[Answered], what: str = "") -> float:
    times = [1000 * one.seconds for one in answered if what in ("", one.what)]
    return quantiles(times, n=20)[-1] if len(times) > 1 else times[0]


def _set_up(waiting: Path) -> None:
    """Post what waits for its release, what is asked of it, and let three people sign in."""
    assert not import_files([waiting]).refused
    door_of(PLANT).post_many([*asked()], Who("install", Role.ENGINEER))
    for person in ("P-01", "P-02", "P-13"):
        give(open_plant(PLANT), person, _CODE)


@contextmanager
def _serving(store: Store, command: list[str]) -> Iterator[tuple[str, int]]:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        at = free.getsockname()
    kept = {name: value for name, value in os.environ.items() if not name.startswith("BEADWRIGHT_")}
    environ = {**kept, store.environ[0]: store.environ[1]}
    environ.pop("DJANGO_SETTINGS_MODULE", None)
    server = subprocess.Popen([*command, str(at[1])], env=environ)
    try:
        _wait(at)
        yield at
    finally:
        server.terminate()
        server.wait(20)


def _wait(at: tuple[str, int]) -> None:
    for _ in range(300):
        try:
            line = HTTPConnection(*at, timeout=30)
            line.request("GET", "/")
            line.getresponse().read()
        except OSError:
            time.sleep(0.1)
        else:
            return
    message = "the server did not answer within 30 s"
    raise RuntimeError(message)


def _signed_in(at: tuple[str, int]) -> list[Person]:
    """Sign in three people, each at several screens."""
    first = [Person(at, number) for number in range(3)]
    for one, name in zip(first, ("KR", "DS", "EI"), strict=True):
        form = filled(one.get("sign in", "/in/"))
        one.post("sign in", "/in/", {**form, "named": name, "code": _CODE})
        assert "sessionid" in one.cookies
    # Two of fifty are the engineer; the others key at stations.
    mine = [2 if number % 25 == 0 else number % 2 for number in range(_PEOPLE)]
    return [Person(at, number, dict(first[one].cookies)) for number, one in enumerate(mine)]


# -- what they do ----------------------------------------------------------------------------------


def _lives_on(path: str) -> Screen:
    def screen(person: Person, _: random.Random) -> None:
        page = person.get("page", path)
        person.get("live part", lives(page), part=True)

    return screen


def _reads(what: str, *paths: str) -> Screen:
    return lambda person, chance: (person.get(what, chance.choice(paths)), None)[1]


def _types(person: Person, chance: random.Random) -> None:
    whole = f"L-{chance.randrange(1900)}-{chance.randrange(4)}"
    for end in (2, 4, len(whole)):
        person.get("search", f"/search/?q={whole[:end]}", part=True)


def _keys(person: Person, chance: random.Random) -> None:
    form = filled(person.get("station", "/stations/receiving/"))
    form |= {"bag": f"N-{person.number}-{chance.randrange(10**9)}", "mass": "500", "do": "post"}
    form |= {"supplier_lot": "SL-9", "grade": "F1", "unit-mass": "kg"}
    said = person.post("entry keyed", "/stations/receiving/", form)
    assert form["bag"] in said, said


def _bare(person: Person, _: random.Random) -> None:
    person.get("bare", "/")


def _lots(pattern: str) -> list[str]:
    return [pattern.format(n, n % 4) for n in range(100, 1900, 37)]


_SCREENS: list[tuple[float, Screen]] = [
    (30, _lives_on("/")),
    (20, _lives_on("/silos/")),
    (10, _keys),
    (10, _reads("station", "/stations/press/FP1/", "/stations/bundling/", "/stations/silos/")),
    (8, _types),
    (6, _reads("lot", *_lots("/lots/L-{}-{}/"))),
    (4, _reads("trace", *_lots("/lots/L-{}-{}/trace/"))),
    (4, _reads("release", "/release/")),
    (4, _reads("entry", *(f"/entries/{n}/" for n in range(1000, 100_000, 977)))),
]
"""How often, and what."""
