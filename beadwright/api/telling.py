"""Forms: what a machine or a program tells, read as a row of a sheet is and posted once."""

from __future__ import annotations

from typing import Annotated, Any, cast

from django.http import HttpRequest, HttpResponse
from ninja import Body, Field, Header, Path, Router, Schema

from beadwright.api.callers import Call, Caller, require_tell
from beadwright.api.problems import problem
from beadwright.api.told import headed, plain
from beadwright.errors import Fault
from beadwright.interop import keyed
from beadwright.interop.keyed import Done, Keyed
from beadwright.interop.keyed.form import FORMS
from beadwright.plant.access import may_ask
from beadwright.plant.opening import Plant
from beadwright.plant.tokens import elsewhere

__all__ = ["Form", "fields", "kinds", "may", "post", "router"]

router = Router(tags=["forms"])

_Told = dict[str, Any]
_KIND = Annotated[str, Path(description="Kind of form: see GET /forms.")]
_KEY = Annotated[
    str,
    Header(
        alias="Idempotency-Key",
        description="The form's client key: the same form is recorded once.",
        min_length=1,
        max_length=100,
        pattern=r"^[A-Za-z0-9._:-]+$",
    ),
]
_BODY = Annotated["Form", Body()]


class Form(Schema):
    """A form as it was filled in."""

    texts: dict[str, str]
    """What stands in the fields, by field."""
    units: dict[str, str] = Field(default_factory=dict)
    """Units beside them, by field."""
    kept: list[str] = Field(default_factory=list)
    """Fields of which a person said that they stand, though they are unusual."""
    planned: bool = True
    """False: it has happened already, and is recorded though it was forbidden."""


@router.get("/forms", response=_Told, summary="Kinds of form")
def kinds(request: HttpRequest) -> _Told:
    """Give the kinds of form there are."""
    call = cast("Call", request)
    _require_either(call.auth)
    return {"kinds": list(FORMS)}


@router.get("/forms/{kind}", response=_Told, summary="Fields of a form")
def fields(request: HttpRequest, kind: _KIND) -> _Told:
    """Give a form's fields in order: sort, choices, units, whether each must be filled in."""
    call = cast("Call", request)
    _require_either(call.auth)
    return {"kind": kind, "fields": plain(keyed.fields_of(kind), call.plant.zone)}


@router.post("/forms/{kind}", response=_Told, summary="Post a form")
def post(request: HttpRequest, kind: _KIND, form: _BODY, key: _KEY) -> _Told | HttpResponse:
    """Record a form, once; what is forbidden is refused (409) with why and what to do."""
    call = cast("Call", request)
    read = _read(call, kind, form, key)
    no = _not_of_place(call, read) or _unready(call.plant, read)
    if no is not None:
        return no
    done = keyed.post(call.plant.code, read, call.auth.who, planned=form.planned)
    return _became(call.plant, done)


@router.post("/forms/{kind}/may", response=_Told, summary="Ask whether a form would be taken")
def may(request: HttpRequest, kind: _KIND, form: _BODY, key: _KEY) -> _Told | HttpResponse:
    """Ask without writing; what cannot be read, or is asked about, is a problem (422)."""
    call = cast("Call", request)
    read = _read(call, kind, form, key)
    no = _not_of_place(call, read) or _unready(call.plant, read)
    if no is not None:
        return no
    told = keyed.may(call.plant.code, read, call.auth.who)
    return headed(call.plant, {"may": told.may, "faults": told.faults})


def _require_either(caller: Caller) -> None:
    """Let through who may ask, and who may tell: a machine must know the form it fills in."""
    if not may_ask(caller.who):
        require_tell(caller)


def _read(call: Call, kind: str, form: Form, key: str) -> Keyed:
    require_tell(call.auth)
    clean = {name: text.replace("\x00", "") for name, text in form.texts.items()}
    return keyed.read(
        call.plant.code,
        kind,
        clean,
        units=form.units,
        key=key,
        by="",
        kept=frozenset(form.kept),
    )


def _not_of_place(call: Call, read: Keyed) -> HttpResponse | None:
    """Refuse what is not of the place that the token is bound to."""
    token = call.auth.token
    faults = elsewhere(call.plant, token, read.drafts) if token is not None else ()
    return problem(403, str(faults[0]), faults) if faults else None


def _unready(plant: Plant, read: Keyed) -> HttpResponse | None:
    """Say what cannot be read, by field, and what is asked about."""
    if read.ready:
        return None
    faults = [fault for some in read.faults.values() for fault in some]
    detail = "Something in the form cannot be read." if faults else "Some values are unusual."
    by_field = {name: [one.code for one in some] for name, some in read.faults.items()}
    asked = plain(read.questions, plant.zone)
    which = plain(read.which, plant.zone)
    return problem(422, detail, faults, by_field=by_field, questions=asked, which=which)


def _became(plant: Plant, done: Done) -> _Told | HttpResponse:
    """Say what became of a form."""
    if not done.posted:
        status = 403 if _forbidden_to(done.refused) else 409
        happened = done.may_have_happened
        return problem(status, str(done.refused[0]), done.refused, may_have_happened=happened)
    return headed(
        plant,
        {
            "kind": done.keyed.kind,
            "key": done.keyed.key,
            "repeated": done.repeated,
            "entries": done.entries,
            "nonconformities": done.nonconformities,
            "stock": done.stock,
        },
    )


def _forbidden_to(faults: tuple[Fault, ...]) -> bool:
    return any(one.code == "not_allowed" for one in faults)
