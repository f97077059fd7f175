"""Exports that are damaged, doubtful or contradict themselves: asked or refused, never wrong."""

import random
from collections.abc import Callable

import numpy as np
import pytest

from beadwright.errors import BeadwrightError
from beadwright.interop.load_frame import Found, read, specimens
from tests.interop.load_frame_exports import (
    LAYOUTS,
    Curve,
    Export,
    Sheet,
    book,
    drawn,
    export,
    figure,
    table,
)
from tests.interop.test_load_frame import verdict


def curve(seed: int = 7) -> Curve:
    """Draw one specimen."""
    return drawn(random.Random(seed), "A1")


def text(*head: str, sign: str = ",", **how: object) -> bytes:
    """Write a curve as time, travel, force below some lines."""
    rows = [sign.join(row) for row in table(curve(), "txf", **how)]  # type: ignore[arg-type]
    return "\n".join([*head, *rows, ""]).encode()


def asked(raw: bytes, name: str = "x.csv", **answers: str) -> set[str]:
    """Fields of the questions that are open."""
    return {one.field for one in read(raw, name=name, answers=answers).questions}


def force_of(found: Found) -> float:
    """Largest force that was read, in N."""
    trace = specimens(found)[0].trace
    assert trace is not None
    return float(np.abs(trace.force_n).max())


HEAD = "Time [s],Travel [mm],Force [N]"


@pytest.mark.parametrize(
    ("field", "head"),
    [
        ("unit.force", ["Time [s],Travel [mm],Force"]),
        ("unit.travel", ["Time [s],Travel,Force [N]"]),
        ("unit.time", ["Time,Travel [mm],Force [N]"]),
        ("unit.force", ["Time [s],Travel [mm],Force [lb]"]),
        ("unit.force", ["Time [s],Travel [mm],Force [kg]"]),
        ("unit.force", ["Time [s],Travel [mm],Force [mN]"]),
        ("unit.force", ["Time [s],Travel [mm],Load [N/mm2]"]),
        ("unit.force", ["Time [s],Travel [mm],Force [kN]", "s,mm,N"]),
        ("unit.force", ["Units: kN mm s", HEAD]),
        ("force", ["Time [s],Force A [N],Force B [N]"]),
        ("force", ["Time [s],Travel [mm],Set point [N]"]),
        ("travel", ["Crosshead [mm],Deflection [mm],Force [N]"]),
        ("travel", ["Time [s],Temperature [mm],Force [N]"]),
        ("force", ["a,b,c"]),
        ("unit.strain", ["Time [s],Strain,Stress [kPa]"]),
        ("unit.stress", ["Time [s],Strain [%],Stress"]),
        ("check.peak", ["Max load [kN],1.0", HEAD]),
        ("check.peak", ["Maximum force: 1000000 N", HEAD]),
        ("check.speed", ["Test speed: 500 mm/min", HEAD]),
        ("unit.height", ["Height,50", HEAD]),
        ("size.height", ["Height [mm],50", "Height [mm],52", HEAD]),
        ("unit.force", ["Time [s],Travel [mm],Force x1000 [N]"]),
        ("unit.force", ["Time [s],Travel [mm],Force [N] x10"]),
        ("unit.force", ["Time [s],Travel [mm],Force (10 N)"]),
        ("unit.force", ["Time [s],Travel [mm],Force", "s,mm,N x10"]),
        ("check.area", ["Length,100 mm", "Width,100 mm", "Area,100 mm2", HEAD]),
        ("check.density", ["Length,100 mm", "Width,100 mm", "Height,50 mm", "Mass,500 g", HEAD]),
        ("check.force", ["Length,100 m", "Width,100 m", "Height,50 mm", HEAD]),
        ("check.travel", ["Length,1 mm", "Width,1 mm", "Height,0.5 mm", HEAD]),
    ],
)
def test_a_doubt_is_a_question(field: str, head: list[str]) -> None:
    """A unit that is missing, strange or stated twice, two candidates, figures that disagree."""
    assert field in asked(text(*head))


def test_an_ambiguous_decimal_sign_is_asked_about_and_answered() -> None:
    """Where each figure has three digits behind one comma, the comma may part thousands."""
    c = curve()
    rows = [
        f"{1 + n},{100 + n};{figure(2 + abs(f), 3, ',')}" for n, f in enumerate(c.force_n / 2e3)
    ]
    raw = "\n".join(["Travel [mm];Force [N]", *rows, ""]).encode()

    assert asked(raw) == {"decimal"}
    by_comma = read(raw, name="x.csv", answers={"decimal": ","})
    by_point = read(raw, name="x.csv", answers={"decimal": "."})
    assert force_of(by_point) == pytest.approx(1000 * force_of(by_comma), rel=1e-9)


