"""A curve that is kept: its result in the record, worked out again from the very file."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from scipy.stats import linregress

from beadwright.interop.keyed import again
from beadwright.interop.load_frame.kept import kept_result, read_from
from beadwright.ledger.entered import by_number
from beadwright.plant import attached
from beadwright.plant.access import Role
from beadwright.plant.kept_curves import kept_curve
from beadwright.plant.pieces import gathered
from beadwright.quality.readings import ReadingView, of_lots
from tests.plant.planning import hours
from tests.plant.test_conditioning import put_by
from tests.plant.yard import Yard
from tests.web.conftest import SignIn
from tests.web.test_curve_page import AT, SIZES, export, put

pytestmark = pytest.mark.django_db

FORM = "/laboratory/result/"
TEST = "compressive_stress_10"


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give the folder of the store's files."""
    monkeypatch.setenv(attached.FOLDER, str(tmp_path))
    return tmp_path


@pytest.fixture
def technician(as_: SignIn, yard: Yard, files: Path) -> Client:
    """Give the browser of a technician who reads SI, in a plant with lot L1."""
    assert files.is_dir()
    put_by(yard, "SA-1", "L1", hours(9, 10), since=hours(9, 12))
    browser = as_(Role.TECHNICIAN)
    browser.post("/choices/", {"units": "si", "light": "auto"})
    return browser


def form_of(page: str) -> dict[str, str]:
    """What the form of a page sends: what it carries, and the answers that are chosen."""
    hidden = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page)
    chosen = re.findall(r'<input type="radio" name="([^"]+)" value="([^"]*)" checked', page)
    return dict([*hidden, *chosen])


def kept(browser: Client, raw: bytes, **sizes: str) -> str:
    """Keep a curve from the page that drew it; the address of its own page."""
    page = put(browser, raw)
    form = form_of(page)
    specimen = re.search(r'name="specimen" value="([^"]*)"', page)
    assert specimen is not None
    answer = browser.post(f"{AT}keep/", {**form, **SIZES, **sizes, "specimen": specimen[1]})
    assert answer.status_code == 302, answer.content.decode()[-2000:]
    return str(answer["Location"])


def keyed(browser: Client, where: str, **said: str) -> dict[str, str]:
    """Fill the form in from a kept curve, as the page gives it."""
    page = unescape(browser.get(f"{FORM}?test={TEST}&curve={where.split('/')[-2]}&lot=L1")
                    .content.decode())  # fmt: skip
    inputs = re.findall(r"<input[^>]*>", page)
    named = {
        name[1]: value[1]
        for one in inputs
        if (name := re.search(r'name="([^"]+)"', one))
        and (value := re.search(r'value="([^"]*)"', one))
        and 'type="radio"' not in one
    }
    return {**named, "test": TEST, f"unit-{TEST}": "kPa", "do": "post", **said}


def strengths(yard: Yard) -> list[ReadingView]:
    """Stresses at 10 % read of lot L1."""
    return [one for one in of_lots(yard.no, ["L1"]).get("L1", ()) if one.characteristic == TEST]


def recorded(browser: Client, sent: dict[str, str]) -> str:
    """Look a result over and record it; what the page says then."""
    looked = unescape(browser.post(FORM, sent).content.decode())
    seen = re.search(r'name="seen" id="seen" value="([0-9a-f]*)"', looked)
    assert seen is not None
    if "Nothing is recorded yet" not in looked:
        return looked
    return unescape(browser.post(FORM, {**sent, "seen": seen[1]}).content.decode())


def test_a_result_is_recorded_from_the_kept_curve(
    technician: Client, yard: Yard, files: Path
) -> None:
    """File, curve, form, reading, entry, and the curve again from the kept file."""
    where = kept(technician, export())
    shown = unescape(technician.get(where).content.decode())
    assert "100.0 kPa" in shown
    assert "<figure" in shown
    ways = re.findall(r"/laboratory/result/\?test=(\w+)", shown)
    assert ways == ["compressive_resistance", "compressive_stress_10"]

    sent = keyed(technician, where)
    assert float(sent[TEST]) == pytest.approx(100, rel=1e-4)
    assert not sent.get("instrument")
    said = recorded(technician, sent)

    assert "The result is in the record." in said
    last = said[said.index('id="newest"') :]
    assert "press.csv, specimen 1" in last
    assert not re.search("[0-9a-f]{64}", last)  # the curve's name is for the program
    (read,) = strengths(yard)
    assert read.si == pytest.approx(100e3, rel=1e-4)
    assert read.facts["worked_from"] == "press.csv, specimen 1"
    assert where in technician.get(f"/entries/{read.seq}/").content.decode()
    assert attached.damaged(yard.no) == ()
    named = {name for _, name, _ in attached.referred(yard.no)}
    assert named == {"curve", "export"}
    assert len([one for one in files.rglob("*") if one.is_file()]) == 2


