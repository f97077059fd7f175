"""The interface: who may ask and tell, a form posted once, problems in one shape, its document."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from django.test import Client
from django.urls import URLResolver, get_resolver

from beadwright.api.routes import api
from beadwright.errors import StoreUnreachable
from beadwright.interop.keyed.form import FORMS
from beadwright.ledger import lots, people
from beadwright.ledger.people import Person
from beadwright.plant import accounts, history, tokens
from beadwright.plant.access import MAY_ASK, MAY_POST, Role
from beadwright.plant.entry_json import entry_json
from beadwright.plant.followed import followed, trace_json
from beadwright.plant.opening import open_plant
from tests.api.conftest import BUNDLE, Program, program
from tests.plant.yard import Yard

pytestmark = [pytest.mark.django_db, pytest.mark.store]

QUESTIONS = (
    "/assess",
    "/assess?lot=L1",
    "/lots/l1",
    "/lots/L1/trace?way=back",
    "/lots/L1/trace?way=forward",
    "/silos",
    "/ageing",
    "/air",
    "/pre-expanders/E1",
    "/charts",
    "/charts/length_24h.FB6",
    "/floor",
    "/products/FB6/set-up",
    "/products/FB6/pour?height=9%20ft",
    "/products/FB6/wall?storey=8%20ft&courses=6",
    "/search?q=L1",
    "/entries/1",
    "/release",
)
BOTH_WAYS = 1
"""Routes that are asked and told: /forms/{kind}."""

FORM_QUESTIONS = ("/forms", "/forms/bundles")


@pytest.mark.parametrize("role", [None, *Role], ids=str)
def test_each_question_is_answered_to_its_roles_and_to_nobody_else(
    role: Role | None, yard: Yard
) -> None:
    """By ``plant.access``: a machine asks nothing of the record, but learns its forms."""
    yard.gauge("L1", "length", ["1.2 m"])
    caller = program(role)
    allowed = 401 if role is None else 200 if role in MAY_ASK else 403
    for path in QUESTIONS:
        answer = caller.ask(path)
        assert answer.status == allowed, path
        assert (answer.kind == "application/problem+json") == (allowed != 200)
    for path in FORM_QUESTIONS:
        assert caller.ask(path).status == (401 if role is None else 200), path


@pytest.mark.usefixtures("yard")
@pytest.mark.parametrize("role", [None, *Role], ids=str)
@pytest.mark.parametrize("do", ["", "/may"])
def test_a_form_is_taken_of_its_roles_and_of_nobody_else(role: Role | None, do: str) -> None:
    """A bundle is an operator's, a shift lead's or an engineer's."""
    people.match("P1", [Person("KR", "P-20", "Somebody 20")])
    answer = program(role).tell(f"/forms/bundles{do}", BUNDLE)

    if role is None:
        assert answer.status == 401
    elif "bundle" in MAY_POST[role][0]:
        assert answer.status == 200, answer.body
        assert do or not answer.body["repeated"]
    elif do and MAY_POST[role][1]:
        assert answer.status == 200
        assert not answer.body["may"]
        assert answer.body["faults"][0]["code"] == "not_allowed"
    else:
        assert answer.status == 403
        assert answer.codes == ["not_allowed"]


