"""Every page against every role and none; and no page that does not say who may see it."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import get_resolver

from beadwright.plant.access import MAY_ASK, Role
from beadwright.web.access import roles_of
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

OPEN = {"in/", "out/", "who/", "choices/"}
"""Pages for everybody, signed in or not."""

GIVEN = {
    "code": "L1", "key": "1", "name": "L1", "place": "S1", "lot": "L1", "seq": "1",
    "product": "FB6", "instrument": "BAL-1", "cause": "too_fresh:S1",
    "series": "length_24h.FB6", "sha256": "0" * 64,
    "recall_name": "R-01", "paper": "scope.xlsx",
}  # fmt: skip


_UNKNOWN = ("correct/", "cause>/", "sha256>/", "studies/<int:seq>/")


def patterns() -> dict[str, Any]:
    """Views by the route of their address."""
    return {
        str(one.pattern): one.callback for one in get_resolver("beadwright.web.urls").url_patterns
    }


def address(route: str) -> str:
    """An address of a route, about what the small plant holds."""
    parts = []
    for part in route.split("/"):
        named = part.strip("<>").rpartition(":")[2] if part.startswith("<") else ""
        parts.append(GIVEN[named] if named else part)
    return "/" + "/".join(parts)


def test_every_view_says_who_may_see_it() -> None:
    """One that says nothing is served to nobody: its roles are none at all."""
    silent = [route for route, view in patterns().items() if roles_of(view) == frozenset()]

    assert silent == []
    assert {route for route, view in patterns().items() if roles_of(view) is None} == OPEN


@pytest.mark.parametrize("role", [None, *Role], ids=str)
def test_a_page_is_served_to_its_roles_and_to_nobody_else(
    role: Role | None, as_: SignIn, yard: Yard
) -> None:
    """Whoever is not signed in is sent to sign in; another role is told so."""
    yard.hold(GIVEN["name"], "T-1")
    yard.gauge(GIVEN["lot"], "length", ["1.2 m"])
    yard.set("instrument", GIVEN["instrument"], what="balance", every="365 days")
    browser = as_(role)
    for route, view in patterns().items():
        if route in OPEN:
            continue
        status = browser.get(address(route)).status_code
        allowed = roles_of(view) or frozenset()
        if role is None:
            assert status == 302, route
        elif role not in allowed:
            assert status == 403, route
        else:
            # (the small plant's entries are no form's, so that none has a form to correct)
            # (nor has it a nonconformity, a curve or a study that is kept, or a recall)
            unknown = route.endswith(_UNKNOWN) or "recall_name" in route
            fine = {404} if unknown else {200, 302, 405, 422}
            assert status in fine, (route, status)


def test_a_machine_asks_nothing() -> None:
    """What its role may not ask of the record it may not see on a page."""
    assert Role.MACHINE not in MAY_ASK
    shown = [route for route, view in patterns().items() if Role.MACHINE in (roles_of(view) or ())]
    assert shown == []
