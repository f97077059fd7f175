"""A long form shows what is keyed here, and folds away what nobody has keyed of late."""

from __future__ import annotations

import re

import pytest

from beadwright.interop import keyed
from beadwright.plant.access import Role, Who
from tests.plant.yard import Yard
from tests.web.conftest import CAST, SignIn

pytestmark = pytest.mark.django_db

RESULTS = "/stations/bench/?kind=results"


def result_of(number: int, **values: str) -> None:
    """Key a result of a specimen of L1."""
    person = CAST[Role.TECHNICIAN]
    texts = {"lot": "L1", "specimen": str(number), **values}
    units = dict.fromkeys(values, "psi")
    form = keyed.read("P1", "results", texts, units=units, key=f"r-{number}", by=person)
    assert keyed.post("P1", form, Who(person, Role.TECHNICIAN)).posted, form.faults


def shown(page: str) -> tuple[set[str], set[str]]:
    """Fields that stand open, and those behind a tap."""
    open_, _, rest = page.partition('<details class="filled">')
    folded = rest.partition("</details>")[0]
    names = re.compile(r'<input id="([a-z_0-9]+)" name')
    return set(names.findall(open_)), set(names.findall(folded))


def test_what_none_of_the_newest_entries_hold_is_folded(yard: Yard, as_: SignIn) -> None:
    """Only once there are enough to say so; nothing is left out of the form."""
    assert yard.no
    browser = as_(Role.TECHNICIAN)
    first, none = shown(browser.get(RESULTS).content.decode())
    for number in range(5):
        result_of(number, compressive_resistance="16.5")
    open_, folded = shown(browser.get(RESULTS).content.decode())

    assert none == set()
    assert {"lot", "specimen", "compressive_resistance", "at"} <= open_
    assert {"oxygen_index", "density"} <= folded
    assert open_ | folded == first


def test_what_was_keyed_or_is_wrong_is_never_folded(yard: Yard, as_: SignIn) -> None:
    """It comes back where it is seen."""
    assert yard.no
    for number in range(5):
        result_of(number, compressive_resistance="16.5")
    said = {"kind": "results", "key": "f-1", "lot": "L1", "specimen": "9",
            "oxygen_index": "abc", "unit-oxygen_index": "%"}  # fmt: skip
    page = as_(Role.TECHNICIAN).post("/stations/bench/", said).content.decode()
    open_, _ = shown(page.partition('<form method="post" class="keyed">')[2])

    assert "oxygen_index" in open_


def test_a_short_form_folds_nothing(yard: Yard, as_: SignIn) -> None:
    """A bundle has four fields."""
    assert yard.no
    page = as_(Role.OPERATOR).get("/stations/bundling/").content.decode()

    assert "can be keyed" not in page
