"""The list of stations, and a station: a form asked first, posted, or recorded as it happened."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from uuid import uuid4

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.interop import keyed
from beadwright.interop.keyed import Likely
from beadwright.plant.duties import duties
from beadwright.plant.machines import places_of
from beadwright.plant.moment import moment
from beadwright.plant.runs import open_runs
from beadwright.web.access import Asker, asks, may_see, tells
from beadwright.web.choices.kept import chosen
from beadwright.web.stations.answers import questions
from beadwright.web.stations.fits import Fits
from beadwright.web.stations.inspection.views import inspection_view
from beadwright.web.stations.named import STATIONS, Kind, Station
from beadwright.web.stations.newest import newest
from beadwright.web.stations.page import StationPage, boxes, effects, fitted, flaws
from beadwright.web.stations.pre_expander.views import pre_expander
from beadwright.web.stations.press.views import press_view
from beadwright.web.stations.stocktake.views import stocktake
from beadwright.web.stations.stood import refreshed, stood_now, stood_of
from beadwright.web.stations.taken import taken
from beadwright.web.stations.told import told

__all__ = ["VIEWS", "station_routes", "stations"]

_NOT_TAKEN = 422


@asks
def stations(request: Asker) -> HttpResponse:
    """List the stations, those first at which who is signed in may key."""
    role = request.signed.role
    open_ = [one for one in STATIONS if may_see(VIEWS[one.name], role)]
    others = [one for one in STATIONS if one not in open_]
    ways = [
        (f"/stations/{one.name}/{place}", one, place.strip("/"))
        for one in open_
        for place in (
            [f"{name}/" for name in _machines(request, one.machine)] if one.machine else [""]
        )
    ]
    return render(request, "stations/list.html", {"ways": ways, "others": others})


def _machines(request: Asker, kind: str) -> tuple[str, ...]:
    return places_of(request.plant.no, kind, moment(request.plant))


def _require(request: Asker, station: Station, place: str) -> None:
    """Refuse a place that is no such machine."""
    known = _machines(request, station.machine)
    if place not in known:
        message = f"{place} is no {station.machine} of this plant: there are {', '.join(known)}"
        raise Misuse(message)


def _view(station: Station) -> Callable[..., HttpResponse]:
    def shown(request: Asker, place: str = "") -> HttpResponse:
        if station.machine:
            _require(request, station, place)
        wanted = request.POST.get("kind", "") or request.GET.get("kind", "")
        named = (one for one in station.kinds if one.name == wanted)
        kind = next(named, station.kinds[0])
        if request.method == "POST":
            return _told(request, station, kind, place)
        return _answer(request, _new(request, station, kind, place))

    return tells(*station.posts)(shown)


def _new(request: Asker, station: Station, kind: Kind, place: str) -> StationPage:
    """Give a form with what is likely."""
    named = ("lot", "bag", "bundle", *filter(None, [kind.of]))
    known = {name: request.GET[name] for name in named if request.GET.get(name)}
    fields = {one.name for one in keyed.fields_of(kind.name)}
    known |= {name: place for name in (station.machine, "place") if place and name in fields}
    known = {**dict(kind.given), **known}
    likely = _likely(request, kind, known, place)
    units = {**dict(kind.units), **likely.units}
    # An end that must be said is, most likely, now.
    ends = any(one.name == "ended" and one.required for one in keyed.fields_of(kind.name))
    now = {"ended": _now(request)} if ends else {}
    # A sample is, most likely, put into the conditioning room as it is put by.
    if "conditioning_from" in fields:
        now |= {"conditioning_from": _now(request), "fate": "test"}
    likely = Likely({**now, **likely.texts, **known}, units)
    fits = Fits.of(request.plant, kind.name, chosen(request).units, likely.texts)
    shown = fitted(boxes(kind.name, likely, chosen(request).units, {}, dict(kind.units)), fits)
    stood = stood_of(kind.name, likely.texts)
    return StationPage(station, kind, uuid4().hex, shown, place, stood=stood)


def _now(request: Asker) -> str:
    there = datetime.fromtimestamp(moment(request.plant) / 1000, request.plant.zone)
    return f"{there:%Y-%m-%d %H:%M}"


def _likely(request: Asker, kind: Kind, known: dict[str, str], place: str) -> Likely:
    """Give what the next form likely holds: of a count, what the open run of the press says."""
    if kind.name == "mould_runs":
        runs = open_runs(request.plant.no, moment(request.plant))
        its = [one for one in runs if one.place == place and not one.of_beads]
        if its:
            return keyed.counting(request.plant.code, its[-1].code)
    return keyed.usual(request.plant.code, kind.name, known)


def _told(request: Asker, station: Station, kind: Kind, place: str) -> HttpResponse:
    """Read what was keyed; ask about it or post it."""
    sent = told(request, kind.name)
    fresh = refreshed(request, kind.name, sent)
    if fresh:
        sent = told(request, kind.name)
    faults, scale, system = sent.form.faults, dict(kind.units), chosen(request).units
    shown = fitted(boxes(kind.name, sent.filled, system, faults, scale), sent.fits)
    page = StationPage(
        station, kind, sent.key, shown, place, kept=sent.kept, then=sent.do, fits=sent.fits,
        faults=faults.get("", ()), questions=questions(sent.form.questions, sent.filled),
        live=sent.live, stood=stood_now(request, kind.name, sent, fresh),
        anew=tuple(one for one in shown if one.name in fresh),
    )  # fmt: skip
    done = None
    if sent.do == "ask" or not fresh:  # what nobody has seen yet is not posted
        page, done = taken(request, sent, page)
    if done is None:
        return _answer(request, page, 200 if sent.only_asked else _NOT_TAKEN)
    return _answer(
        request,
        replace(
            _new(request, station, kind, place),
            done=effects(done, system),
            flaws=flaws(done, system),
            entries=done.entries,
        ),
    )


def _answer(request: Asker, page: StationPage, status: int = 200) -> HttpResponse:
    if getattr(request, "htmx", False):  # asked before a button is pressed: what may be, no more
        return render(request, "stations/said.html", {"page": page})
    role = request.signed.role
    page = replace(
        page,
        newest=newest(request.plant, page.kind.name, role),
        duties=duties(request.plant, role, moment(request.plant)),
    )
    return render(request, "stations/page.html", {"page": page}, status=status)


_APART: dict[str, Callable[..., HttpResponse]] = {
    "pre-expander": pre_expander,
    "stocktake": stocktake,
}
"""Stations that are no form at a time."""

VIEWS = {one.name: _APART.get(one.name) or _view(one) for one in STATIONS}
"""The view of each station's forms, by its name."""

_OWN = {"inspection": inspection_view, "press": press_view}
"""Stations with a page of their own, which the view of their forms is given."""


def station_routes() -> list[tuple[str, Callable[..., HttpResponse]]]:
    """Give the route of each station with its view; a machine's names the place."""
    views = {name: _OWN[name](view) if name in _OWN else view for name, view in VIEWS.items()}
    return [
        (f"stations/{one.name}/{'<str:place>/' if one.machine else ''}", views[one.name])
        for one in STATIONS
    ]
