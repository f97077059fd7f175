"""A gauge study on record: of its instrument, from its sheet, and what readings carry by it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import partial
from pathlib import Path

import pytest

from beadwright.errors import Misuse, Refusal
from beadwright.interop.studies.kept import Sheet, kept_study, worked_again
from beadwright.interop.studies.worked import Asked
from beadwright.ledger.draft import Decision, Reading
from beadwright.plant import attached
from beadwright.plant.access import Role, Who
from beadwright.plant.gauge_studies.from_limits import tolerance_of
from beadwright.plant.gauge_studies.recorded import RecordedStudy, studies
from beadwright.plant.gauge_studies.recording import About
from beadwright.plant.opening import door_of, open_plant, projections_differing
from tests.house.tree import ROOT
from tests.plant.asking import block, the_limit
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

SAMPLES = ROOT / "docs" / "samples"
HEIGHTS = Sheet("heights.csv", (SAMPLES / "heights.csv").read_bytes())
TOLERANCE = Asked(tolerance="405.4..407.4 mm")
ENGINEER = Who("P-13", Role.ENGINEER)


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give the folder of the store's files."""
    monkeypatch.setenv(attached.FOLDER, str(tmp_path))
    return tmp_path


@pytest.fixture
def yard(files: Path) -> Yard:
    """A plant with a rule and a balance that are calibrated."""
    assert files.is_dir()
    yard = Yard.open()
    yard.set("instrument", "RULE-1", what="rule", every="year", u="0.05 mm")
    yard.set("instrument", "BAL-2", what="balance", every="year", u="0.026 kg")
    for name in ("RULE-1", "BAL-2"):
        body = {"done": "2026-09-01", "result": "pass", "certificate": f"C-{name}"}
        yard.post(Decision(f"cal/{name}", ms(50), "calibration", name, body, by="P-13"))
    return yard


def record(
    sheet: Sheet = HEIGHTS,
    asked: Asked = TOLERANCE,
    about: About | None = None,
    key: str = "k1",
) -> RecordedStudy:
    """Put a study on record, as an engineer; heights with the rule where nothing is said."""
    about = about or About("RULE-1", "height", "2026-09-02")
    _, draft = kept_study(open_plant("P1"), sheet, asked, about, (key, "P-13"))
    seq = door_of("P1").post(draft, ENGINEER).seq
    return next(one for one in studies(open_plant("P1").no) if one.seq == seq)


def weighing(
    value: str = "0.0195 kg", at: float = 55.0, more: Mapping[str, object] | None = None
) -> None:
    """Post a study of a balance as its figures alone, at a time of the test's own."""
    figures = {name: {"value": value} for name in ("repeatability", "reproducibility", "measuring")}
    body = {"of": "block_mass_24h", "sort": "gauge", "done": "2026-09-01", "band": "fit",
            "figures": figures, "sheet": "0" * 64, **(more or {})}  # fmt: skip
    draft = Decision(f"study/{at}", ms(at), "gauge_study", "BAL-2", body, by="P-13")
    door_of("P1").post(draft, ENGINEER)


def u_of_density(yard: Yard) -> float:
    """The balance's part of a density's uncertainty, in kg/m³, without that of the water."""
    u = the_limit(yard).u_si
    assert u is not None
    return math.sqrt(u**2 - (0.0025 * 23.0) ** 2)


def weighed(yard: Yard) -> None:
    """A lot, of which one block a day old is weighed at hour 60."""
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")
    yard.read([
        Reading("block_mass_24h", f"{block(23.0):.6f}", "kg", lot="L1", specimen="D1",
                instrument="BAL-2", facts={"state": "24h", "age_h": "26"})
    ])  # fmt: skip


def test_a_study_is_recorded_with_its_figures_and_its_sheet(yard: Yard) -> None:
    """And gives them again from the sheet; sent twice it is one entry; a rebuild changes nothing.

    The figures are those that docs/gauge_study.md shows of the same sheet.
    """
    one, again = record(), record()

    assert (one.seq, one.instrument, one.of, str(one.done)) == (
        again.seq, "RULE-1", "height", "2026-09-02",
    )  # fmt: skip
    assert one.figures["measuring"].words == "0.0704 mm (95 %: 0.0576 to 0.286 mm)"
    assert one.figures["share_of_tolerance"].words == "21.1 % (95 %: 17.3 to 85.8 %)"
    assert (one.band, one.tolerance, one.tolerance_source) == (
        "conditional", "405.4..407.4 mm", "as asked",
    )  # fmt: skip
    assert worked_again(one).same
    assert [each.seq for each in studies(yard.no, "RULE-1")] == [one.seq]
    assert not studies(yard.no, "BAL-2")
    assert projections_differing("P1") == ()


def test_a_tolerance_of_limits_stays_what_it_was(yard: Yard) -> None:
    """The limits move on; the study is of those that stood, and says by which names."""
    yard.limit("H-MIN", "height", "min", "405.4 mm")
    yard.limit("H-MAX", "height", "max", "407.4 mm")
    limits = partial(tolerance_of, yard.no, ms(70), "FB6", "height")
    one = record(asked=Asked(limits=limits))
    yard.set("limit", "H-MIN", product="FB6", characteristic="height", bound="min",
             value="400 mm", statistic="each", source="drawing")  # fmt: skip

    assert one.tolerance_source == "limits H-MIN and H-MAX"
    assert one.figures["share_of_tolerance"].words == "21.1 % (95 %: 17.3 to 85.8 %)"
    assert worked_again(one).same


