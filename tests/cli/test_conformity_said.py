"""What `conformity` says and holds."""

import json

import pytest

from beadwright.ledger.decided import of_kinds
from tests.cli.shell import Shell
from tests.cli.test_json import documented, read
from tests.plant.test_conformity import DENSITIES, made
from tests.plant.test_strength import plant as with_tests

pytestmark = pytest.mark.django_db


def test_it_is_said_with_its_assumptions(shell: Shell) -> None:
    """Lot by lot, then the risks."""
    made(*DENSITIES)
    told = shell("conformity", "FB6", "density")

    assert told.status == 0, told.err
    assert "Consumer's risk: beyond it, and accepted" in told.out
    assert "Taken for granted" in told.out


def test_its_json_holds_what_is_documented(shell: Shell) -> None:
    """Field by field."""
    made(*DENSITIES)

    assert read(shell("conformity", "FB6", "density", "--json")) == documented()["conformity"]


def test_a_strength_line_is_given_as_json(shell: Shell) -> None:
    """Field by field: with a lot that is flagged, and of a product without tests."""
    with_tests((12.1, 13.4, 14.6, 21.0, 16.9, 17.8, 19.2))  # the fourth is far off
    told = shell("strength", "FB6", "--json")
    none = shell("strength", "FB6", "bending_strength", "--json")
    found = read(told) | read(none)
    nullable = {"line", "without_flagged", "lots[]", "limits[]"}

    assert json.loads(told.out)["line"]["count"] == len(json.loads(told.out)["lots"])
    assert json.loads(none.out)["line"] is None
    assert found - nullable <= documented()["strength"]
    assert documented()["strength"] - found <= nullable


def test_an_uncertainty_is_said_at_the_shell(shell: Shell) -> None:
    """Of a calibration and of a report; one that is none is refused by its option."""
    yard = made(*DENSITIES)
    yard.set("instrument", "BAL-9", what="balance", every="year")
    said = ("calibration", "BAL-9", "--done", "2026-09-02", "--result", "pass",
            "--certificate", "C-9", "--by", "P-13", "--uncertainty")  # fmt: skip
    wrong = shell(*said, "0 kg")
    done = shell(*said, "0.005 kg")
    report = shell("report", "R-9", "--laboratory", "N", "--product", "FB6",
                   "--characteristic", "compressive_resistance", "--result", "17.4 psi",
                   "--sampled", "2026-09-02", "--by", "P-13",
                   "--uncertainty", "0.5 psi")  # fmt: skip

    assert wrong.status == 1
    assert "--uncertainty" in wrong.err
    assert (done.status, report.status) == (0, 0), report.err
    bodies = {one.kind: one.body for one in of_kinds(yard.no, "calibration", "report")}
    assert bodies["calibration"]["uncertainty"] == "0.005 kg"
    assert bodies["report"]["uncertainty"] == "0.5 psi"
