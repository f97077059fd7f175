"""The laboratory: what is in conditioning, what is due, a result looked over before it is kept."""

from __future__ import annotations

import html
import re

import pytest

from beadwright.lab.reductions import REDUCTIONS
from beadwright.plant.access import Role
from beadwright.quality.characteristics import CHARACTERISTICS, Level
from beadwright.quality.readings import ReadingView, of_lots
from beadwright.web.laboratory.bench import TESTS
from tests.plant.planning import STRENGTH, hours
from tests.plant.test_conditioning import put_by
from tests.plant.yard import FORM as PRODUCT
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

FORM = "/laboratory/result/"
ROOM = {"conditioned": "48", "unit-conditioned": "h", "temperature": "23", "unit-temperature": "°C",
        "humidity": "50", "unit-humidity": "%"}  # fmt: skip


@pytest.fixture
def lab(yard: Yard) -> Yard:
    """A plant that tests strength every week, a lot, and a sample of it in conditioning."""
    yard.limit("STR", STRENGTH, "min", "15.0 psi", statistic="mean", evidence="periodic_test")
    yard.set("plan", "FB6-STR", product="FB6", characteristic=STRENGTH, evidence="periodic_test",
             every="week", specimens=5, method="ASTM D1621", conditioning_h=40)  # fmt: skip
    put_by(yard, "SA-1", "L1", hours(9, 10), since=hours(9, 12))
    return yard


def text_of(answer: object) -> str:
    """What a page says."""
    return html.unescape(getattr(answer, "content", b"").decode())


def seen_in(text: str) -> str:
    """What the form says was seen."""
    found = re.search(r'name="seen" id="seen" value="([0-9a-f]*)"', text)
    return found[1] if found else ""


def test_the_first_page_says_what_is_conditioned_and_what_is_due(lab: Yard, as_: SignIn) -> None:
    """Since when, ready when, for which test; and the weekly test that nobody made."""
    del lab
    text = text_of(as_(Role.TECHNICIAN).get("/laboratory/"))

    assert "SA-1" in text
    assert "in conditioning since 2026-09-09 12:00" in text
    assert "ready at 2026-09-11 04:00 (40 h for compressive resistance, plan FB6-STR)" in text
    assert "never done" in text
    assert "Lots that wait for it: L1" in text
    assert f"{FORM}?test=oxygen_index" in text


def test_an_auditor_reads_and_keys_nothing(lab: Yard, as_: SignIn) -> None:
    """Nor is the form served."""
    del lab
    browser = as_(Role.AUDITOR)

    assert FORM not in text_of(browser.get("/laboratory/"))
    assert browser.get(f"{FORM}?test=density").status_code == 403


def test_a_form_of_a_sample_knows_its_lot_and_its_hours(lab: Yard, as_: SignIn) -> None:
    """Hours of conditioning are counted, not keyed."""
    del lab
    text = text_of(as_(Role.TECHNICIAN).get(f"{FORM}?test=compressive_resistance&sample=SA-1"))

    assert re.search(r'name="lot"[^>]*value="L1"', text)
    assert re.search(r'name="sample"[^>]*value="SA-1"', text)
    conditioned = re.search(r'name="conditioned"[^>]*value="([0-9.]+)"', text)
    assert conditioned is not None
    assert float(conditioned[1]) > 40


def test_departures_are_shown_before_anything_is_recorded(lab: Yard, as_: SignIn) -> None:
    """The first press says them, the second records; the page of the lot says them again."""
    browser = as_(Role.TECHNICIAN)
    sent = {
        "test": "compressive_resistance", "key": "k1", "do": "post", "lot": "L1", "specimen": "C1",
        "compressive_resistance": "16.4", "unit-compressive_resistance": "psi",
        "method": "ASTM D1621", "thickness": "25.4", "unit-thickness": "mm",
        **ROOM, "temperature": "29",
    }  # fmt: skip
    first = text_of(browser.post(FORM, sent))

    assert "Nothing is recorded yet." in first
    assert "The temperature of conditioning was not as asked. Was: 29 °C." in first
    assert strengths(lab) == []

    second = text_of(browser.post(FORM, {**sent, "seen": seen_in(first)}))

    assert "The result is in the record." in second
    (kept,) = strengths(lab)
    assert kept.value == "16.4"
    assert kept.facts["temperature"] == "29 °C"
    assert kept.method == "ASTM D1621"
    assert "was not as asked" in text_of(browser.get("/lots/L1/"))


