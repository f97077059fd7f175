"""Questions: each asks one function below and gives its answer as JSON."""

from __future__ import annotations

from typing import Annotated, Any, Literal, cast

from django.http import HttpRequest
from ninja import Path, Query, Router

from beadwright.api.callers import Call, require_ask
from beadwright.api.sheets_said import PourSaid, WallSaid
from beadwright.api.told import headed
from beadwright.errors import Misuse
from beadwright.ledger import lots
from beadwright.ledger.lots import LotView
from beadwright.plant import history
from beadwright.plant.ageing import ageing_board
from beadwright.plant.ageing.told import ageing_json
from beadwright.plant.air_json import air_json
from beadwright.plant.charted import chart_json, charted, charts, charts_json
from beadwright.plant.door import now_ms
from beadwright.plant.entry_json import entry_json
from beadwright.plant.floor import floor as floor_of
from beadwright.plant.followed import followed, trace_json
from beadwright.plant.machines import board
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.pentane_screen import pentane_screen
from beadwright.plant.pour import pour_json, pour_sheet, read_pour
from beadwright.plant.release import as_json
from beadwright.plant.release import assess as plant_assess
from beadwright.plant.release_queue import queue
from beadwright.plant.search import search as find
from beadwright.plant.set_up import Choice, set_up, set_up_json
from beadwright.plant.steering import steering_json, steering_of
from beadwright.plant.story import story
from beadwright.plant.wall import read_wall, wall_json, wall_sheet
from beadwright.plant.words import iso

__all__ = [
    "ageing",
    "air",
    "assess",
    "chart",
    "chart_list",
    "entry",
    "floor",
    "lot",
    "pre_expander",
    "product_pour",
    "product_set_up",
    "product_wall",
    "release",
    "router",
    "search",
    "silos",
    "trace",
]

router = Router(tags=["questions"])

_Told = dict[str, Any]
_Code = Annotated[str, Path(description="Code of a lot.", max_length=60)]
_Place = Annotated[str, Path(description="A machine, as the plant calls it.", max_length=60)]
_HITS = 30


def _asked(request: HttpRequest) -> Plant:
    """Give the plant to who may ask."""
    call = cast("Call", request)
    require_ask(call.auth)
    return call.plant


def _lot(plant: Plant, code: str) -> LotView:
    """Give the lot of a code, in whatever letters."""
    found = None if "\x00" in code else lots.get(plant.no, code.upper())
    if found is None:
        message = f"no lot of {plant.code} has the code {code!r}"
        raise Misuse(message)
    return found


@router.get("/assess", response=_Told, summary="Which lots may ship, and why")
def assess(
    request: HttpRequest,
    lot: Annotated[list[str] | None, Query(description="Lots; all if none.")] = None,
) -> _Told:
    """Answer as `assess --json` does, without the readings whole."""
    plant = _asked(request)
    codes = [_lot(plant, one).code for one in lot] if lot else None
    seq, own = plant.head
    return {**as_json(plant_assess(plant.no, codes)), "head": f"{seq}:{own}"}


@router.get("/lots/{code}", response=_Told, summary="A lot's story")
def lot(request: HttpRequest, code: _Code) -> _Told:
    """Give the answer, what the lot is made of, where it is, and its newest events."""
    plant = _asked(request)
    return headed(plant, {"story": story(plant, _lot(plant, code).code)})


@router.get("/lots/{code}/trace", response=_Told, summary="Trace a lot back or forward")
def trace(request: HttpRequest, code: _Code, way: Literal["back", "forward"]) -> _Told:
    """Answer as `trace --json` does: every lot it was made of, or every lot made of it."""
    plant = _asked(request)
    return trace_json(plant, followed(plant, _lot(plant, code), way))


@router.get("/silos", response=_Told, summary="The silo board")
def silos(request: HttpRequest) -> _Told:
    """Give every silo, hopper and line, and what to draw of next."""
    plant = _asked(request)
    return headed(plant, {"board": board(plant.no, moment(plant))})


@router.get("/ageing", response=_Told, summary="How far beads have aged: signed and by estimate")
def ageing(request: HttpRequest) -> _Told:
    """Answer as `ageing --json` does: signed hours decide, the estimate is unknown if any lacks."""
    plant = _asked(request)
    return ageing_json(plant, ageing_board(plant.no, moment(plant)))