def noisy() -> bytes:
    """A specimen of 100 mm square and 50 mm high, 10 MPa, with 4 N of noise on its force."""
    travel = np.linspace(0, 6, 301)
    noise = np.random.default_rng(5).normal(0, 4, travel.size)
    force = 1000 * np.minimum(travel / 0.5, 0.9 + 0.1 * travel / 5) + noise
    rows = "\n".join(f"{x:.4f},{f:.3f}" for x, f in zip(travel, force, strict=True))
    return f"Travel [mm],Force [N]\n{rows}\n".encode()


def test_the_modulus_of_the_curve_is_a_reading_beside(technician: Client, yard: Yard) -> None:
    """10 MPa by construction, with the standard error of the slope by scipy; shown, and corrected.

    Least squares: J. Neter and others, Applied Linear Statistical Models, standard error of a
    slope [from memory]; `scipy.stats.linregress` gives the same.
    """
    where = kept(technician, noisy())
    recorded(technician, keyed(technician, where))
    (strength,) = strengths(yard)
    beside = of_lots(yard.no, ["L1"])["L1"]
    (modulus,) = [one for one in beside if one.characteristic == "compressive_modulus_826"]

    line = kept_result(kept_curve(where.split("/")[-2]))[1].of
    assert line is not None
    inside = (line.strain >= line.line.low.strain) & (line.strain <= line.line.high.strain)
    fit = linregress(line.strain[inside], line.stress_pa[inside])
    assert modulus.si == pytest.approx(fit.slope, rel=1e-4)  # five figures are kept
    assert modulus.u_si == pytest.approx(fit.stderr, rel=5e-3)  # three
    assert modulus.si == pytest.approx(10e6, abs=3 * fit.stderr + 0.2e6)  # the steepest of many
    assert (modulus.specimen, modulus.seq) == (strength.specimen, strength.seq)
    (value,) = gathered([modulus])
    assert value.partly  # the frame and the sizes are not in it
    shown = unescape(technician.get(f"/entries/{modulus.seq}/").content.decode())
    assert "compressive modulus 826" in shown
    assert "by scatter alone" in unescape(technician.get(where).content.decode())

    ask = again("P1", _key(modulus.seq))
    assert "compressive_modulus_826" not in ask.texts


def _key(seq: int) -> str:
    return by_number("P1", [seq])[seq].draft.key.removesuffix("/readings")


def test_what_the_curve_shows_otherwise_is_recorded(technician: Client, yard: Yard) -> None:
    """Higher than wide, by ASTM D1621-16: where no method is named, that of the result counts."""
    where = kept(technician, export(), length="45 mm", width="45 mm")
    test = "compressive_resistance"
    sent = {**keyed(technician, where, test=test), "test": test}
    page = unescape(technician.get(f"{FORM}?test={test}&curve={where.split('/')[-2]}&lot=L1")
                    .content.decode())  # fmt: skip
    said = re.search(rf'<input[^>]*name="{test}"[^>]*value="([^"]+)"', page)
    assert said is not None
    sent = {**sent, test: said[1], f"unit-{test}": "kPa"}
    sent.pop(TEST)
    recorded(technician, sent)
    (one,) = [x for x in of_lots(yard.no, ["L1"])["L1"] if x.characteristic == test]

    assert "The specimen is higher than wide. Was: 50.0 mm on 45.0 mm." in one.facts["departed"]
    assert "The loaded area is not as asked. Was: 20.2 cm²." in one.facts["departed"]
    assert "conditioning" not in one.facts["departed"]  # the result states it itself


def test_by_en_826_the_highest_stress_before_10_percent_is_read(
    technician: Client, yard: Yard
) -> None:
    """It yields at 90 kPa and rises to 100 kPa: ASTM D1621 reads the one, EN 826 the other.

    EN 826:1996: the highest stress where it comes before 10 % [read in: a second source that cites
    it]; ASTM D1621-16: the yield point, where it comes before 10 % [read in: a second source].
    """
    assert yard.no
    x = np.linspace(0, 6, 601)
    knees = [0, 0.45, 0.7, 4.9, 6]
    force = np.interp(x, knees, [0, 900, 860, 1000, 1010])
    rows = "\n".join(f"{a:.4f},{b:.3f}" for a, b in zip(x, force, strict=True))
    where = kept(technician, f"Travel [mm],Force [N]\n{rows}\n".encode())
    sha256 = where.split("/")[-2]

    at_yield = read_from(sha256, "compressive_resistance")
    highest = read_from(sha256, "compressive_stress_10")

    assert at_yield.strength_pa == pytest.approx(90e3, rel=1e-3)
    assert highest.strength_pa == pytest.approx(100.1e3, rel=1e-3)
    assert any("rises past the first yield" in one for one in at_yield.departures)
    assert not any("rises past the first yield" in one for one in highest.departures)