def strengths(yard: Yard) -> list[ReadingView]:
    """Strengths read of lot L1."""
    found = of_lots(yard.no, ["L1"]).get("L1", ())
    return [one for one in found if one.characteristic == "compressive_resistance"]


def test_a_test_as_asked_is_recorded_at_once(lab: Yard, as_: SignIn) -> None:
    """Nothing has to be seen where nothing is otherwise."""
    sent = {
        "test": "compressive_resistance", "key": "k1", "do": "post", "lot": "L1", "specimen": "C1",
        "compressive_resistance": "16.4", "unit-compressive_resistance": "psi",
        "method": "ASTM D1621", "thickness": "25.4", "unit-thickness": "mm", **ROOM,
    }  # fmt: skip

    assert "The result is in the record." in text_of(as_(Role.TECHNICIAN).post(FORM, sent))
    assert len(strengths(lab)) == 1


def test_a_result_is_worked_out_from_its_figures_and_keeps_them(lab: Yard, as_: SignIn) -> None:
    """A board of 12 by 12 by 1 in that took up 47.2 g: 2.0002 % of its volume, by hand."""
    browser = as_(Role.TECHNICIAN)
    figures = {"before": ("51.0", "g"), "after": ("98.2", "g"), "length": ("12", "in"),
               "width": ("12", "in"), "thick": ("1", "in")}  # fmt: skip
    sent = {
        "test": "water_absorption", "key": "k2", "do": "post", "lot": "L1", "specimen": "W1",
        "exposed": "24", "unit-exposed": "h", "exposed_at": "23", "unit-exposed_at": "°C",
        **{f"figure-{name}": text for name, (text, _) in figures.items()},
        **{f"unit-figure-{name}": unit for name, (_, unit) in figures.items()},
    }  # fmt: skip
    answer = text_of(browser.post(FORM, sent))

    assert "The result is in the record." in answer
    (kept,) = (
        one for one in of_lots(lab.no, ["L1"])["L1"] if one.characteristic == "water_absorption"
    )
    assert (kept.value, kept.unit) == ("2.0002", "%")
    assert kept.facts["worked_from"] == (
        "mass before 51.0 g; mass after 98.2 g; length 12 in; width 12 in; thickness 1 in"
    )


def test_an_oxygen_index_is_worked_out_from_its_bars(lab: Yard, as_: SignIn) -> None:
    """Six bars in steps of 0.4 %; what is no bar is said, and nothing is recorded."""
    browser = as_(Role.TECHNICIAN)
    sent = {
        "test": "oxygen_index", "key": "k5", "do": "post", "lot": "L1", "specimen": "O1",
        **ROOM, "method": "ASTM D2863",
        "figure-series": "26.0 n, 26.4 y, 26.0 n, 26.4 y, 26.0 n, 26.4 y",
    }  # fmt: skip
    sent |= {"conditioned": "90"}
    wrong = browser.post(FORM, {**sent, "figure-series": "26.0 n, 26.4"})
    assert wrong.status_code == 422
    assert "per cent and y or n" in text_of(wrong)

    assert "The result is in the record." in text_of(browser.post(FORM, sent))
    (kept,) = (one for one in of_lots(lab.no, ["L1"])["L1"] if one.characteristic == "oxygen_index")
    assert (kept.value, kept.unit) == ("26.200", "%")


def fused(faces: str, **more: str) -> dict[str, str]:
    """The form of a broken face."""
    return {"test": "fusion", "key": "k9", "do": "post", "lot": "L1", "specimen": "B1",
            "figure-faces": faces, **more}  # fmt: skip


def test_beads_counted_on_faces_give_a_share_with_its_interval(lab: Yard, as_: SignIn) -> None:
    """Against the plant's limit; kept with its counts and its uncertainty.

    By scipy's binomtest, 126 of 151: 83.44 %, 76.5 to 89.0 %.
    """
    lab.limit("FUS", "fusion", "min", "80 %")
    browser = as_(Role.TECHNICIAN)
    page = text_of(browser.post(FORM, fused("42/50, 40/50, 44/51")))

    assert "The result is in the record." in page
    (kept,) = (one for one in of_lots(lab.no, ["L1"])["L1"] if one.characteristic == "fusion")
    assert (kept.value, kept.unit) == ("83.444", "%")
    assert kept.facts["worked_from"].startswith("each face ")
    assert kept.facts["worked_from"].endswith("42/50, 40/50, 44/51")
    assert kept.u_si == pytest.approx(0.0318, abs=0.0005)
    asked = text_of(browser.post(FORM, fused("42/50, 40/50, 44/51", do="ask")))
    assert "83.444 % (about 95 %: 76.5" in asked
    assert "at least 80 % (FUS): not sure: its band reaches over the limit" in asked