@router.get("/pre-expanders/{place}", response=_Told, summary="Leave a pre-expander or change it")
def pre_expander(request: HttpRequest, place: _Place) -> _Told:
    """Answer as `steer --json` does: it advises, a person decides."""
    plant = _asked(request)
    return steering_json(plant, steering_of(plant, place))


@router.get("/air", response=_Told, summary="What is given off, against each room's air")
def air(request: HttpRequest) -> _Told:
    """Answer as `air --json` does: calculated, not measured, and unknown where anything lacks."""
    plant = _asked(request)
    return air_json(plant, pentane_screen(plant.no, moment(plant)))


@router.get("/charts", response=_Told, summary="Every chart, those that signal first")
def chart_list(request: HttpRequest) -> _Told:
    """Answer as `chart --json` does: a signal asks for a cause to be looked for."""
    plant = _asked(request)
    return charts_json(plant, charts(plant, moment(plant)))


@router.get("/charts/{key}", response=_Told, summary="One chart, and the lots made since")
def chart(
    request: HttpRequest,
    key: Annotated[str, Path(description="A series, as listed.", max_length=120)],
    kind: Annotated[str, Query(description="Another kind of chart.", max_length=40)] = "",
) -> _Told:
    """Answer as `chart KEY --json` does: it judges and holds nothing."""
    plant, key = _asked(request), key.replace("\x00", "")
    at_ms = moment(plant)
    return chart_json(plant, charted(plant, key, at_ms, kind=kind), at_ms)


@router.get("/floor", response=_Told, summary="The plant as it stands")
def floor(request: HttpRequest) -> _Told:
    """Give what is where, what is held, and what waits for whom."""
    plant = _asked(request)
    return headed(plant, {"floor": floor_of(plant.no, moment(plant))})


@router.get("/search", response=_Told, summary="Find lots and entries")
def search(request: HttpRequest, q: Annotated[str, Query(max_length=200)]) -> _Told:
    """Find by code, label, person, day, receiver or number, the likeliest first."""
    plant = _asked(request)
    return headed(plant, {"hits": find(plant, q.replace("\x00", ""), _HITS)})


@router.get("/products/{name}/set-up", response=_Told, summary="A product's set-up sheet")
def product_set_up(
    request: HttpRequest,
    name: Annotated[str, Path(description="A product.", max_length=60)],
    grade: Annotated[str, Query(max_length=60)] = "",
    expander: Annotated[str, Query(max_length=60)] = "",
    mould: Annotated[str, Query(max_length=60)] = "",
) -> _Told:
    """Answer as `set-up --json` does: every number with formula, inputs, source and trust."""
    plant = _asked(request)
    choice = Choice(name.replace("\x00", ""), grade, expander, mould)
    return set_up_json(plant, set_up(plant.no, choice, moment(plant)))


@router.get("/products/{name}/pour", response=_Told, summary="What rate and lift lots support")
def product_pour(
    request: HttpRequest,
    name: Annotated[str, Path(description="A form product.", max_length=60)],
    said: Query[PourSaid],
) -> _Told:
    """Answer as `pour --json` does: may only lower the manual's rate, and is no form design."""
    plant = _asked(request)
    keyed = read_pour(name.replace("\x00", ""), said.lot, said.texts)
    found = pour_sheet(plant.no, keyed.certain(), moment(plant))
    return headed(plant, {"at": iso(found.at_ms, plant.zone), **pour_json(found)})


@router.get("/products/{name}/wall", response=_Told, summary="Where a wall's courses end")
def product_wall(
    request: HttpRequest,
    name: Annotated[str, Path(description="A form product.", max_length=60)],
    said: Query[WallSaid],
) -> _Told:
    """Answer as `wall --json` does: an aid to planning, with the wall's thermal resistance."""
    plant = _asked(request)
    keyed = read_wall(name.replace("\x00", ""), said.lot, said.texts)
    found = wall_sheet(plant.no, keyed.certain(), moment(plant))
    return headed(plant, {"at": iso(found.at_ms, plant.zone), **wall_json(found)})


@router.get("/entries/{path:key}", response=_Told, summary="One entry of the record")
def entry(request: HttpRequest, key: str) -> _Told:
    """Answer as `entry --json` does, by its number or its client key."""
    plant = _asked(request)
    return entry_json(plant, history.entry(plant, key.replace("\x00", "")))


@router.get("/release", response=_Told, summary="What waits for a release")
def release(request: HttpRequest) -> _Told:
    """Give the lots that can be signed, those that lack something, and those that are stopped."""
    plant = _asked(request)
    return headed(plant, {"queue": queue(plant.no, now_ms())})