def test_a_machine_posts_readings() -> None:
    """A cup that a scale weighed; in the record it is the token's."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.expand("B-1", "S1")
    people.match("P1", [Person("KR", "P-20", "Somebody 20")])
    cup = {"silo": "S1", "where": "dried", "mass": "230", "volume": "10", "by": "KR"}
    units = {"mass": "g", "volume": "L"}
    sent = program(Role.MACHINE).tell("/forms/cups", cup, units=units)

    assert sent.status == 200, sent.body
    number = sent.body["entries"][0]
    told = program(Role.AUDITOR).ask(f"/entries/{number}").body
    assert (told["kind"], told["account"]) == ("readings", "token:machine")


def test_the_same_form_is_recorded_once(yard: Yard) -> None:
    """The same key and body answer the same, marked; another body under the key is refused."""
    people.match("P1", [Person("KR", "P-20", "Somebody 20")])
    caller = program(Role.OPERATOR)
    first, second = caller.tell("/forms/bundles", BUNDLE), caller.tell("/forms/bundles", BUNDLE)

    assert (first.status, second.status) == (200, 200)
    assert not first.body["repeated"]
    assert second.body["repeated"]
    assert first.body["entries"] == second.body["entries"] != []
    assert yard.facts("BN-1")["pieces"] == 2
    other = caller.tell("/forms/bundles", {**BUNDLE, "pieces": "3"})
    assert other.status == 409
    assert other.codes == ["key_reused"]


@pytest.mark.usefixtures("yard")
def test_what_is_refused_says_why_and_records_nothing() -> None:
    """More than there is: a conflict with the record; what cannot be read, by its field."""
    people.match("P1", [Person("KR", "P-20", "Somebody 20")])
    caller = program(Role.ENGINEER)
    odd = caller.tell("/forms/bundles", {**BUNDLE, "pieces": "many"})
    unknown = caller.tell("/forms/bundles", {**BUNDLE, "lot": "NONE"})
    nothing = caller.tell("/forms/nothing", BUNDLE)

    assert odd.status == 422
    assert odd.codes
    assert "pieces" in odd.body["by_field"]
    assert unknown.status in {409, 422}
    assert unknown.codes
    assert nothing.status == 404
    assert caller.ask("/lots/BN-1").status == 404


def test_what_is_forbidden_is_refused_as_planned_and_recorded_as_happened(yard: Yard) -> None:
    """A lot on hold: refused with its code; as happened it is taken, with its nonconformity."""
    people.match("P1", [Person("KR", "P-20", "Somebody 20")])
    yard.hold("H-1", "L1")
    caller = program(Role.ENGINEER)
    refused = caller.tell("/forms/bundles", BUNDLE)

    assert refused.status == 409, refused.body
    assert refused.codes
    assert refused.body["may_have_happened"]
    taken = caller.tell("/forms/bundles", BUNDLE, planned=False)
    assert taken.status == 200
    assert taken.body["nonconformities"]


@pytest.mark.usefixtures("yard")
def test_a_token_of_a_place_posts_its_forms_alone() -> None:
    """Downtime of its own press; a bundle is of no press, and another press has its own token."""
    people.match("P1", [Person("KR", "P-20", "Somebody 20")])
    caller = program(Role.OPERATOR, "FP1")
    for do in ("", "/may"):
        answer = caller.tell(f"/forms/bundles{do}", BUNDLE)
        assert answer.status == 403
        assert answer.codes == ["not_allowed"]
    run = {"run": "R-9", "press": "FP1", "product": "FB6", "from": "S1", "ties": "T-1",
           "lot": "L9", "foam_per_block": "1.5", "mould": "M-1", "at": "2026-09-02 06:00",
           "by": "KR"}  # fmt: skip
    begun = caller.tell("/forms/mould_open", run, units={"foam_per_block": "kg"}, planned=False)
    assert begun.status == 200, begun.body
    stood = {"place": "FP1", "run": "R-9", "started": "2026-09-02 07:00",
             "ended": "2026-09-02 07:30", "cause": "mould", "by": "KR"}  # fmt: skip
    answer = caller.tell("/forms/downtime", stood, key="k-3")
    away = {**run, "run": "R-8", "press": "S1", "lot": "L8"}
    units = {"foam_per_block": "kg"}
    other = caller.tell("/forms/mould_open", away, key="k-2", units=units, planned=False)
    assert answer.status == 200, answer.body
    assert other.status == 403, other.body


@pytest.mark.usefixtures("yard")
@pytest.mark.parametrize("shown", ["x", "Ü" * 9, "z" * 5_000, "%00", "' OR 1=1 --", "a b c"])
def test_an_odd_token_is_nobody(shown: str) -> None:
    """A problem, with how to sign in; never a traceback."""
    answer = Client().get("/api/floor", headers={"Authorization": f"Bearer {shown}"})

    assert answer.status_code == 401
    assert answer.headers["WWW-Authenticate"] == "Bearer"
    assert answer.headers["Content-Type"] == "application/problem+json"


@pytest.mark.usefixtures("yard")
def test_a_closed_token_is_out_at_once() -> None:
    """Also where it was let in a moment before."""
    caller = program(Role.ENGINEER)
    assert caller.ask("/floor").status == 200
    tokens.close(open_plant("P1"), "engineer")
    assert caller.ask("/floor").status == 401


@pytest.mark.usefixtures("yard")
@pytest.mark.parametrize("key", ["", " ", "a b", "x" * 101, "a/b"])
def test_a_form_has_a_key_of_its_own(key: str) -> None:
    """Without one, or with an odd one, nothing is read."""
    answer = program(Role.OPERATOR).tell("/forms/bundles", BUNDLE, key=key)

    assert answer.status == 422
    assert answer.codes == ["bad_request"]


def test_a_trace_and_an_entry_are_told_as_in_the_shell(yard: Yard) -> None:
    """One shape, documented once."""
    caller, plant = program(Role.AUDITOR), open_plant("P1")
    view = lots.get(yard.no, "B-1")
    assert view is not None

    told = caller.ask("/lots/b-1/trace?way=forward").body
    assert told == json.loads(json.dumps(trace_json(plant, followed(plant, view, "forward"))))
    assert told["account"]["made_mg"] > 0
    one = caller.ask("/entries/1").body
    assert one == json.loads(json.dumps(entry_json(plant, history.entry(plant, "1"))))


@pytest.mark.usefixtures("yard")
def test_odd_questions_are_problems() -> None:
    """What is not there, what cannot be, and a body that is no JSON."""
    caller = program(Role.ENGINEER)
    for path, status in (
        ("/lots/NONE", 404),
        ("/lots/a%00b", 404),
        ("/lots/L1/trace", 422),
        ("/lots/L1/trace?way=up", 422),
        ("/entries/999999", 404),
        ("/entries/99999999999999999999999", 404),
        ("/entries/a/b/c", 404),
        ("/search?q=" + "a" * 300, 422),
        ("/assess?lot=NONE", 404),
        ("/forms/none", 404),
    ):
        answer = caller.ask(path)
        assert (answer.status, answer.kind) == (status, "application/problem+json"), path
    headers = {"Authorization": f"Bearer {caller.token}", "Idempotency-Key": "k"}
    sent = Client().post(
        "/api/forms/bundles", "{", content_type="application/json", headers=headers
    )
    assert sent.status_code in {400, 422}
    assert sent.headers["Content-Type"] == "application/problem+json"


@pytest.mark.usefixtures("yard")
def test_what_is_nowhere_and_a_shut_store_are_problems_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program that asks of an address that is none, or of a store that is gone, reads why."""
    caller = program(Role.AUDITOR)
    nowhere = caller.ask("/nowhere")
    assert (nowhere.status, nowhere.codes) == (404, ["no_page"])

    def shut(_: str) -> None:
        message = "the store is not there"
        raise StoreUnreachable(message)

    monkeypatch.setattr("beadwright.web.visitor.open_plant", shut)
    gone = caller.ask("/silos")
    assert (gone.status, len(gone.codes)) == (503, 1)
    assert gone.body["detail"] == "the store is not there"