def test_a_jigs_study_keeps_misses_and_agreement(yard: Yard) -> None:
    """Kappa, misses and false alarms with their intervals, as the manual's page shows them."""
    yard.set("instrument", "JIG-1", what="go/no-go jig", every="year")
    sheet = Sheet("jig.csv", (SAMPLES / "jig.csv").read_bytes())
    one = record(sheet, Asked("jig"), About("JIG-1", "height", "2026-09-02"))

    assert one.figures["misses"].words == "10.2 % (95 %: 5.2 to 17.5 %)"
    assert one.figures["false_alarms"].words == "1.23 % (95 %: 0.15 to 4.39 %)"
    assert 0 < float(one.figures["kappa"].low) < float(one.figures["kappa"].value) < 1
    assert (one.band, one.measuring) == ("unfit", "")
    assert worked_again(one).same


def test_readings_carry_what_measuring_scatters_where_the_plant_says_so(yard: Yard) -> None:
    """Of 65 L, in squares (JCGM 100:2008, equation 10 [from memory]); not without the setting."""
    weighed(yard)
    weighing()
    assert u_of_density(yard) == pytest.approx(0.026 / 0.065, rel=1e-4)

    yard.set("repeatability", "block_mass_24h", study=True)
    assert u_of_density(yard) == pytest.approx(math.hypot(0.026, 0.0195) / 0.065, rel=1e-4)


def test_a_study_counts_for_readings_that_were_taken_after_it_was_recorded(yard: Yard) -> None:
    """Before that what is set counts; a study entered later changes no lot that was judged."""
    weighed(yard)
    yard.set("repeatability", "block_mass_24h", study=True, s="13 g")
    weighing(at=61)  # the block was weighed at hour 60
    before = u_of_density(yard)
    weighing("0.0195 kg", at=59)

    assert before == pytest.approx(math.hypot(0.026, 0.013) / 0.065, rel=1e-4)
    assert u_of_density(yard) == pytest.approx(math.hypot(0.026, 0.0195) / 0.065, rel=1e-4)


def test_a_setting_says_a_figure_or_that_a_study_is_taken(yard: Yard) -> None:
    """Neither would add nothing, and look as if it did."""
    for body in ({}, {"study": False}, {"study": "yes"}):
        with pytest.raises(Refusal):
            yard.set("repeatability", "block_mass_24h", **body)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"of": "weight"}, "nothing is measured by the name"),
        ({"of": "height"}, "is in kg, which is none of what was measured"),
        ({"sort": "guess"}, "must be one of gauge, destroyed, jig"),
        ({"figures": {}}, "must be figures"),
        ({"figures": {"measuring": {"value": "1 kg"}}}, "repeatability is not stated"),
        ({"done": "2026-12-24"}, "lies in the future"),
        ({"sheet": "x"}, "must be a SHA-256"),
        ({"kept": "yes"}, "knows no 'kept'"),
    ],
)
def test_a_study_that_cannot_be_meant_is_refused(
    more: dict[str, object], said: str, yard: Yard
) -> None:
    """By the door, whichever way it came."""
    assert yard.no
    with pytest.raises(Refusal) as refused:
        weighing(more=more)

    assert said in str(refused.value)


def test_a_measuring_of_nothing_is_no_uncertainty(yard: Yard) -> None:
    """It would narrow a guard band to nothing."""
    assert yard.no
    with pytest.raises(Refusal, match="no standard uncertainty"):
        weighing("0 kg")


def test_what_is_of_no_instrument_is_not_recorded(yard: Yard, files: Path) -> None:
    """One that is not listed, and a comparison of laboratories; no sheet is kept then."""
    assert yard.no
    with pytest.raises(Misuse, match="no instrument 'RULE-9' is listed"):
        record(about=About("RULE-9", "height", "2026-09-02"))
    sheet = Sheet("c.csv", (SAMPLES / "conductivity.csv").read_bytes())
    with pytest.raises(Misuse, match="of no instrument"):
        record(sheet, Asked("laboratories"))

    assert not [path for path in files.rglob("*") if path.is_file()]


def test_an_altered_sheet_is_found_out(yard: Yard, files: Path) -> None:
    """By whoever checks the files, and when it is worked out again."""
    assert yard.no
    one = record()
    path = attached.path_of(files, one.sheet)
    path.chmod(0o644)
    path.write_bytes(b"part,person,value [mm]")

    (found,) = attached.damaged(yard.no)
    assert (found.about, found.name, found.what) == ("RULE-1", "study", "altered")
    with pytest.raises(Misuse, match="was altered"):
        worked_again(one)


def test_only_an_engineer_records_one(yard: Yard) -> None:
    """It is a decision."""
    assert yard.no
    about = About("RULE-1", "height", "2026-09-02")
    _, draft = kept_study(open_plant("P1"), HEIGHTS, TOLERANCE, about, ("k", "P-7"))
    with pytest.raises(Refusal) as refused:
        door_of("P1").post(draft, Who("P-7", Role.TECHNICIAN))

    assert refused.value.faults[0].code == "not_allowed"