def test_an_uneven_break_is_said_before_it_is_recorded(lab: Yard, as_: SignIn) -> None:
    """And with the lot afterwards; a limit that all of its band misses is not met."""
    lab.limit("FUS", "fusion", "max", "20 %")
    browser = as_(Role.TECHNICIAN)
    first = text_of(browser.post(FORM, fused("20/20, 8/10, 7/10")))

    assert "Nothing is recorded yet." in first
    assert "Few beads were counted" in first
    assert "The fields differ by more than chance" in first
    assert "at most 20 % (FUS): not met, by all of its band" in first
    again = browser.post(FORM, fused("20/20, 8/10, 7/10", seen=seen_in(first)))
    assert "The result is in the record." in text_of(again)
    told = text_of(browser.get("/lots/L1/"))
    assert "Few beads were counted" in told
    assert "The fields differ by more than chance" in told


def test_a_share_of_a_face_that_cannot_be_is_said(lab: Yard, as_: SignIn) -> None:
    """More beads broken than there are; nothing is recorded."""
    answer = as_(Role.TECHNICIAN).post(FORM, fused("51/50"))

    assert answer.status_code == 422
    assert not [
        one for one in of_lots(lab.no, ["L1"]).get("L1", ()) if one.characteristic == "fusion"
    ]


def test_another_way_is_worked_out_by_its_own_figures(lab: Yard, as_: SignIn) -> None:
    """Diagonals of a face; what is needed with them is asked for."""
    browser = as_(Role.TECHNICIAN)
    sent = {
        "test": "squareness", "key": "k8", "do": "ask", "lot": "L1", "specimen": "Q1",
        "age": "30", "unit-age": "h",
        "figure-first": "1286.69", "figure-second": "1283.52", "figure-edge": "1219.2",
    }  # fmt: skip
    lacking = text_of(browser.post(FORM, sent))
    text = text_of(browser.post(FORM, {**sent, "figure-other_edge": "406.4"}))

    assert "It is needed with the others" in lacking
    assert "4.1109 mm/m" in text
    del lab


def test_a_thermal_test_states_its_own_conditions(lab: Yard, as_: SignIn) -> None:
    """Mean, difference and thickness are those of its plates."""
    figures = {"signal": ("0.001", "1"), "factor": ("26440", "1"), "hot": ("37", "°C"),
               "cold": ("11", "°C"), "thick": ("25.4", "mm")}  # fmt: skip
    sent = {
        "test": "thermal_conductivity", "key": "k3", "do": "ask", "lot": "L1", "specimen": "K1",
        **{f"figure-{name}": text for name, (text, _) in figures.items()},
        **{f"unit-figure-{name}": unit for name, (_, unit) in figures.items()},
    }  # fmt: skip
    text = text_of(as_(Role.TECHNICIAN).post(FORM, sent))

    assert "Worked out: 0.02583 W/(m·K)".replace("0.02583", "0.025830") in text.replace("</b>", "")
    assert re.search(r'name="mean_temperature"[^>]*value="75', text)
    assert re.search(r'name="temperature_difference"[^>]*value="46.8', text)
    assert "was not as asked" not in text
    del lab