def test_a_size_stated_elsewhere_settles_the_decimal_sign() -> None:
    """Metadata that can be read in one way only say how the file writes numbers."""
    rows = [f"{1 + n},{100 + n};{2 + n},{300 + n}" for n in range(30)]
    raw = "\n".join(["Höhe [mm];50,1", "Weg [mm];Kraft [N]", *rows, ""]).encode()

    assert force_of(read(raw, name="x.csv")) == pytest.approx(31.329)


def test_the_largest_force_decides_a_unit_that_is_not_stated() -> None:
    """And the reason is given."""
    c = curve()
    found = read(text(f"Max load [N],{c.peak_n:.2f}", "Time [s],Travel [mm],Force",
                      units=(1e3, 1e-3, 1.0), places=(6, 5, 2)), name="x.csv")  # fmt: skip

    assert not found.questions
    column = found.blocks[0].column("force")
    assert column is not None
    assert column.unit == "kN"
    assert "largest force stated" in column.why
    assert force_of(found) == pytest.approx(c.peak_n, rel=1e-4)


def _thousands_unquoted(more: float = 0) -> bytes:
    """Write forces whose thousands sign is the delimiter: all of them, or those above 999."""
    rows = [f"{n / 10:.1f},{more + 60 * n:,.1f}" for n in range(40)]
    return "\n".join(["Travel [mm],Force [N]", *rows, ""]).encode()


def test_units_that_differ_between_curves_are_asked_about() -> None:
    """Of two specimens below each other, one in N and one in kN."""
    first = text("Specimen: A", "Time [s],Travel [mm],Force [N]")
    second = text("Specimen: B", "Time [s],Travel [mm],Force [kN]")

    assert asked(first + second) == {"check.units"}


def test_a_row_that_leaps_away_and_back_is_asked_about() -> None:
    """A sign or a digit that was lost in one row."""
    lines = text(HEAD).decode().split("\n")
    time, travel, force = lines[30].split(",")
    lines[30] = f"{time},{travel},{-float(force)}"

    assert asked("\n".join(lines).encode()) == {"check.leap"}


def test_a_first_row_that_is_spoilt_is_no_heading() -> None:
    """It would be lost unseen."""
    raw = text(HEAD).replace(b".", b";", 2)

    assert asked(raw)


def test_a_row_of_units_that_lacks_one_is_not_moved_along() -> None:
    """Blanks leave no empty cell, so which column lacks its unit is not known."""
    assert asked(text("(mm)  (N)", sign="  "), "x.txt")


def test_a_test_in_bending_is_noted() -> None:
    """A pressed face is no strip on supports."""
    assert any("bending" in note for note in read(text("Biegeversuch", HEAD), name="x.csv").notes)


@pytest.mark.parametrize(
    ("code", "raw", "name"),
    [
        ("file_empty", b"", "x.csv"),
        ("file_empty", b"\r\n \r\n", "x.csv"),
        ("file_empty", b"\0" * 5000, "x.csv"),
        ("file_not_text", bytes(range(256)) * 40, "x.csv"),
        ("file_not_text", b"%PDF-1.7 x", "x.csv"),
        ("file_not_text", b"\xd0\xcf\x11\xe0" * 9, "x.xls"),
        ("file_not_text", book(Sheet("a", [["x"]])), "x.csv"),
        ("book_damaged", text(HEAD), "x.xlsx"),
        ("book_damaged", book(Sheet("a", [["x"]]))[:-400], "x.xlsx"),
        ("no_curve", b"Time,Force\n1,2\n3,4\n", "x.csv"),
        ("no_curve", b"Only words,here\n" * 30, "x.csv"),
        ("columns_unmatched", b"Weg [mm],Kraft [N]\n" + b"0,10,5,25\n" * 30, "x.csv"),
        ("columns_unmatched", _thousands_unquoted(), "x.csv"),
        ("columns_unmatched", _thousands_unquoted(2e3), "x.csv"),
        ("numbers_mixed", text("t [s];s [mm];F [N]", sign=";") + b"1,5;2,5;3,5\n", "x.csv"),
    ],
)
def test_what_is_no_export_is_refused_with_a_remedy(code: str, raw: bytes, name: str) -> None:
    """Empty, of another kind, damaged, without a curve: the message says what and what to do."""
    with pytest.raises(BeadwrightError, match=rf"^{code}: .+\. .+\.") as caught:
        read(raw, name=name)

    assert name in str(caught.value)