def test_a_result_that_the_curve_does_not_give_is_refused(technician: Client, yard: Yard) -> None:
    """Neither another figure, nor another test, nor a curve that nobody kept."""
    where = kept(technician, export())
    sent = keyed(technician, where, **{TEST: "104.0"})
    wrong = technician.post(FORM, sent)
    assert wrong.status_code == 422
    assert "the curve gives 100 kPa, and 104 kPa is keyed" in unescape(wrong.content.decode())
    technician.post("/choices/", {"units": "us", "light": "auto"})
    told = unescape(technician.post(FORM, sent).content.decode())
    assert "the curve gives 14.50 psi, and 15.08 psi is keyed" in told  # 6.894757 kPa a psi
    bent = technician.get(f"{FORM}?test=flexural_strength&curve={where.split('/')[-2]}")
    assert "is not read from such a curve" in unescape(bent.content.decode())
    nobody = technician.get(f"{FORM}?test={TEST}&curve={'0' * 64}")
    assert "nothing is kept under" in unescape(nobody.content.decode())
    assert technician.get(f"{AT}{'0' * 64}/").status_code == 404
    assert strengths(yard) == []


def of_two() -> bytes:
    """Two such specimens, each named on its rows."""
    first, *rows = export().decode().splitlines()
    named = [f"{name},{row}" for name in ("P1", "P2") for row in rows]
    return "\n".join([f"Specimen,{first}", *named, ""]).encode()


def test_the_next_specimen_of_a_kept_file_is_one_tap_away(technician: Client, yard: Yard) -> None:
    """What was recorded is said with its departures; the file is not put in again."""
    where = kept(technician, of_two())
    assert 'value="P2"' in technician.get(where).content.decode()
    sent = keyed(technician, where)
    assert sent["specimen"] == "P1"
    said = recorded(technician, {**sent, "humidity": "", "specimen": "P1"})
    assert "Known with it" in said
    assert "Not recorded: compressive stress 10" in said[said.index("Known with it") :]
    sha256 = where.split("/")[-2]
    assert f'name="of" value="{sha256}"' in said

    answer = technician.post(f"{AT}keep/", {"of": sha256, "specimen": "P2"})
    assert answer.status_code == 302
    then = str(answer["Location"])
    assert keyed(technician, then)["specimen"] == "P2"
    assert "with no result yet" not in technician.get(then).content.decode()
    last = recorded(technician, keyed(technician, then))
    assert "with no result yet" not in last
    assert [one.specimen for one in strengths(yard)] == ["P1", "P2"]
    wrong = technician.post(f"{AT}keep/", {"of": sha256, "specimen": "P9"})
    assert wrong.status_code == 422
    assert "holds no specimen P9" in wrong.content.decode()


def test_the_machine_of_a_file_stands_open(technician: Client) -> None:
    """It may be filled in by habit: it is asked beside the result, and not folded away."""
    where = kept(technician, export())
    page = technician.get(f"{FORM}?test={TEST}&curve={where.split('/')[-2]}").content.decode()
    at = page.index('name="instrument"')
    assert at < page.index("Filled in already")
    assert page.count('name="instrument"') == 1


def test_a_form_takes_the_thickness_that_was_measured(technician: Client) -> None:
    """The height of the specimen of the kept curve, where the test states its thickness."""
    where = kept(technician, export())
    form = technician.get(f"{FORM}?test=compressive_resistance&curve={where.split('/')[-2]}&lot=L1")
    (field,) = re.findall(r'<input[^>]*name="thickness"[^>]*>', form.content.decode())
    assert float(re.findall(r'value="([^"]*)"', field)[0]) == 50


def test_a_form_is_in_the_units_of_its_reader(technician: Client) -> None:
    """2 in come back as 2 in; a room is said in °F, its humidity in per cent alone."""
    technician.post("/choices/", {"units": "us", "light": "auto"})
    where = kept(technician, export(), height="2 in")
    form = technician.get(f"{FORM}?test=compressive_resistance&curve={where.split('/')[-2]}&lot=L1")
    page = unescape(form.content.decode())

    (field,) = re.findall(r'<input[^>]*name="thickness"[^>]*>', page)
    assert float(re.findall(r'value="([^"]*)"', field)[0]) == 2
    units = {
        name: re.findall(r"<option[^>]*selected[^>]*>([^<]*)", box)
        for name, box in re.findall(r'<select name="unit-(\w+)"(.*?)</select>', page, re.DOTALL)
    }
    assert units["thickness"] == ["in"]
    assert units["temperature"] == ["°F"]
    assert re.search(r'type="hidden" name="unit-humidity" value="%"', page)


