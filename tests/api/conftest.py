"""The interface asked as a program asks it: by a token of each role, or none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pytest
from django.test import Client

from beadwright.plant import tokens
from beadwright.plant.access import Role
from beadwright.plant.opening import open_plant
from tests.plant.yard import Yard

BUNDLE = {"bundle": "BN-1", "lot": "L1", "pieces": "2", "by": "KR"}


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    kind: str
    body: Any

    @property
    def codes(self) -> list[str]:
        """Codes of the faults of a problem."""
        assert self.kind == "application/problem+json"
        assert {"type", "title", "status", "detail"} <= set(self.body)
        assert self.body["status"] == self.status
        for one in self.body["faults"]:
            assert set(one) == {"code", "what", "value", "where", "remedy"}
        return [one["code"] for one in self.body["faults"]]


@dataclass(frozen=True)
class Program:
    """A program with a token, or without one."""

    token: str = ""

    def ask(self, path: str) -> Answer:
        """Ask a question."""
        return _answer(Client().get(f"/api{path}", headers=self._headers()))

    def tell(self, path: str, texts: Mapping[str, str], key: str = "k-1", **more: object) -> Answer:
        """Send a form; the test client checks for proof of the page, as a server does."""
        client = Client(enforce_csrf_checks=True)
        headers = {**self._headers(), **({"Idempotency-Key": key} if key else {})}
        body = {"texts": texts, **more}
        return _answer(
            client.post(f"/api{path}", body, content_type="application/json", headers=headers)
        )

    def _headers(self) -> dict[str, str]:
        return {"Authorization": f"Bearer {self.token}"} if self.token else {}


def _answer(response: Any) -> Answer:
    return Answer(response.status_code, response.headers["Content-Type"], response.json())


def program(role: Role | None, station: str = "") -> Program:
    """Give a program with a token of a role, or without one."""
    if role is None:
        return Program()
    return Program(tokens.give(open_plant("P1"), f"{role}{station}", role, station))


@pytest.fixture
def yard() -> Yard:
    """A plant with a block lot L1, made at the press FP1."""
    yard = Yard.open()
    yard.block_lot("L1")
    yard.set("place", "E1", kind="expander")
    return yard
