"""One nonconformity: what happened, what it holds, and an engineer's concession with a reason."""

from __future__ import annotations

from dataclasses import dataclass, replace
from uuid import uuid4

from django.http import Http404, HttpResponse
from django.shortcuts import render

from beadwright.errors import BeadwrightError, Fault
from beadwright.plant.access import may_post
from beadwright.plant.conceding import Conceding, concede_cause, open_cause, seen_of
from beadwright.plant.duties import duties
from beadwright.plant.held import reached_by
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.plant.nonconforming import filed
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.holds.page import Flaw, flaw, why

__all__ = ["NonconformityPage", "nonconformity"]

_NOT_TAKEN = 422


@dataclass(frozen=True, slots=True)
class NonconformityPage:
    """One cause: what happened of it, and who may concede it."""

    cause: str
    flaw: Flaw
    closed: bool
    conceded: str
    """Reason of the concession."""
    may_concede: bool
    whom: str
    """Whom a concession waits for, where who looks may not give it."""
    seen: str
    """What was looked at; another once one comes or changes."""
    key: str
    file: str
    """Number of the file that it is in, which decides on it; empty where in none."""
    reason: str = ""
    faults: tuple[Fault, ...] = ()
    done: str = ""

    @property
    def waits(self) -> str:
        """Say whom it waits for."""
        return f"It waits for {self.whom}."


@asks
def nonconformity(request: Asker, cause: str) -> HttpResponse:
    """Show what happened of a cause; with a reason, concede it."""
    if request.method != "POST":
        return render(request, "holds/concede.html", {"page": _page(request, cause)})
    said = request.POST
    key, reason = said.get("key", "") or uuid4().hex, said.get("reason", "")
    page = _page(request, cause)
    what = Conceding(cause, reason, said.get("seen", ""))
    try:
        concede_cause(request.plant, request.signed.who, what, key)
    except BeadwrightError as no:
        page = replace(page, reason=reason, faults=why(no), key=key)
        return render(request, "holds/concede.html", {"page": page}, status=_NOT_TAKEN)
    done = f"A concession is given on {cause}."
    return render(
        request, "holds/concede.html", {"page": replace(_page(request, cause), done=done)}
    )


def _page(request: Asker, cause: str) -> NonconformityPage:
    found = open_cause(request.plant.no, cause)
    if found is None:
        message = f"no nonconformity has cause {cause}"
        raise Http404(message)
    role, named = request.signed.role, Named.of(request.plant)
    reach = reached_by(request.plant.no, [cause]).get(cause)
    return NonconformityPage(
        cause,
        flaw(found, reach, named, chosen(request).units),
        found.closed,
        found.reason,
        may_post(role, "concession"),
        duties(request.plant, role, moment(request.plant)).whom("concession"),
        seen_of(found),
        uuid4().hex,
        filed(request.plant.no).get(cause, ""),
    )
