"""Who may see what: every view says it by one of these; a view that says nothing is not served.

Roles are the record's, and what they may is ``plant.access``'s: here a view only names it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Concatenate, ParamSpec, Protocol, cast

from django.http import HttpRequest, HttpResponse

from beadwright.plant.access import MAY_ASK, MAY_POST, Role
from beadwright.plant.accounts import Signed
from beadwright.plant.opening import Plant, open_plant

__all__ = ["Asker", "anybody", "asks", "may_see", "read_anew", "roles_of", "tells"]

_P = ParamSpec("_P")
_View = Callable[Concatenate["Asker", _P], HttpResponse]


class Asker(HttpRequest):
    """A request of somebody who is signed in."""

    plant: Plant
    signed: Signed


def read_anew(request: Asker) -> None:
    """Open the plant again after something was posted: its page tells which record it is of."""
    request.plant = open_plant(request.plant.code)


class _Marked(Protocol):
    seen_by: frozenset[Role] | None


def anybody(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Serve a view to everybody, signed in or not: how to sign in, nothing else."""
    cast("_Marked", view).seen_by = None
    return view


def asks(view: _View[_P]) -> _View[_P]:
    """Serve a view to whoever may ask questions of the record."""
    return _marked(view, MAY_ASK)


def tells(*kinds: str) -> Callable[[_View[_P]], _View[_P]]:
    """Serve a view to whoever may post one of these kinds of step or entry."""
    roles = frozenset(
        role for role, (steps, entries) in MAY_POST.items() if set(kinds) & (steps | entries)
    )
    return lambda view: _marked(view, roles)


def may_see(view: object, role: Role | None) -> bool:
    """Whether a view is served to a role; to nobody where the view does not say."""
    roles = roles_of(view)
    return roles is None or (role is not None and role in roles)


def roles_of(view: object) -> frozenset[Role] | None:
    """Roles that a view is served to; None for everybody, none for a view that does not say."""
    return getattr(view, "seen_by", frozenset())


def _marked(view: _View[_P], roles: frozenset[Role]) -> _View[_P]:
    cast("_Marked", view).seen_by = roles
    return view