@pytest.mark.usefixtures("yard")
def test_a_fault_of_ours_shows_no_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is a problem too, and says nothing of the inside."""

    def broken(*_: object) -> None:
        message = "the secret inside"
        raise RuntimeError(message)

    caller = program(Role.ENGINEER)
    monkeypatch.setattr("beadwright.api.asking.floor_of", broken)
    answer = caller.ask("/floor")
    assert answer.status == 500
    assert "secret" not in json.dumps(answer.body)


def test_who_is_signed_in_at_the_pages_may_ask_and_post_nothing(yard: Yard) -> None:
    """A sitting is sent by a browser of itself, so it changes nothing here."""
    yard.set("role", "P-20", role="engineer")
    people.match("P1", [Person("KR", "P-20", "Somebody 20")])
    accounts.give(open_plant("P1"), "P-20", "brass kettle")
    browser = Client()
    browser.post("/in/", {"named": "KR", "code": "brass kettle"})

    assert browser.get("/api/floor").status_code == 200
    answer = browser.post(
        "/api/forms/bundles",
        {"texts": BUNDLE},
        content_type="application/json",
        headers={"Idempotency-Key": "k-1"},
    )
    assert answer.status_code == 401
    odd = browser.get("/api/floor", headers={"Authorization": "Bearer x"})
    assert odd.status_code == 401


def routes() -> Iterator[str]:
    """Every route of the interface, as its document writes one."""
    inner = next(one for one in get_resolver().url_patterns if str(one.pattern) == "api/")
    assert isinstance(inner, URLResolver)
    for one in inner.url_patterns:
        route = str(one.pattern).replace("<path:key>", "{key}")
        if route and not route.endswith(".json"):
            yield f"/api/{route.replace('<', '{').replace('>', '}')}"


@pytest.mark.usefixtures("yard")
def test_the_document_names_each_route_and_loads_nothing() -> None:
    """OpenAPI 3.1 (its specification, section 4.8.1: openapi, info and paths must be there)."""
    document = Program().ask("/openapi.json").body

    assert document["openapi"].startswith("3.1.")
    assert {"title", "version"} <= set(document["info"])
    assert set(document["paths"]) == set(routes())
    assert len(document["paths"]) == 19
    ids = [one["operationId"] for methods in document["paths"].values() for one in methods.values()]
    assert len(ids) == len(set(ids)) == 19 + BOTH_WAYS
    for path, methods in document["paths"].items():
        for one in methods.values():
            assert one["responses"], path
            assert one["security"], path
            named = {each["name"] for each in one.get("parameters", ()) if each["in"] == "path"}
            assert named == {part[1:-1] for part in path.split("/") if part.startswith("{")}
    assert document["components"]["securitySchemes"]["Token"]["scheme"] == "bearer"
    assert api.docs_url is None
    assert "://" not in json.dumps(document)


@pytest.mark.usefixtures("yard")
def test_each_form_tells_its_fields() -> None:
    """All kinds that a tablet has, each with its fields."""
    caller = program(Role.MACHINE)
    kinds = caller.ask("/forms").body["kinds"]

    assert kinds == list(FORMS)
    for kind in kinds:
        assert caller.ask(f"/forms/{kind}").body["fields"]
