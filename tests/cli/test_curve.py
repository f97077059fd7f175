"""The verb that reads load frames' exports and works out strength: from the file to the answer."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from beadwright.lab.compression import compression_of
from beadwright.lab.loading import Trace
from beadwright.ledger import people
from beadwright.ledger.people import Person
from tests.cli.shell import Shell
from tests.cli.test_json import documented, read
from tests.interop.load_frame_exports import Export, export
from tests.plant.yard import Yard

SIZED = 1
"""The layout of the invented exports that states its sizes; the first states none."""


def written(folder: Path, layout: int) -> tuple[str, Export]:
    """Write an invented export."""
    made = export(layout, 2)
    path = folder / made.name
    path.write_bytes(made.raw)
    return str(path), made


def test_a_file_with_sizes_gives_its_strength(shell: Shell, tmp_path: Path) -> None:
    """What it was read as, what columns were taken for, and the result of its truth."""
    path, made = written(tmp_path, SIZED)
    truth = made.curves[0]
    result = compression_of(
        Trace(truth.force_n, truth.travel_m), area_m2=truth.area_m2, height_m=truth.height_m
    )
    told = shell("curve", path, "--method", "ASTM D1621", "--json")
    found = json.loads(told.out)["results"][0]
    page = shell("curve", path, "--method", "ASTM D1621")

    assert (told.status, page.status) == (0, 0)
    assert result.strength_pa is not None
    assert found["strength_pa"] == pytest.approx(result.strength_pa, rel=1e-3)
    assert found["modulus_pa"] == pytest.approx(result.modulus_pa, rel=1e-2)
    assert "specimens" in {one["code"].removesuffix("_not_recorded") for one in found["departures"]}
    assert "Standardkraft" in page.out
    assert "Caution." in page.out


def test_a_file_without_sizes_asks_for_them_and_takes_them(shell: Shell, tmp_path: Path) -> None:
    """No number before; the same number as by hand after."""
    path, made = written(tmp_path, 0)
    sizes = ("--length", "100 mm", "--width", "4 in", "--height", "50 mm")
    before, after = shell("curve", path, "--json"), shell("curve", path, *sizes, "--json")
    truth = made.curves[0]
    by_hand = compression_of(
        Trace(truth.force_n, truth.travel_m), area_m2=0.1 * 0.1016, height_m=0.05
    )

    assert json.loads(before.out)["results"][0]["strength_pa"] is None
    assert "length, width and height" in json.loads(before.out)["results"][0]["why_not"]
    found = json.loads(after.out)["results"][0]
    assert found["modulus_pa"] == pytest.approx(by_hand.modulus_pa, rel=1e-2)


def test_a_question_gives_no_number_until_it_is_answered(shell: Shell, tmp_path: Path) -> None:
    """An answer is kept as a layout, which answers the next file; another form asks again."""
    path, layout = tmp_path / "doubt.csv", tmp_path / "layout.json"
    rows = [f"{n / 10},{3 * n}.5" for n in range(40)]
    path.write_text("\n".join(["Travel [mm],Load [lb]", *rows, ""]))
    asked = shell("curve", str(path))
    kept = shell("curve", str(path), "--answer", "unit.force=lbf", "--keep-layout", str(layout))
    again = shell("curve", str(path), "--layout", str(layout), "--json")
    path.write_text("\n".join(["Travel [mm],Load [lb],Time [s]", *(f"{r},1" for r in rows), ""]))
    other = shell("curve", str(path), "--layout", str(layout), "--json")

    assert (asked.status, kept.status, again.status, other.status) == (1, 0, 0, 1)
    assert "unit.force:" in asked.out
    assert "No number is given" in asked.out
    fields = {one["field"] for one in json.loads(other.out)["files"][0]["questions"]}
    assert fields == {"layout", "unit.force"}


@pytest.mark.django_db
def test_a_layout_is_kept_for_a_machine(shell: Shell, tmp_path: Path) -> None:
    """By an engineer, for an instrument of the register; then it needs no file."""
    path, layout = tmp_path / "doubt.csv", tmp_path / "layout.json"
    rows = [f"{n / 10},{3 * n}.5" for n in range(40)]
    path.write_text("\n".join(["Travel [mm],Load [lb]", *rows, ""]))
    yard = Yard.open()
    yard.set("instrument", "LF-1", what="load frame", every="365 days")
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    shell("curve", str(path), "--answer", "unit.force=lbf", "--keep-layout", str(layout))
    before = shell("curve", str(path), "--machine", "LF-1")
    other = shell("frame-layout", "LF-9", str(layout), "--by", "EI")
    torn = shell("frame-layout", "LF-1", str(path), "--by", "EI")
    kept = shell("frame-layout", "LF-1", str(layout), "--by", "EI")
    after = shell("curve", str(path), "--machine", "LF-1", "--json")

    assert (before.status, other.status, torn.status) == (2, 2, 2)
    assert "o layout is kept for LF-1" in before.err
    assert "is kept by P-13" in kept.out
    assert json.loads(after.out)["files"][0]["questions"] == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--answer", "unit.force=kN"), "was not asked"),
        (("--answer", "kN"), "write FIELD=VALUE"),
        (("--method", "of my own"), "o such method"),
        (("--height", "50"), "unit"),
        (("--height", "0 mm"), "above zero"),
        (("--specimen", "nobody"), "o specimen is named"),
        (("--layout", "none.json"), "cannot be read"),
    ],
)
def test_what_cannot_be_meant_is_misuse(
    shell: Shell, tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    """And the message says what to write."""
    path, _ = written(tmp_path, SIZED)
    told = shell("curve", path, *words)

    assert told.status == 2
    assert said in " ".join(told.err.split())


def test_a_file_that_is_none_is_refused(shell: Shell, tmp_path: Path) -> None:
    """With its code, its place and the remedy."""
    path = tmp_path / "empty.csv"
    path.write_bytes(b"")
    told = shell("curve", str(path))

    assert told.status == 1
    assert "file_empty: the file is empty." in told.err


def test_a_picture_is_of_one_specimen(shell: Shell, tmp_path: Path) -> None:
    """Of several, one must be named."""
    path, made = written(tmp_path, 7)
    many = shell("curve", path, "--picture", str(tmp_path / "many.svg"))
    name = made.curves[0].name
    one = shell("curve", path, "--specimen", name, "--picture", str(tmp_path / "one.svg"))

    assert (many.status, one.status) == (2, 0)
    assert not (tmp_path / "many.svg").exists()
    assert f"Specimen {name}" in (tmp_path / "one.svg").read_text("utf-8")


def test_a_strip_is_bent(shell: Shell, tmp_path: Path) -> None:
    """ASTM C203, centre loading: 3PL/(2bd²) of the largest force."""
    path = tmp_path / "strip.csv"
    rows = [f"{d:.4f},{2.5 * d if d < 12 else 0:.5f}" for d in np.linspace(0, 12.1, 200)]
    path.write_text("\n".join(["Deflection [mm],Load [N]", *rows, ""]))
    sizes = ("--width", "100 mm", "--height", "25 mm", "--length", "300 mm")
    told = shell(
        "curve", str(path), *sizes, "--bending", "250 mm", "--method", "ASTM C203 I-B", "--json"
    )
    found = json.loads(told.out)["results"][0]
    force = max(float(row.split(",")[1]) for row in rows)

    assert found["strength_pa"] == pytest.approx(3 * force * 0.25 / (2 * 0.1 * 0.025**2), rel=1e-3)


def test_a_curve_holds_what_is_documented(shell: Shell, tmp_path: Path) -> None:
    """Of one file with a result, one whose headings repeat, and one with a question."""
    for layout in (5, 19):
        made = export(layout, 1)
        (tmp_path / made.name).write_bytes(made.raw)
    rows = [f"{n},{n}.5" for n in range(30)]
    (tmp_path / "open.csv").write_text("\n".join(["Travel [mm],Load [lb]", *rows, ""]))
    found = read(
        shell("curve", *map(str, sorted(tmp_path.iterdir())), "--method", "EN 826", "--json")
    )

    assert found == documented()["curve"]
