"""Who calls: the holder of a token; or, for questions only, who is signed in at the pages.

Default: nobody. A token is sent by the program itself, so no other site can have a browser send
it; a sitting of the pages could be used so, and may only ask.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from django.http import HttpRequest
from ninja.security import APIKeyCookie, HttpBearer

from beadwright.errors import Fault
from beadwright.plant.access import MAY_POST, Who, may_ask
from beadwright.plant.accounts import Signed
from beadwright.plant.opening import Plant
from beadwright.plant.tokens import Holder, holder

__all__ = ["Call", "Caller", "NotAllowed", "Sitting", "Token", "require_ask", "require_tell"]


@dataclass(frozen=True, slots=True)
class Caller:
    """Who calls."""

    who: Who
    token: Holder | None
    """None of who is signed in at the pages."""


class Call(HttpRequest):
    """A request of somebody who is known, about a plant."""

    plant: Plant
    signed: Signed | None
    auth: Caller


class NotAllowed(Exception):
    """Who calls may not do that."""

    def __init__(self, fault: Fault) -> None:
        """Keep why."""
        super().__init__(fault)
        self.fault = fault


class Token(HttpBearer):
    """A token, as ``Authorization: Bearer …``."""

    def authenticate(self, request: HttpRequest, token: str) -> Caller | None:
        """Give who holds it, or None."""
        found = holder(cast("Call", request).plant, token)
        return None if found is None else Caller(found.who, found)


class Sitting(APIKeyCookie):
    """A sitting of the pages: it may ask, and post nothing."""

    param_name = "sessionid"

    def __init__(self) -> None:
        """Nothing is changed by a question, so no proof of the page is asked for."""
        super().__init__(csrf=False)

    def authenticate(self, request: HttpRequest, key: str | None) -> Caller | None:  # noqa: ARG002
        """Give who is signed in; nobody where a token was sent as well, or something is told."""
        signed = cast("Call", request).signed
        if signed is None or request.method != "GET" or "Authorization" in request.headers:
            return None
        return Caller(signed.who, None)


def require_ask(caller: Caller) -> None:
    """Let through who may ask questions of the record."""
    if not may_ask(caller.who):
        raise NotAllowed(_fault(caller, "ask of the record"))


def require_tell(caller: Caller) -> None:
    """Let through who may post anything at all; the door asks about each entry."""
    role = caller.who.role
    if role is None or not MAY_POST[role][1]:
        raise NotAllowed(_fault(caller, "post anything"))


def _fault(caller: Caller, what: str) -> Fault:
    who = f"{caller.who.account} ({caller.who.role or 'no role'})"
    remedy = "Use a token of a role that allows it."
    return Fault("not_allowed", f"{who} may not {what}", "", "", remedy)