def test_an_altered_export_is_told(technician: Client, yard: Yard, files: Path) -> None:
    """By `verify`, and on its page; a missing one too."""
    where = kept(technician, export())
    recorded(technician, keyed(technician, where))
    path = next(one for one in files.rglob("*") if one.is_file() and b"Travel" in one.read_bytes())
    path.chmod(0o644)
    path.write_bytes(path.read_bytes().replace(b"1000", b"1100"))
    (found,) = attached.damaged(yard.no)
    assert (found.about, found.name, found.what) == ("L1", "export", "altered")
    assert technician.get(where).status_code == 404
    path.unlink()
    assert [one.what for one in attached.damaged(yard.no)] == ["missing"]


@pytest.mark.parametrize("raw", [b"", b"\x00" * 5000, b"PK\x03\x04 not a workbook", export()[:40]])
def test_what_cannot_be_read_is_not_kept(technician: Client, files: Path, raw: bytes) -> None:
    """Empty, zeros, a damaged workbook, a file cut off."""
    file = SimpleUploadedFile("press.csv", raw)
    answer = technician.post(f"{AT}keep/", {"file": file, **SIZES, "specimen": "press.csv"})
    assert answer.status_code == 422
    assert [one for one in files.rglob("*") if one.is_file()] == []


def test_how_a_machine_writes_is_answered_once(technician: Client, as_: SignIn, yard: Yard) -> None:
    """Kept by an engineer, used for the next file of its form; one of another form asks again."""
    yard.set("instrument", "LF-1", what="load frame", every="365 days")
    bare = export().replace(b" [N]", b"")
    engineer = as_(Role.ENGINEER)
    engineer.post("/choices/", {"units": "si", "light": "auto"})
    page = put(engineer, bare, 200, **{"answer-unit.force": "N"})
    form = form_of(page)
    assert technician.post(f"{AT}layout/", {**form, "machine": "LF-1"}).status_code == 403
    assert engineer.post(f"{AT}layout/", {**form, "machine": "LF-9"}).status_code == 422
    answer = engineer.post(f"{AT}layout/", {**form, "machine": "LF-1"})
    assert answer.status_code == 302
    entry = engineer.get(answer["Location"]).content.decode()
    assert "layout of a load frame" in unescape(entry).lower()

    next_page = put(technician, bare.replace(b"6.0000", b"6.0001"))
    assert "As kept for LF-1" in next_page
    assert "100.0 kPa" in next_page
    another = put(technician, bare.replace(b"Force", b"Load"))
    assert "As kept for" not in another
    assert " kPa" not in another


def test_layouts_of_two_machines_that_differ_are_not_guessed_between(
    technician: Client, as_: SignIn, yard: Yard
) -> None:
    """The same form, one in N and one in kN: it is asked, and both are named."""
    bare = export().replace(b" [N]", b"")
    engineer = as_(Role.ENGINEER)
    for machine, unit in (("LF-1", "N"), ("LF-2", "kN")):
        yard.set("instrument", machine, what="load frame", every="365 days")
        page = put(engineer, bare, 200, **{"answer-unit.force": unit})
        form = form_of(page)
        assert engineer.post(f"{AT}layout/", {**form, "machine": machine}).status_code == 302
    page = put(technician, bare)
    assert "Layouts kept for LF-1 and LF-2 fit this file and differ" in page
    assert " kPa" not in page


def test_a_curve_without_a_strength_is_not_offered_to_be_keyed(technician: Client) -> None:
    """The record ends at 6 % strain: the page says so, by the method that was chosen."""
    short = b"\n".join(export().split(b"\n")[:152])
    page = put(technician, short, method="ASTM D1621")

    assert "It gives no strength" in page
    assert 'name="specimen"' not in page
    ended = page.partition("The record ends before 10 % strain")[2].partition("</li>")[0]
    assert "ASTM D1621-16" in ended
    assert "EN 826" not in ended
    assert "EN 826:1996, 8.1.2" in put(technician, short, method="EN 826")


def test_an_answer_is_changed_on_the_page(technician: Client) -> None:
    """The question stands there with what was answered; the other answer gives the other figure."""
    bare = export().replace(b" [N]", b"")
    page = put(technician, bare, 200, **{"answer-unit.force": "kN"})
    assert "100.0 MPa" in page or "100000.0 kPa" in page
    assert re.search(r'name="answer-unit.force" value="kN" checked', page)

    answer = technician.post(AT, {**form_of(page), **SIZES, "answer-unit.force": "N"})
    again = unescape(answer.content.decode())

    assert "100.0 kPa" in again
    assert re.search(r'name="answer-unit.force" value="N" checked', again)
    # Back to a page that was posted shows it as it stood: a browser may keep it.
    assert answer.headers["Cache-Control"] == "private, no-cache"