def test_a_formula_is_asked_about() -> None:
    """A workbook's figures may be what a formula last gave, or were never worked out."""
    rows: list[list[object]] = [["Weg [mm]", "Kraft [N]"]]
    rows += [[n / 10, f"=A{n + 2}*3"] for n in range(30)]
    raw = book(Sheet("Data", rows))

    with pytest.raises(BeadwrightError):
        specimens(read(raw, name="x.xlsx"))


@pytest.mark.parametrize("layout", range(len(LAYOUTS)), ids=[one.__name__ for one in LAYOUTS])
def test_a_file_that_was_cut_off_is_never_read_wrong(layout: int) -> None:
    """Whatever is read of it without a question is the beginning of the truth."""
    made = export(layout, 3)
    rng, count = random.Random(layout), 0
    for _ in range(12):
        raw = made.raw[: rng.randrange(1, len(made.raw))]
        try:
            found = read(raw, name=made.name)
            read_ = () if found.questions else specimens(found)
        except BeadwrightError:
            continue
        for one, truth in zip(read_, made.curves, strict=False):
            assert one.trace is not None
            count += 1
            rows = one.trace.force_n.size
            assert np.allclose(one.trace.force_n, truth.force_n[:rows], rtol=1e-3,
                               atol=1e-3 * truth.peak_n)  # fmt: skip
    assert count or made.name.endswith(".xlsx")


def spoilt() -> list[tuple[str, Callable[[str], str]]]:
    """Ways in which people and machines spoil a text."""
    return [
        ("point for comma", lambda t: t.replace(",", ".")),
        ("comma for point", lambda t: t.replace(".", ",")),
        ("no units in brackets", lambda t: t.replace("[", "").replace("]", "")),
        ("units gone", lambda t: t.replace("[N]", "").replace("(N)", "").replace(";N", ";")),
        ("another unit", lambda t: t.replace("N]", "lb]").replace("N)", "lb)")),
        ("capitals", str.upper),
        ("small letters", str.lower),
        ("blank lines", lambda t: t.replace("\n", "\n\n")),
        ("semicolons", lambda t: t.replace(",", ";")),
        ("blanks for tabs", lambda t: t.replace("\t", "  ")),
        ("a word in a cell", lambda t: t.replace("12.", "n/a", 1)),
        ("headings gone", lambda t: "\n".join(t.split("\n")[3:])),
        ("umlauts spoilt", lambda t: t.replace("ö", "Ã¶").replace("ä", "Ã¤").replace("ü", "Ã¼")),
    ]


@pytest.mark.parametrize(("name", "spoil"), spoilt(), ids=[name for name, _ in spoilt()])
def test_a_spoilt_export_is_never_read_wrong(name: str, spoil: Callable[[str], str]) -> None:
    """Each layout of text, spoilt in one way: read right, asked about, or refused."""
    del name
    for layout in range(len(LAYOUTS)):
        made = export(layout, 5)
        if made.name.endswith(".xlsx"):
            continue
        encoding = "utf-16" if made.raw[:2] == b"\xff\xfe" else "utf-8-sig"
        try:
            whole = made.raw.decode(encoding)
        except UnicodeDecodeError:
            whole = made.raw.decode("cp1252")
        raw = spoil(whole).encode()
        try:
            said = verdict(
                Export(made.name, raw, made.curves, sized=False), read(raw, name="x.csv")
            )
        except BeadwrightError:
            continue
        assert said in {"right", "asked"}, (LAYOUTS[layout].__name__, said)


@pytest.mark.parametrize("layout", range(len(LAYOUTS)), ids=[one.__name__ for one in LAYOUTS])
def test_a_letter_in_the_wrong_place_is_never_read_wrong(layout: int) -> None:
    """In a heading, a unit, a number, a sign: read right, asked about, or refused."""
    made = export(layout, 4)
    if made.name.endswith(".xlsx"):
        made = export(0, layout)
    encoding = "utf-16" if made.raw[:2] == b"\xff\xfe" else "cp1252"
    whole = made.raw.decode(encoding)
    rng = random.Random(layout)
    for _ in range(25):
        at = rng.choice([rng.randrange(len(whole)), rng.randrange(min(len(whole), 300))])
        raw = (whole[:at] + "x" + whole[at + 1 :]).encode(encoding)
        truth = Export(made.name, raw, made.curves, sized=False)
        try:
            said = verdict(truth, read(raw, name=made.name))
        except BeadwrightError:
            continue
        assert said in {"right", "asked"}, (whole[max(0, at - 20) : at + 20], said)
