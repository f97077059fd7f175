"""Papers issued at once: each has a number of its own, and what it says was so when entered."""

import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from django.db import connections

from beadwright.ledger import rebuild
from beadwright.reports.certificate import render
from beadwright.reports.issued import issued
from tests.reports.issuing import Office

MANY = 6


def in_a_thread(work: Callable[[], Any]) -> Callable[[], Any]:
    """Do some work and close the thread's own connection."""

    def done() -> Any:
        try:
            return work()
        finally:
            connections.close_all()

    return done


@pytest.mark.usefixtures("fresh_store")
def test_numbers_never_meet() -> None:
    """Six people press the button at once: six numbers, six entries, a whole chain."""
    office = Office()
    office.release()
    with ThreadPoolExecutor(MANY) as pool:
        papers = list(pool.map(lambda _: in_a_thread(office.issue)(), range(MANY)))

    assert {paper.number for paper in papers} == {f"C-L1-{n}" for n in range(1, MANY + 1)}
    assert len(issued(office.yard.no)) == MANY
    assert rebuild.broken("P1") == []


@pytest.mark.usefixtures("fresh_store")
def test_a_hold_that_comes_meanwhile_comes_after(monkeypatch: pytest.MonkeyPatch) -> None:
    """While a paper is set nobody can change what it says: the hold waits for its entry."""
    office = Office()
    office.release()
    setting = threading.Event()

    def slow(text: str) -> bytes:
        setting.set()
        time.sleep(0.4)
        return render(text)

    monkeypatch.setattr("beadwright.reports.issuing.render", slow)
    with ThreadPoolExecutor(2) as pool:
        paper = pool.submit(in_a_thread(office.issue))
        assert setting.wait(10)
        held = pool.submit(in_a_thread(lambda: office.yard.hold("H-1", "L1")))

    assert held.result().seq == paper.result().seq + 1
    assert office.check(paper.result().pdf).verdict == "on_hold"