def test_a_strength_without_a_curve_is_worked_out_in_the_readers_unit(
    lab: Yard, as_: SignIn
) -> None:
    """7 lbf on a strip 3 by 1 in, on 10 in: 35 psi; the strip is narrow for ASTM C203 by C578.

    Common practice, no source: such a strip must carry 7 lb.
    """
    figures = {"load": ("7", "lbf"), "span": ("10", "in"), "width": ("3", "in"),
               "thick": ("1", "in")}  # fmt: skip
    sent = {
        "test": "flexural_strength", "key": "k5", "do": "ask", "lot": "L1", "specimen": "B1",
        "unit-flexural_strength": "psi",
        **{f"figure-{name}": text for name, (text, _) in figures.items()},
        **{f"unit-figure-{name}": unit for name, (_, unit) in figures.items()},
    }  # fmt: skip
    text = text_of(as_(Role.TECHNICIAN).post(FORM, sent))

    assert "35.000 psi" in text
    assert "The width was not as asked" in text
    assert "the rate of the crosshead" in text
    assert "loaded at the quarter points" in text_of(
        as_(Role.TECHNICIAN).get(f"{FORM}?test=flexural_strength")
    )
    del lab


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"figure-after": ""}, "It is needed with the others"),
        ({"figure-after": "9x"}, "9x"),
        ({"figure-thick": "0"}, "above 0"),
        ({"unit-figure-thick": "psi"}, "is no unit of length"),
    ],
)
def test_a_figure_that_cannot_be_is_said_and_nothing_is_recorded(
    lab: Yard, as_: SignIn, changed: dict[str, str], said: str
) -> None:
    """At its own field, with what was keyed still there."""
    sent = {
        "test": "density", "key": "k4", "do": "post", "lot": "L1", "specimen": "D1",
        "figure-mass": "51", "unit-figure-mass": "g",
        **{f"figure-{one}": "100" for one in ("length", "width", "thick")},
        **{f"unit-figure-{one}": "mm" for one in ("length", "width", "thick")},
    }  # fmt: skip
    sent |= {name.replace("after", "mass"): text for name, text in changed.items()}
    answer = as_(Role.TECHNICIAN).post(FORM, sent)

    assert answer.status_code == 422
    assert said in text_of(answer)
    names = {one.characteristic for one in of_lots(lab.no, ["L1"]).get("L1", ())}
    assert "density" not in names


def test_every_test_of_a_specimen_has_its_form(lab: Yard, as_: SignIn) -> None:
    """Each characteristic of a specimen."""
    del lab
    browser = as_(Role.TECHNICIAN)
    tested = {
        name
        for name, known in CHARACTERISTICS.items()
        if known.level is Level.SPECIMEN and not name.startswith("specimen_")
    }

    assert tested == set(TESTS)
    assert set(REDUCTIONS) <= set(TESTS)
    for name in TESTS:
        answer = browser.get(f"{FORM}?test={name}&lot=L1")
        assert answer.status_code == 200, name
        assert f'name="{name}"' in text_of(answer)
    assert browser.get(f"{FORM}?test=weather").status_code == 302


def test_a_plan_of_cutting_is_drawn_and_told_in_units_of_choice(as_: SignIn) -> None:
    """With what found no place; nothing wanted, nothing drawn."""
    browser = as_(Role.AUDITOR)
    text = text_of(browser.get("/laboratory/cutting/?n-C=2&n-T=1&length=1219&unit-length=mm"))

    assert "Heat, 12 in square, 1 in: 1 specimen without a place" in text
    assert "not all find a place" in text
    assert "<svg" in text
    assert ">C1" in text
    assert "Say how many" in text_of(browser.get("/laboratory/cutting/"))
    wrong = text_of(browser.get("/laboratory/cutting/?n-C=two&length=0"))
    assert "is no whole number" in wrong
    assert "above 0 and below 10 m" in wrong


def test_a_plan_of_a_products_panel_leads_to_the_forms(lab: Yard, as_: SignIn) -> None:
    """Its sizes in the reader's unit; the form knows specimen and place."""
    sizes = {"length": "48 in", "height": "16 in", "panel": "2.625 in", "tie_spacing": "8 in"}
    lab.set("product", "FB6", {**PRODUCT, **sizes})
    browser = as_(Role.TECHNICIAN)
    browser.post("/choices/", {"units": "si", "light": "auto"})
    text = text_of(browser.get("/laboratory/cutting/?product=FB6"))
    assert re.search(r'name="pitch"[^>]*value="203.2"', text)
    assert re.search(r'name="first_tie"[^>]*value="101.6"', text)

    plan = text_of(browser.get("/laboratory/cutting/?n-C=1&length=1219&unit-length=mm"))
    (to,) = re.findall(r'href="(/laboratory/result/[^"]*)"', plan)
    form = text_of(browser.get(to))
    assert re.search(r'name="specimen"[^>]*value="C1"', form)
    assert re.search(r'name="cut_at"[^>]*value="12.7 along, 12.7 up, [0-9.]+ deep;', form)
    told = text_of(as_(Role.AUDITOR).get("/laboratory/cutting/?n-C=1"))
    assert "/laboratory/result/" not in told
